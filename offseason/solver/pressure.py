"""How pressing each step is: what is left of it against the room left for it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.windows import parties_in_sessions
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
    none = np.zeros(len(m.workload.sessions) + 1, np.int64)
    left: list[list[list[int]]] = []
    by_task: dict[str, np.ndarray] = {}
    for lot, entry in enumerate(m.workload.lots):
        row = []
        for s, step in enumerate(entry.steps):
            room, seconds = none.copy(), by_task.setdefault(step.task, none.copy())
            ks = np.array(m.open[lot][s], np.int64)
            room[ks] = np.maximum(1, m.rooms[lot][s][ks])
            parties = parties_in_sessions(m.workload, m.timeline, step)
            seconds[ks] = np.maximum(seconds[ks], parties[ks] * m.timeline.lengths_s[ks])
            row.append(_from_then_on(room))
        left.append(row)
    due = tuple(_due(m, lot) for lot in range(len(m.workload.lots)))
    return Pressure(left, {task: _from_then_on(seconds) for task, seconds in by_task.items()}, due)


def _from_then_on(amounts: np.ndarray) -> list[int]:
    """The sum of each amount and all that come after it."""
    found: list[int] = np.cumsum(amounts[::-1])[::-1].tolist()
    return found


def _due(m: Counts, lot: int) -> tuple[int, ...]:
    """Time by which each step of the lot must be through, as far as its own deadlines say."""
    entry, sessions = m.workload.lots[lot], m.workload.sessions
    due = [sessions[ks[-1]].ends_s if ks else 0 for ks in m.open[lot]]
    if entry.treat_by_s is not None and not entry.protected:
        safe = next((s for s in m.stages[lot] if s >= 0 and entry.steps[s].protected), None)
        for s in range(0 if safe is None else safe + 1):
            due[s] = min(due[s], entry.treat_by_s)
    return tuple(due)
