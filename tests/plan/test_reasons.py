"""What is given as the reason of a change is so: gear gone, a full freezer, a knock-on, a lost log, no cause."""

from dataclasses import replace
from datetime import timedelta

import pytest

from offseason.plan.changes import Cause, Kind, changes
from offseason.plan.progress.entry import Entry as LogEntry
from tests.plan.test_changes import COATED, LIFTED, NOW, OLD, SAT, WINTER, anew, compared, reason, scraped, side
from tests.plan.winters import changed

NO_BOXES = changed(
    WINTER, "  boxes: {piece: langstroth deep box, count: 30, last_painted: never, steps: [scrape, coat]}\n", ""
)
NO_REASON = (Cause.FIT, "no reason was found")
TO_FIT = (Cause.FIT, "to fit the rest")


def why_of(found, step, lot=None):
    (why,) = {c.why for c in found.changes if c.key.step == step and lot in (None, c.key.lot)}
    return why.cause, why.text


# Gear, jobs, rounds and steps that are no longer asked for


def test_gear_taken_out_of_the_scenario_is_not_told_as_work_that_was_not_done():
    found = changes(side(None, OLD), anew("2026-10-17 09:00-09:10 | Joss | lift 1 of hives", LIFTED, now=NO_BOXES))
    assert why_of(found, "scrape") == (Cause.GONE, "boxes: no longer in the scenario")
    assert why_of(found, "coat") == (Cause.GONE, "boxes: no longer in the scenario")


def test_gear_that_is_gone_is_named_before_the_person_who_left_too():
    left = changed(NO_BOXES, "  Maren: {works: {sat: 09:00-16:00}}\n", "")
    found = compared(OLD, changed(LIFTED, "Maren + Joss", "Joss"), left)
    assert why_of(found, "scrape") == (Cause.GONE, "boxes: no longer in the scenario")


def test_gear_that_is_gone_and_was_done_by_the_log_is_no_change_of_the_days_that_are_over():
    log = [LogEntry("a1", SAT, ("Maren",), "boxes", "scrape", 30)]
    found = changes(side(None, OLD), anew("2026-10-17 09:00-09:10 | Joss | lift 1 of hives", LIFTED, now=NO_BOXES), log)
    assert [c for c in found.changes if c.key.step == "scrape"] == []


@pytest.mark.parametrize(
    "entry", ["jobs: {build a rack: {hours: 2}}\n", "rounds: {build a rack: {every: 7 d, minutes: 20}}\n"]
)
def test_a_job_or_round_taken_out_is_told_as_that(entry):
    rack = "2026-10-10 14:00-15:00 | Joss | build a rack 4 of build a rack"
    found = changes(side(WINTER + entry, f"{OLD}{rack}"), anew(COATED, scraped(30), LIFTED))
    assert why_of(found, "build a rack") == (Cause.GONE, "build a rack: no longer in the scenario")


def test_a_step_no_longer_asked_for_is_not_told_as_not_done():
    now = changed(WINTER, "steps: [scrape, coat]", "steps: [coat]")
    found = changes(side(None, OLD), anew(COATED, LIFTED, now=now))
    assert why_of(found, "scrape") == (Cause.GONE, "boxes: scrape is no longer asked for")


def test_a_lot_whose_count_went_down_is_told_as_that_and_not_as_not_done():
    fewer = changed(WINTER, "count: 30", "count: 20")
    found = changes(side(None, OLD), anew(changed(COATED, "coat 30", "coat 20"), scraped(20), LIFTED, now=fewer))
    assert why_of(found, "scrape") == (Cause.GEAR, "only 20 to do now, not 30")


# Places that are full

FREEZING = """
season: {from: 2026-10-05, until: 2026-11-29}
crew: {Maren: {works: {mon-fri: 09:00-16:00, sat: 09:00-16:00, sun: 09:00-16:00}}}
places: {freezer: {holds: 20 combs, celsius: -18}, loft: {holds: 99 combs}}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: 24 h, in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear:
  dark combs: {piece: medium comb, count: 20, comb: dry, rests: loft, steps: [freeze, seal]}
  pale combs: {piece: medium comb, count: 20, comb: dry, rests: loft, steps: [freeze, seal]}
  new combs: {piece: medium comb, count: 20, comb: dry, rests: loft, steps: [freeze, seal]}
"""
LOADS = """
2026-10-10 09:00-09:20 | Maren | freeze 20 of dark combs
2026-10-12 09:00-09:20 | Maren | seal 20 of dark combs
2026-10-17 09:00-09:20 | Maren | freeze 20 of pale combs
2026-10-19 09:00-09:20 | Maren | seal 20 of pale combs
2026-10-26 09:00-09:20 | Maren | freeze 20 of new combs
2026-10-28 09:00-09:20 | Maren | seal 20 of new combs
"""


def test_a_full_freezer_is_blamed_on_the_load_in_it_and_not_on_one_that_only_comes_later():
    away = changed(FREEZING, "Maren: {", "Maren: {away: [2026-10-10..2026-10-14], ")
    new = """
2026-10-15 09:00-09:20 | Maren | freeze 20 of dark combs
2026-10-17 13:00-13:20 | Maren | seal 20 of dark combs
2026-10-17 14:00-14:20 | Maren | freeze 20 of new combs
2026-10-19 09:00-09:20 | Maren | seal 20 of new combs
2026-10-26 09:00-09:20 | Maren | freeze 20 of pale combs
2026-10-28 09:00-09:20 | Maren | seal 20 of pale combs
"""
    why = why_of(compared(LOADS, new, away), "freeze", "pale combs")
    assert why == (Cause.KNOCK_ON, "freezer then holds dark combs (freeze on Thu 2026-10-15)")


def test_a_load_that_only_comes_later_is_no_reason():
    new = changed(changed(LOADS, "10-10 09:00", "10-17 14:00"), "10-12 09:00", "10-19 10:00")
    new = changed(changed(new, "10-17 09:00", "10-21 09:00"), "10-19 09:00", "10-23 09:00")
    away = changed(FREEZING, "Maren: {", "Maren: {away: [2026-10-10..2026-10-12], ")
    assert why_of(compared(LOADS, new, away), "freeze", "pale combs") == TO_FIT


def test_a_load_that_is_taken_out_later_is_named_by_its_taking_out():
    away = changed(FREEZING, "Maren: {", "Maren: {away: [2026-10-12..2026-10-14], ")
    new = changed(LOADS, "10-12 09:00", "10-18 09:00")
    new = changed(changed(new, "10-17 09:00", "10-20 09:00"), "10-19 09:00", "10-22 09:00")
    why = why_of(compared(LOADS, new, away), "freeze", "pale combs")
    assert why == (Cause.KNOCK_ON, "freezer then still holds dark combs (seal now comes on Sun 2026-10-18)")


HALVES = changed(
    changed(FREEZING, "dark combs: {piece: medium comb, count: 20", "dark combs: {piece: medium comb, count: 10"),
    "pale combs: {piece: medium comb, count: 20",
    "pale combs: {piece: medium comb, count: 10",
)
TWO = changed(HALVES, "crew: {", "crew: {Joss: {works: {sat: 09:00-16:00}}, ")
ONE_LOAD = """
2026-10-10 09:00-09:10 | Maren | freeze 10 of dark combs
2026-10-10 09:10-09:20 | Joss | freeze 10 of pale combs
2026-10-11 09:30-09:40 | Maren | seal 10 of dark combs
2026-10-11 09:40-09:50 | Maren | seal 10 of pale combs
"""


def test_what_is_taken_out_later_because_the_last_of_its_load_goes_in_later_says_so():
    late = changed(TWO, "Joss: {works: {sat: 09:00-16:00}}", "Joss: {works: {sat: 13:00-16:00}}")
    new = changed(changed(ONE_LOAD, "10 09:10-09:20", "10 13:00-13:10"), "11 09:30-09:40", "11 13:30-13:40")
    found = compared(ONE_LOAD, changed(new, "11 09:40-09:50", "11 13:40-13:50"), late)
    why = why_of(found, "seal", "dark combs")
    assert why == (Cause.KNOCK_ON, "the last of the load in freezer (pale combs) now comes on Sat 2026-10-10")


def test_a_place_is_emptied_sooner_for_what_is_to_go_in_sooner():
    soon = changed(FREEZING, "pale combs: {", "pale combs: {ready_by: 2026-10-16, ")
    new = changed(changed(LOADS, "10-12 09:00", "10-11 12:00"), "10-17 09:00", "10-11 14:00")
    found = compared(LOADS, changed(new, "10-19 09:00", "10-14 09:00"), soon)
    assert why_of(found, "seal", "dark combs") == (
        Cause.KNOCK_ON,
        "freezer is wanted for freeze (pale combs) on Sun 2026-10-11",
    )


# Knock-ons


def one_load(freeze, seal):
    return f"""
2026-{freeze} 09:00-09:20 | Maren | freeze 20 of dark combs
2026-{seal} 09:00-09:20 | Maren | seal 20 of dark combs
"""


WITHIN = changed(FREEZING, "seal: {", "seal: {within: 10 d, ")


def test_a_step_that_now_comes_sooner_is_no_reason_for_a_delay_of_the_step_before_it():
    old = one_load("10-10", "10-31")
    new = changed(changed(old, "10-10", "10-17"), "10-31", "10-24")
    found = compared(old, new, WITHIN)
    assert "seal" not in why_of(found, "freeze")[1]


def test_a_step_that_has_to_follow_soon_and_comes_later_is_the_reason_for_a_delay_of_the_one_before_it():
    away = changed(WITHIN, "Maren: {", "Maren: {away: [2026-10-12..2026-10-21], ")
    old = one_load("10-10", "10-12")
    new = changed(changed(old, "10-10", "10-22"), "10-12", "10-24")
    assert why_of(compared(old, new, away), "freeze") == (
        Cause.KNOCK_ON,
        "seal (dark combs) is due within 10 d of it and now comes on Sat 2026-10-24",
    )


def test_a_step_that_comes_sooner_is_the_reason_why_the_one_before_it_comes_sooner():
    soon = changed(FREEZING, "dark combs: {", "dark combs: {ready_by: 2026-10-20, ")
    old = one_load("10-20", "10-22")
    new = changed(changed(old, "10-20", "10-17"), "10-22", "10-19")
    found = compared(old, new, soon)
    assert why_of(found, "freeze") == (Cause.KNOCK_ON, "seal (dark combs) now comes on Mon 2026-10-19")


def test_work_is_not_said_to_be_in_its_own_way():
    away = changed(WINTER, "Maren: {", "Maren: {away: [2026-10-10], ")
    old = f"{OLD}2026-10-10 09:00-12:00 | Joss | scrape 1 of boxes"
    new = changed(
        changed(old, "10 09:00-12:00 | Joss", "10 10:00-13:00 | Joss"),
        "10 09:00-12:00 | Maren",
        "17 12:00-15:00 | Joss",
    )
    found = compared(old, new, away)
    assert all("Joss then does scrape" not in c.why.text for c in found.changes if c.kind is Kind.HOURS)


def test_work_that_takes_longer_where_it_is_is_a_knock_on_for_what_comes_after_it():
    slow = changed(WINTER, "scrape: {minutes_each: 6", "scrape: {minutes_each: 8")
    old = f"{scraped(30)}\n2026-10-10 12:00-12:30 | Maren + Joss | lift 5 of hives"
    new = "2026-10-10 09:00-13:00 | Maren | scrape 30 of boxes\n2026-10-10 13:00-13:30 | Maren + Joss | lift 5 of hives"
    found = compared(old, new, slow)
    assert why_of(found, "lift") == (Cause.KNOCK_ON, "Maren then does scrape (boxes)")


# What the log no longer says


def test_pieces_that_the_plan_before_took_as_done_and_the_log_no_longer_has_are_told_as_that():
    old = anew(COATED, scraped(30), LIFTED)
    new = anew(
        "2026-10-24 09:00-12:00 | Maren | scrape 30 of boxes\n2026-10-25 09:00-12:00 | Joss | coat 30 of boxes", LIFTED
    )
    later = replace(new, plan=replace(new.plan, since=NOW + timedelta(days=1)))
    found = changes(old, later)
    assert why_of(found, "scrape") == (Cause.NOT_DONE, "30 were taken as done before and no longer are")
    assert why_of(found, "coat") == (Cause.KNOCK_ON, "scrape (boxes): 30 were taken as done before and no longer are")


# No cause


def test_where_nothing_else_changes_it_is_said_that_no_reason_was_found():
    assert reason(compared(OLD, changed(OLD, "2026-10-17 09:00", "2026-10-18 09:00"))) == NO_REASON


def test_to_fit_the_rest_is_only_said_where_something_else_has_changed():
    away = changed(WINTER, "Maren: {", "Maren: {away: [2026-10-10], ")
    new = changed(changed(OLD, "12:00 | Maren", "12:00 | Joss"), "2026-10-17 09:00", "2026-10-18 09:00")
    found = compared(OLD, new, changed(away, "lift: {minutes_each: 6, hands: 2}", "lift: {minutes_each: 6}"))
    assert why_of(found, "coat") == TO_FIT


def test_optional_work_that_the_new_plan_adds_is_no_proof_that_there_is_room_only_now():
    less = changed(OLD, "scrape 30", "scrape 20")
    assert reason(compared(less, OLD, was=WINTER)) == (Cause.FIT, "asked for before too; the old plan had 20 of 30")
    assert reason(compared(less, OLD)) == (Cause.FIT, "the old plan had 20 of 30")


def test_an_hour_later_for_no_known_reason_says_so():
    assert reason(compared(OLD, changed(OLD, "10 09:00-12:00", "10 10:00-13:00"))) == NO_REASON
