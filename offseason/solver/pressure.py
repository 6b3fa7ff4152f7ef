"""How pressing each step is: what is left of it against the room left for it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate

from offseason.solver.counts import Counts
from offseason.solver.windows import at_once
from offseason.workload.model import Importance


@dataclass(frozen=True)
class Pressure:
    """Room left per (lot, step) from session k on, in pieces; per kind of work in seconds; and when each is due."""

    pieces_left: list[list[list[int]]]
    task_seconds: dict[str, list[int]]
    due_s: tuple[tuple[int, ...], ...]

    def of_step(
        self, m: Counts, lot: int, step: int, k: int, remaining: list[int], task_left_s: dict[str, int]
    ) -> float:
        """Share of the room left that the step, or one waiting behind it, still needs; above 1: it will not fit."""
        worst = 0.0
        steps = m.workload.lots[lot].steps
        for t in (step, *m.binding_after[lot][step]):
            if remaining[t] > 0 and steps[t].importance is Importance.MUST:
                task = steps[t].task
                own = remaining[t] / max(1, self.pieces_left[lot][t][k])
                shared = task_left_s.get(task, 0) / max(1, self.task_seconds[task][k])
                worst = max(worst, own, shared)
        return worst


def pressure_of(m: Counts) -> Pressure:
    """Add up the room from the end of the winter backwards; worked out once for each model."""
    known = m.worked_out.get("pressure")
    if not isinstance(known, Pressure):
        known = m.worked_out["pressure"] = _add_up(m)
    return known


def _add_up(m: Counts) -> Pressure:
    sessions = m.workload.sessions
    left: list[list[list[int]]] = []
    by_task: dict[str, list[int]] = {}
    for lot, entry in enumerate(m.workload.lots):
        row = []
        for s, step in enumerate(entry.steps):
            room = [0] * (len(sessions) + 1)
            seconds = by_task.setdefault(step.task, room[:])
            for k in m.open[lot][s]:
                room[k] = m.most(lot, s, k)
                seconds[k] = max(seconds[k], at_once(m.workload, sessions[k], step) * sessions[k].length_s)
            row.append(_from_then_on(room))
        left.append(row)
    due = tuple(_due(m, lot) for lot in range(len(m.workload.lots)))
    return Pressure(left, {task: _from_then_on(seconds) for task, seconds in by_task.items()}, due)


def _from_then_on(amounts: list[int]) -> list[int]:
    """The sum of each amount and all that come after it."""
    return list(accumulate(reversed(amounts)))[::-1]


def _due(m: Counts, lot: int) -> tuple[int, ...]:
    """Time by which each step of the lot must be through, as far as its own deadlines say."""
    entry, sessions = m.workload.lots[lot], m.workload.sessions
    due = [sessions[ks[-1]].ends_s if ks else 0 for ks in m.open[lot]]
    if entry.treat_by_s is not None and not entry.protected:
        safe = next((s for s in m.stages[lot] if s >= 0 and entry.steps[s].protected), None)
        for s in range(0 if safe is None else safe + 1):
            due[s] = min(due[s], entry.treat_by_s)
    return tuple(due)
