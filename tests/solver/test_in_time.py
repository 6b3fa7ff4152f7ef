"""What follows in time and what is renewed in time, judged by the minute each piece was done in."""

from __future__ import annotations

import pytest

from offseason.solver.in_time import kept_in_time, too_late
from offseason.workload.model import Work, Workload
from tests.solver.winters import DAY, HOUR, MINUTE, OPTIONAL, lot, mornings, step, winter


def worked(step_: int, day: int, starts_min: float, pieces: int, each_min: float) -> Work:
    """Pieces done one after another from so many minutes after nine."""
    starts_s = day * DAY + 9 * HOUR + round(starts_min * MINUTE)
    return Work(day, starts_s, starts_s + round(pieces * each_min * MINUTE), (0,), 0, step_, pieces)


def washing(**oil: object) -> Workload:
    return winter(mornings(3, 3), lot("lids", 4, step("wash", 4, 5), step("oil", 4, 10, within_of=0, **oil)))


@pytest.mark.parametrize(("minutes", "kept"), [(40, True), (39, False)])
def test_every_lid_is_oiled_within_so_many_minutes_of_its_own_washing(minutes, kept):
    # washed by 5, 10, 15 and 20 past nine; oiled by 30, 40, 50 and 60 past: the last waits longest, 40 minutes
    work = [worked(0, 0, 0, 4, 5), worked(1, 0, 20, 4, 10)]
    assert kept_in_time(washing(within_s=minutes * MINUTE), work) == kept


def test_lids_that_are_never_oiled_are_not_oiled_too_late():
    work = [worked(0, 0, 0, 4, 5), worked(1, 0, 20, 2, 10)]
    assert kept_in_time(washing(within_s=30 * MINUTE, importance=OPTIONAL), work)


def treated(*, until_day: int = 3) -> Workload:
    treat = {"protected": True, "lasts_s": DAY}
    steps = (step("treat", 2, 5, **treat), step("treat", 2, 5, importance=OPTIONAL, worth=0, needs=(0,), **treat))
    return winter(mornings(3, 3), lot("combs", 2, *steps, treat_by_s=0, protect_until_s=until_day * DAY))


@pytest.mark.parametrize(("starts_min", "kept"), [(5, True), (6, False)])
def test_a_treatment_is_renewed_before_the_minute_it_lapses(starts_min, kept):
    # the first comb is treated by 9:05 for a day: it is in hand again by 9:05 of the day after
    work = [worked(0, 0, 0, 2, 5), worked(1, 1, starts_min, 2, 5)]
    assert kept_in_time(treated(until_day=2), work) == kept


def test_a_treatment_that_nobody_renews_lapses_unless_the_winter_is_over_by_then():
    assert not kept_in_time(treated(until_day=2), [worked(0, 0, 0, 2, 5)])
    assert kept_in_time(treated(until_day=1), [worked(0, 0, 0, 2, 5)])


def test_lids_oiled_too_late_are_counted_at_the_oiling():
    work = [worked(0, 0, 0, 4, 5), worked(1, 0, 20, 4, 10)]
    assert too_late(washing(within_s=34 * MINUTE), work) == [[0, 2]]


def test_in_the_middle_of_a_winter_a_treatment_not_renewed_yet_has_not_lapsed_for_good():
    work = [worked(0, 0, 0, 2, 5)]
    assert too_late(treated(until_day=2), work) == [[2, 0]]
    assert too_late(treated(until_day=2), work, so_far=True) == [[0, 0]]


def test_in_the_middle_of_a_winter_a_treatment_renewed_too_late_counts():
    work = [worked(0, 0, 0, 2, 5), worked(1, 1, 6, 2, 5)]
    assert too_late(treated(until_day=2), work, so_far=True) == [[2, 0]]
