"""How full people, places, weather and drying or freezing space are in each week of a plan, and which is fullest.

The bottleneck is what is full for most weeks on end: more of it would let the work end earlier.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import fsum

from offseason.plan.document import Plan, Row
from offseason.plan.elapsed import Elapsed, elapsed
from offseason.workload.flow import stages
from offseason.workload.model import Lot, Step, Workload

FULL = 0.9  # a week counts as full from here: the last tenth is lost between one piece of work and the next


@dataclass(frozen=True)
class Resource:
    """What work asks for: ``what`` is "person", "place", "weather" or "space"; used and open hours by Monday."""

    what: str
    name: str
    used: dict[date, float]
    open: dict[date, float]

    def share(self, first: date, last: date) -> float:
        """Part of what was open that was used, in the weeks that begin on ``first`` to ``last``."""
        used = fsum(hours for week, hours in self.used.items() if first <= week <= last)
        open_ = fsum(hours for week, hours in self.open.items() if first <= week <= last)
        return used / open_ if open_ else 0.0


@dataclass(frozen=True)
class Bottleneck:
    """The fullest resource, how full (1 = nothing left), and the weeks in which it is: Mondays of first and last."""

    what: str
    name: str
    share: float
    first_week: date
    last_week: date


def monday(day: date) -> date:
    """First day of the week in which the day lies."""
    return day - timedelta(days=day.weekday())


def bottleneck(workload: Workload, plan: Plan) -> Bottleneck | None:
    """The resource with most full weeks on end, else the one with the fullest single week; None in an empty plan."""
    runs = [
        (
            weeks,
            resource.share(first, last),
            Bottleneck(resource.what, resource.name, resource.share(first, last), first, last),
        )
        for resource in resources(workload, plan)
        for weeks, first, last in _runs(resource)
    ]
    return max(runs, key=lambda run: run[:2])[2] if runs else None


def resources(workload: Workload, plan: Plan) -> tuple[Resource, ...]:
    """Every person, place with seats, weather need, and place where pieces dry or freeze."""
    return tuple(
        resource for kind in (_spaces, _weather, _places, _people) for resource in kind(workload, plan) if resource.used
    )


def everybody(workload: Workload, plan: Plan) -> Resource:
    """All people together, also those who are never called: their hours called and their hours offered."""
    used: Counter[date] = Counter()
    offered: Counter[date] = Counter()
    for person in _people(workload, plan):
        used.update(person.used)
        offered.update(person.open)
    return Resource("person", "everybody", dict(used), dict(offered))


def _runs(resource: Resource) -> Iterator[tuple[int, date, date]]:
    """Weeks on end in which the resource is full (number, first, last), and each other week as 0 weeks long."""
    first: date | None = None
    last, number = date.min, 0
    for week in sorted(week for week, hours in resource.open.items() if hours > 0):
        if resource.share(week, week) >= FULL:
            first, last, number = first or week, week, number + 1
            yield number, first, last
        else:
            first, number = None, 0
            yield 0, week, week


def _by_week(hours: Iterator[tuple[date, float]]) -> dict[date, float]:
    weeks: dict[date, float] = defaultdict(float)
    for day, amount in hours:
        weeks[monday(day)] += amount
    return dict(weeks)


def _people(workload: Workload, plan: Plan) -> Iterator[Resource]:
    clock = elapsed(workload)
    for index, helper in enumerate(workload.helpers):
        yield Resource(
            "person",
            helper.name,
            _by_week((row.day, clock.hours(row)) for row in plan.rows if helper.name in row.who),
            _by_week((s.day, s.length_s / 3600) for s in workload.sessions if index in s.helpers),
        )


def _places(workload: Workload, plan: Plan) -> Iterator[Resource]:
    clock = elapsed(workload)
    for place in workload.places:
        if place.seats is not None:
            seats = place.seats
            yield Resource(
                "place",
                place.name,
                _by_week((row.day, clock.hours(row) * len(row.who)) for row in plan.rows if row.at == place.name),
                _by_week((s.day, s.length_s * min(seats, len(s.helpers)) / 3600) for s in workload.sessions),
            )


def _weather(workload: Workload, plan: Plan) -> Iterator[Resource]:
    steps = _steps(workload)
    for need in dict.fromkeys(step.need for _, step in steps.values() if step.need is not None):
        bound = [row for row in plan.rows if (row.lot, row.step) in steps and steps[row.lot, row.step][1].need == need]
        yield Resource(
            "weather",
            need,
            _by_week(_busy_hours(bound, elapsed(workload))),
            _by_week((s.day, s.length_s / 3600) for s in workload.sessions if need in s.fit and s.helpers),
        )


def _busy_hours(rows: list[Row], clock: Elapsed) -> Iterator[tuple[date, float]]:
    """Hours of each day in which at least one of the rows runs."""
    until: dict[date, int] = {}
    for row in sorted(rows, key=lambda row: (row.day, clock.span_s(row))):
        begins, ends = clock.span_s(row)
        begins = max(begins, until.get(row.day, begins))
        if ends > begins:
            yield row.day, (ends - begins) / 3600
            until[row.day] = ends


def _spaces(workload: Workload, plan: Plan) -> Iterator[Resource]:
    """Places where something dries or freezes, by how full they are at the end of each day on which somebody comes."""
    days = sorted({session.day for session in workload.sessions if session.helpers})
    clock = elapsed(workload)
    for index, place in enumerate(workload.places):
        stays = [
            (lot, number, stay.spaces)
            for lot in workload.lots
            for number, step in enumerate(lot.steps)
            for stay in step.stays
            if stay.place == index and step.waits
        ]
        if place.holds is None or not stays:
            continue
        full: Counter[date] = Counter()
        for lot, number, spaces in stays:
            for day, pieces in _resting(lot, number, days, plan, clock):
                full[day] += min(pieces * spaces, place.holds)
        if full:
            yield Resource(
                "space",
                place.name,
                _by_week((day, taken / place.holds) for day, taken in full.items()),
                _by_week((day, 1.0) for day in days),
            )


def _resting(lot: Lot, number: int, days: list[date], plan: Plan, clock: Elapsed) -> Iterator[tuple[date, int]]:
    """Pieces that rest after step ``number`` at the end of each day: not taken out yet, or still waiting."""
    step = lot.steps[number]
    after = next((n for n in stages(lot) if n > number), None)
    stay_until_taken = after is not None and any(stay.until_taken for stay in step.stays)
    put = [row for row in plan.rows if row.lot == lot.stated and row.step == step.task]
    taken = [
        row for row in plan.rows if row.lot == lot.stated and after is not None and row.step == lot.steps[after].task
    ]
    for day in days:
        if stay_until_taken:
            resting = sum(r.pieces for r in put if r.day <= day) - sum(r.pieces for r in taken if r.day <= day)
        else:
            resting = sum(
                r.pieces for r in put if r.day <= day and step.ready_s(clock.span_s(r)[1]) > clock.night_s(day)
            )
        if resting > 0:
            yield day, resting


def _steps(workload: Workload) -> dict[tuple[str, str], tuple[Lot, Step]]:
    return {(lot.stated, step.task): (lot, step) for lot in workload.lots for step in lot.steps}
