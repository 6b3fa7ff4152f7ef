"""The audit of people and hours at their edges: the first and last minute, two absences, touching hours, set-up."""

from __future__ import annotations

import pytest

from tests.plan.winters import assert_breaks, assert_finds, assert_keeps, changed, judged

WINTER = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {mon-fri: [09:00-12:00, 13:00-16:00]}}, Tomas: {works: {mon-fri: 09:00-12:00}}}
places: {bench: {}}
tasks: {scrape: {minutes_each: 10, at: bench, setup_minutes: 15}, mend: {minutes_each: 10, importance: should}}
gear: {boxes: {piece: langstroth deep box, count: 6, steps: [scrape, mend], optional: [scrape]}}
"""
ALONE = "2026-10-05 09:00-09:10 | Ines | mend 1 of boxes"


def works(hours: str) -> str:
    return changed(WINTER, "Ines: {works: {mon-fri: [09:00-12:00, 13:00-16:00]}}", f"Ines: {{{hours}}}")


@pytest.mark.parametrize("day", ["2026-10-05", "2026-10-16"])
def test_work_beyond_the_hours_of_the_first_or_last_day_is_not_work_outside_the_season(day):
    says = "Ines is there 09:00-12:00, 13:00-16:00 that day; 10 min of this lies outside these hours"
    assert_breaks(WINTER, f"{day} 16:00-16:10 | Ines | mend 1 of boxes", "hours", 1, says=says)
    assert_keeps(WINTER, f"{day} 15:50-16:00 | Ines | mend 1 of boxes")
    assert_keeps(WINTER, f"{day} 09:00-09:10 | Ines | mend 1 of boxes")


@pytest.mark.parametrize("day", ["2026-10-04", "2026-10-17"])
def test_work_on_the_day_before_the_season_or_the_day_after_it_is_outside_it(day):
    lot = changed(WINTER, "count: 6,", "count: 6, arrives: 2026-10-04,")
    says = "nobody works outside the season, 2026-10-05 to 2026-10-16"
    found = judged(lot, f"{day} 09:00-09:10 | Ines | mend 1 of boxes")
    assert [b.text.partition(": ")[2] for b in found if b.promise == "hours"] == [says]


def test_the_absence_named_is_the_one_the_day_lies_in():
    away = works("works: {every day: 09:00-12:00}, away: [2026-10-05, 2026-10-07..2026-10-09, 2026-10-12]")
    for day in ("2026-10-07", "2026-10-09"):
        says = "Ines is away (2026-10-07..2026-10-09)"
        assert_breaks(away, f"{day} 09:00-09:10 | Ines | mend 1 of boxes", "away", 1, says=says)
    for day in ("2026-10-06", "2026-10-10"):
        assert_keeps(away, f"{day} 09:00-09:10 | Ines | mend 1 of boxes")


@pytest.mark.parametrize(
    "hours",
    [
        "works: {mon-fri: [09:00-12:00, 12:00-15:00]}",
        "works: {mon-fri: 09:00-12:00}, also: {2026-10-05: 11:00-15:00}",
        "works: {mon-fri: 09:00-15:00}, also: {2026-10-05: 10:00-11:00}",
    ],
)
def test_hours_that_touch_or_lie_in_one_another_are_one_stretch(hours):
    assert_keeps(works(hours), "2026-10-05 11:30-12:30 | Ines | mend 6 of boxes")
    says = "Ines is there 09:00-15:00 that day; 30 min of this lies outside these hours"
    assert_breaks(works(hours), "2026-10-05 14:30-15:30 | Ines | mend 6 of boxes", "hours", 1, says=says)


def test_hours_that_end_in_the_hour_that_comes_twice_end_when_it_comes_the_second_time():
    night = works("works: {sun: 01:00-02:30}").replace(
        "from: 2026-10-05, until: 2026-10-16", "from: 2026-10-19, until: 2026-10-30, timezone: CET"
    )
    assert_keeps(night, "2026-10-25 01:30-02:30 again | Ines | mend 6 of boxes")


def test_each_helper_in_a_row_is_there_for_all_of_it():
    two = changed(WINTER, "mend: {minutes_each: 10,", "mend: {minutes_each: 10, hands: 2,")
    assert_keeps(two, "2026-10-05 11:50-12:00 | Ines + Tomas | mend 1 of boxes")
    found = assert_finds(two, "2026-10-05 11:55-12:05 | Tomas + Ines | mend 1 of boxes", ("hours", 1), ("hours", 1))
    assert "Tomas is there 09:00-12:00 that day; 5 min of this lies outside these hours" in found[0].text
    assert "Ines is there 09:00-12:00, 13:00-16:00 that day; 5 min of this lies outside" in found[1].text


def test_a_row_of_one_person_that_has_two_is_named_with_both_numbers():
    says = "this work takes 1 person, and here are 2: 1 too many"
    assert_breaks(WINTER, ALONE.replace("Ines", "Ines + Tomas"), "hands", 1, says=says)


def test_of_two_rows_at_the_same_time_the_one_begun_last_is_named_as_the_other_work():
    rows = """
2026-10-05 09:00-10:00 | Ines | mend 1 of boxes
2026-10-05 09:30-10:00 | Ines | mend 1 of boxes
2026-10-05 09:45-10:15 | Ines | mend 1 of boxes
2026-10-05 10:15-10:25 | Ines | mend 1 of boxes
"""
    found = assert_finds(WINTER, rows, ("one place at a time", 2), ("one place at a time", 3))
    says = (
        "Ines is already at other work for 15 min of this (line 2, Mon 2026-10-05 09:30-10:00, Ines, mend 1 of boxes)"
    )
    assert found[1].text == f"line 3, Mon 2026-10-05 09:45-10:15, Ines, mend 1 of boxes: {says}"


def test_a_row_that_lasts_no_time_keeps_nobody_from_other_work():
    rows = "2026-10-05 09:00-10:00 | Ines | mend 6 of boxes\n2026-10-05 09:30-09:30 | Ines | mend 0 of boxes"
    found = assert_finds(WINTER, rows, ("length", 2))
    assert found[0].text.endswith("it ends before it begins")


def test_a_row_of_a_single_second_may_be_long_enough():
    quick = changed(WINTER, "mend: {minutes_each: 10,", "mend: {minutes_each: 0.0167,")
    assert_keeps(quick, ALONE.replace("09:00-09:10", "09:00:00-09:00:01"))
    says = "2 pieces of 1 s each take 2 s, and it lasts 1 s: 1 s too short"
    assert_breaks(
        quick, ALONE.replace("09:00-09:10", "09:00:58-09:00:59").replace(" 1 of", " 2 of"), "length", 1, says=says
    )


def test_a_row_too_short_is_named_with_its_pieces_and_its_set_up_where_it_has_one():
    assert_breaks(
        WINTER,
        ALONE.replace("09:10", "09:09"),
        "length",
        1,
        says=": 1 piece of 10 min each take 10 min, and it lasts 9 min: 1 min too short",
    )
    assert_breaks(
        WINTER,
        "2026-10-05 09:00-09:30 | Ines | scrape 2 of boxes +15 min",
        "length",
        1,
        says=": 2 pieces of 10 min each with set-up take 35 min, and it lasts 30 min: 5 min too short",
    )


def test_set_up_cut_short_is_named_with_what_is_asked_and_what_is_given():
    says = "setting up for scrape takes 15 min before the first piece of the stretch; here it has 14 min"
    assert_breaks(WINTER, "2026-10-05 09:00-09:30 | Ines | scrape 1 of boxes +14 min", "set-up", 1, says=says)
    assert_keeps(WINTER, "2026-10-05 09:00-09:30 | Ines | scrape 1 of boxes +16 min")


def test_of_two_who_begin_at_once_the_one_who_sets_up_is_looked_at_first():
    rows = """
2026-10-05 09:00-09:30 | Ines | scrape 1 of boxes
2026-10-05 09:00-09:30 | Tomas | scrape 1 of boxes +15 min
2026-10-05 09:30-09:40 | Tomas | scrape 1 of boxes
"""
    says = "it begins its pieces 15 min before the set-up has ended (line 2, Mon 2026-10-05 09:00-09:30, Tomas, scrape"
    assert_breaks(WINTER, rows, "set-up", 1, says=says)


def test_set_up_is_asked_for_anew_in_the_next_stretch_and_not_where_one_helper_comes_as_the_other_goes():
    rows = """
2026-10-05 11:00-11:25 | Tomas | scrape 1 of boxes +15 min
2026-10-05 13:00-13:10 | Ines | scrape 1 of boxes
2026-10-06 09:00-09:10 | Tomas | scrape 1 of boxes
"""
    assert_breaks(WINTER, rows, "set-up", 2, 3, says="here it has 0 s")
    handed_over = works("works: {mon: 12:00-16:00}")
    assert_breaks(handed_over, rows, "set-up", 3)


def test_work_at_the_very_end_of_a_stretch_is_outside_of_it():
    rows = """
2026-10-05 11:00-11:25 | Ines | scrape 1 of boxes +15 min
2026-10-05 12:00-12:10 | Ines | scrape 1 of boxes
"""
    assert_finds(WINTER, rows, ("hours", 2), ("set-up", 2))


def test_a_row_of_unknown_work_hides_nothing_of_the_rows_after_it():
    crew = changed(
        WINTER, "Tomas: {works: {mon-fri: 09:00-12:00}}", "Tomas: {works: {mon-fri: 09:00-12:00}, cannot: [mend]}"
    )
    crew = changed(
        changed(crew, "bench: {}", "bench: {seats: 1}"),
        "mend: {minutes_each: 10,",
        "mend: {minutes_each: 10, weather: dry,",
    )
    rows = """
2026-10-05 09:00-09:10 | Ines | whistle 1 of boxes
2026-10-05 09:10-09:35 | Ines | scrape 1 of boxes +15 min
2026-10-05 09:20-09:45 | Tomas | scrape 1 of boxes +15 min
2026-10-06 09:00-11:00 | Tomas | mend 7 of boxes
"""
    found = judged(crew, rows)
    assert {(str(b.promise), b.row.line) for b in found if b.row} >= {
        ("known names", 1),
        ("able", 4),
        ("seats", 3),
        ("weather", 4),
        ("count", 4),
    }
    assert [b for b in found if b.row and b.row.line == 2] == []


def test_unknown_work_before_the_gear_is_there_is_named_as_unknown_only():
    late = changed(WINTER, "count: 6,", "count: 6, arrives: 2026-10-07, ready_by: 2026-10-08,")
    assert_breaks(late, "2026-10-05 09:00-09:10 | Ines | whistle 1 of boxes", "known names", 1)
    assert_breaks(late, "2026-10-09 09:00-09:10 | Ines | whistle 1 of boxes", "known names", 1)


def test_work_that_is_done_at_no_place_in_particular_is_not_done_at_the_bench():
    says = "this work is done at no place in particular, not at bench"
    assert_breaks(WINTER, f"{ALONE} @ bench", "place", 1, says=says)
    assert_breaks(WINTER, "2026-10-05 09:00-09:10 | Ines | whistle 1 of boxes @ bench", "known names", 1)


FIT = changed(WINTER, "mend: {minutes_each: 10,", "mend: {minutes_each: 10, weather: dry,")
FIT += """weather: {windows: {dry: {
  2026-10-05..2026-10-16: [09:00-10:00, 11:00-11:30], 2026-10-07: [11:30-12:00, 11:00-11:30]}}}
"""


def test_work_may_fill_the_fit_hours_to_the_minute_and_no_more():
    assert_keeps(FIT, "2026-10-05 09:00-10:00 | Ines | mend 6 of boxes")
    assert_keeps(FIT, "2026-10-07 11:00-12:00 | Ines | mend 6 of boxes")
    says = "the weather is fit for dry only 09:00-10:00, 11:00-11:30 that day"
    for hours in ("09:01-10:01", "10:59-11:09", "10:00-11:00"):
        assert_breaks(FIT, f"2026-10-05 {hours} | Ines | mend 1 of boxes", "weather", 1, says=says)
