"""Gear that finds its place full when it arrives: how many spaces too few, from when on, and the best plan anyway."""

from __future__ import annotations

from dataclasses import replace

import pytest

from offseason.scenario.read import parse_scenario
from offseason.solver import solve
from offseason.solver.overfull import overfull
from offseason.workload.build import build_workload
from offseason.workload.model import Done, Leaving, Left, Lot, Place, Standing, Work, Workload
from offseason.workload.standing import with_standing
from tests.plan.drawn_crowded import crowded_winters
from tests.solver.milp import possible
from tests.solver.winters import DAY, HOUR, lot, mornings, staying, step, winter

SHED, LOFT = 0, 1
ROOMY = Place("loft", holds=99)


def resting(name: str, count: int, *, arrives: int = 0, away: bool = False, spaces: int = 1) -> Lot:
    """A lot in the shed that is wiped where it is, or put away into the loft."""
    work = step("put away", count, 5, stays=staying(LOFT)) if away else step("wipe", count, 5, stays=staying(SHED))
    return lot(
        name, count, replace(work, task=f"{work.task} {name}"), rests=staying(SHED, spaces), arrives_s=arrives * DAY
    )


def shed(holds: int, *lots: Lot, days: int = 4, hours: float = 1) -> Workload:
    return winter(mornings(days, hours), *lots, places=(Place("shed", holds=holds), ROOMY))


def crowded(workload: Workload) -> list[tuple[int, int, int]]:
    """Place, spaces too few, and the day from which on, in a plan that the clock agrees with."""
    schedule = solve(workload, seconds=3)
    left = [one for one in schedule.left if one.how is Leaving.OVERFULL]
    assert {(one.place, one.spaces) for one in overfull(workload, schedule.work)} == {(o.place, o.pieces) for o in left}
    assert schedule.certain or not left
    return sorted({(one.place, one.pieces, one.since_s // DAY) for one in left})


def test_eight_in_a_shed_of_ten_and_five_that_arrive_are_three_spaces_too_few_from_that_day():
    workload = shed(10, resting("lids", 8), resting("boxes", 5, arrives=2))
    schedule = solve(workload, seconds=3)
    assert schedule.left == tuple(
        Left(n, -1, 8 + 5 - 10, Leaving.OVERFULL, place=SHED, since_s=2 * DAY) for n in range(2)
    )
    assert (schedule.certain, schedule.proven, schedule.left_undone) == (True, True, ())
    assert sum(one.pieces for one in schedule.work) == 8 + 5


def test_with_the_spaces_it_lacks_all_fits_and_with_one_less_it_lacks_one():
    lots = resting("lids", 8), resting("boxes", 5, arrives=2)
    assert solve(shed(13, *lots), seconds=3).left == ()
    assert crowded(shed(12, *lots)) == [(SHED, 1, 2)]


@pytest.mark.parametrize(("hours", "too_few"), [(0.25, 0), (0.125, 1), (0.1, 1), (0.05, 3)])
def test_what_can_be_put_away_before_is(hours, too_few):
    # of 8 lids 3 must be gone by day 2, and in two mornings there is time for 5 minutes each so often
    workload = shed(10, resting("lids", 8, away=True), resting("boxes", 5, arrives=2), days=9, hours=hours)
    room = [(place, spaces) for place, spaces, _ in crowded(workload)]
    assert room == ([(SHED, too_few)] if too_few else [])


@pytest.mark.slow
def test_what_is_too_large_for_one_space_counts_as_many_as_it_takes():
    assert crowded(shed(10, resting("lids", 8), resting("boxes", 5, arrives=2, spaces=3))) == [(SHED, 8 + 15 - 10, 2)]


def test_the_worst_of_several_arrivals_is_told_and_the_first_day_of_them():
    lots = resting("lids", 8), resting("boxes", 4, arrives=1), resting("floors", 2, arrives=3)
    assert crowded(shed(10, *lots)) == [(SHED, 8 + 4 + 2 - 10, 1)]


def test_two_lots_that_arrive_in_a_freezer_too_small_for_both_are_told_too():
    lots = resting("combs", 6), resting("old combs", 6)
    cold = winter(mornings(3), *lots, places=(Place("freezer", holds=10, whole_loads=True), ROOMY))
    assert crowded(cold) == [(0, 2, 0)]


def test_nothing_more_is_put_into_a_place_too_full_and_what_was_to_go_there_is_left():
    back = step("bring back", 3, 5, stays=staying(SHED))
    hive = lot("hives", 3, back, rests=staying(LOFT))
    workload = shed(10, resting("lids", 8), resting("boxes", 5, arrives=0), hive)
    schedule = solve(workload, seconds=3)
    left = {(one.lot, one.how): one.pieces for one in schedule.left}
    assert left == {(0, Leaving.OVERFULL): 3, (1, Leaving.OVERFULL): 3, (2, Leaving.UNDONE): 3}


def test_a_place_that_what_arrives_does_not_overfill_never_lacks_room():
    # 12 to put into a loft of 9: that is work left, for nothing arrives there
    lids = resting("lids", 12, away=True)
    schedule = solve(winter(mornings(3), lids, places=(Place("shed", holds=20), Place("loft", holds=9))), seconds=3)
    assert [(one.pieces, one.how) for one in schedule.left] == [(3, Leaving.UNDONE)]


def begun(done: int, now: float, *, days: int = 6) -> Workload:
    """So many of eight lids were put away on the first morning, and five boxes arrive on day 2."""
    workload = shed(10, resting("lids", 8, away=True), resting("boxes", 5, arrives=2), days=days)
    some = [Done(0, 0, done, 10 * HOUR)] if done else []
    return with_standing(workload, round(now * DAY), some)


def test_of_a_winter_that_has_begun_only_what_is_too_full_from_now_on_is_told():
    assert crowded(begun(3, 1.5)) == []
    assert crowded(begun(1, 1.5)) == [(SHED, 2, 2)]  # the next morning is too late: they come at midnight
    assert crowded(begun(1, 2.1)) == [(SHED, 2, 2)]  # and it is so still, though it was before
    assert crowded(begun(1, 0.9)) == []  # there is a morning left to put two away


def test_a_place_too_full_by_what_was_put_there_before_is_not_held_against_the_plan():
    lids = resting("lids", 8, away=True)
    workload = winter(mornings(4), lids, places=(Place("shed", holds=8), Place("loft", holds=3)))
    stuffed = replace(workload, standing=Standing(DAY, (Done(0, 0, 5, 10 * HOUR),)))
    assert overfull(stuffed, ()) == ()


def test_pieces_are_out_of_their_place_while_they_are_worked_on_and_back_in_it_after():
    lids, boxes = resting("lids", 6), resting("boxes", 6)
    workload = shed(10, lids, boxes)
    work = (Work(0, 9 * HOUR, 9 * HOUR + 6 * 300, (0,), 0, 0, 6),)
    (found,) = overfull(workload, work)
    assert (found.spaces, found.since_s, found.lots) == (2, 0, (0, 1))


@pytest.mark.parametrize(
    ("number", "text"), list(crowded_winters(range(70))), ids=lambda x: x if isinstance(x, int) else ""
)
def test_the_spaces_told_are_the_fewest_in_the_opinion_of_another_programme(number, text):
    workload = build_workload(parse_scenario(text, f"winter {number}"))
    schedule = solve(workload, seconds=3)
    told = {one.place: one.pieces for one in schedule.left}
    if not schedule.proven or not told or any(one.how is not Leaving.OVERFULL for one in schedule.left):
        assert possible(workload) or schedule.left  # who goes by the clock may leave what counts alone would let pass
        assert not (possible(workload) and schedule.certain)
        return
    assert possible(with_more_room(workload, told))
    for place, spaces in told.items():
        assert not possible(with_more_room(workload, {**told, place: spaces - 1}))


def with_more_room(workload: Workload, spaces: dict[int, int]) -> Workload:
    places = (
        replace(p, holds=None if p.holds is None else p.holds + spaces.get(n, 0)) for n, p in enumerate(workload.places)
    )
    return replace(workload, places=tuple(places))
