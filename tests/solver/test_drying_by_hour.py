"""Coats that dry by the hours of the weather: how long they wait depends on when they were laid on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from offseason.solver import solve
from offseason.workload.drying import HOUR_S, WHOLE, Drying
from tests.solver.winters import HOUR, lot, mornings, step, winter


def by_hour(*parts: float) -> Drying:
    done = [0]
    for part in parts:
        done.append(done[-1] + int(part * WHOLE / HOUR_S) * HOUR_S)
    return Drying(tuple(done))


def two_coats(days: int, drying: Drying | None, *, wait_s: int = 0, pieces: int = 3, hours: float = 1):
    coat = step("first coat", pieces, 10, wait_s=wait_s, drying=drying)
    return winter(mornings(days, hours=hours), lot("boxes", pieces, coat, step("second coat", pieces, 10)))


def days_of(schedule, workload, step_index):
    return {workload.sessions[w.session].starts_s // (24 * HOUR) for w in schedule.work if w.step == step_index}


def test_hours_that_each_bring_a_thirtieth_are_as_good_as_a_wait_of_thirty_hours():
    plain = solve(two_coats(6, None, wait_s=30 * HOUR), seconds=5)
    added_up = solve(two_coats(6, by_hour(*[1 / 30 + 1e-12] * 24 * 6)), seconds=5)
    assert plain.proven
    assert added_up.proven
    assert [a.reached for a in plain.aims] == [a.reached for a in added_up.aims]


def test_a_wet_spell_in_which_nothing_dries_puts_off_the_second_coat_by_as_long():
    dry = [1 / 20] * 24
    fine = two_coats(8, by_hour(*dry * 8))
    wet = two_coats(8, by_hour(*dry[:12], *[0.0] * 48, *dry * 6))
    assert days_of(solve(fine, seconds=5), fine, 1) == {1}
    assert days_of(solve(wet, seconds=5), wet, 1) == {3}


def test_coats_are_laid_on_when_they_dry_in_time_for_the_only_day_left():
    # nothing dries before day 2: laid on day 0 or day 1, a coat is dry at the same time as one laid on at day 2, 0:00
    workload = two_coats(4, by_hour(*[0.0] * 48, *[1 / 12] * 48), pieces=2)
    schedule = solve(workload, seconds=5)
    assert schedule.proven
    assert schedule.left_undone == ()
    dry_s = 48 * HOUR + 12 * HOUR
    assert all(w.starts_s >= dry_s for w in schedule.work if w.step == 1)


def test_a_coat_that_cannot_dry_before_the_end_is_proven_to_leave_the_next_one_undone():
    schedule = solve(two_coats(4, by_hour(*[1 / 200] * 96)), seconds=5)
    assert schedule.certain
    assert sum(left for _, s, left in schedule.left_undone if s == 1) == 3


def test_to_the_minute_a_coat_dry_at_ten_is_coated_at_ten_and_not_before():
    # session 9-12 on day 1; laid on by 9:30 of day 0 and dry exactly 24 h 30 min later
    workload = two_coats(2, by_hour(*[2 / 49 + 1e-12] * 48), pieces=1, hours=3)
    one = replace(workload.lots[0].steps[0], seconds_each=30 * 60)
    workload = replace(workload, lots=(replace(workload.lots[0], steps=(one, workload.lots[0].steps[1])),))
    (second,) = [w for w in solve(workload, seconds=5).work if w.step == 1]
    assert second.starts_s == pytest.approx((24 + 9 + 0.5 + 0.5) * HOUR, abs=2)
