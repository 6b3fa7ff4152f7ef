"""What a tired person types is understood where it can mean one thing only, and refused in a sentence where not."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.plan.progress.entry import Entry
from offseason.plan.progress.known import known
from offseason.plan.progress.short_line import Asked, asked_of_line, corrected, said
from offseason.plan.progress.words import parts_of_line
from offseason.scenario.read import parse_scenario
from offseason.workload.build import build_workload
from tests.plan.progress.yards import SCENARIO, TODAY, WORK, YARD, entry, entry_of_words, log_of

NAMES = known(YARD, WORK)


def read(line: str) -> Asked | str:
    return asked_of_line(parts_of_line(line), NAMES, TODAY)


def meant(line: str) -> str:
    """The line in full, as it was understood."""
    asked = read(line)
    assert isinstance(asked, Asked), asked
    return said(asked)


def refused(line: str) -> str:
    asked = read(line)
    assert isinstance(asked, str), asked
    return asked


def recorded(line: str, *before: Entry) -> Entry:
    found = entry_of_words(parts_of_line(line), YARD, WORK, TODAY, log_of(*before))
    assert isinstance(found, Entry), found
    return found


def not_recorded(line: str, *before: Entry) -> str:
    found = entry_of_words(parts_of_line(line), YARD, WORK, TODAY, log_of(*before))
    assert isinstance(found, str), found
    return found


def test_a_plain_line():
    one = recorded("Maren freeze 80 super combs 25 min")
    assert (one.day, one.who, one.lot, one.step, one.pieces) == (TODAY, ("Maren",), "super combs", "freeze", 80)
    assert (one.until, one.minutes, one.note) == (None, 25.0, "")


def test_a_long_line():
    one = recorded('Maren + Joss scrape 12 deep boxes, old paint 1.5 h on 2026-10-14 until 15:30 "two lids cracked"')
    assert (one.day, one.who, one.lot) == (date(2026, 10, 14), ("Maren", "Joss"), "deep boxes, old paint")
    assert (one.pieces, one.minutes, one.until, one.note) == (12, 90.0, time(15, 30), "two lids cracked")


@pytest.mark.parametrize("words", list(itertools.permutations(["Maren", "freeze", "80", "super combs", "25 min"])))
def test_the_order_of_the_words_is_free(words):
    # where a number stands right before a time, it belongs to it
    if "80 25 min" not in " ".join(words):
        assert meant(" ".join(words)) == "Maren freeze 80 super combs 25 min"


@pytest.mark.parametrize(
    ("time_spent", "minutes"),
    [
        ("25min", 25),
        ("25 minutes", 25),
        ("1.5 h", 90),
        ("1,5 h", 90),
        ("1:30 h", 90),
        ("1h30", 90),
        ("1 h 30 min", 90),
        ("2 hours", 120),
        ("took 40 min", 40),
        ("in 0.5 h", 30),
        ("1 hr", 60),
    ],
)
def test_times_are_written_in_many_ways(time_spent, minutes):
    asked = read(f"Maren freeze 80 super combs {time_spent}")
    assert isinstance(asked, Asked)
    assert (asked.minutes, asked.pieces) == (minutes, 80)


@pytest.mark.parametrize(
    ("day", "meant_day"),
    [
        ("", 17),
        ("today", 17),
        ("yesterday", 16),
        ("on yesterday", 16),
        ("on 2026-10-12", 12),
        ("2026-10-12", 12),
        ("on sat", 17),
        ("on Friday", 16),
        ("last sun", 11),
    ],
)
def test_the_day_is_today_unless_another_is_written(day, meant_day):
    asked = read(f"Maren {day} freeze 80 super combs")
    assert isinstance(asked, Asked)
    assert asked.day == date(2026, 10, meant_day)


@pytest.mark.parametrize("number", ["-80", "−80", "-80 pieces"])
def test_pieces_below_nothing_take_back(number):
    assert recorded(f'Maren freeze {number} super combs "freezer failed"').pieces == -80


def test_thousands_may_have_a_comma():
    assert recorded("Maren freeze 1,400 super combs").pieces == 1400


@pytest.mark.parametrize(
    "people", ["Maren + Joss", "Maren, Joss", "Maren and Joss", "Maren+Joss", "Maren & Joss", "Maren Joss"]
)
def test_several_people_in_any_way(people):
    assert recorded(f"{people} freeze 80 super combs").who == ("Maren", "Joss")


@pytest.mark.parametrize(
    "line",
    [
        "marne frezze 80 super comb",
        "MAREN freeze 80 Super-Combs",
        "maren feeze 80 supercombs",
        "Maren  freeze 80  supre combs",
    ],
)
def test_capitals_and_slips_are_forgiven_and_said(line):
    asked = read(line)
    assert isinstance(asked, Asked)
    assert asked.taken_as
    assert said(asked) == "Maren freeze 80 super combs"


def test_what_is_written_as_it_is_called_is_not_said_again():
    asked = read("Maren freeze 80 super combs")
    assert isinstance(asked, Asked)
    assert not asked.taken_as


def test_commas_in_names_may_be_left_out():
    assert meant("joss scrape 5 deep boxes old paint") == "Joss scrape 5 deep boxes, old paint"


def test_a_slip_that_may_mean_two_names_is_not_forgiven():
    twins = SCENARIO.replace("deep boxes, old paint:", "boxes of 2019:").replace("deep boxes, sound:", "boxes of 2018:")
    yard = parse_scenario(twins, "winter.yaml")
    names = known(yard, build_workload(yard))
    told = str(asked_of_line(["Maren", "scrape", "5", "boxes", "of", "2017"], names, TODAY))
    assert told == "'boxes' is not known here; scrape is done to: boxes of 2019, boxes of 2018"


def test_lot_or_work_may_be_left_out_where_there_is_only_one():
    assert meant("Maren seal 20") == "Maren seal 20 super combs"
    assert meant("Maren 5 deep boxes, sound") == "Maren scrape 5 deep boxes, sound"
    assert "it is not said to which lot 'scrape' was done" in refused("Maren scrape 5")
    assert "its work is sort out, freeze and seal" in refused("Maren 5 super combs")


def test_who_is_asked_for_where_there_are_several():
    assert refused("freeze 80 super combs") == "it is not said who did it; write one of Maren, Joss or Wilhelmina"


def test_rounds_and_one_piece_jobs_want_no_number():
    assert recorded("Wilhelmina look over stored comb").pieces == 1
    assert recorded("Maren + Joss press the cappings 2 h").pieces == 1


def test_other_work_wants_a_number_and_is_told_what_is_left():
    told = not_recorded("Maren freeze super combs", entry(100, "freeze", "super combs"))
    assert told == "it is not said how many; write a number of pieces, or all for the 300 that are left"


def test_all_are_those_that_are_left():
    assert recorded("Maren freeze all super combs", entry(100, "freeze", "super combs")).pieces == 300
    assert "nothing is left" in not_recorded("Maren freeze all super combs", entry(400, "freeze", "super combs"))


def test_hours_on_a_job_are_parts_of_it_to_its_end_and_no_further():
    before = entry(8, "clean the extractor", "clean the extractor")
    assert recorded("Maren clean the extractor 1.5 h").pieces == 6
    assert recorded("Maren + Joss clean the extractor 1 h").pieces == 8
    late = recorded("Maren clean the extractor 1.5 h", before)
    assert (late.pieces, late.minutes) == (4, 90.0)
    assert recorded("Maren clean the extractor done", before).pieces == 4
    assert "is done already" in not_recorded("Maren clean the extractor 1 h", before, before)
    assert "it is not said how long it took" in not_recorded("Maren clean the extractor")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("Maren freeze 80 brod comps", "'brod comps' is not known here; freeze is done to: super combs"),
        ("Berta freeze 80 super combs", "nobody here is called 'Berta'; the people are: Maren, Joss, Wilhelmina"),
        ("Maren polish 80 super combs", "the work on super combs is: sort out, freeze, seal"),
        ("Maren freeze 80 25 super combs", "there are two numbers of pieces"),
        ("Maren freeze 8.5 super combs", "pieces are a whole number, and a time has min or h behind it"),
        (
            "Maren freeze 80 super combs cracked",
            "'cracked' is not clear; put a note in quotes, or behind the word note",
        ),
        ("Maren freeze 80 super combs on 14.10.2026", "'14.10.2026' is not a date; write year-month-day"),
        ("Maren freeze 80 super combs on 2026-02-30", "'2026-02-30' is not a day of the calendar"),
        ("Maren freeze 80 super combs until 25:00", "'25:00' is a time that no clock shows"),
        ("Maren freeze 80 super combs until 3pm", "'3pm' is not a time of day"),
        ("Maren freeze 80 super combs until", "behind 'until' the time is missing"),
        ("Maren freeze 80 super combs until lunch", "'until lunch' is not clear; put a note in quotes"),
        ("Maren freeze 80 super combs on", "behind 'on' the day is missing; write it as in on 2026-10-14, on yester"),
        ("Maren freeze 80 super combs 99 h", "minutes cannot be"),
        ("Maren first coat 5 deep boxes, sound", "'first coat' is not done to 'deep boxes, sound' this winter"),
        ("Maren 80 hives", "'hives' is neither work nor a lot here; there are: clean the extractor, press"),
        ("Maren freeze 80 super combs Jo", "did you mean 'Joss'?"),
        ("Maren", "it is not said what was done, and to which lot"),
    ],
)
def test_what_is_not_clear_is_told_in_a_sentence(line, says):
    assert says in refused(line)


def test_a_line_without_words_is_told():
    assert "there are no words" in str(asked_of_line([], NAMES, TODAY))
    assert "too long" in str(asked_of_line(["x"] * 200, NAMES, TODAY))


def test_notes_in_quotes_or_behind_the_word():
    for line in (
        '"cracked" Maren freeze 80 super combs',
        "Maren freeze 80 super combs note cracked",
        "Maren freeze 80 super combs “cracked”",
    ):
        assert recorded(line).note == "cracked"


def test_a_note_never_breaks_the_line_of_the_log():
    found = entry_of_words(["Maren", "freeze", "80", "super combs", "a\nb\u202e\x07 c"], YARD, WORK, TODAY)
    assert isinstance(found, Entry)
    assert found.note == "a b?? c"


def test_names_with_numbers_signs_and_quotes_are_found_as_they_are():
    odd = SCENARIO.replace("super combs:", '"-18 combs: old #1":').replace("Maren:", "\"Ma 'X' + 🐝\":")
    yard = parse_scenario(odd, "winter.yaml")
    found = entry_of_words(
        ["Ma", "'X'", "+", "🐝", "freeze", "-8", "-18", "combs:", "old", "#1"], yard, build_workload(yard), TODAY
    )
    assert isinstance(found, Entry)
    assert (found.who, found.lot, found.pieces) == (("Ma 'X' + 🐝",), "-18 combs: old #1", -8)


def test_a_quote_that_is_never_closed_is_told():
    with pytest.raises(ValueError, match="never closed"):
        parts_of_line('Maren freeze 80 super combs "lids')


@given(st.lists(st.text(max_size=12), max_size=12))
def test_whatever_is_typed_there_is_an_answer(parts):
    assert isinstance(asked_of_line(parts, NAMES, TODAY), Asked | str)


LINES = st.builds(
    lambda who, work, number, minutes, day: (f"{who} {work} {number}", minutes, day),
    st.sampled_from(["Maren", "Joss + Wilhelmina"]),
    st.sampled_from(["freeze super combs", "scrape deep boxes, old paint", "scrape deep boxes, sound"]),
    st.integers(-400, 400).filter(bool),
    st.sampled_from(["", "25 min", "90 min"]),
    st.sampled_from(["", "on 2026-10-12"]),
)


@given(LINES)
def test_a_line_as_it_was_understood_means_the_same_again(parts):
    asked = read(" ".join(parts))
    assert isinstance(asked, Asked)
    assert read(said(asked)) == asked


@pytest.mark.parametrize(
    ("line", "full"),
    [
        ("Maren free 80 super combs", "Maren freeze 80 super combs"),
        ("mar free 80 sup", "Maren freeze 80 super combs"),
        ("Maren fir 5 deep boxes, old paint", "Maren first coat 5 deep boxes, old paint"),
        ("Wil look over", "Wilhelmina look over stored comb"),
        ("Maren oil 5 deep", "Maren oil 5 deep boxes, old paint"),
    ],
)
def test_the_beginning_of_a_name_is_enough_where_it_can_be_one_only(line, full):
    asked = read(line)
    assert isinstance(asked, Asked), asked
    assert (said(asked), asked.taken_as) == (full, True)


def test_a_beginning_that_may_be_two_names_is_told_with_both_lines():
    assert refused("Maren scrape 5 deep boxes") == (
        "this can be read as 'Maren scrape 5 deep boxes, old paint' or 'Maren scrape 5 deep boxes, sound'; put names "
        "in quotes, or write more of them"
    )


def test_two_letters_and_words_that_mean_something_are_no_beginnings():
    assert "did you mean 'Joss'?" in refused("Jo freeze 80 super combs")
    crew = SCENARIO.replace("  Joss:", "  Theodora:").replace("  Wilhelmina:", "  Monday:")
    yard = parse_scenario(crew, "winter.yaml")
    told = asked_of_line(["freeze", "the", "80", "super", "combs"], known(yard, build_workload(yard)), TODAY)
    assert told == "it is not said who did it; write one of Maren, Theodora or Monday"


@pytest.mark.parametrize(
    ("line", "full"),
    [
        ("Maren frez 80 super combs 25 min", "Maren freeze 80 super combs 25 min"),
        ("Marrrten frez 80 supr coms on 2026-10-12", "Maren freeze 80 super combs on 2026-10-12"),
        ('Maren frez 80 super combs "two lids"', 'Maren freeze 80 super combs "two lids"'),
    ],
)
def test_a_line_with_a_typing_mistake_is_refused_and_shown_put_right(line, full):
    refused(line)
    meant_line = corrected(parts_of_line(line), NAMES, TODAY)
    assert meant_line is not None
    assert said(meant_line) == full
    assert meant(full) == full


@pytest.mark.parametrize("line", ["Maren 80", "Maren polish 80 super combs", "freeze 80 super combs", "", "x " * 200])
def test_where_no_name_is_near_nothing_is_made_up(line):
    assert corrected(parts_of_line(line), NAMES, TODAY) is None


@given(st.lists(st.text(max_size=12), max_size=8))
def test_whatever_is_typed_a_line_put_right_can_be_read(parts):
    found = corrected(parts, NAMES, TODAY)
    assert found is None or isinstance(asked_of_line(parts_of_line(said(found)), NAMES, TODAY), Asked)


def test_who_is_named_twice_is_told_so():
    assert refused("Maren maren freeze 80 super combs") == "'maren' is named more than once; name each person once"


def test_all_of_a_step_are_those_that_need_no_mending_first():
    scraped, mended = entry(40, "scrape", "deep boxes, old paint"), entry(4, "mend", "deep boxes, old paint")
    assert recorded("Maren first coat all deep boxes, old paint", scraped).pieces == 30
    assert recorded("Maren first coat all deep boxes, old paint", scraped, mended).pieces == 34
    assert recorded("Maren mend all deep boxes, old paint", scraped, mended).pieces == 6
    coated = entry(34, "first coat", "deep boxes, old paint")
    assert not_recorded("Maren first coat all deep boxes, old paint", scraped, mended, coated) == (
        "the last 6 of 'deep boxes, old paint' for 'first coat' are to be through 'mend' first; record that first"
    )
    rest = entry(6, "mend", "deep boxes, old paint")
    assert recorded("Maren first coat all deep boxes, old paint", scraped, mended, rest, coated).pieces == 6


def test_in_a_yard_of_one_nobody_needs_to_say_who_it_was():
    crew = SCENARIO.partition("  Joss:")[0] + "places:" + SCENARIO.partition("places:")[2]
    yard = parse_scenario(crew.replace(", hands: 2", ""), "winter.yaml")
    asked = asked_of_line(parts_of_line("freeze 80 super combs"), known(yard, build_workload(yard)), TODAY)
    assert isinstance(asked, Asked), asked
    assert (said(asked), asked.taken_as) == ("Maren freeze 80 super combs", True)


def test_a_lot_without_work_this_winter_is_told_as_that():
    idle = replace(NAMES, gear=(*NAMES.gear, "nucs"), lots={**NAMES.lots, "nucs": ()})
    assert asked_of_line(parts_of_line("Maren freeze 5 nucs"), idle, TODAY) == "there is no work on 'nucs' this winter"


def test_a_line_that_can_be_read_in_too_many_ways_is_told_so(monkeypatch):
    monkeypatch.setattr("offseason.plan.progress.short_line._MOST_READINGS", 3)
    assert refused("Maren freeze 80 super combs 25 min") == (
        "this line can be read in too many ways; put names and notes in quotes"
    )


def test_a_line_with_more_slips_than_are_put_right_at_a_time_is_not_shown_half_put_right(monkeypatch):
    slips = "Marrrten frez 80 supr coms"
    assert corrected(parts_of_line(slips), NAMES, TODAY) is not None
    monkeypatch.setattr("offseason.plan.progress.short_line._MOST_CORRECTED", 1)
    assert corrected(parts_of_line(slips), NAMES, TODAY) is None
