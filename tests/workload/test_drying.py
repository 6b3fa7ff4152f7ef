"""When a coat is dry in air that changes: parts of the drying are added up, hour by hour (derived here: dt/t to 1)."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from offseason.workload.drying import HOUR_S, NEVER_S, WHOLE, Drying
from offseason.workload.model import Step


def drying(*parts: float) -> Drying:
    """So many parts of a whole drying in each hour."""
    done = [0]
    for part in parts:
        done.append(done[-1] + int(part * WHOLE / HOUR_S) * HOUR_S)
    return Drying(tuple(done))


def by_the_second(parts: list[float], finished_s: int) -> int | None:
    """The first second at which the parts of all seconds since have come to a whole drying; added up one by one."""
    units, second = 0, finished_s
    while second < len(parts) * HOUR_S:
        units += int(parts[second // HOUR_S] * WHOLE / HOUR_S)
        second += 1
        if units >= WHOLE:
            return second
    return None


hours = st.lists(st.sampled_from([0.0, 0.0, 0.1, 0.25, 0.4, 0.9, 1.7]), min_size=1, max_size=8)


@given(hours, st.integers(0, 8 * HOUR_S))
def test_dry_is_when_the_parts_of_each_second_come_to_a_whole(parts, finished_s):
    assert drying(*parts).ready_s(finished_s) == (by_the_second(parts, finished_s) or NEVER_S)


@given(hours, st.integers(0, 9 * HOUR_S))
def test_what_was_finished_at_the_latest_moment_is_dry_in_time_and_a_second_later_is_not(parts, ready_s):
    coat = drying(*parts)
    latest = coat.finished_by_s(ready_s)
    assert latest < 0 or coat.ready_s(latest) <= ready_s
    assert latest == ready_s or coat.ready_s(max(latest + 1, 0)) > ready_s


@given(hours, st.integers(0, 8 * HOUR_S), st.integers(0, 8 * HOUR_S))
def test_what_is_finished_later_is_never_dry_sooner(parts, one, two):
    coat = drying(*parts)
    assert coat.ready_s(min(one, two)) <= coat.ready_s(max(one, two))


def test_four_quarters_of_an_hour_each_make_four_hours_whenever_it_begins():
    coat = drying(*[0.25] * 20)
    assert [coat.ready_s(start) - start for start in (0, 1800, 7 * HOUR_S)] == [4 * HOUR_S] * 3


def test_a_damp_night_in_which_nothing_dries_is_waited_out():
    coat = drying(0.5, *[0.0] * 10, 0.5, 0.5)
    assert coat.ready_s(0) == 12 * HOUR_S
    assert coat.ready_s(HOUR_S // 2) == 12 * HOUR_S + HOUR_S // 2


def test_where_the_records_end_before_it_is_dry_it_is_never_taken_as_dry():
    assert drying(0.2, 0.2).ready_s(0) == NEVER_S


def test_a_step_waits_for_the_longer_of_its_plain_wait_and_its_drying():
    step = Step("coat", 1, 60, wait_s=3 * HOUR_S, drying=drying(*[0.25] * 4, *[1.0] * 8))
    assert step.ready_s(0) == 4 * HOUR_S
    assert step.ready_s(4 * HOUR_S) == 7 * HOUR_S
    assert step.finished_by_s(4 * HOUR_S) == 0
