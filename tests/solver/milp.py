"""A second opinion on the counting model: the same winter as a mixed-integer programme for HiGHS.

The promises are in ``milp_promises``; here are the aims, each in its order, restated from what the keeper is told.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np

from offseason.workload.model import Importance, Prefer, Workload
from tests.solver.milp_promises import Winter, stages_of
from tests.solver.programme import Sum, constant, plus

SET_UP_DAYS = 7
"""A set-up, and a renewal of what protects, is priced as if its seconds had waited a week."""

SHOULD = 10
"""One piece that should be done outweighs ten that could be."""


@dataclass(frozen=True)
class Opinion:
    """Optimum of each aim in order, in the reader's unit, and the counts (per lot: steps, sessions) that reach it."""

    aims: tuple[float, ...]
    counts: tuple[np.ndarray, ...]


def second_opinion(workload: Workload) -> Opinion | None:
    """The lexicographic optimum of a winter; None: it cannot be done."""
    return best(Winter(workload))


def judged(workload: Workload, counts: tuple[np.ndarray, ...]) -> tuple[float, ...] | None:
    """What these counts come to in each aim; None: they break a promise."""
    winter = Winter(workload)
    for lot, rows in enumerate(counts):
        for (s, k), value in np.ndenumerate(rows):
            winter.programme.equal(winter.n(lot, s, k), constant(float(value)))
    found = best(winter)
    return None if found is None else found.aims


def least_left(workload: Workload) -> float:
    """The least that must be left in a winter that may not fit, in pieces; a comb open to moths counts a thousand."""
    winter = Winter(workload, may_leave=True)
    found = winter.programme.least(winter.left)
    assert found is not None
    return found[0]


def possible(workload: Workload) -> bool:
    """Whether any counts keep every promise."""
    return Winter(workload).programme.least(constant(0.0)) is not None


def best(winter: Winter) -> Opinion | None:
    """One aim after another, what was reached held while the next is improved."""
    reached = []
    point = None
    for aim, unit in (_exposure(winter), _optional_left(winter), *_preference(winter)):
        found = winter.programme.least(aim)
        if found is None:
            return None
        value, point = found
        winter.programme.at_most(aim, constant(value + 0.5))  # every aim counts in whole units
        reached.append(value * unit)
    assert point is not None
    counts = tuple(
        np.array([[round(point[next(iter(winter.n(lot, s, k)))]) for k in range(winter.last + 1)] for s in steps])
        for lot, steps in ((lot, range(len(entry.steps))) for lot, entry in enumerate(winter.workload.lots))
    )
    return Opinion(tuple(reached), counts)


def _exposure(winter: Winter) -> tuple[Sum, float]:
    """Tenths of degree-days that combs meet in the open, given between the ends of sessions."""
    parts: list[tuple[float, Sum]] = []
    for lot, entry in enumerate(winter.workload.lots):
        for stage, following in stages_of(entry):
            if not (entry.protected if stage < 0 else entry.steps[stage].protected):
                for k, heat in enumerate(entry.open_heat):
                    parts += [(heat, winter.n(lot, stage, k)), (-heat, winter.moved_on(lot, following, k))]
    return plus(*parts), 0.1


def _optional_left(winter: Winter) -> tuple[Sum, float]:
    weights = {Importance.SHOULD: SHOULD, Importance.COULD: 1, Importance.MUST: 0}
    parts: list[tuple[float, Sum]] = []
    for lot, entry in enumerate(winter.workload.lots):
        for s, step in enumerate(entry.steps):
            weight = weights[step.importance] * step.worth
            parts += [(weight, constant(step.pieces)), (-weight, winter.n(lot, s, winter.last))]
    return plus(*parts), 1.0


def _preference(winter: Winter) -> list[tuple[Sum, float]]:
    made = {
        Prefer.EARLY: [_waiting],
        Prefer.FEW_DAYS: [_days_called, _waiting],
        Prefer.EVEN_WEEKS: [_busiest_week, _waiting],
        Prefer.SOONEST: [_last_finish],
    }[winter.workload.prefer]
    return [make(winter) for make in made]


def _waiting(winter: Winter) -> tuple[Sum, float]:
    """Seconds of work not yet done after each session, times the whole hours to the end of the next."""
    ends = [session.ends_s for session in winter.sessions]
    ends.append(max(winter.workload.until_s, ends[-1] + 3_600))
    hours = [max(0, round((after - end) / 3_600)) for end, after in pairwise(ends)]
    parts: list[tuple[float, Sum]] = []
    all_labour = 0
    for lot, entry in enumerate(winter.workload.lots):
        for s, step in enumerate(entry.steps):
            each = step.hands * step.seconds_each
            if step.worth == 0:
                parts.append((each * SET_UP_DAYS * 24, winter.n(lot, s, winter.last)))
                continue
            all_labour += each * step.pieces
            for k, hour in enumerate(hours):
                parts += [(each * hour, constant(step.pieces)), (-each * hour, winter.n(lot, s, k))]
    for (task, _), touched in winter.set_up.items():
        one = next(s for entry in winter.workload.lots for s in entry.steps if s.task == task)
        parts.append((one.hands * one.setup_s * SET_UP_DAYS * 24, touched))
    return plus(*parts), 1 / (24 * max(all_labour, 1))


def _labour_in(winter: Winter, k: int) -> Sum:
    return plus(*((1, labour) for (_, session), labour in winter.labour.items() if session == k))


def _days_called(winter: Winter) -> tuple[Sum, float]:
    """Helpers called, summed over days: as many as the busiest session of the day takes."""
    called = []
    for _, days in groupby(range(winter.last + 1), key=lambda k: winter.sessions[k].day):
        heads = winter.programme.new(len(winter.workload.helpers))
        called.append((1.0, heads))
        for k in days:
            length_s = winter.sessions[k].ends_s - winter.sessions[k].starts_s
            winter.programme.at_most(_labour_in(winter, k), plus((length_s, heads)))
    return plus(*called), 1.0


def _busiest_week(winter: Winter) -> tuple[Sum, float]:
    """Hours of work in the fullest calendar week."""
    most = winter.programme.new(float("inf"))
    for _, week in groupby(range(winter.last + 1), key=lambda k: winter.sessions[k].day.isocalendar()[:2]):
        winter.programme.at_most(plus(*((1, _labour_in(winter, k)) for k in week)), most)
    return most, 1 / 3_600


def _last_finish(winter: Winter) -> tuple[Sum, float]:
    """Seconds until the last step of every lot is through and has waited."""
    ends = [session.ends_s for session in winter.sessions]
    finish = winter.programme.new(float("inf"))
    for lot, entry in enumerate(winter.workload.lots):
        if entry.steps:
            parts = [(1.0, constant(ends[0] + entry.steps[-1].wait_s))]
            for k in range(winter.last):
                over = winter.all_through(lot, len(entry.steps) - 1, k)
                parts += [(ends[k + 1] - ends[k], constant(1)), (ends[k] - ends[k + 1], over)]
            winter.programme.at_most(plus(*parts), finish)
    return finish, 1.0
