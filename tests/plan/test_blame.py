"""What is named as being in the way of work where it was: only what is new there, and nothing that is not to blame."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from offseason.plan.changes import Cause, Side, changes
from offseason.plan.document import LeftOver
from offseason.plan.progress.entry import Entry as LogEntry
from tests.plan.test_changes import COATED, LIFTED, NOW, OLD, SAT, WINTER, anew, compared, reason, scraped, side, told
from tests.plan.test_reasons import FREEZING, HALVES, NO_REASON, TO_FIT, why_of
from tests.plan.winters import changed, plan, winter

AWAY = changed(WINTER, "Maren: {", "Maren: {away: [2026-10-10], ")
FINE = "painting: {2026-10-11: 09:00-16:00, "


def why_at(found, day, person, step):
    (why,) = {c.why for c in found.changes if (f"{c.key.day:%m-%d}", c.key.person, c.key.step) == (day, person, step)}
    return why.cause, why.text


# Order


def test_a_wait_that_is_longer_now_is_told_as_that_where_the_step_before_is_no_later():
    waits = changed(WINTER, "importance: should}", "importance: should, then: {wait: 24 h}}")
    found = compared(OLD, changed(OLD, "2026-10-17 09:00", "2026-10-24 09:00"), changed(waits, "24 h", "10 d"), waits)
    cause, text = reason(found)
    assert cause is Cause.ORDER
    assert text == "too soon for 30 pieces: 10 d of waiting after scrape are needed, 3 d 6 min are missing"


def test_of_a_step_before_it_in_two_parts_the_one_that_was_put_off_is_named():
    old = """
2026-10-10 09:00-10:30 | Maren | scrape 15 of boxes
2026-10-11 09:00-10:30 | Joss | coat 15 of boxes
2026-10-17 09:00-10:30 | Maren | scrape 15 of boxes
2026-10-25 09:00-10:30 | Joss | coat 15 of boxes
"""
    new = changed(changed(old, "10-10 09:00", "10-24 09:00"), "10-11 09:00", "10-18 09:00")
    found = compared(old, new, changed(AWAY, "painting: {", FINE))
    assert why_of(found, "scrape") == (Cause.PERSON, "Maren is away (2026-10-10)")
    assert why_of(found, "coat") == (Cause.KNOCK_ON, "scrape (boxes) now comes on Sat 2026-10-24")


def test_a_step_before_it_that_is_late_is_a_reason_to_be_put_off_and_none_to_be_brought_forward():
    old = """
2026-10-10 09:00-12:00 | Maren | scrape 30 of boxes
2026-10-17 09:00-10:30 | Joss | coat 15 of boxes
2026-10-17 09:00-10:30 | Maren | coat 15 of boxes
"""
    new = """
2026-10-10 10:30-12:00 | Maren | scrape 15 of boxes
2026-10-11 09:00-10:30 | Joss | coat 15 of boxes
2026-10-17 12:00-13:30 | Maren | scrape 15 of boxes
2026-10-24 09:00-10:30 | Maren | coat 15 of boxes
"""
    found = compared(old, new, changed(WINTER, "painting: {", FINE))
    assert why_at(found, "10-17", "Maren", "coat") == (Cause.KNOCK_ON, "scrape (boxes) now comes at 12:00 that day")
    assert why_at(found, "10-17", "Joss", "coat") == TO_FIT


def test_the_rest_of_the_same_step_is_not_said_to_be_in_its_way():
    old = """
2026-10-10 09:00-12:00 | Maren | scrape 30 of boxes
2026-10-11 09:00-10:30 | Joss | coat 15 of boxes
2026-10-17 09:00-10:30 | Joss | coat 15 of boxes
"""
    new = """
2026-10-10 09:00-10:30 | Maren | scrape 15 of boxes
2026-10-17 09:00-10:30 | Joss | coat 15 of boxes
2026-10-18 09:00-10:30 | Joss | scrape 15 of boxes
2026-10-24 09:00-10:30 | Joss | coat 15 of boxes
"""
    found = compared(old, new, changed(WINTER, "painting: {", FINE))
    assert why_of(found, "coat") == NO_REASON


# Comb that would lie open

BROOD = """
season: {from: 2026-10-05, until: 2026-11-29}
moths: {season_starts: 2026-11-30, season_ends: 2026-10-01}
crew: {Maren: {works: {mon-fri: 09:00-16:00, sat: 09:00-16:00, sun: 09:00-16:00}}}
places: {loft: {holds: 99 combs, celsius: 16}}
tasks:
  treat: {minutes_each: 1, protects: 10 d, treatment: acetic acid 80 %, authorised: true}
  treat again: {minutes_each: 1, protects: 60 d, treatment: acetic acid 80 %, authorised: true}
gear:
  brood combs: {piece: deep comb, count: 20, comb: brood, rests: loft, arrives: 2026-10-09, steps: [treat, treat again]}
"""


def test_a_renewal_comes_sooner_where_the_treatment_does_for_comb_would_lie_open_between_them():
    old = """
2026-10-14 09:00-09:20 | Maren | treat 20 of brood combs
2026-10-23 09:00-09:20 | Maren | treat again 20 of brood combs
"""
    found = compared(old, changed(changed(old, "10-14", "10-10"), "10-23", "10-19"), BROOD)
    assert why_of(found, "treat again") == (Cause.GEAR, "the comb of brood combs would lie open for too long")
    assert why_of(found, "treat") == TO_FIT


# Places


def test_a_load_that_was_put_in_on_another_day_than_planned_is_named_by_that_day():
    old = """
2026-10-10 09:00-09:20 | Maren | freeze 20 of dark combs
2026-10-15 09:00-09:20 | Maren | seal 20 of dark combs
2026-10-16 09:00-09:20 | Maren | freeze 20 of pale combs
2026-10-18 09:00-09:20 | Maren | seal 20 of pale combs
"""
    new = """
2026-10-17 09:00-09:20 | Maren | seal 20 of dark combs
2026-10-17 12:00-12:20 | Maren | freeze 20 of pale combs
2026-10-19 09:00-09:20 | Maren | seal 20 of pale combs
"""
    away = changed(FREEZING, "Maren: {", "Maren: {away: [2026-10-15], ")
    done = "2026-10-11 14:00-14:20 | Maren | freeze 20 of dark combs"
    found = changes(side(FREEZING, old), anew(new, done, now=away))
    assert why_of(found, "freeze", "pale combs") == (
        Cause.KNOCK_ON,
        "freezer then holds dark combs (freeze on Sun 2026-10-11)",
    )


def test_of_two_loads_in_a_full_freezer_the_one_that_was_always_there_is_not_to_blame():
    thirds = changed(HALVES, "new combs: {piece: medium comb, count: 20", "new combs: {piece: medium comb, count: 10")
    old = """
2026-10-10 09:00-09:10 | Maren | freeze 10 of dark combs
2026-10-10 09:30-09:40 | Maren | freeze 10 of pale combs
2026-10-12 09:00-09:10 | Maren | seal 10 of dark combs
2026-10-12 09:40-09:50 | Maren | seal 10 of pale combs
2026-10-17 09:10-09:20 | Maren | freeze 10 of new combs
2026-10-19 09:10-09:20 | Maren | seal 10 of new combs
"""
    swapped = old.replace("pale", "some").replace("new", "pale").replace("some", "new")
    new = swapped.replace("09:30-09:40", "09:10-09:20").replace("09:40-09:50", "09:10-09:20")
    found = compared(old, new, changed(thirds, "new combs: {", "new combs: {ready_by: 2026-10-16, "))
    assert why_of(found, "freeze", "pale combs") == (
        Cause.KNOCK_ON,
        "freezer then holds new combs (freeze on Sat 2026-10-10)",
    )


STOW = """
season: {from: 2026-10-05, until: 2026-11-15}
crew: {Maren: {works: {sat: 09:00-16:00}}}
places: {shed: {holds: 99}, loft: {holds: 10}}
tasks: {stow: {minutes_each: 6, then: {in: loft}}, fetch: {minutes_each: 6, then: {in: shed}}}
gear:
  lids: {piece: telescoping lid, count: 5, rests: loft, steps: [fetch]}
  boxes: {piece: langstroth deep box, count: 5, rests: shed, steps: [stow]}
  floors: {piece: floor, count: 5, rests: shed, steps: [stow]}
"""


def test_gear_that_has_lain_in_a_full_loft_since_it_came_is_not_to_blame_but_what_was_put_in():
    old = """
2026-10-10 12:00-12:30 | Maren | stow 5 of floors
2026-10-17 09:00-09:30 | Maren | fetch 5 of lids
2026-10-24 09:00-09:30 | Maren | stow 5 of boxes
"""
    new = """
2026-10-10 09:00-09:30 | Maren | stow 5 of boxes
2026-10-17 09:00-09:30 | Maren | fetch 5 of lids
2026-10-17 12:00-12:30 | Maren | stow 5 of floors
"""
    found = compared(old, new, changed(STOW, "boxes: {", "boxes: {ready_by: 2026-10-16, "))
    assert why_of(found, "stow", "floors") == (Cause.KNOCK_ON, "loft then holds boxes (stow on Sat 2026-10-10)")


# Seats and people

ONE_SEAT = changed(
    changed(WINTER, "bench: {seats: 2}", "bench: {seats: 1}"), "minutes_each: 6, hands: 2", "minutes_each: 6, at: bench"
)


def test_a_seat_that_is_taken_is_told_with_who_is_there_and_at_what():
    frames = "  frames: {piece: deep frame, count: 9, steps: [wire]}\n"
    yard = changed(ONE_SEAT, "gear:\n", f"  wire: {{minutes_each: 10}}\ngear:\n{frames}")
    old = """
2026-10-10 10:00-13:00 | Maren | scrape 30 of boxes @ bench
2026-10-17 09:00-09:30 | Joss | wire 3 of frames
2026-10-17 10:00-11:00 | Joss | wire 6 of frames
2026-10-17 13:00-14:00 | Joss | lift 10 of hives @ bench
"""
    new = """
2026-10-10 09:00-09:30 | Joss | wire 3 of frames
2026-10-10 10:00-11:00 | Joss | wire 6 of frames
2026-10-10 11:00-12:00 | Joss | lift 10 of hives @ bench
2026-10-17 09:00-12:00 | Maren | scrape 30 of boxes @ bench
"""
    found = compared(old, new, changed(yard, "hives: {", "hives: {ready_by: 2026-10-16, "))
    assert why_of(found, "scrape") == (Cause.KNOCK_ON, "bench is taken then: Joss does lift (hives)")


def test_work_that_shifted_by_less_than_is_worth_a_line_is_not_blamed():
    old = """
2026-10-10 09:00-12:00 | Maren | scrape 30 of boxes
2026-10-10 12:00-13:00 | Maren | lift 10 of hives
"""
    new = changed(changed(old, "10 12:00-13:00", "10 11:45-12:45"), "10 09:00", "17 09:00")
    assert reason(compared(old, new, changed(WINTER, ", hands: 2", ""))) == NO_REASON


# Places, work and pieces that one of the plans does not have


def test_a_place_that_is_gone_is_named():
    no_bench = changed(changed(WINTER, "bench: {seats: 2}, ", ""), "at: bench, ", "")
    new = changed(changed(OLD, "12:00 | Maren", "12:00 | Joss"), " @ bench", "")
    assert reason(compared(OLD, new, no_bench)) == (Cause.GONE, "bench: no longer in the scenario")


def test_a_row_written_by_hand_of_work_that_nobody_asks_for_is_told_as_that():
    jobs = winter(f"{WINTER}jobs: {{build a rack: {{hours: 2}}}}\n")
    odd = side(None, f"{OLD}2026-10-10 14:00-15:00 | Joss | scrape 4 of build a rack")
    found = changes(odd, Side(plan(OLD), jobs))
    assert reason(found) == (Cause.GONE, "build a rack: scrape is no longer asked for")


def test_a_row_without_pieces_is_no_entry():
    found = compared(OLD, f"{OLD}2026-10-10 14:00-15:00 | Joss | scrape 0 of boxes")
    assert (told(found), found.changed) == ([], frozenset())


@pytest.mark.parametrize(
    ("left", "why"),
    [
        (10, (Cause.POSSIBLE_NOW, "was left before and fits now")),
        (5, (Cause.ASKED, "30 to do now, not 25, of which 5 were left")),
    ],
)
def test_pieces_that_the_old_plan_left_out_count_as_asked_before(left, why):
    less = side(WINTER, changed(OLD, "scrape 30", "scrape 20"), left=(LeftOver("boxes", "scrape", left, "undone"),))
    assert reason(changes(less, side(WINTER, OLD))) == why


def test_of_two_plans_alone_it_is_only_told_how_much_the_old_one_had():
    assert reason(compared(changed(OLD, "scrape 30", "scrape 20"), OLD, None)) == (Cause.FIT, "the old plan had 20")


# The log


def test_a_step_before_it_that_the_log_takes_back_is_the_reason_for_waiting():
    before = anew(COATED, scraped(30), LIFTED)
    again = "2026-10-24 09:00-09:48 | Maren | scrape 8 of boxes\n2026-10-25 09:00-12:00 | Joss | coat 30 of boxes"
    after = anew(again, scraped(22), LIFTED)
    after = replace(after, plan=replace(after.plan, since=NOW + timedelta(days=1)))
    found = changes(before, after, [LogEntry("a1", NOW.date(), ("Maren",), "boxes", "scrape", -8)])
    assert why_of(found, "scrape") == (Cause.NOT_DONE, "the log takes 8 back")
    assert why_of(found, "coat") == (Cause.KNOCK_ON, "scrape (boxes): the log takes 8 back")


def test_minutes_as_planned_or_of_work_that_was_not_due_yet_are_not_said_to_have_run_over():
    new = f"{COATED}\n2026-10-17 12:00-12:48 | Maren | scrape 8 of boxes"
    log = [
        LogEntry("a1", SAT, ("Maren",), "boxes", "scrape", 22, minutes=132),
        LogEntry("a2", SAT, ("Joss",), "boxes", "coat", 2, minutes=90),
    ]
    (left,) = changes(side(None, OLD), anew(new, scraped(22), LIFTED), log).changes
    assert (left.why.cause, left.why.text) == (Cause.NOT_DONE, "22 of 30 were done")
