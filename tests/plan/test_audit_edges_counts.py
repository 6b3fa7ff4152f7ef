"""The audit of numbers, rounds and jobs at their edges, and its sentences from the first word to the last."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

import pytest

from offseason.plan.audit import audit
from offseason.plan.audit.broken import length_text, moment_text, named
from offseason.plan.document import LeftOver, Row
from tests.plan.winters import assert_breaks, assert_finds, assert_keeps, changed, judged, plan, winter

ROUNDS = """
season: {from: 2026-10-05, until: 2026-11-01}
crew: {Ines: {works: {every day: 09:00-12:00}}, Tomas: {works: {every day: 09:00-12:00}}}
places: {loft: {seats: 1}, bench: {seats: 1}}
rounds: {look: {every: 1 w, minutes: 20, at: loft}}
"""
LOOKS = "\n".join(f"2026-10-{day} 09:00-09:20 | Ines | look 1 of look" for day in ("11", "12", "25", "26"))


def told(scenario: str, rows: str, *left: LeftOver) -> list[tuple[str, str]]:
    return [(str(b.promise), b.text) for b in audit(winter(scenario), replace(plan(rows), left=left))]


def test_a_round_is_made_on_the_first_or_on_the_last_day_of_its_week():
    assert_keeps(ROUNDS, LOOKS)
    says = "look: it is not made in 2026-10-05..2026-10-11"
    assert_breaks(ROUNDS, changed(LOOKS, "10-11 09:00-09:20", "10-12 10:00-10:20"), "rounds", None, says=says)


def test_a_row_that_makes_no_round_is_none():
    rows = LOOKS.replace("2026-10-11 09:00-09:20 | Ines | look 1", "2026-10-11 09:00-09:20 | Ines | look 0")
    assert_breaks(ROUNDS, rows, "rounds", None, says="look: it is not made in 2026-10-05..2026-10-11")


def test_a_round_hurried_through_is_named():
    says = "1 piece of 20 min each take 20 min, and it lasts 19 min: 1 min too short"
    assert_breaks(ROUNDS, LOOKS.replace("10-11 09:00-09:20", "10-11 09:00-09:19"), "length", 1, says=says)


def test_a_round_takes_its_seat_its_hands_and_its_weather():
    crowded = LOOKS + "\n2026-10-11 09:10-09:30 | Tomas | look 1 of look"
    assert_breaks(ROUNDS, crowded, "seats", 5, says="loft has 1 seat, and 2 people are at work there: 1 too many")
    together = changed(
        changed(ROUNDS, "minutes: 20,", "minutes: 20, hands: 2,"), "loft: {seats: 1}", "loft: {seats: 2}"
    )
    assert_breaks(
        together, LOOKS, "hands", 1, 2, 3, 4, says="this work takes 2 people together, and here are 1: 1 too few"
    )
    assert_keeps(together, LOOKS.replace("Ines", "Ines + Tomas"))
    dry = changed(ROUNDS, "minutes: 20,", "minutes: 20, weather: dry,")
    dry += "weather: {windows: {dry: {2026-10-05..2026-11-01: 09:00-12:00, 2026-10-12: none}}}"
    assert_breaks(dry, LOOKS, "weather", 2, says="no hour of that day is fit for dry")


def test_a_round_after_its_last_day_is_named_and_on_it_is_not():
    short = changed(ROUNDS, "minutes: 20,", "minutes: 20, until: 2026-10-25,")
    says = "this is to be done from 2026-10-05 to 2026-10-25: 1 day too late"
    assert_breaks(short, LOOKS.replace("2026-10-12", "2026-10-18"), "rounds", 4, says=says)


@pytest.mark.parametrize("every", ["1 d", "6 h"])
def test_a_round_of_every_day_or_oftener_is_asked_for_every_day(every):
    daily = changed(changed(ROUNDS, "every: 1 w", f"every: {every}"), "until: 2026-11-01", "until: 2026-10-07")
    found = assert_finds(daily, "2026-10-06 09:00-09:20 | Ines | look 1 of look", ("rounds", None), ("rounds", None))
    assert [b.text for b in found] == ["look: it is not made in 2026-10-05", "look: it is not made in 2026-10-07"]


def test_after_its_only_whole_period_a_round_is_not_asked_for_and_makes_up_for_nothing():
    once = changed(ROUNDS, "every: 1 w", "every: 3 w")
    assert_keeps(once, "2026-10-25 09:00-09:20 | Ines | look 1 of look")
    says = "look: it is not made in 2026-10-05..2026-10-25"
    assert_breaks(once, "2026-10-26 09:00-09:20 | Ines | look 1 of look", "rounds", None, says=says)


def test_a_round_that_must_be_made_is_asked_for_behind_one_that_only_should_be():
    both = changed(ROUNDS, "rounds: {look:", "rounds: {listen: {every: 1 w, minutes: 5, importance: should}, look:")
    assert_keeps(both, LOOKS)
    assert_breaks(both, "\n".join(LOOKS.splitlines()[:3]), "rounds", None, says="look: it is not made in 2026-10-26")


def test_of_a_round_no_more_can_be_left_than_it_has_periods():
    ((promise, text),) = told(ROUNDS, LOOKS, LeftOver("look", "look", 5, "undone"))
    assert (promise, text) == ("count", "what is left, look of look (undone 5): there are only 4 pieces")


JOBS = changed(
    ROUNDS,
    "rounds: {look: {every: 1 w, minutes: 20, at: loft}}",
    "jobs: {sharpen: {hours: 0.5, at: bench, by: 2026-10-09}, sweep: {hours: 0.416667, at: bench}}",
)
DONE = """
2026-10-09 09:00-09:30 | Ines | sharpen 2 of sharpen
2026-10-09 09:30-09:55 | Tomas | sweep 5 of sweep
"""


def test_a_job_is_done_on_its_last_day_in_parts_of_a_quarter_of_an_hour_or_of_five_minutes():
    assert_keeps(JOBS, DONE)
    says = "this is to be done from 2026-10-05 to 2026-10-09: 1 day too late"
    assert_breaks(JOBS, DONE.replace("10-09", "10-10"), "job days", 1, says=says)


def test_a_job_takes_its_seat_and_its_weather():
    assert_breaks(JOBS, DONE.replace("09:30-09:55", "09:29-09:54"), "seats", 2, says="bench has 1 seat, and 2 people")
    dry = changed(JOBS, "hours: 0.5,", "hours: 0.5, weather: dry,")
    assert_breaks(dry, DONE, "weather", 1, says="no hour of that day is fit for dry")


def test_a_job_of_odd_seconds_is_done_in_one_part():
    odd = changed(JOBS, "hours: 0.5,", "hours: 0.4169,")
    assert_keeps(odd, DONE.replace("sharpen 2 of", "sharpen 1 of"))
    assert_breaks(odd, DONE.replace("09:00-09:30", "09:00-09:25").replace("sharpen 2 of", "sharpen 1 of"), "length", 1)


GEAR = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {every day: 09:00-12:00}}}
places: {loft: {}}
tasks: {scrape: {minutes_each: 10}, mend: {minutes_each: 10, share: 50%, importance: should}}
gear:
  boxes: {piece: langstroth deep box, count: 6, arrives: 2026-10-06, ready_by: 2026-10-08, steps: [scrape, mend]}
  lids: {piece: flat lid, count: 1, steps: [scrape]}
"""
SCRAPED = """
2026-10-06 09:00-09:10 | Ines | scrape 1 of boxes
2026-10-07 09:00-09:20 | Ines | scrape 2 of boxes
2026-10-08 09:00-09:30 | Ines | scrape 3 of boxes
2026-10-08 09:30-09:40 | Ines | scrape 1 of lids
"""


def test_gear_is_worked_on_from_the_day_it_arrives_to_the_day_it_must_be_ready():
    assert_keeps(GEAR, SCRAPED)
    says = "boxes arrive on 2026-10-06, 1 day later"
    assert_breaks(GEAR, SCRAPED.replace("2026-10-06", "2026-10-05"), "arrival", 1, says=says)
    says = "boxes must be ready by 2026-10-08: 2 days too late"
    assert_breaks(GEAR, SCRAPED.replace("2026-10-08", "2026-10-10"), "ready by", 3, says=says)


def test_each_row_is_named_with_the_pieces_that_are_too_many_in_it():
    rows = (
        SCRAPED + "2026-10-08 10:00-10:20 | Ines | scrape 2 of boxes\n2026-10-08 10:20-10:30 | Ines | scrape 1 of boxes"
    )
    found = assert_finds(GEAR, rows, ("count", 5), ("count", 6))
    assert [b.text.partition(": ")[2] for b in found] == [
        "there are 6 pieces to do, and with this row 8 are done: 2 too many here",
        "there are 6 pieces to do, and with this row 9 are done: 1 too many here",
    ]


def test_the_pieces_of_several_rows_are_all_counted():
    rows = SCRAPED.replace("scrape 2 of boxes", "scrape 1 of boxes")
    found = assert_finds(GEAR, rows, ("done", None))
    assert found[0].text == "boxes, scrape: 1 of 6 pieces are left undone, and this work must be done"


@pytest.mark.parametrize("since", [None, datetime.combine(date(2026, 10, 6), time(12))])
def test_work_marked_done_further_down_the_plan_is_named_all_the_same(since):
    made = plan(SCRAPED)
    rows = tuple(replace(row, done=row.line == 3) for row in made.rows)
    found = audit(winter(GEAR), replace(made, rows=rows, since=since))
    assert [(str(b.promise), b.row.line) for b in found if b.row] == [("marked done", 3)]
    assert found[0].text.endswith("take 'done: true' away" if since else "in the log: `offseason record` writes it")


@pytest.mark.parametrize(("minute", "found"), [(29, 0), (28, 1)])
def test_work_done_may_end_in_the_minute_after_the_plan_was_made_anew_and_not_later(minute, found):
    made = plan(SCRAPED)
    since = datetime.combine(date(2026, 10, 8), time(9, minute))
    rows = tuple(replace(row, done=row.line in {1, 2, 3}) for row in made.rows)
    assert len(audit(winter(GEAR), replace(made, rows=rows, since=since))) == found


def test_nothing_is_held_against_what_was_done_outside_all_hours():
    made = plan(SCRAPED.replace("2026-10-06 09:00-09:10", "2026-10-06 05:00-05:01"))
    assert {str(b.promise) for b in audit(winter(GEAR), made)} == {"hours", "length"}
    rows = tuple(replace(row, done=row.line == 1) for row in made.rows)
    assert audit(winter(GEAR), replace(made, rows=rows, since=datetime.combine(date(2026, 10, 6), time(9)))) == ()


def test_what_is_left_is_told_in_the_singular_where_it_is_one():
    two = LeftOver("boxes", "scrape", 2, "undone")
    rows = SCRAPED.replace("scrape 3 of boxes", "scrape 2 of boxes")
    texts = [text for promise, text in told(GEAR, rows, two)]
    assert texts == ["what is left, scrape of boxes (undone 2): only 1 is left undone"]
    assert told(GEAR, rows, LeftOver("boxes", "scrape", 1, "undone")) == []


def test_a_row_is_named_by_line_day_hours_people_and_work():
    row = Row(date(2026, 10, 10), time(9), time(9, 30), ("Ines", "Tomas"), "boxes", "scrape", 3, line=7)
    assert named(row) == "line 7, Sat 2026-10-10 09:00-09:30, Ines, Tomas, scrape 3 of boxes"
    assert named(replace(row, line=None, who=())) == "Sat 2026-10-10 09:00-09:30, nobody, scrape 3 of boxes"
    assert named(replace(row, step="boxes")) == "line 7, Sat 2026-10-10 09:00-09:30, Ines, Tomas, boxes"
    days = [named(replace(row, day=date(2026, 10, 5 + n), line=None))[:14] for n in range(7)]
    weekdays = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    assert days == [f"{name} 2026-10-{5 + n:02}" for n, name in enumerate(weekdays)]


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0, "0 s"),
        (0.4, "0 s"),
        (0.6, "1 s"),
        (59, "59 s"),
        (60, "1 min"),
        (3_599, "59 min 59 s"),
        (3_600, "1 h"),
        (3_930, "1 h 5 min"),
        (86_399, "23 h 59 min"),
        (86_400, "1 d"),
        (90_061, "1 d 1 h"),
        (86_401, "1 d 1 s"),
    ],
)
def test_a_length_of_time_is_told_in_its_two_largest_units(seconds, text):
    assert length_text(seconds) == text


def test_a_moment_is_told_with_its_seconds_where_it_has_some():
    assert moment_text(datetime(2026, 10, 10, 9, 30)) == "Sat 2026-10-10 09:30"  # noqa: DTZ001  the clock on the wall
    assert moment_text(datetime(2026, 10, 10, 9, 30, 5)) == "Sat 2026-10-10 09:30:05"  # noqa: DTZ001
    half = changed(GEAR, "scrape: {minutes_each: 10}", "scrape: {minutes_each: 0.5, then: {in: loft}}")
    half = changed(half, "places: {loft: {}}", "places: {loft: {holds: 2}}")
    found = [b.text for b in judged(half, SCRAPED) if b.promise == "space"]
    assert found[0].endswith("loft holds 2 pieces, and from Wed 2026-10-07 09:01 up to 7 are in it: 5 too many")
