"""A keeper follows a plan through another winter: from any morning on, and never with more than is known by then."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from offseason.solver.counts import Counts
from offseason.solver.course import carried_over, counts_on, course_of, joined, moments_on, work_over
from offseason.solver.dispatch import dispatch, dispatch_until
from offseason.solver.follow import comb_open, evenings_asked, intention, lived, nothing_done, varied, with_overdue
from offseason.solver.manner import Manner
from offseason.solver.windows import Timeline
from offseason.workload.model import Importance, Lot, Place, Prefer, Workload
from tests.solver.winters import DAY, HOUR, MINUTE, OPTIONAL, lot, mornings, staying, step, winter

FREEZER = Place("freezer", holds=10, whole_loads=True)


def freezing(days: int = 14) -> Workload:
    freeze = step("freeze", 30, 1, wait_s=3 * DAY, stays=staying(0), protected=True)
    combs = lot("combs", 30, freeze, step("seal", 30, 1, protected=True), treat_by_s=10 * DAY, protect_until_s=14 * DAY)
    return winter(mornings(days), combs, places=(FREEZER,))


def boxes(fine: tuple[int, ...], days: int = 12, **rest: object) -> Workload:
    lids = lot("lids", 12, step("scrape", 12, 5), step("coat", 12, 5, need="painting"), **rest)
    return winter(mornings(days, fine=fine), lids)


def made(workload: Workload):
    return dispatch(Counts.of(workload, may_leave=True), Manner())


def day_by_day(plan, workload: Workload, known=None):
    """The whole winter, re-planned each morning by the ``known`` workload (None: by the real one)."""
    at, done = nothing_done(workload), ()
    for k in range(len(workload.sessions)):
        meant = intention(known or workload, at, done, plan)
        work, at = lived(workload, at, k + 1, meant, plan)
        done = (*done, *work)
    return done, at


def test_a_winter_stopped_on_any_morning_and_gone_on_with_ends_as_if_it_had_not_been():
    workload = freezing()
    m, manner = Counts.of(workload), Manner()
    whole = dispatch(m, manner)
    for stop in range(1, len(workload.sessions)):
        first, at = dispatch_until(m, manner, nothing_done(workload), stop, {})
        rest, _ = dispatch_until(m, manner, at, len(workload.sessions), {})
        assert (*first.work, *rest.work) == whole.work


def test_a_load_that_is_in_the_freezer_over_a_monday_keeps_it_full():
    workload = freezing()
    m = Counts.of(workload)
    _, monday = dispatch_until(m, Manner(), nothing_done(workload), 2, {})
    assert monday.counts[0][0, -1] == 10
    rest = dispatch(m, Manner(), monday)
    frozen, sealed = rest.counts[0]
    assert frozen[2] == 10, "nothing goes in while the first load is there"
    assert (frozen - sealed).max() <= 10
    assert sealed[-1] == 30


def test_what_was_done_before_is_only_looked_at():
    workload = freezing()
    m = Counts.of(workload)
    _, at = dispatch_until(m, Manner(), nothing_done(workload), 5, {})
    before = [known.copy() for known in at.counts], {key: list(done.last_s) for key, done in at.ends.items()}
    dispatch(m, Manner(), at)
    assert all(np.array_equal(one, two) for one, two in zip(before[0], at.counts, strict=True))
    assert before[1] == {key: done.last_s for key, done in at.ends.items()}


def test_in_the_winter_it_was_made_for_a_plan_is_followed_to_the_minute():
    workload = boxes(fine=(1, 2, 5, 6))
    plan = made(workload)
    done, _ = day_by_day(course_of(workload, plan.work), workload)
    assert tuple(sorted(done)) == plan.work


def test_rain_on_the_day_of_painting_puts_it_off_to_the_next_fine_day():
    plan = made(boxes(fine=(1, 2)))
    wet = boxes(fine=(7, 8))
    done, _ = day_by_day(course_of(wet, plan.work), wet)
    assert [one.session for one in done if one.step == 1] == [7]
    assert all(wet.sessions[one.session].fit for one in done if one.step == 1)


def test_fine_weather_that_nobody_counted_on_is_used_where_the_plan_has_painting():
    workload = boxes(fine=(1, 2))
    plan = course_of(workload, made(workload).work)
    done, _ = day_by_day(plan, workload, known=boxes(fine=(11,)))
    assert {one.session for one in done if one.step == 1} == {1}


def test_what_must_be_followed_soon_is_not_begun_while_no_fine_day_is_in_sight():
    def lids(fine: tuple[int, ...]) -> Workload:
        soon = step("coat", 12, 5, need="painting", within_of=0, within_s=2 * DAY)
        return winter(mornings(12, fine=fine), lot("lids", 12, step("scrape", 12, 5), soon))

    plan = course_of(lids((1, 2)), made(lids((1, 2))).work)
    wet = lids((9, 10))
    done, _ = day_by_day(plan, wet)
    assert min(one.session for one in done if one.step == 0) >= 7
    assert sum(one.pieces for one in done if one.step == 1) == 12


def test_slow_labour_ends_later_and_all_is_done_nevertheless():
    workload = winter(mornings(12), lot("frames", 60, step("mend", 60, 5)))
    plan = course_of(workload, made(workload).work)
    own, _ = day_by_day(plan, workload)
    slow, _ = day_by_day(plan, varied(workload, {"mend": 1.2}), known=workload)
    assert sum(one.pieces for one in slow) == 60
    assert (max(one.session for one in own), max(one.session for one in slow)) == (4, 5)


def test_a_keeper_who_wants_few_days_does_not_work_ahead_for_a_day_of_rain():
    other = lot("frames", 12, step("mend", 12, 5))

    def both(fine: tuple[int, ...], prefer: Prefer) -> Workload:
        return replace(boxes(fine=fine), lots=(*boxes(fine=fine).lots, other), prefer=prefer)

    dry, wet = both((3,), Prefer.FEW_DAYS), both((9,), Prefer.FEW_DAYS)
    plan = course_of(dry, made(dry).work)
    assert not intention(wet, nothing_done(wet), (), plan).fill


def test_more_minutes_than_any_day_has_are_cut_to_the_day_so_that_the_piece_can_still_be_done():
    workload = winter(mornings(3), lot("press", 1, step("press the wax", 1, 55)))
    assert varied(workload, {"press the wax": 1.2}).lots[0].steps[0].seconds_each == HOUR


@pytest.mark.parametrize(("factor", "seconds"), [(0.8, 240), (1.0, 300), (1.2, 360), (0.0001, 1)])
def test_minutes_vary_in_whole_seconds_and_work_never_takes_none(factor, seconds):
    workload = winter(mornings(3), lot("frames", 6, step("mend", 6, 5)))
    assert varied(workload, {"mend": factor}).lots[0].steps[0].seconds_each == seconds


def test_setting_up_varies_as_the_work_does():
    workload = winter(mornings(3), lot("frames", 6, step("mend", 6, 5, setup_s=10 * MINUTE)))
    assert varied(workload, {"mend": 1.2}).lots[0].steps[0].setup_s == 12 * MINUTE


def test_what_is_overdue_is_to_be_done_within_two_weeks():
    workload = boxes(fine=(1,), days=30, ready_by_s=2 * DAY)
    at = dispatch_until(Counts.of(workload, may_leave=True), Manner(), nothing_done(workload), 1, {})[1]
    assert with_overdue(workload, at, DAY).lots[0].ready_by_s == 2 * DAY
    assert with_overdue(workload, at, 3 * DAY).lots[0].ready_by_s == 17 * DAY


def test_a_round_that_was_missed_is_not_made_up_for():
    look = Lot("look 1", "look", 1, (step("look", 1, 5),), 0, 2 * DAY, period=(mornings(1)[0].day, mornings(2)[1].day))
    workload = winter(mornings(30), look)
    at = nothing_done(workload)
    assert with_overdue(workload, at, 5 * DAY).lots[0].ready_by_s == 2 * DAY


def rounds(*firsts: int) -> Workload:
    days, look = mornings(30), step("look", 1, 5)
    lots = [
        Lot(f"look {n}", "look", 1, (look,), n * DAY, (n + 5) * DAY, period=(days[n].day, days[n + 4].day))
        for n in firsts
    ]
    return winter(days, *lots)


def test_rounds_are_followed_by_their_days_however_many_there_are():
    planned, other = rounds(0, 10, 20), rounds(0, 10)
    course = course_of(planned, made(planned).work)
    assert [[len(moments) for moments in row] for row in moments_on(other, course)] == [[1], [1]]


def test_a_round_the_plan_does_not_know_is_wanted_from_its_first_day():
    course = course_of(rounds(0), made(rounds(0)).work)
    (_, new) = counts_on(rounds(0, 10), course)
    assert [int(n) for n in new[0][9:12]] == [0, 1, 1]


def test_work_done_is_told_anew_where_there_are_other_rounds():
    old, new = rounds(0, 10), rounds(10, 20)
    done = made(old)
    at = dispatch_until(Counts.of(old), Manner(), nothing_done(old), 12, {})[1]
    told = carried_over(at, old, new)
    assert [int(known[0, -1]) for known in told.counts] == [1, 0]
    assert {one.lot for one in work_over(done.work, old, new)} == {0}


def test_two_winters_with_other_days_gone_by_are_not_confused():
    one, other = winter(mornings(5), *boxes(()).lots), winter(mornings(5, hours=2), *boxes(()).lots)
    at = dispatch_until(Counts.of(one, may_leave=True), Manner(), nothing_done(one), 2, {})[1]
    with pytest.raises(ValueError, match="gone by are not the same"):
        carried_over(at, one, other)


def test_courses_are_joined_in_order_of_time():
    workload = boxes(fine=(1, 2))
    work = made(workload).work
    halves = course_of(workload, work[:1]), course_of(workload, work[1:])
    whole, again = course_of(workload, work), joined(halves[1], halves[0])
    assert all(np.array_equal(whole[kind], again[kind]) for kind in whole)


def test_comb_is_open_from_its_arrival_until_it_is_frozen():
    workload = freezing()
    entry = replace(workload.lots[0], arrives_s=2 * DAY)
    arriving = replace(workload, lots=(entry,))
    counts = made(arriving).counts[0]
    at_risk = comb_open(arriving, 0, counts)
    assert [int(n) for n in at_risk[:4]] == [0, 0, 20, 20]
    assert at_risk[-1] == 0


@pytest.mark.parametrize(("treat_by", "evenings"), [(10, [9, 10, 11, 12, 13]), (40, [13])])
def test_comb_must_be_safe_from_its_day_on_and_at_the_latest_when_the_season_ends(treat_by, evenings):
    workload = freezing()
    entry = replace(workload.lots[0], treat_by_s=treat_by * DAY)
    assert evenings_asked(Timeline(workload.sessions), entry) == evenings


def test_optional_work_gives_way_where_must_work_would_be_left():
    must = lot("frames", 24, step("mend", 24, 5))
    wish = lot("tins", 24, step("wash", 24, 5, importance=OPTIONAL))
    long, short = winter(mornings(4), wish, must), winter(mornings(2), wish, must)
    plan = course_of(long, [one for one in made(long).work if one.lot == 0])
    done, at = day_by_day(plan, short)
    assert int(at.counts[1][0, -1]) == 24
    assert short.lots[1].steps[0].importance is Importance.MUST
    assert {one.lot for one in done} == {1}
