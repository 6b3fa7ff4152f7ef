"""Lots of one piece as intervals: the classical view of jobs that hold places, for the soonest end.

It keeps the order of steps, the orders between jobs, the places held while waiting and the open sessions, and leaves
the rest out; so its optimum is a bound on every plan, and its starts lead a dispatch.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from ortools.sat.python import cp_model

from offseason.solver.counts import Counts
from offseason.solver.cpsat import run
from offseason.workload.flow import Follows


@dataclass(frozen=True)
class JobsFound:
    """A proven bound on the soonest end in seconds, and counts per lot (steps, sessions) as a guide; None: unknown."""

    bound: int | None
    guide: list[np.ndarray] | None


def jobs_alone(m: Counts, *, latest_s: int, seconds: float, workers: int, seed: int) -> JobsFound:
    """The soonest end of the lots of one piece, no later than ``latest_s``, within ``seconds``."""
    model = cp_model.CpModel()
    ends = [s.ends_s for s in m.workload.sessions]
    finish = model.new_int_var(0, latest_s, "")
    starts: dict[tuple[int, int], cp_model.IntVar] = {}
    for lot, entry in enumerate(m.workload.lots):
        for s, step in enumerate(entry.steps):
            if entry.count == 1 and m.open[lot][s]:
                starts[lot, s] = model.new_int_var_from_domain(
                    cp_model.Domain.from_values([ends[k] for k in m.open[lot][s]]), ""
                )
                model.add(finish >= starts[lot, s] + step.wait_s)
    if not starts or any(session.length_s for session in m.workload.sessions):
        return JobsFound(None, None)  # in sessions that last, the minute within them counts too
    _in_order(m, model, starts)
    _one_place_at_a_time(m, model, starts)
    model.minimize(finish)
    solver, status, interrupted = run(model, max(seconds, 0.01), workers, seed)
    if interrupted:
        raise KeyboardInterrupt
    if status not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
        return JobsFound(None, None)
    return JobsFound(round(solver.best_objective_bound), _guide(m, {at: solver.value(v) for at, v in starts.items()}))


def _in_order(m: Counts, model: cp_model.CpModel, starts: dict[tuple[int, int], cp_model.IntVar]) -> None:
    def after(first: tuple[int, int], then: tuple[int, int]) -> None:
        if first in starts and then in starts:
            model.add(starts[then] >= starts[first] + m.workload.lots[first[0]].steps[first[1]].wait_s)

    for lot, pairs in enumerate(m.follows):
        for pair in pairs:
            if _binds(pair):
                after((lot, pair.first), (lot, pair.then))
    for order in m.workload.orders:
        after(order.first, order.then)


def _binds(pair: Follows) -> bool:
    return pair.spare == 0 and not pair.skippable


def _one_place_at_a_time(m: Counts, model: cp_model.CpModel, starts: dict[tuple[int, int], cp_model.IntVar]) -> None:
    """Spaces that jobs hold at a place while they wait: never more than it has."""
    inside: dict[int, list[tuple[cp_model.IntervalVar, int]]] = {}
    for (lot, s), start in starts.items():
        step = m.workload.lots[lot].steps[s]
        for stay in step.stays:
            if not stay.until_taken and step.wait_s > 0:
                interval = model.new_fixed_size_interval_var(start, step.wait_s, "")
                inside.setdefault(stay.place, []).append((interval, stay.spaces))
    for place, held in inside.items():
        holds = m.workload.places[place].holds
        if holds is not None:
            model.add_cumulative([interval for interval, _ in held], [spaces for _, spaces in held], holds)


def _guide(m: Counts, starts: dict[tuple[int, int], int]) -> list[np.ndarray]:
    ends = np.array([s.ends_s for s in m.workload.sessions])
    guide = []
    for lot, entry in enumerate(m.workload.lots):
        rows = np.full((len(entry.steps), len(ends)), entry.count)
        for s in range(len(entry.steps)):
            if (lot, s) in starts:
                rows[s] = ends >= starts[lot, s]
        guide.append(rows)
    return guide
