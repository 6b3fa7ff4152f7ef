"""What a plan comes to: when all comb is safe, what is left over, who comes when and for how long.

Pure functions of a workload and its plan; nothing here judges whether the plan keeps its promises (the audit does).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise

from offseason.plan.document import Plan, Row
from offseason.workload.flow import stages
from offseason.workload.model import Importance, Lot, Workload


@dataclass(frozen=True)
class LeftOver:
    """Pieces of a step that no row of the plan does. ``hours``: of one person, without set-up."""

    lot: str
    step: str
    importance: Importance
    pieces: int
    of_pieces: int
    hours: float


@dataclass(frozen=True)
class CombSafety:
    """One lot of comb: whether every comb rests protected at the end of the plan, and the day that made it so.

    ``since`` None in a ``safe`` lot: it was protected when it arrived.
    """

    lot: str
    combs: int
    safe: bool
    since: date | None


@dataclass(frozen=True)
class Presence:
    """One person: the days they are called, the hours they work, the hours they offered."""

    name: str
    days: tuple[date, ...]
    hours: float
    offered_hours: float


def row_hours(row: Row) -> float:
    """Length of the row by the clock, in hours, whoever and however many take part."""
    start, end = datetime.combine(row.day, row.start), datetime.combine(row.day, row.end)
    return (end - start) / timedelta(hours=1)


def left_over(workload: Workload, plan: Plan) -> tuple[LeftOver, ...]:
    """Work that is not planned in full, in the order of the scenario; rounds are counted over all their periods."""
    planned: Counter[tuple[str, str]] = Counter()
    for row in plan.rows:
        planned[row.lot, row.step] += row.pieces
    asked: dict[tuple[str, str], LeftOver] = {}
    for lot in workload.lots:
        for step in lot.steps:
            key = (lot.stated, step.task)
            pieces = step.pieces + (asked[key].of_pieces if key in asked else 0)
            missing = pieces - planned[key]
            hours = missing * step.seconds_each * step.hands / 3600
            asked[key] = LeftOver(*key, Importance(step.importance), missing, pieces, hours)
    return tuple(left for left in asked.values() if left.pieces > 0)


def presences(workload: Workload, plan: Plan) -> tuple[Presence, ...]:
    """Each person of the crew, in the order of the scenario, also those who are never called."""
    days: dict[str, set[date]] = defaultdict(set)
    hours: dict[str, float] = defaultdict(float)
    for row in plan.rows:
        for name in row.who:
            days[name].add(row.day)
            hours[name] += row_hours(row)
    offered: Counter[str] = Counter()
    for session in workload.sessions:
        offered.update({workload.helpers[index].name: session.length_s for index in session.helpers})
    return tuple(
        Presence(h.name, tuple(sorted(days[h.name])), hours[h.name], offered[h.name] / 3600) for h in workload.helpers
    )


def comb_safety(workload: Workload, plan: Plan) -> tuple[CombSafety, ...]:
    """Each lot of comb that must be protected, in the order of the scenario."""
    return tuple(
        CombSafety(lot.stated, lot.count, *_safe_since(lot, plan))
        for lot in workload.lots
        if lot.treat_by_s is not None
    )


def _safe_since(lot: Lot, plan: Plan) -> tuple[bool, date | None]:
    """Whether all is well in the end, and the day that made it so, counted along the steps every comb goes through."""
    moves = [lot.steps[number] for number in stages(lot) if number >= 0]
    protected = [lot.protected, *(step.protected for step in moves)]
    done: dict[date, Counter[str]] = defaultdict(Counter)
    for row in plan.rows:
        if row.lot == lot.stated:
            done[row.day][row.step] += row.pieces
    through: Counter[str] = Counter()
    safe, since = lot.protected, None
    for day in sorted(done):
        through += done[day]
        reached = [lot.count, *(through[step.task] for step in moves), 0]
        was_safe, safe = (
            safe,
            all(ok or here <= on for ok, (here, on) in zip(protected, pairwise(reached), strict=True)),
        )
        if safe and not was_safe:
            since = day
    return safe, since if safe else None
