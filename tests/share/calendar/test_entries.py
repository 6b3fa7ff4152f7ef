"""What a person finds in the calendar: an entry for each stretch of work, with all that is to be known for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from offseason.share.calendar import calendar_of
from offseason.share.handout import Deadline
from tests.share.calendar.made import BOTH, COMB_SAFE, DAY, DUST, LAST_WORD, NOW, SATURDAY, ZONE, handout, work

FREEZE = work(SATURDAY, time(9), time(9, 40), "Ines", "freeze", "super combs", 40, at="freezer")
SEAL = work(SATURDAY, time(9, 45), time(10, 30), ("Ines", "Bo"), "seal", "super combs", 20)
SCRAPE = work(SATURDAY, time(10, 59), time(12), "Ines", cautions=("dust",))
BUILD = work(SATURDAY, time(13), time(15), "Bo", "build the rack", "build the rack", 8, at=None)


def entries(*work_, who=None, read=BOTH[0], **given):
    return read(calendar_of(handout(*work_, **given), who, None, now=NOW, alarm_minutes=None))


@pytest.mark.parametrize("read", BOTH)
def test_work_without_a_longer_break_is_one_entry_with_each_work_on_a_line(read):
    (seen,) = entries(FREEZE, SEAL, SCRAPE, BUILD, who="Ines", read=read)
    assert seen.title == "Bees: freeze 40 super combs, seal 20, scrape 12 brood boxes"
    assert seen.text.split("\n") == [
        "09:00-09:40 freeze: 40 super combs, at freezer",
        "09:45-10:30 seal: 20 super combs, at bench, with Bo",
        "10:59-12:00 scrape: 12 brood boxes, at bench [dust]",
        "",
        f"Dust: {DUST}",
        "",
        LAST_WORD,
    ]
    assert seen.place == "freezer, bench"
    assert seen.begins == datetime(2026, 11, 7, 9, tzinfo=ZoneInfo(ZONE))
    assert seen.ends == datetime(2026, 11, 7, 12, tzinfo=ZoneInfo(ZONE))


def test_half_an_hour_without_work_parts_two_stretches():
    later = work(SATURDAY, time(11), time(12), "Ines")
    assert len(entries(FREEZE, SEAL, later, who="Ines")) == 2
    assert len(entries(FREEZE, SEAL, SCRAPE, who="Ines")) == 1


def test_a_short_work_within_a_long_one_does_not_shorten_the_stretch():
    long = work(SATURDAY, time(9), time(12), "Ines")
    (seen,) = entries(long, FREEZE, work(SATURDAY, time(12, 20), time(13), "Ines"), who="Ines")
    assert seen.ends == datetime(2026, 11, 7, 13, tzinfo=ZoneInfo(ZONE))


def test_everybodys_calendar_has_each_persons_stretches_under_the_persons_name():
    seen = entries(FREEZE, SEAL, SCRAPE, BUILD)
    assert [one.title.split(":")[0] for one in seen] == ["Ines", "Bo", "Bo"]
    assert seen[1].title == "Bo: seal 20 super combs"
    assert "with Ines" in seen[1].text
    assert seen[2].title == "Bo: build the rack"
    assert not seen[2].place


def test_a_long_list_of_work_is_cut_in_the_title_only():
    many = [work(SATURDAY, time(9 + n), time(10 + n), "Ines", f"step {n}") for n in range(7)]
    (seen,) = entries(*many, who="Ines")
    assert seen.title == "Bees: step 0 12 brood boxes, step 1 12, step 2 12, step 3 12, and 3 more"
    assert all(f"step {n}: 12 brood boxes" in seen.text for n in range(7))


def test_names_with_commas_do_not_run_into_each_other_in_the_title():
    sound = work(SATURDAY, time(9), time(10), "Ines", "scrape", "boxes, sound")
    (seen,) = entries(sound, work(SATURDAY, time(10), time(11), "Ines", "mend", "lids", 3), who="Ines")
    assert seen.title == "Bees: scrape 12 boxes, sound; mend 3 lids"


def test_a_persons_calendar_holds_no_work_of_others_but_the_deadlines():
    seen = entries(FREEZE, SCRAPE, BUILD, who="Bo", deadlines=(COMB_SAFE,))
    assert [one.title for one in seen] == ["Bees: build the rack", "Bees: super combs are to be safe from moths"]


def test_every_work_carries_its_caution_and_the_last_word():
    for one in entries(FREEZE, SEAL, SCRAPE, BUILD):
        assert (DUST in one.text) == ("[dust]" in one.text)
        assert one.text.endswith(LAST_WORD)


def test_the_identifiers_of_two_people_two_winters_and_everybody_are_all_different_and_name_nobody():
    """RFC 7986 section 5.3."""
    found = [
        one.uid
        for winter in ("0123456789", "9876543210")
        for who in ("Ines", "Bo", "None", "null", None)
        for one in entries(FREEZE, SEAL, BUILD, who=who, winter_id=winter, deadlines=(COMB_SAFE,))
    ]
    assert len(found) == len({*found})
    assert not [uid for uid in found if "ines" in uid.lower() or "bo" in uid.lower()]


def test_an_entry_keeps_its_identifier_when_the_plan_is_made_anew():
    later = work(SATURDAY, time(8), time(10), "Ines", "paint", "lids", 3)
    one, other = entries(FREEZE, who="Ines"), entries(later, who="Ines", name="Renamed")
    assert [e.uid for e in one] == [e.uid for e in other]


def test_a_deadline_that_moves_is_the_same_deadline():
    (one,) = entries(deadlines=(COMB_SAFE,))
    (other,) = entries(deadlines=(replace(COMB_SAFE, day=COMB_SAFE.day + 3 * DAY),))
    assert (one.uid, one.begins + 3 * DAY) == (other.uid, other.begins)


def test_deadlines_with_the_same_words_are_told_apart():
    same = (
        Deadline(date(2027, 1, 1), "ready"),
        Deadline(date(2027, 2, 1), "ready"),
        Deadline(date(2027, 2, 1), "ready", "lids"),
    )
    seen = entries(deadlines=same)
    assert len({one.uid for one in seen}) == 3
    assert [one.title for one in seen] == ["Bees: ready", "Bees: ready", "Bees: ready (lids)"]
