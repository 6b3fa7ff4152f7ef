"""The audit of order at its edges: the second that is forgiven, the piece exactly in time, shares and jobs."""

from __future__ import annotations

from dataclasses import replace

from offseason.plan.audit import audit
from offseason.plan.document import LeftOver
from tests.plan.outdoors import FIRST, air
from tests.plan.outdoors import assert_breaks as assert_breaks_in
from tests.plan.outdoors import assert_keeps as assert_keeps_in
from tests.plan.outdoors import told as told_in
from tests.plan.winters import assert_breaks, assert_finds, assert_keeps, changed, plan, winter

YARD = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {every day: 09:00-12:00}}, Tomas: {works: {every day: 09:00-12:00}}}
tasks:
  scrape: {minutes_each: 1, then: {wait: 1 h}}
  stack: {minutes_each: 1, within: 2 h}
gear: {boxes: {piece: langstroth deep box, count: 3, steps: [scrape, stack]}}
"""
STACKED = """
2026-10-05 09:00-09:03 | Ines | scrape 3 of boxes
2026-10-05 10:01-10:04 | Ines | stack 3 of boxes
"""


def told(scenario: str, rows: str, *left: LeftOver) -> list[tuple[str, str]]:
    return [(str(b.promise), b.text) for b in audit(winter(scenario), replace(plan(rows), left=left))]


def test_a_piece_is_forgiven_one_second_of_its_wait_and_not_two():
    assert_keeps(YARD, changed(STACKED, "10:01-10:04", "10:00:59-10:03:59"))
    says = "too soon for 3 pieces: 1 h of waiting after scrape are needed, 2 s are missing"
    assert_breaks(YARD, changed(STACKED, "10:01-10:04", "10:00:58-10:03:58"), "waiting", 2, says=says)


def test_a_piece_a_second_late_is_late_and_one_exactly_in_time_is_not():
    assert_keeps(YARD, changed(STACKED, "10:01-10:04", "11:00-11:03"))
    late = changed(STACKED, "10:01-10:04", "11:00:01-11:03:01")
    says = "too late for 3 pieces: stack is due within 2 h after scrape and comes up to 1 s later than that"
    assert_breaks(YARD, late, "not too late after", 2, says=says)
    assert told(YARD, late, LeftOver("boxes", "stack", 3, "late")) == []


def test_of_pieces_some_in_time_and_some_late_only_the_late_ones_are_counted():
    rows = """
2026-10-05 09:00-09:03 | Ines | scrape 3 of boxes
2026-10-05 11:00-11:01 | Ines | stack 1 of boxes
2026-10-05 11:10-11:12 | Ines | stack 2 of boxes
"""
    says = "too late for 2 pieces: stack is due within 2 h after scrape and comes up to 9 min later than that"
    assert_breaks(YARD, rows, "not too late after", 3, says=says)
    assert told(YARD, rows, LeftOver("boxes", "stack", 2, "late")) == []


def test_nothing_precedes_the_first_step_that_it_could_come_too_late_after():
    first = changed(YARD, "minutes_each: 1, then", "minutes_each: 1, within: 10 min, then")
    late = STACKED.replace("2026-10-05", "2026-10-09")
    assert_keeps(first, late)
    ((promise, text),) = told(first, late, LeftOver("boxes", "scrape", 1, "late"))
    assert (promise, text.endswith("this work comes too late for no piece of it")) == ("left over", True)
    ((promise, _),) = told(YARD, STACKED, LeftOver("boxes", "scrape", 1, "late"))
    assert promise == "left over"


def test_each_row_that_comes_too_soon_is_named_with_its_own_pieces():
    rows = """
2026-10-05 09:00-09:03 | Ines | scrape 3 of boxes
2026-10-05 09:50-09:52 | Ines | stack 2 of boxes
2026-10-05 09:53-09:54 | Ines | stack 1 of boxes
"""
    found = assert_finds(YARD, rows, ("waiting", 2), ("waiting", 3))
    assert [b.text.partition(": ")[2] for b in found] == [
        "too soon for 2 pieces: 1 h of waiting after scrape are needed, 11 min are missing",
        "too soon for 1 piece: 1 h of waiting after scrape are needed, 10 min are missing",
    ]


def test_a_share_before_work_that_all_have_does_not_hold_up_a_share_after_it():
    shares = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {every day: 09:00-12:00}}, Tomas: {works: {every day: 09:00-12:00}}}
tasks: {mend: {minutes_each: 1, share: 50%}, scrape: {minutes_each: 1}, oil: {minutes_each: 1, share: 50%}}
gear: {boxes: {piece: langstroth deep box, count: 2, steps: [mend, scrape, oil]}}
"""
    rows = """
2026-10-05 09:00-09:01 | Ines | scrape 1 of boxes
2026-10-05 09:01-09:02 | Ines | oil 1 of boxes
2026-10-05 09:02-09:03 | Ines | mend 1 of boxes
2026-10-05 09:03-09:04 | Ines | scrape 1 of boxes
"""
    assert_keeps(shares, rows)
    needed = changed(shares, "oil: {minutes_each: 1,", "oil: {minutes_each: 1, needs: [mend],")
    says = "1 piece would be in oil before being through mend; 2 min too early"
    assert_breaks(needed, rows, "order", 2, says=says)


GLUED = """
season: {from: 2026-10-05, until: 2026-10-09}
crew: {Ines: {works: {every day: 09:00-17:00}}, Tomas: {works: {every day: 09:00-17:00}}}
tasks:
  scrape: {minutes_each: 10}
  mend: {minutes_each: 10, share: 50%, then: {dries: glue}}
  put away: {minutes_each: 10}
gear: {floors: {piece: floor, count: 6, steps: [scrape, mend, put away]}}
"""
IN_HAND = """
2026-10-05 09:00-09:30 | Ines | scrape 3 of floors
2026-10-05 09:30-10:00 | Ines | mend 3 of floors
2026-10-05 10:00-10:20 | Ines | put away 2 of floors
2026-10-05 10:20-10:30 | Ines | put away 1 of floors
2026-10-07 09:00-09:30 | Ines | scrape 3 of floors
2026-10-07 09:30-10:00 | Ines | put away 3 of floors
"""


def test_each_row_that_takes_up_pieces_still_at_another_step_is_named_once():
    found = assert_finds(GLUED, IN_HAND, ("order", 3), ("order", 4))
    says = "would have begun put away while 3 pieces of floors still are in mend or waiting after it"
    assert [b.text.partition(": ")[2] for b in found] == [
        f"1 piece {says}, and only 3 are through scrape: 1 too many",
        f"3 pieces {says}, and only 3 are through scrape: 3 too many",
    ]


def test_of_two_rows_that_take_up_the_only_piece_at_once_the_one_further_on_is_named():
    rows = """
2026-10-05 09:00-09:10 | Ines | scrape 1 of floors
2026-10-05 09:10-09:20 | Ines | mend 1 of floors
2026-10-05 09:10-09:20 | Tomas | put away 1 of floors
2026-10-07 09:00-09:50 | Ines | scrape 5 of floors
2026-10-07 10:00-10:50 | Ines | put away 5 of floors
"""
    says = (
        "1 piece would have begun put away while 1 piece of floors still is in mend or waiting after it, and only 1 is"
    )
    assert_breaks(
        changed(GLUED, "share: 50%", "share: 16%"), rows, "order", 3, says=f"{says} through scrape: 1 too many"
    )


def test_pieces_at_any_of_the_steps_that_may_be_passed_by_are_not_at_the_next():
    oiled = changed(GLUED, "  mend:", "  oil: {minutes_each: 10, share: 50%}\n  mend:")
    oiled = changed(oiled, "count: 6, steps: [scrape, mend", "count: 4, steps: [scrape, oil, mend")
    oiled = changed(oiled, "crew: {", "crew: {Ole: {works: {every day: 09:00-17:00}}, ")
    rows = """
2026-10-05 09:00-09:20 | Ines | scrape 2 of floors
2026-10-05 09:20-09:40 | Ines | oil 2 of floors
2026-10-05 09:30-09:40 | Tomas | mend 1 of floors
2026-10-05 09:35-09:45 | Ole | put away 1 of floors
2026-10-07 09:00-09:20 | Ines | scrape 2 of floors
2026-10-07 09:20-09:30 | Ines | mend 1 of floors
2026-10-07 09:30-09:50 | Ines | put away 2 of floors
2026-10-09 09:30-09:40 | Ines | put away 1 of floors
"""
    says = "1 piece would have begun put away while 2 pieces of floors still are in oil or mend or waiting after it"
    assert_breaks(oiled, rows, "order", 4, says=f"{says}, and only 2 are through scrape: 1 too many")


JOBS = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {every day: 09:00-12:00}}, Tomas: {works: {every day: 09:00-12:00}}}
tasks: {scrape: {minutes_each: 1, then: {wait: 1 h}}, oil: {minutes_each: 1, importance: should}}
gear: {boxes: {piece: langstroth deep box, count: 2, steps: [scrape, oil]}}
jobs: {sweep: {hours: 0.25, after: [boxes]}}
"""
SWEPT = """
2026-10-05 09:00-09:02 | Ines | scrape 2 of boxes
2026-10-05 10:02-10:17 | Ines | sweep 1 of sweep
"""


def test_a_job_after_a_lot_does_not_wait_for_what_only_should_be_done_to_it():
    assert_keeps(JOBS, SWEPT)
    assert_keeps(JOBS, SWEPT + "2026-10-05 10:20-10:22 | Ines | oil 2 of boxes")


def test_a_job_after_a_lot_of_which_nothing_must_be_done_waits_for_all_of_it():
    all_of_it = changed(JOBS, "steps: [scrape, oil]", "steps: [scrape, oil], optional: [scrape]")
    says = "all of oil of boxes comes before this, and 2 of 2 are never done"
    assert_breaks(all_of_it, SWEPT, "before and after", 2, says=says)


def test_a_job_is_forgiven_one_second_of_the_wait_before_it_and_not_two():
    assert_keeps(JOBS, SWEPT.replace("10:02-10:17", "10:01:59-10:16:59"))
    says = "scrape of boxes comes before this and is through at Mon 2026-10-05 10:02: 2 s too early"
    assert_breaks(JOBS, SWEPT.replace("10:02-10:17", "10:01:58-10:16:58"), "before and after", 2, says=says)


def test_a_row_of_no_pieces_begins_no_work_that_waits_for_a_job():
    before = changed(JOBS, "after: [boxes]", "before: [scrape]")
    rows = """
2026-10-05 09:00-09:01 | Ines | scrape 0 of boxes
2026-10-05 09:10-09:25 | Ines | sweep 1 of sweep
2026-10-05 09:25-09:27 | Ines | scrape 2 of boxes
"""
    assert_keeps(before, rows)
    says = "sweep comes before this and is through at Mon 2026-10-05 09:25: 1 min too early"
    rows = rows.replace("09:25-09:27 | Ines", "09:24-09:26 | Tomas")
    assert_breaks(before, rows, "before and after", 3, says=says)


def test_a_job_does_not_wait_for_a_round():
    rounds = changed(
        JOBS, "after: [boxes]}}", "after: [look]}}\nrounds: {look: {every: 1 w, minutes: 5, importance: could}}"
    )
    assert_keeps(rounds, SWEPT)


DRYING = """
season: {from: 2026-10-05, until: 2026-10-30}
crew: {Ines: {works: {every day: 08:00-20:00}}}
places: {shed: {celsius: 2}, porch: {celsius: 5}, loft: {celsius: 25, humidity_percent: 50}}
tasks:
  carry: {minutes_each: 1, then: {in: porch}}
  hang up: {minutes_each: 1, then: {in: loft}}
  oil: {minutes_each: 1, share: 50%, then: {dries: latex}}
  stack: {minutes_each: 1, importance: could, needs: [oil]}
gear: {frames: {piece: deep frame, count: 2, rests: shed, steps: [carry, hang up, oil, stack]}}
"""
HUNG = """
2026-10-05 08:00-08:02 | Ines | carry 2 of frames
2026-10-05 08:02-08:04 | Ines | hang up 2 of frames
2026-10-05 08:04-08:05 | Ines | oil 1 of frames
2026-10-05 12:05-12:07 | Ines | stack 2 of frames
"""


def test_what_dries_where_it_lies_dries_in_the_air_of_the_place_it_was_brought_to_last():
    assert_keeps(DRYING, HUNG)
    early = HUNG.replace("12:05-12:07", "12:03-12:05")
    assert_breaks(DRYING, early, "waiting", 4, says="4 h of drying (latex) after oil are needed, 1 min are missing")


def test_air_damper_than_any_in_which_paint_is_known_to_dry_is_taken_as_the_dampest_in_which_it_is():
    damp, dampest = changed(DRYING, "percent: 50", "percent: 95"), changed(DRYING, "percent: 50", "percent: 85")
    assert told(damp, HUNG) == told(dampest, HUNG)
    assert "of drying (latex) after oil are needed" in told(damp, HUNG)[0][1]


def test_paint_dry_in_the_last_hour_of_which_the_weather_is_known_is_dry():
    outdoors = changed(
        changed(DRYING, "loft: {celsius: 25, humidity_percent: 50}", "loft: {outdoors_plus_k: 0}"),
        "works: {every day: 08:00-20:00}",
        "works: {every day: 00:00-23:59}",
    )
    rows = HUNG.replace("08:04-08:05", "19:59-20:00").replace("2026-10-05 12:05-12:07", "2026-10-06 00:00-00:02")
    assert_keeps_in(outdoors, rows, air(celsius=25.0, days=5, first=FIRST))
    short = air(celsius=25.0, days=5)
    short.humidity_percent[4, 23] = 95.0
    says = "drying (latex) after oil takes longer than the weather is known"
    assert_breaks_in(outdoors, rows, short, "waiting", 4, says)


def test_each_row_that_comes_before_the_step_before_it_is_told_of_its_own_pieces():
    at_once = changed(changed(YARD, ", then: {wait: 1 h}", ""), "count: 3", "count: 2")
    rows = """
2026-10-05 09:00-09:01 | Tomas | stack 1 of boxes
2026-10-05 09:30-09:31 | Ines | scrape 1 of boxes
2026-10-05 10:00-10:01 | Tomas | stack 1 of boxes
2026-10-05 10:10-10:11 | Ines | scrape 1 of boxes
"""
    found = assert_finds(at_once, rows, ("order", 1), ("order", 3))
    assert [b.text.partition("; ")[2] for b in found] == ["31 min too early", "11 min too early"]


def test_of_pieces_that_dry_longer_the_later_they_are_coated_the_row_is_told_of_the_last():
    """Latex, 8 h at 15 °C and 50 % (derived); colder and wetter air from the afternoon on."""
    coated = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {every day: 09:00-20:00}}}
places: {shed: {outdoors_plus_k: 0}}
tasks: {coat: {minutes_each: 1, then: {dries: latex, in: shed}}, stack: {minutes_each: 1}}
gear: {boxes: {piece: langstroth deep box, count: 2, steps: [coat, stack]}}
"""
    rows = """
2026-10-05 09:00-09:01 | Ines | coat 1 of boxes
2026-10-05 15:00-15:01 | Ines | coat 1 of boxes
2026-10-05 16:00-16:02 | Ines | stack 2 of boxes
"""
    outdoors = air()
    outdoors.celsius[4, 17:] = 12.0
    outdoors.humidity_percent[4, 17:] = 85.0
    asks = []
    for pieces in (1, 2):
        found = told_in(coated, rows.replace("stack 2", f"stack {pieces}"), outdoors)
        asks += [text.partition(": ")[2] for promise, _, text in found if promise == "waiting"]
    lasts = "of drying (latex) in the air of these days after coat are needed"
    assert asks == [
        f"too soon for 1 piece: 8 h 3 min {lasts}, 1 h 4 min are missing",
        f"too soon for 2 pieces: 13 h 17 min {lasts}, 12 h 17 min are missing",
    ]
