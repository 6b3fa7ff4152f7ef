"""Sharing again and again: people who import each calendar over the last have exactly the newest plan."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.share.calendar import calendar_of, is_ours, trouble_with
from tests.share.calendar.made import BOTH, COMB_SAFE, DAY, NOW, SATURDAY, handout, work
from tests.share.calendar.store import Store, fresh
from tests.share.calendar.test_bytes import NASTY, check_lines, made, nasty

MORNING = work(SATURDAY, time(9), time(10), "Ines")
AFTERNOON = work(SATURDAY, time(14), time(16), "Ines", "freeze", "super combs", 40)
SUNDAY = work(SATURDAY + DAY, time(9), time(10), "Ines")


def shared(*entries, before=None, now=NOW, who="Ines", alarm=None, **given):
    return calendar_of(handout(*entries, **given), who, before, now=now, alarm_minutes=alarm)


def numbers(content: bytes) -> list[tuple[str, str, int]]:
    """Title, status and SEQUENCE of each entry; both libraries see the same."""
    one, other = ([(e.title, e.status, e.sequence) for e in read(content)] for read in BOTH)
    assert one == other
    return one


def entry_bytes(content: bytes) -> dict[bytes, bytes]:
    found = [part.split(b"END:VEVENT")[0] for part in content.split(b"BEGIN:VEVENT")[1:]]
    return {part.split(b"\r\nUID:")[1][:36]: part for part in found}


@pytest.mark.parametrize("name", NASTY)
def test_shared_twice_without_a_change_it_is_the_same_file(name):
    for who in (None, name, "Bo"):
        first = made(name, who=who)
        assert calendar_of(nasty(name), who, first, now=NOW + DAY, alarm_minutes=30) == first
        assert trouble_with(first) is None


def test_only_what_a_person_sees_changed_gets_a_higher_number_and_a_new_stamp():
    """RFC 5545 sections 3.8.7.2 and 3.8.7.4: SEQUENCE grows with a change; DTSTAMP is the moment of the last change."""
    first = shared(MORNING, AFTERNOON, SUNDAY, deadlines=(COMB_SAFE,))
    assert [n for _, _, n in numbers(first)] == [0, 0, 0, 0]
    longer = work(SATURDAY, time(14), time(17), "Ines", "freeze", "super combs", 60)
    second = shared(MORNING, longer, SUNDAY, deadlines=(COMB_SAFE,), before=first, now=NOW + DAY)
    assert [n for _, _, n in numbers(second)] == [0, 1, 0, 0]
    old, new = entry_bytes(first), entry_bytes(second)
    assert sum(old[uid] != new[uid] for uid in old) == 1
    assert second.count(b"DTSTAMP:20261002T080000Z") == second.count(b"LAST-MODIFIED:20261002T080000Z") == 1


def test_work_done_as_planned_changes_nothing():
    first = shared(MORNING, SUNDAY)
    done = work(SATURDAY, time(9), time(10), "Ines", done=True)
    assert shared(done, SUNDAY, before=first, now=NOW + DAY) == first


def test_what_went_is_called_off_and_what_comes_back_is_live_again_with_higher_numbers():
    """RFC 5545 section 3.8.1.11."""
    first = shared(MORNING, SUNDAY)
    second = shared(MORNING, before=first, now=NOW + DAY)
    title = "Bees: scrape 12 brood boxes"
    assert numbers(second) == [(title, "CONFIRMED", 0), (f"Cancelled: {title}", "CANCELLED", 1)]
    assert shared(MORNING, before=second, now=NOW + 2 * DAY) == second  # called off once
    third = shared(MORNING, SUNDAY, before=second, now=NOW + 3 * DAY)
    assert numbers(third) == [(title, "CONFIRMED", 0), (title, "CONFIRMED", 2)]
    store = Store()
    for content in (first, second, third):
        store.take(content)
        assert store.shown == fresh(content)
    for old in (second, first, third):
        assert store.take(old) == 0


def test_called_off_work_is_at_the_same_time_without_alarm_and_makes_nobody_busy():
    first = shared(MORNING, alarm=30)
    second = shared(before=first, now=NOW + DAY)
    entry = second[second.index(b"SUMMARY:Cancelled") :]
    assert b"TRANSP:TRANSPARENT" in entry
    assert b"VALARM" not in entry
    assert b"DTSTART;TZID=EST5EDT:20261107T090000" in entry
    check_lines(second)


@pytest.mark.parametrize("name", NASTY)
def test_called_off_work_keeps_its_name(name):
    given_out = handout(people=("Bo",), deadlines=())
    content = calendar_of(given_out, None, made(name), now=NOW + DAY, alarm_minutes=None)
    check_lines(content)
    before = {one.uid: one.title for one in BOTH[0](made(name))}
    for read in BOTH:
        off = [one for one in read(content) if one.status == "CANCELLED"]
        assert len(off) == 4
        assert all(one.title == f"Cancelled: {before[one.uid]}" for one in off)


def test_called_off_work_is_carried_on_for_sixty_days_after_its_day():
    first = shared(MORNING, SUNDAY)
    second = shared(SUNDAY, before=first, now=NOW + DAY)
    evening = datetime.combine(SATURDAY, time(20), NOW.tzinfo)
    for days, kept in ((0, True), (60, True), (61, False)):
        content = shared(SUNDAY, before=second, now=evening + days * DAY)
        assert (b"CANCELLED" in content) == kept
        assert content.count(b"CONFIRMED") == 1  # work of the past stays


def test_an_alarm_asked_for_later_reaches_those_who_have_the_calendar():
    first = shared(MORNING, deadlines=(COMB_SAFE,))
    second = shared(MORNING, deadlines=(COMB_SAFE,), before=first, alarm=30, now=NOW + DAY)
    assert [n for _, _, n in numbers(second)] == [1, 0]


def test_a_person_no_longer_in_the_plan_gets_all_called_off():
    first = shared(MORNING, SUNDAY)
    second = shared(before=first, now=NOW + DAY)
    store = Store()
    store.take(first)
    store.take(second)
    assert [b"no work is planned" in shown for shown in store.shown.values()] == [True]


def test_a_calendar_of_another_winter_or_person_is_left_out_of_account():
    before = shared(MORNING)
    for other in ({"winter_id": "9876543210"}, {"who": None}, {"who": "Bo"}):
        assert shared(SUNDAY, before=before, **other) == shared(SUNDAY, **other)
        assert trouble_with(before) is None


DAMAGED = (
    (lambda c: c[: len(c) // 2], "beginning or its end"),
    (lambda c: c.replace(b"SEQUENCE:0", b"SEQUENCE:x", 1), "not as it was written"),
    (lambda c: c.replace(b"DTEND;TZID=EST5EDT:2026", b"DTEND;TZID=EST5EDT:abcd", 1), "not as it was written"),
    (lambda c: c.replace(b"DTEND;TZID=EST5EDT:202611", b"DTEND;TZID=EST5EDT:202613", 1), "a day that is none"),
    (lambda c: c.replace(b"SUMMARY:", b"SUMMARY:\x00", 1), "not as it was written"),
    (lambda c: c.replace(b"LAST-MODIFIED:", b"LAST-MODIFIED: ", 1), "not as it was written"),
    (lambda c: c.replace(b"SUMMARY", b"SUMM\xff\xfe", 1), "no longer text"),
    (lambda c: c.replace(b"END:VEVENT\r\n", b""), "has no end"),
    (lambda c: c[: c.rindex(b"END:VEVENT")] + c[c.index(b"BEGIN:VEVENT") :], "twice"),
)


@pytest.mark.parametrize(("damage", "why"), DAMAGED, ids=range(len(DAMAGED)))
def test_a_damaged_calendar_is_said_to_be_so_and_what_is_written_instead_wins_over_what_people_have(damage, why):
    good = shared(MORNING, AFTERNOON)
    for n in range(1, 4):
        changed = work(SATURDAY, time(9), time(10, n), "Ines")
        good = shared(changed, AFTERNOON, before=good, now=NOW + timedelta(minutes=n))
    store = Store()
    store.take(good)
    bad = damage(good)
    assert bad != good
    assert is_ours(bad)
    said = trouble_with(bad)
    assert why in said
    assert said.startswith("The calendar is damaged")
    assert said.endswith(".")
    new = shared(MORNING, AFTERNOON, before=bad, now=NOW + timedelta(minutes=5))
    store.take(new)
    assert store.shown == fresh(new)


@pytest.mark.parametrize(
    "foreign", [b"", b"\xff\xfe\x00", b"hello", b"BEGIN:VCALENDAR\r\nPRODID:x\r\nEND:VCALENDAR\r\n"]
)
def test_a_file_that_is_not_ours_is_known_as_such(foreign):
    assert not is_ours(foreign)
    assert "was not written by offseason" in trouble_with(foreign)
    shared(MORNING, before=foreign)


@pytest.mark.slow
@given(st.binary() | st.text().map(str.encode), st.integers(0, 2000), st.booleans())
def test_whatever_stands_in_the_file_a_calendar_is_written(junk, at, ours):
    good = shared(MORNING, AFTERNOON)
    before = good[:at] + junk + (good[at:] if ours else b"")
    check_lines(shared(MORNING, before=before, now=NOW + DAY))


def test_a_calendar_that_went_through_an_editor_with_other_line_ends_is_gone_on_with():
    first = shared(MORNING, SUNDAY, alarm=15)
    assert shared(MORNING, SUNDAY, alarm=15, before=first.replace(b"\r\n", b"\n"), now=NOW + DAY) == first


ENTRY = st.builds(
    lambda day, hour, minutes, who, step, pieces: work(
        date(2026, 10, 24) + day * DAY, time(hour), time(hour, minutes), who, step, "boxes", pieces, zone="CET"
    ),
    st.integers(0, 3), st.sampled_from([8, 9, 11]), st.sampled_from([20, 40]),
    st.sampled_from(["Ines", "Bo", ("Ines", "Bo")]), st.sampled_from(["scrape", "paint"]), st.integers(1, 2),
)  # fmt: skip
PLANS = st.lists(st.lists(ENTRY, max_size=6, unique_by=lambda e: (e.row.day, e.row.start)), min_size=2, max_size=5)


@pytest.mark.slow
@settings(max_examples=15, deadline=None)
@given(PLANS, st.sampled_from(["Ines", None]), st.data())
def test_after_any_plans_the_calendar_holds_the_newest_whatever_was_imported_between(plans, who, data):
    """Some files are never imported, some old ones are imported late and again."""
    store, files = Store(), []
    for n, entries in enumerate(plans):
        before = files[-1] if files else None
        now = NOW + timedelta(minutes=n)
        content = shared(*entries, before=before, now=now, who=who, zone="CET", deadlines=(COMB_SAFE,))
        files.append(content)
        assert shared(*entries, before=content, now=now + DAY, who=who, zone="CET", deadlines=(COMB_SAFE,)) == content
        assert fresh(content) == fresh(shared(*entries, who=who, zone="CET", deadlines=(COMB_SAFE,)))
        if before:
            changed_alone(before, content)
        if data.draw(st.booleans(), "imported"):
            store.take(content)
    store.take(files[-1])
    assert store.shown == fresh(files[-1])
    for old in data.draw(st.permutations(files), "imported late"):
        assert store.take(old) == 0


def changed_alone(before: bytes, content: bytes) -> None:
    """SEQUENCE is raised, by one, of what shows otherwise or is called off; the rest are the same bytes."""
    old, new = entry_bytes(before), entry_bytes(content)
    was, now = fresh(before), fresh(content)
    rank = {one.uid: one.sequence for one in BOTH[0](before)}
    for one in BOTH[1](content):
        uid = one.uid
        if uid not in rank:
            assert one.sequence == 0
        elif was.get(uid) == now.get(uid):
            assert old[uid.encode()] == new[uid.encode()]
        else:
            assert one.sequence == rank[uid] + 1
    assert {*old} <= {*new}
