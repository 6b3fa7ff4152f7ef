"""A winter that has begun is planned anew: what is done stays done, and the least is moved."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import product

import numpy as np
import pytest

from offseason.solver import replan as replanning
from offseason.solver.cpsat import Search
from offseason.solver.dispatch import dispatch
from offseason.solver.exprs import Expr
from offseason.solver.giving_way import agreeing, without
from offseason.solver.keeping import by_session
from offseason.solver.manner import Manner
from offseason.solver.model import build
from offseason.solver.moved import moved, promised_on
from offseason.solver.replan import replan
from offseason.workload.model import Done, Order, Place, Work
from offseason.workload.standing import with_standing
from tests.solver.winters import (
    DAY,
    FIRST,
    HOUR,
    INES,
    MINUTE,
    NOOR,
    TOMAS,
    WISHED,
    lot,
    mornings,
    session,
    staying,
    step,
    winter,
)  # fmt: skip

TODAY = 2 * DAY
DRY, COMBS = Place("rack", holds=4), Place("freezer", holds=10, whole_loads=True)


def promised_for(
    day: int, pieces: int, *, lot: int = 0, step: int = 0, each_min: float = 10, at_h: float = 9, who=(0,)
):
    starts_s = round(day * DAY + at_h * HOUR)
    return Work(-1, starts_s, starts_s + round(pieces * each_min * MINUTE), who, lot, step, pieces)


def anew(workload, done=(), promised=(), *, now_s=TODAY, **asked):
    begun = with_standing(workload, now_s, done)
    return begun, replan(begun, promised, seconds=asked.pop("seconds", 3), workers=1, **asked)


def by_day(begun, made, of_step=0, of_lot=0):
    found = {}
    for one in made.work:
        if (one.lot, one.step) == (of_lot, of_step):
            day = (begun.sessions[one.session].day - FIRST).days
            found[day] = found.get(day, 0) + one.pieces
    return found


def cannot_be_moved_less(begun, promised, reached: int, *, settled_before=None) -> bool:
    """Whether CP-SAT proves that no plan at all moves less than so much."""
    days = {k: s.day for k, s in enumerate(begun.sessions)}
    today = next(s.day for s in begun.sessions if s.starts_s >= begun.standing.now_s)
    every = [one for some in by_session(begun, promised).values() for one in some]
    model = build(begun, makers=(moved(promised_on(every, lambda one: days[one.session]), today, settled_before),))
    search = Search(model.counts.rows)
    search.also_at_most(model.aims[-1].expr, reached - 1)
    return search.minimise(Expr(), hint=None, seconds=20, workers=1, seed=0).impossible


def seconds_moved(made) -> int:
    (aim,) = [aim for aim in made.aims if aim.aim == "work moved"]
    return round(aim.reached * 3_600)


def test_what_is_done_is_not_done_again():
    boxes = lot("boxes", 10, step("scrape", 10, 10))
    begun, made = anew(winter(mornings(6), boxes), [Done(0, 0, 7, DAY + 10 * HOUR)])
    assert sum(by_day(begun, made).values()) == 3


def test_after_the_last_day_there_is_nothing_to_plan_and_nothing_to_find_out():
    boxes = lot("boxes", 10, step("scrape", 10, 10))
    _, made = anew(winter(mornings(2), boxes), [Done(0, 0, 10, 10 * HOUR)], [promised_for(1, 3)], now_s=5 * DAY)
    assert (made.work, made.left, made.proven) == ((), (), True)


def pressed(*_):
    raise KeyboardInterrupt


def test_ctrl_c_before_there_is_any_plan_is_heard(monkeypatch):
    monkeypatch.setattr(replanning, "_first_plan", pressed)
    with pytest.raises(KeyboardInterrupt):
        anew(winter(mornings(6), lot("boxes", 10, step("scrape", 10, 10))))


def test_ctrl_c_afterwards_keeps_the_plan_there_is(monkeypatch):
    monkeypatch.setattr(replanning, "_fewer_changes", pressed)
    begun, made = anew(winter(mornings(6), lot("boxes", 10, step("scrape", 10, 10))))
    assert made.stopped
    assert sum(by_day(begun, made).values()) == 10


def test_nothing_is_planned_before_now():
    boxes = lot("boxes", 10, step("scrape", 10, 10))
    _, made = anew(winter(mornings(6), boxes))
    assert made.work
    assert min(one.starts_s for one in made.work) >= TODAY


def test_a_session_under_way_is_cut_and_only_its_rest_is_worked():
    boxes = lot("boxes", 3, step("scrape", 3, 30))
    now_s = 2 * DAY + 10 * HOUR
    begun, made = anew(winter([session(2, 9, 3)], boxes), now_s=now_s)
    assert (begun.sessions[0].starts_s, begun.sessions[0].ends_s) == (2 * DAY + 9 * HOUR, now_s)
    assert sum(by_day(begun, made).values()) == 3
    assert min(one.starts_s for one in made.work) >= now_s


def test_what_would_have_fitted_into_the_whole_session_does_not_fit_into_its_rest():
    boxes = lot("boxes", 5, step("scrape", 5, 30))
    _, made = anew(winter([session(2, 9, 3)], boxes), now_s=2 * DAY + 10 * HOUR)
    assert made.left_undone == ((0, 0, 1),)
    assert made.certain


def test_a_coat_laid_yesterday_dries_on():
    coats = lot("lids", 2, step("coat", 2, 5, wait_s=30 * HOUR), step("put away", 2, 5))
    done = [Done(0, 0, 2, DAY + 10 * HOUR)]
    begun, made = anew(winter(mornings(6, 3), coats), done)
    assert min(one.starts_s for one in made.work) == 3 * DAY + 9 * HOUR  # 16:00 of day 2 is after that morning
    assert sum(by_day(begun, made, 1).values()) == 2


def test_coated_pieces_take_their_room_on_the_rack_until_they_are_dry_and_taken_off():
    steps = (step("coat", 8, 5, wait_s=30 * HOUR, stays=staying(0)), step("put away", 8, 5))
    done = [Done(0, 0, 4, DAY + 10 * HOUR)]
    begun, made = anew(winter(mornings(8, 3), lot("lids", 8, *steps), places=(DRY,)), done)
    assert not made.left_undone
    assert min(by_day(begun, made)) == 3
    assert 2 not in by_day(begun, made)


def test_combs_in_the_freezer_stay_their_time_and_no_other_load_goes_in_before():
    steps = (step("freeze", 20, 1, wait_s=48 * HOUR, stays=staying(0)), step("seal", 20, 1))
    done = [Done(0, 0, 10, DAY + 10 * HOUR)]
    begun, made = anew(winter(mornings(9, 3), lot("combs", 20, *steps), places=(COMBS,)), done)
    assert min(by_day(begun, made, 1)) == 3
    assert by_day(begun, made, 0) == {3: 10}


def test_a_load_that_was_topped_up_waits_from_when_the_last_went_in():
    steps = (step("freeze", 10, 1, wait_s=24 * HOUR, stays=staying(0)), step("seal", 10, 1))
    done = [Done(0, 0, 5, 10 * HOUR), Done(0, 0, 5, DAY + 12 * HOUR)]
    begun, made = anew(winter(mornings(9, 3), lot("combs", 10, *steps), places=(COMBS,)), done)
    assert by_day(begun, made, 1) == {3: 10}


def test_what_must_come_first_and_is_done_is_found_done():
    job, boxes = lot("build the rack", 2, step("build", 2, 30)), lot("boxes", 2, step("coat", 2, 10))
    workload = winter(mornings(5), job, boxes, orders=(Order((0, 0), (1, 0)),))
    begun, made = anew(workload, [Done(0, 0, 2, DAY + 10 * HOUR)])
    assert by_day(begun, made, 0, 1) == {2: 2}
    begun, made = anew(workload, [Done(0, 0, 1, DAY + 10 * HOUR)])
    assert min(o.starts_s for o in made.work if o.lot == 1) >= max(o.ends_s for o in made.work if o.lot == 0)


def test_what_must_follow_upon_work_done_follows_in_time():
    steps = (step("freeze", 6, 1), step("seal", 6, 5, within_s=3 * DAY, within_of=0))
    _begun, made = anew(winter(mornings(9), lot("combs", 6, *steps)), [Done(0, 0, 6, DAY + 10 * HOUR)])
    assert max(one.ends_s for one in made.work if one.step == 1) <= 4 * DAY + 10 * HOUR


def test_what_can_no_longer_follow_in_time_is_told_and_proven():
    steps = (step("freeze", 6, 1), step("seal", 6, 20, within_s=2 * DAY, within_of=0))
    workload = winter([session(0), session(1), session(2, 9, 1), session(4, 9, 3)], lot("combs", 6, *steps))
    _, made = anew(workload, [Done(0, 0, 6, DAY + 9 * HOUR)], now_s=2 * DAY)
    assert made.left_undone == ((0, 1, 3),)
    assert made.certain


def test_what_was_due_before_anybody_can_come_is_held_against_nobody():
    steps = (step("freeze", 6, 1), step("seal", 6, 5, within_s=2 * DAY, within_of=0))
    workload = winter([session(0), session(1), session(6, 9, 1)], lot("combs", 6, *steps))
    begun, made = anew(workload, [Done(0, 0, 6, DAY + 9 * HOUR)], now_s=2 * DAY)
    assert by_day(begun, made, 1) == {6: 6}


def test_comb_found_open_past_its_day_is_made_safe_within_a_week():
    combs = lot("combs", 6, step("seal", 6, 5, protected=True), treat_by_s=DAY, protect_until_s=30 * DAY)
    begun, made = anew(winter(mornings(30), combs), now_s=4 * DAY)
    assert max(by_day(begun, made)) <= 11
    assert begun.lots[0].treat_by_s == 12 * DAY  # by the end of the seventh day after


def test_comb_that_is_safe_already_is_given_no_other_day():
    combs = lot("combs", 6, step("seal", 6, 5, protected=True), treat_by_s=DAY, protect_until_s=30 * DAY)
    begun = with_standing(winter(mornings(30), combs), 4 * DAY, [Done(0, 0, 6, 10 * HOUR)])
    assert begun.lots[0].treat_by_s == DAY


def test_a_rest_that_cannot_be_done_is_told_with_what_is_left_and_proven():
    boxes = lot("boxes", 20, step("scrape", 20, 10))
    _, made = anew(winter(mornings(4), boxes), [Done(0, 0, 5, DAY)])
    assert made.left_undone == ((0, 0, 3),)
    assert made.certain


def test_more_than_a_place_holds_was_put_there_and_the_rest_is_planned_all_the_same():
    steps = (step("coat", 8, 5, wait_s=HOUR, stays=staying(0)), step("put away", 8, 5))
    begun, made = anew(winter(mornings(8), lot("lids", 8, *steps), places=(DRY,)), [Done(0, 0, 6, DAY + 10 * HOUR)])
    assert not made.left_undone
    taken_off = min(one.starts_s for one in made.work if one.step == 1)
    assert all(one.starts_s >= taken_off for one in made.work if one.step == 0)
    assert sum(by_day(begun, made).values()) == 2


def test_a_winter_whose_last_hour_is_over_has_nothing_to_plan():
    boxes = lot("boxes", 2, step("scrape", 2, 10))
    _begun, made = anew(winter(mornings(2), boxes), [Done(0, 0, 2, 10 * HOUR)], now_s=2 * DAY)
    assert made.work == ()
    assert not made.left_undone


def test_a_winter_whose_last_hour_is_over_names_what_is_not_done():
    boxes = lot("boxes", 2, step("scrape", 2, 10))
    _, made = anew(winter(mornings(2), boxes), [Done(0, 0, 1, 10 * HOUR)], now_s=2 * DAY)
    assert made.left_undone == ((0, 0, 1),)
    assert made.certain


def test_promised_work_is_kept_to_the_minute_where_it_can_be():
    boxes = lot("boxes", 6, step("scrape", 6, 10))
    promised = [promised_for(4, 4, at_h=9.25), promised_for(5, 2, at_h=9.5)]
    _begun, made = anew(winter(mornings(8), boxes), promised=promised)
    assert [(o.starts_s, o.ends_s, o.pieces) for o in made.work] == [(o.starts_s, o.ends_s, o.pieces) for o in promised]
    assert seconds_moved(made) == 0


def test_only_what_has_become_impossible_is_moved():
    boxes = lot("boxes", 12, step("scrape", 12, 10))
    hours = [s for s in mornings(8) if s.day != FIRST + timedelta(days=4)]  # day 4 is off now
    promised = [promised_for(day, 4) for day in (3, 4, 5)]
    begun, made = anew(winter(hours, boxes), promised=promised)
    assert by_day(begun, made)[3] >= 4
    assert by_day(begun, made)[5] >= 4
    assert sum(by_day(begun, made).values()) == 12
    assert seconds_moved(made) == 0  # the hours of day 4 are gone, whoever plans


def test_what_is_settled_is_moved_only_where_it_has_become_impossible():
    """One hour too little in all: the later day gives way though it would weigh less to move the settled one."""
    boxes, jobs = lot("boxes", 6, step("scrape", 6, 10)), lot("press", 1, step("press", 1, 60), ready_by_s=3 * DAY)
    promised = [promised_for(2, 6)]
    settled = FIRST + timedelta(days=3)
    begun, made = anew(winter(mornings(5), boxes, jobs), promised=promised, settled_before=settled)
    assert by_day(begun, made, 0, 1) == {2: 1}
    assert 2 not in by_day(begun, made)
    late = replace(jobs, ready_by_s=5 * DAY)
    begun, made = anew(winter(mornings(5), boxes, late), promised=promised, settled_before=settled)
    assert by_day(begun, made) == {2: 6}


def least_by_trying_all(promised: dict[int, int], pieces: int) -> int:
    """Pieces moved in the best of all ways to give out the pieces, and nine of a new lot by day 4, to hours of six."""
    rooms = ([0, 0, *(6 - n for n in taken), 6, 6] for taken in product(range(7), repeat=3) if sum(taken) == 9)
    ways = {way for room in rooms for way in product(*(range(r + 1) for r in room)) if sum(way) == pieces}
    return min(sum(max(0, n - way[day]) for day, n in promised.items()) for way in ways)


@pytest.mark.parametrize("promised", [{2: 4, 3: 4}, {2: 1, 5: 6}, {3: 6, 4: 6}, {2: 6, 3: 6, 4: 6}, {5: 6, 6: 6}])
@pytest.mark.parametrize("done", [0, 3, 7])
def test_what_is_moved_is_what_trying_all_ways_finds_and_no_plan_moves_less(promised, done):
    """A new lot with a date takes one of the days; each piece of the old is ten minutes of an hour."""
    boxes = lot("boxes", 12, step("scrape", 12, 10))
    new = lot("new", 9, step("scrape new", 9, 10), ready_by_s=5 * DAY)
    begun = with_standing(winter(mornings(7), boxes, new), 2 * DAY, [Done(0, 0, done, 10 * HOUR)] if done else [])
    work = [promised_for(day, n) for day, n in promised.items()]
    made = replan(begun, work, seconds=4, workers=1)
    weighs = 4 * 600  # each day is within a week, and a piece takes ten minutes
    least = least_by_trying_all(promised, 12 - done) * weighs
    assert not made.left_undone
    assert seconds_moved(made) == least
    if least:
        assert cannot_be_moved_less(begun, work, least)


def test_two_hands_promised_together_stay_together():
    heavy = lot("boxes", 4, step("carry", 4, 10, hands=2))
    hours = mornings(6, who=(0, 1, 2))
    promised = [promised_for(3, 4, who=(1, 2))]
    _, made = anew(winter(hours, heavy, helpers=(INES, TOMAS, NOOR)), promised=promised)
    assert [one.helpers for one in made.work] == [(1, 2)]


def test_promised_work_of_somebody_who_is_away_now_goes_to_somebody_who_is_there():
    boxes = lot("boxes", 4, step("scrape", 4, 10))
    hours = [*mornings(3, who=(0, 1)), session(3, hours=1, who=(0,)), session(4, hours=1, who=(0, 1))]
    begun, made = anew(winter(hours, boxes, helpers=(INES, TOMAS)), promised=[promised_for(3, 4, who=(1,))])
    assert by_day(begun, made) == {3: 4}
    assert {one.helpers for one in made.work} == {(0,)}
    assert seconds_moved(made) == 0


def test_fewer_days_are_never_changed_by_leaving_promised_work_out():
    boxes = lot("boxes", 4, step("scrape", 4, 10, importance=WISHED))
    hours = [s for s in mornings(6) if s.day != FIRST + timedelta(days=3)]
    late = replace(boxes, arrives_s=4 * DAY)
    begun, made = anew(winter(hours, late), promised=[promised_for(2, 4)])
    assert sum(by_day(begun, made).values()) == 4


def chain_of_loads(*, loads: int):
    """A freezer emptied and filled every morning; the brood combs, the first load, have to be safe soon."""
    steps = (step("freeze", 10, 1, wait_s=20 * HOUR, stays=staying(0)), step("seal", 10, 1))
    many = (
        step("freeze", 10 * loads, 1, wait_s=20 * HOUR, stays=staying(0)),
        step("seal", 10 * loads, 1),
    )
    brood = lot("brood combs", 10, *steps, ready_by_s=6 * DAY)
    workload = winter(mornings(loads + 6), brood, lot("super combs", 10 * loads, *many), places=(COMBS,))
    promised = []
    for n in range(loads):
        promised.append(promised_for(2 + n, 10, lot=1, each_min=1, at_h=9 + 1 / 6 if n else 9))
        promised.append(promised_for(3 + n, 10, lot=1, step=1, each_min=1))
    return workload, promised


def entries_changed(work, promised) -> int:
    """Promised entries (day, person, lot, step) that have other pieces now."""
    before, after = {}, {}
    for found, some in ((before, promised), (after, work)):
        for one in some:
            for helper in one.helpers:
                key = (one.starts_s // DAY, helper, one.lot, one.step)
                found[key] = found.get(key, 0) + one.pieces
    return sum(after.get(key) != pieces for key, pieces in before.items())


def test_for_a_lost_load_one_later_load_gives_way_and_all_others_go_in_as_promised():
    workload, promised = chain_of_loads(loads=20)
    begun, made = anew(workload, promised=promised, seconds=2)
    assert not made.left
    assert sum(by_day(begun, made, 0, 1).values()) == 200
    assert max(by_day(begun, made, 1, 0)) < 6
    # the freeze and the seal of the load that gives way
    assert entries_changed(made.work, promised) == 2


def test_the_load_that_gives_way_is_not_one_that_is_settled():
    workload, promised = chain_of_loads(loads=6)
    begun, made = anew(workload, promised=promised, settled_before=FIRST + timedelta(days=4))
    assert not made.left
    for day in (2, 3):
        assert by_day(begun, made, 0, 1)[day] == 10


def test_where_not_all_fits_more_hands_take_up_what_was_left_and_nobody_elses_work():
    boxes = lot("boxes", 40, step("scrape", 40, 10), ready_by_s=5 * DAY)
    checks = lot("checks", 1, step("look over", 1, 10), ready_by_s=5 * DAY)
    sessions = [session(2, hours=1), session(3, hours=1, who=(0, 1)), session(4, hours=1, who=(0, 1))]
    workload = winter(sessions, boxes, checks, helpers=(INES, TOMAS))
    promised = [
        promised_for(2, 6), promised_for(3, 5), promised_for(3, 1, lot=1, at_h=9 + 5 / 6),
        promised_for(4, 6),
    ]  # fmt: skip
    begun, made = anew(workload, promised=promised)
    assert sum(by_day(begun, made).values()) == 29
    of_ines = [one for one in made.work if one.helpers == (0,)]
    assert entries_changed(of_ines, promised) == 0


def test_what_the_search_finds_is_given_back_to_the_people_it_was_promised_to():
    one, two = promised_for(0, 4), promised_for(1, 5)
    counts, before = [np.array([[4, 7]])], [np.array([[0, 0, 0]])]
    assert agreeing({0: [one], 1: [two]}, counts, before) == {0: [one]}
    assert without({0: [one], 1: [two]}, [(0, 0, 0)]) == {0: [], 1: [two]}


def test_whoever_works_ahead_leaves_to_others_what_they_were_promised():
    checks = lot("checks", 1, step("look over", 1, 20))
    sessions = [session(2, hours=1, who=(0, 1)), session(3, hours=1, who=(0, 1))]
    workload = winter(sessions, checks, helpers=(INES, TOMAS))
    for day in (2, 3):
        kept = by_session(workload, [promised_for(day, 1, each_min=20, at_h=9.5)])
        (one,) = dispatch(build(workload).counts, Manner(kept=kept)).work
        assert (one.starts_s, one.helpers) == (day * DAY + 9.5 * HOUR, (0,))
