"""Where a plan, its proven bound and the second opinion agree to the unit, and where the clock allows less."""

from __future__ import annotations

import numpy as np
import pytest

from offseason.solver import solve
from offseason.workload.model import Schedule, Workload
from tests.solver.milp import judged, second_opinion

SECONDS = 20


def counts_of(workload: Workload, schedule: Schedule) -> tuple[np.ndarray, ...]:
    """Pieces through each step by the end of each session, as the work on the clock adds up."""
    counts = tuple(np.zeros((len(entry.steps), len(workload.sessions)), int) for entry in workload.lots)
    for work in schedule.work:
        through = next(k for k, entry in enumerate(workload.sessions) if entry.ends_s >= work.ends_s)
        counts[work.lot][work.step, through:] += work.pieces
    return counts


def reached(schedule: Schedule) -> list[float]:
    return [aim.reached for aim in schedule.aims[1:]]


def bounds(schedule: Schedule) -> list[float]:
    return [aim.bound for aim in schedule.aims[1:]]


def agreed(workload: Workload) -> tuple[float, ...]:
    """Each aim, on which the plan, its proven bound and the second opinion agree to the unit."""
    schedule, opinion = solve(workload, seconds=SECONDS), second_opinion(workload)
    assert opinion is not None
    assert schedule.left_undone == ()
    assert schedule.proven
    assert reached(schedule) == pytest.approx(opinion.aims, rel=1e-9, abs=1e-6)
    assert bounds(schedule) == pytest.approx(opinion.aims, rel=1e-9, abs=1e-6)
    assert judged(workload, counts_of(workload, schedule)) == pytest.approx(opinion.aims, rel=1e-9, abs=1e-6)
    return opinion.aims


def beaten_by_the_clock(workload: Workload) -> Schedule:
    """A plan that is worse in its last aim than the counts alone allow: its bound is theirs, and it is not proven."""
    schedule, opinion = solve(workload, seconds=2), second_opinion(workload)
    assert opinion is not None
    assert schedule.left_undone == ()
    assert not schedule.proven
    assert reached(schedule)[:-1] == pytest.approx(opinion.aims[:-1], rel=1e-9, abs=1e-6)
    assert bounds(schedule) == pytest.approx(opinion.aims, rel=1e-9, abs=1e-6)
    assert reached(schedule)[-1] > opinion.aims[-1] + 1e-6
    assert judged(workload, counts_of(workload, schedule)) == pytest.approx(reached(schedule))
    return schedule
