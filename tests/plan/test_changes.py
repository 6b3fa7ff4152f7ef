"""What two plans differ in, for whom, and why."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest

from offseason.plan.changes import (
    Cause,
    Key,
    Kind,
    Side,
    changed_entries,
    changes,
    entries_changed,
    of_two_winters,
    share_changed,
)
from offseason.plan.progress.entry import Entry as LogEntry
from offseason.workload.build import build_workload
from tests.plan.winters import changed, plan, winter

WINTER = """
season: {from: 2026-10-05, until: 2026-11-15}
crew:
  Maren: {works: {sat: 09:00-16:00}}
  Joss: {works: {sat: 09:00-16:00, sun: 09:00-16:00}}
places: {bench: {seats: 2}, rack: {holds: 30}, freezer: {holds: 20 combs, celsius: -18}}
tasks:
  scrape: {minutes_each: 6, at: bench, importance: should}
  coat: {minutes_each: 6, weather: painting, paint: latex, needs: [scrape]}
  lift: {minutes_each: 6, hands: 2}
gear:
  boxes: {piece: langstroth deep box, count: 30, last_painted: never, steps: [scrape, coat]}
  hives: {piece: floor, count: 10, steps: [lift]}
weather:
  windows:
    painting: {2026-10-17: 09:00-16:00, 2026-10-18: 09:00-16:00, 2026-10-24: 09:00-16:00, 2026-10-25: 09:00-16:00}
"""
OLD = """
2026-10-10 09:00-12:00 | Maren | scrape 30 of boxes @ bench
2026-10-10 13:00-14:00 | Maren + Joss | lift 10 of hives
2026-10-17 09:00-12:00 | Joss | coat 30 of boxes
"""
SAT = date(2026, 10, 10)
NEXT = date(2026, 10, 17)


def side(text, rows, **more):
    scenario = winter(text) if text else None
    return Side(replace(plan(rows), **more), scenario, None, build_workload(scenario) if scenario else None)


def compared(old, new, now=WINTER, was=None, log=()):
    return changes(side(was, old), side(now, new), log)


def told(found):
    return [(c.kind, c.key.day.isoformat()[5:], c.key.person, c.key.step, c.pieces) for c in found.changes]


def reason(found, kind=None):
    (why,) = {c.why for c in found.changes if kind in (None, c.kind)}
    return why.cause, why.text


def test_a_plan_beside_itself_changes_nothing():
    found = compared(OLD, OLD)
    assert (found.changes, found.changed, found.entries) == ((), frozenset(), 4)


def test_pieces_that_swap_between_stretches_of_one_day_are_no_change():
    two = "2026-10-10 09:00-10:00 | Maren | scrape 10 of boxes\n2026-10-10 13:00-15:00 | Maren | scrape 20 of boxes"
    swapped = "2026-10-10 09:00-11:00 | Maren | scrape 20 of boxes\n2026-10-10 13:00-14:00 | Maren | scrape 10 of boxes"
    assert compared(two, swapped).changes == ()
    assert changed_entries(plan(two), plan(swapped)) == frozenset()


@pytest.mark.parametrize(("hours", "worth"), [("09:30-12:30", 0), ("09:31-12:31", 1), ("12:00-15:00", 1)])
def test_another_hour_of_the_same_day_is_told_from_half_an_hour_on_and_counts_as_no_changed_entry(hours, worth):
    found = compared(OLD, changed(OLD, "10 09:00-12:00", f"10 {hours}"))
    assert [c.kind for c in found.changes] == [Kind.HOURS] * worth
    assert found.changed == frozenset()


def test_work_on_another_day_has_moved_and_counts_on_both_days():
    new = changed(OLD, "2026-10-17 09:00", "2026-10-18 09:00")
    found = compared(OLD, new)
    assert told(found) == [(Kind.MOVED, "10-17", "Joss", "coat", 30)]
    assert found.changes[0].to == Key(date(2026, 10, 18), "Joss", "boxes", "coat")
    assert entries_changed(plan(OLD), plan(new)) == 2
    assert share_changed(plan(OLD), plan(new)) == 0.5
    assert share_changed(plan(OLD), plan(new), outside=[NEXT]) == pytest.approx(1 / 3)


def test_the_same_work_by_another_person_on_that_day_is_one_move():
    found = compared(OLD, changed(OLD, "12:00 | Maren", "12:00 | Joss"))
    assert told(found) == [(Kind.MOVED, "10-10", "Maren", "scrape", 30)]
    assert found.changes[0].to == Key(SAT, "Joss", "boxes", "scrape")


def test_a_row_of_two_people_is_an_entry_of_each():
    found = compared(OLD, changed(OLD, "2026-10-10 13:00", "2026-10-17 13:00"))
    assert [(c.key.person, c.to.person, c.to.day) for c in found.changes] == [
        ("Joss", "Joss", NEXT),
        ("Maren", "Maren", NEXT),
    ]


def test_a_part_of_the_pieces_moves_and_the_rest_goes_on_to_the_next_day():
    new = """
2026-10-10 09:00-10:00 | Maren | scrape 10 of boxes
2026-10-11 09:00-10:00 | Joss | scrape 10 of boxes
2026-10-17 12:00-13:00 | Maren | scrape 10 of boxes
"""
    found = compared("2026-10-10 09:00-12:00 | Maren | scrape 30 of boxes", new)
    assert [(c.pieces, c.of_pieces, c.to.day.day, c.to.person) for c in found.changes] == [
        (10, 30, 11, "Joss"),
        (10, 30, 17, "Maren"),
    ]


def test_pieces_that_go_nowhere_are_dropped_or_fewer_and_those_from_nowhere_new_or_more():
    less = changed(OLD, "scrape 30", "scrape 20")
    assert told(compared(OLD, less)) == [(Kind.FEWER, "10-10", "Maren", "scrape", 10)]
    assert told(compared(less, OLD)) == [(Kind.MORE, "10-10", "Maren", "scrape", 10)]
    none = "\n".join(line for line in OLD.splitlines() if "scrape" not in line)
    assert told(compared(OLD, none)) == [(Kind.DROPPED, "10-10", "Maren", "scrape", 30)]
    assert told(compared(none, OLD)) == [(Kind.NEW, "10-10", "Maren", "scrape", 30)]


# Why


def test_a_person_who_is_away_now_is_the_reason():
    away = changed(WINTER, "Maren: {", "Maren: {away: [2026-10-10], ")
    found = compared(OLD, changed(OLD, "12:00 | Maren", "12:00 | Joss"), away)
    assert reason(found) == (Cause.PERSON, "Maren is away (2026-10-10)")


def test_weather_that_is_not_fit_any_more_is_the_reason():
    unfit = changed(WINTER, "2026-10-17: 09:00-16:00, ", "")
    found = compared(OLD, changed(OLD, "2026-10-17 09:00", "2026-10-18 09:00"), unfit)
    assert reason(found) == (Cause.WEATHER, "no hour of that day is fit for painting")


def test_gear_that_comes_later_is_the_reason():
    late = changed(WINTER, "count: 10,", "count: 10, arrives: 2026-10-16,")
    found = compared(OLD, changed(OLD, "2026-10-10 13:00", "2026-10-17 13:00"), late)
    assert reason(found) == (Cause.GEAR, "hives arrive on 2026-10-16, 6 days later")


def test_fewer_pieces_than_before_are_the_reason_for_less_work():
    few = changed(WINTER, "count: 30", "count: 20")
    found = compared(OLD, changed(OLD, "scrape 30", "scrape 20"), few)
    assert reason(found) == (Cause.GEAR, "only 20 to do now, not 30")


def test_a_lot_that_is_gone_and_a_person_who_left_are_named_as_that():
    gone = changed(WINTER, "  hives: {piece: floor, count: 10, steps: [lift]}\n", "")
    new = "\n".join(line for line in OLD.splitlines() if "lift" not in line)
    assert reason(compared(OLD, new, gone)) == (Cause.GONE, "hives: no longer in the scenario")
    left = changed(WINTER, "  Maren: {works: {sat: 09:00-16:00}}\n", "")
    found = compared(OLD, changed(OLD, "12:00 | Maren", "12:00 | Joss"), left)
    assert reason(found) == (Cause.GONE, "Maren is no longer in the crew")


def test_more_minutes_for_each_piece_are_the_reason():
    slow = changed(WINTER, "lift: {minutes_each: 6", "lift: {minutes_each: 9")
    found = compared(OLD, changed(OLD, "2026-10-10 13:00-14:00", "2026-10-17 13:00-14:30"), slow)
    assert reason(found) == (Cause.PACE, "it takes 9 min each now, not 6")


def test_work_that_had_to_wait_for_a_moved_step_names_it_as_a_knock_on():
    away = changed(WINTER, "Maren: {", "Maren: {away: [2026-10-10], ")
    old = OLD.replace("+ Joss ", "").replace("lift 10 of hives", "lift 9 of hives")
    new = changed(old, "2026-10-10 09:00", "2026-10-24 09:00")
    new = changed(changed(new, "2026-10-17", "2026-10-25"), "10 13:00", "17 13:00")
    coat = next(c for c in compared(old, new, away).changes if c.key.step == "coat")
    assert (coat.why.cause, coat.why.text) == (Cause.KNOCK_ON, "scrape (boxes) now comes on Sat 2026-10-24")


def test_a_person_taken_by_work_that_had_to_move_is_a_knock_on():
    away = changed(WINTER, "Maren: {", "Maren: {away: [2026-10-10], ")
    away = changed(away, "lift: {minutes_each: 6, hands: 2}", "lift: {minutes_each: 6}")
    old = "2026-10-10 09:00-12:00 | Maren | scrape 30 of boxes\n2026-10-17 09:00-10:00 | Joss | lift 10 of hives"
    new = "2026-10-17 09:00-12:00 | Joss | scrape 30 of boxes\n2026-10-18 09:00-10:00 | Joss | lift 10 of hives"
    lift = next(c for c in compared(old, new, away).changes if c.key.step == "lift")
    assert (lift.why.cause, lift.why.text) == (Cause.KNOCK_ON, "Joss then does scrape (boxes)")


def test_two_that_changed_places_for_no_reason_are_not_blamed_on_each_other():
    old = "2026-10-10 09:00-12:00 | Joss | scrape 30 of boxes\n2026-10-11 09:00-12:00 | Joss | lift 10 of hives"
    new = "2026-10-11 09:00-12:00 | Joss | scrape 30 of boxes\n2026-10-10 09:00-12:00 | Joss | lift 10 of hives"
    found = compared(old, new)
    assert len(found.changes) == 2
    assert reason(found) == (Cause.FIT, "no reason was found")


def test_where_nothing_is_known_of_the_winter_no_reason_is_made_up():
    found = compared(OLD, changed(OLD, "2026-10-17 09:00", "2026-10-18 09:00"), None)
    assert reason(found) == (Cause.FIT, "no reason was found")
    assert (found.before, found.after) == (None, None)


def test_work_brought_to_a_day_on_which_its_helper_was_away_was_not_possible_before():
    was = changed(WINTER, "Joss: {", "Joss: {away: [2026-10-11], ")
    found = compared(OLD, changed(OLD, "10 09:00-12:00 | Maren", "11 09:00-12:00 | Joss"), was=was)
    assert reason(found) == (Cause.POSSIBLE_NOW, "not possible before: Joss was away (2026-10-11)")


def test_a_row_that_neither_winter_allows_has_not_become_possible():
    was = changed(WINTER, "count: 10,", "count: 12,")
    unfit = changed(OLD, "2026-10-17 09:00", "2026-10-31 09:00")
    assert reason(compared(OLD, unfit, was=was)) == (Cause.FIT, "no reason was found")


def test_work_of_a_new_lot_is_new_in_the_scenario():
    was = changed(WINTER, "  hives: {piece: floor, count: 10, steps: [lift]}\n", "")
    before = "\n".join(line for line in OLD.splitlines() if "lift" not in line)
    found = compared(before, OLD, was=was)
    assert reason(found, Kind.NEW) == (Cause.POSSIBLE_NOW, "not possible before: hives: not yet in the scenario")
    assert reason(compared(before, OLD)) == (Cause.ASKED, "not in the old plan")


def test_a_promise_that_the_new_plan_breaks_just_as_much_is_no_reason():
    alone = OLD.replace("Maren + Joss", "Maren")
    found = compared(alone, changed(alone, "2026-10-10 13:00", "2026-10-17 13:00"))
    assert reason(found) == (Cause.FIT, "no reason was found")


# A winter that has begun

NOW = datetime.combine(date(2026, 10, 12), time())


def anew(rows, *done, now=WINTER):
    made = side(now, rows)
    over = tuple(replace(row, done=True) for text in done for row in plan(text).rows)
    return replace(made, plan=replace(made.plan, rows=(*over, *made.plan.rows), since=NOW))


LIFTED = "2026-10-10 13:00-14:00 | Maren + Joss | lift 10 of hives"
COATED = "2026-10-17 09:00-12:00 | Joss | coat 30 of boxes"


def scraped(pieces):
    return f"2026-10-10 09:00-12:00 | Maren | scrape {pieces} of boxes"


def test_work_done_as_planned_is_no_change_and_only_what_is_to_come_is_counted():
    found = changes(side(None, OLD), anew(COATED, scraped(30), LIFTED))
    assert (found.changes, found.entries, found.since) == ((), 1, NOW)


def test_pieces_that_were_not_done_are_left_over_from_their_day():
    new = f"{COATED}\n2026-10-17 12:00-13:00 | Maren | scrape 8 of boxes"
    (left,) = changes(side(None, OLD), anew(new, scraped(22), LIFTED)).changes
    assert (left.kind, left.overdue, left.pieces, left.of_pieces) == (Kind.MOVED, True, 8, 8)
    assert (left.key.day, left.to.day) == (SAT, NEXT)
    assert (left.why.cause, left.why.text) == (Cause.NOT_DONE, "22 of 30 were done")


def test_a_log_that_shows_slow_work_says_that_it_ran_over():
    new = f"{COATED}\n2026-10-17 12:00-13:00 | Maren | scrape 8 of boxes"
    log = [LogEntry("a1", SAT, ("Maren",), "boxes", "scrape", 22, minutes=176)]
    (left,) = changes(side(None, OLD), anew(new, scraped(22), LIFTED), log).changes
    assert (left.why.cause, left.why.text) == (
        Cause.PACE,
        "the work ran over (8 min each, not 6): 22 of 30 were done",
    )


def test_pieces_taken_back_by_the_log_are_the_reason_for_doing_them_again():
    new = f"{COATED}\n2026-10-17 12:00-13:00 | Maren | scrape 8 of boxes"
    log = [LogEntry("a1", SAT, ("Maren",), "boxes", "scrape", -8)]
    (left,) = changes(side(None, OLD), anew(new, scraped(22), LIFTED), log).changes
    assert left.why.text == "22 of 30 were done: the log takes 8 back"


def test_work_that_is_not_done_and_not_planned_again_is_told_as_left_out():
    (left,) = changes(side(None, OLD), anew(COATED, scraped(22), LIFTED)).changes
    assert (left.kind, left.overdue, left.pieces, left.key.day) == (Kind.DROPPED, True, 8, SAT)


def test_pieces_done_ahead_of_the_plan_are_the_reason_for_less_to_come():
    new = changed(COATED, "coat 30", "coat 25")
    done = "2026-10-11 09:00-09:30 | Joss | coat 5 of boxes"
    found = changes(side(None, OLD), anew(new, scraped(30), LIFTED, done))
    assert told(found) == [(Kind.FEWER, "10-17", "Joss", "coat", 5)]
    assert reason(found) == (Cause.DONE_SOONER, "5 more are done than were planned by now")


def test_a_second_plan_anew_holds_what_was_done_since_against_the_first():
    first = anew(f"{COATED}\n2026-10-17 12:00-13:00 | Maren | scrape 8 of boxes", scraped(22), LIFTED)
    later = NOW + timedelta(days=7)
    done = tuple(replace(row, done=True) for row in first.plan.rows)
    second = replace(first, plan=replace(first.plan, rows=done, since=later))
    found = changes(first, second)
    assert (found.changes, found.since) == ((), later)


# What comes of it

COMB = """
season: {from: 2026-10-05, until: 2026-11-15}
moths: {season_starts: 2027-04-20}
crew: {Maren: {works: {sat: 09:00-16:00}}}
places: {freezer: {holds: 20 combs, celsius: -18}, loft: {holds: 99 combs}}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear: {combs: {piece: medium comb, count: 20, comb: dry, rests: loft, steps: [freeze, seal]}}
"""
FROZEN = """
2026-10-10 09:00-09:20 | Maren | freeze 20 of combs
2026-10-17 09:00-09:20 | Maren | seal 20 of combs
"""


def test_days_in_hand_and_the_end_of_must_work_are_told_before_and_after():
    later = changed(changed(FROZEN, "10-17", "10-24"), "10-10", "10-17")
    found = compared(FROZEN, later, COMB)
    results = found.before, found.after
    assert [r.comb[0].since for r in results] == [SAT, NEXT]
    assert [r.comb[0].days_in_hand for r in results] == [191, 184]
    assert [r.must_ends for r in results] == [NEXT, date(2026, 10, 24)]


def test_a_day_is_told_with_its_hours_before_and_after():
    found = compared(OLD, changed(OLD, "2026-10-10 13:00", "2026-10-17 13:00"))
    there = found.presences["Maren", SAT]
    assert (there.before, there.after) == ((time(9), time(14)), (time(9), time(12)))
    assert found.presences["Joss", SAT].after is None


def test_plans_without_a_common_lot_or_of_days_a_year_apart_are_of_two_winters():
    def are(one, two):
        return of_two_winters(Side(plan(one)), Side(plan(two)))

    assert are(OLD, "2026-10-10 09:00-12:00 | Maren | scrape 30 of lids")
    assert are(OLD, OLD.replace("2026", "2027"))
    assert not are(OLD, OLD.replace("2026-10", "2027-03"))
    assert not are(OLD, scraped(2))
    assert not of_two_winters(Side(plan(OLD)), Side(replace(plan(OLD), rows=())))


def test_a_plan_without_entries_is_all_changed_or_not_at_all():
    empty = replace(plan(OLD), rows=())
    assert (share_changed(empty, empty), share_changed(empty, plan(OLD))) == (0, 1)
