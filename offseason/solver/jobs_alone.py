"""Lots of one piece as intervals: the classical view of jobs that hold places, for the soonest end.

It keeps the order of steps, the orders between jobs, the places held while waiting and the open sessions, and leaves
the rest out; so its optimum is a bound on every plan, and its starts lead a dispatch. Where there is no rest to leave
out, that dispatch is the optimum itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from ortools.sat.python import cp_model

from offseason.solver.clock import Clock
from offseason.solver.counts import Counts
from offseason.solver.cpsat import run
from offseason.workload.flow import Follows
from offseason.workload.model import Importance, Lot, Step, Workload

Start = tuple[int, int]
"""Lot and step of what starts."""


@dataclass(frozen=True)
class JobsFound:
    """A proven bound on the soonest end in seconds, and counts per lot (steps, sessions) as a guide; None: unknown."""

    bound: int | None
    guide: list[np.ndarray] | None


def nothing_but_jobs(workload: Workload) -> bool:
    """Whether the interval view leaves nothing out: moments, and jobs that need nobody and hold places as they wait."""
    moments = not any(session.length_s for session in workload.sessions) and workload.standing is None
    loads = any(place.whole_loads for place in workload.places)
    return moments and not loads and all(_is_a_job(lot) for lot in workload.lots)


def _is_a_job(lot: Lot) -> bool:
    comb = lot.treat_by_s is not None or bool(lot.open_heat)
    return lot.count == 1 and not lot.rests and not comb and all(_only_waits(step) for step in lot.steps)


def _only_waits(step: Step) -> bool:
    must = step.pieces == 1 and step.importance is Importance.MUST
    worked_at = step.hands or step.seconds_each or step.setup_s
    leaves = not any(stay.until_taken for stay in step.stays)
    return must and not worked_at and leaves and step.drying is None and step.within_s is None


def jobs_alone(
    m: Counts,
    *,
    known: Mapping[Start, int],
    latest_s: int,
    seconds: float,
    workers: int,
    seed: int,
    clock: Clock | None = None,
) -> JobsFound:
    """The soonest end of the lots of one piece, no later than ``latest_s``, within ``seconds`` of the clock.

    ``known``: when each starts in a plan that ends by then, to set out from.
    """
    model = cp_model.CpModel()
    finish, starts = model.new_int_var(0, latest_s, ""), _starts(m, model)
    if not starts or any(session.length_s for session in m.workload.sessions):
        return JobsFound(None, None)  # in sessions that last, the minute within them counts too
    followed = _in_order(m, model, starts)
    for (lot, s), start in starts.items():
        if (lot, s) not in followed:
            model.add(finish >= start + m.workload.lots[lot].steps[s].wait_s)
    _one_place_at_a_time(m, model, starts, finish)
    for at, start in starts.items():
        if at in known:
            model.add_hint(start, known[at])
    model.minimize(finish)
    solver, status, interrupted = run(model, max(seconds, 0.01), workers, seed, clock=clock)
    if interrupted:
        raise KeyboardInterrupt
    if status not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
        return JobsFound(None, None)
    return JobsFound(round(solver.best_objective_bound), _guide(m, {at: solver.value(v) for at, v in starts.items()}))


def _starts(m: Counts, model: cp_model.CpModel) -> dict[Start, cp_model.IntVar]:
    """When each step of a lot of one piece starts: at one of the moments in which it may."""
    ends = [session.ends_s for session in m.workload.sessions]
    may = {
        (lot, s): cp_model.Domain.from_values([ends[k] for k in m.open[lot][s]])
        for lot, entry in enumerate(m.workload.lots)
        for s in range(len(entry.steps))
        if entry.count == 1 and m.open[lot][s]
    }
    return {at: model.new_int_var_from_domain(domain, "") for at, domain in may.items()}


def _in_order(m: Counts, model: cp_model.CpModel, starts: dict[Start, cp_model.IntVar]) -> set[Start]:
    """Each after what it follows; returns what is followed by anything."""
    followed: set[Start] = set()

    def after(first: Start, then: Start) -> None:
        if first in starts and then in starts:
            followed.add(first)
            model.add(starts[then] >= starts[first] + m.workload.lots[first[0]].steps[first[1]].wait_s)

    for lot, pairs in enumerate(m.follows):
        for pair in pairs:
            if _binds(pair):
                after((lot, pair.first), (lot, pair.then))
    for order in m.workload.orders:
        after(order.first, order.then)
    return followed


def _binds(pair: Follows) -> bool:
    return pair.spare == 0 and not pair.skippable


def _one_place_at_a_time(
    m: Counts, model: cp_model.CpModel, starts: dict[Start, cp_model.IntVar], finish: cp_model.IntVar
) -> None:
    """Spaces that jobs hold at a place while they wait: never more than it has, and none after the last end.

    The latter follows from what the last end is; told as something that fills the place from then on, it lets CP-SAT
    reckon the least time from the spaces that are wanted.
    """
    inside: dict[int, list[tuple[cp_model.IntervalVar, int]]] = {}
    for (lot, s), start in starts.items():
        step = m.workload.lots[lot].steps[s]
        for stay in step.stays:
            if not stay.until_taken and step.wait_s > 0:
                interval = model.new_fixed_size_interval_var(start, step.wait_s, "")
                inside.setdefault(stay.place, []).append((interval, stay.spaces))
    never = max(m.workload.sessions[-1].ends_s, m.workload.until_s) + 1
    never += max(step.wait_s for lot in m.workload.lots for step in lot.steps)
    afterwards = model.new_interval_var(finish, model.new_int_var(1, never, ""), never, "")
    for place, held in inside.items():
        holds = m.workload.places[place].holds
        if holds is not None:
            intervals, spaces = zip(*held, (afterwards, holds), strict=True)
            model.add_cumulative(intervals, spaces, holds)


def _guide(m: Counts, starts: dict[Start, int]) -> list[np.ndarray]:
    ends = np.array([s.ends_s for s in m.workload.sessions])
    guide = []
    for lot, entry in enumerate(m.workload.lots):
        rows = np.full((len(entry.steps), len(ends)), entry.count)
        for s in range(len(entry.steps)):
            if (lot, s) in starts:
                rows[s] = ends >= starts[lot, s]
        guide.append(rows)
    return guide
