"""What a plan comes to: when all comb is safe, what is left over, who comes when and for how long.

Pure functions of a workload and its plan; nothing here judges whether the plan keeps its promises (the audit does).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from offseason.plan.document import How, LeftOver, Plan
from offseason.plan.elapsed import elapsed
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.workload.flow import stages
from offseason.workload.jobs import job_lot
from offseason.workload.model import Importance, Lot, Workload

SECONDS_PER_HOUR = 3_600
_OPEN_FIRST: tuple[How, ...] = ("open", "overfull", "late", "undone")


@dataclass(frozen=True)
class Unplanned:
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

    ``since`` None in a ``safe`` lot: it was protected when it arrived. ``treat_by``: the day by whose end every comb
    of this lot has to be protected.
    """

    lot: str
    combs: int
    safe: bool
    since: date | None
    treat_by: date | None = None

    @property
    def days_in_hand(self) -> int | None:
        """Days from the one that made it safe to its treat-by day; None where no work made it safe."""
        return None if self.since is None or self.treat_by is None else (self.treat_by - self.since).days


@dataclass(frozen=True)
class Presence:
    """One person: the days they are called, the hours they work, the hours they offered."""

    name: str
    days: tuple[date, ...]
    hours: float
    offered_hours: float


def left_said(plan: Plan, scenario: Scenario | None = None) -> tuple[str, ...]:
    """A sentence on each thing that the plan says did not fit, open comb first; names as they were written.

    ``scenario``: the one of the plan, which tells jobs, said in hours of one person, from rounds, said in times; None:
    not at hand.
    """
    ordered = sorted(plan.left, key=lambda one: _OPEN_FIRST.index(one.how))
    return tuple(_said_of_left(one, scenario) for one in ordered)


def _said_of_left(left: LeftOver, scenario: Scenario | None) -> str:
    number = f"{left.pieces:,}"
    if left.how == "open":
        combs = "1 comb is" if left.pieces == 1 else f"{number} combs are"
        return f"{left.lot}: up to {combs} open to moths after their day"
    if left.how == "overfull":
        return no_room_said(left, scenario)
    if left.how == "late":
        return f"{left.step} of {left.lot}: {number} {'comes' if left.pieces == 1 else 'come'} later than they may"
    if scenario is not None and left.lot in scenario.jobs:
        (step,) = job_lot(scenario, left.lot, scenario.jobs[left.lot]).steps
        hours = left.pieces * step.seconds_each * step.hands / SECONDS_PER_HOUR
        return f"{left.lot}: {hours:,.1f} h of it are not done"
    if scenario is not None and left.lot in scenario.rounds:
        return f"{left.lot}: left out {'once' if left.pieces == 1 else f'{number} times'}"
    if left.lot == left.step:
        return f"{left.lot}: part of it is not done"
    return f"{left.step} of {left.lot}: {number} {'is' if left.pieces == 1 else 'are'} left undone"


def no_room_said(left: LeftOver, scenario: Scenario | None) -> str:
    """A sentence on a place too full for what arrives: how many spaces too few, from when on, and what arrives then."""
    place = None if scenario is None else scenario.places.get(left.place)
    counted = "" if place is None or place.holds is None or place.holds.unit == "pieces" else "comb "
    said = f"{left.place}: {left.pieces:,} {counted}space{'' if left.pieces == 1 else 's'} too few"
    if scenario is None or left.since is None:
        return said if left.since is None else f"{said} from {_day(left.since)} on"
    there = [(gear.count, name) for name, gear in scenario.gear.items() if gear.rests == left.place]
    first = scenario.season.from_
    coming = [(count, name) for count, name in there if (scenario.gear[name].arrives or first) == left.since]
    arrive = "arrives" if sum(count for count, _ in coming) == 1 else "arrive"
    named = listed(f"{count:,} {name}" for count, name in coming)
    return f"{said} from {_day(left.since)} on{f', when {named} {arrive}' if named else ''}"


def _day(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b %Y}"


def left_over(workload: Workload, plan: Plan) -> tuple[Unplanned, ...]:
    """Work that is not planned in full, in the order of the scenario; rounds are counted over all their periods.

    Renewing a treatment before it lapses is done only where it falls due, so it is never left over.
    """
    planned: Counter[tuple[str, str]] = Counter()
    for row in plan.rows:
        planned[row.lot, row.step] += row.pieces
    asked: dict[tuple[str, str], Unplanned] = {}
    for lot in workload.lots:
        for step in lot.steps:
            if step.worth == 0:
                continue
            key = (lot.stated, step.task)
            pieces = step.pieces + (asked[key].of_pieces if key in asked else 0)
            missing = max(0, pieces - planned[key])
            hours = missing * step.seconds_each * step.hands / 3600
            asked[key] = Unplanned(*key, Importance(step.importance), missing, pieces, hours)
    return tuple(left for left in asked.values() if left.pieces > 0)


def presences(workload: Workload, plan: Plan) -> tuple[Presence, ...]:
    """Each person of the crew, in the order of the scenario, also those who are never called."""
    days: dict[str, set[date]] = defaultdict(set)
    hours: dict[str, float] = defaultdict(float)
    clock = elapsed(workload)
    for row in plan.rows:
        for name in row.who:
            days[name].add(row.day)
            hours[name] += clock.hours(row)
    offered: Counter[str] = Counter()
    for session in workload.sessions:
        offered.update({workload.helpers[index].name: session.length_s for index in session.helpers})
    return tuple(
        Presence(h.name, tuple(sorted(days[h.name])), hours[h.name], offered[h.name] / 3600) for h in workload.helpers
    )


def comb_safety(workload: Workload, plan: Plan) -> tuple[CombSafety, ...]:
    """Each lot of comb that must be protected, in the order of the scenario."""
    clock = elapsed(workload)
    return tuple(
        CombSafety(lot.stated, lot.count, *_safe_since(lot, plan), clock.last_day(lot.treat_by_s))
        for lot in workload.lots
        if lot.treat_by_s is not None
    )


def tightest(lots: Iterable[CombSafety]) -> CombSafety | None:
    """The lot with the fewest days in hand, the first of several; None where none was made safe by work."""
    return min(
        (lot for lot in lots if lot.days_in_hand is not None), key=lambda lot: lot.days_in_hand or 0, default=None
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
