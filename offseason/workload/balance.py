"""Hours of work against hours of help, before anything is planned: by month, by place, by weather, by who may do it.

Before planning nobody knows in which month a piece of work will be done. So the months are counted up: what has
arrived by the end of a month can be done by then, what is due by then must be. All hours are hours of one person
(work for two hands counts twice); set-ups come on top, for their number is not known before planning.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import fsum

from offseason.workload.crowded import Crowded, crowded
from offseason.workload.model import Importance, Lot, Step, Workload

DAY_S = 86_400


@dataclass(frozen=True)
class MonthBalance:
    """Up to the end of one month (``until``): help that came, work that is due, work that is at hand, in hours."""

    until: date
    help_hours: float
    help_so_far: float
    must_due: float
    must_at_hand: float
    optional_at_hand: float


@dataclass(frozen=True)
class PlaceBalance:
    """Seat-hours wanted at a place against seat-hours open, which are those in which somebody is there to sit."""

    place: str
    must_hours: float
    optional_hours: float
    open_hours: float


@dataclass(frozen=True)
class WeatherBalance:
    """Weather-bound work against the hours of help that fall into fit weather, and on how many days they do."""

    need: str
    must_hours: float
    optional_hours: float
    fit_hours: float
    fit_days: int


@dataclass(frozen=True)
class SpaceBalance:
    """A place where pieces dry, set or freeze: spaces it holds, spaces asked of it in all, days it needs at least.

    ``least_days`` supposes that the place is always full and that nobody is ever late to empty it.
    """

    place: str
    holds: int
    spaces_asked: int
    least_days: float


@dataclass(frozen=True)
class SkillBalance:
    """Work that only some of the crew may do (``kinds``), against their hours."""

    helpers: tuple[str, ...]
    kinds: tuple[str, ...]
    must_hours: float
    optional_hours: float
    help_hours: float


@dataclass(frozen=True)
class Stretch:
    """Days from ``first`` to ``last``: must-work that arrives and is due within them, and the help there is."""

    first: date
    last: date
    must_hours: float
    help_hours: float

    @property
    def short_hours(self) -> float:
        """Hours of help that are missing; 0 where there is enough."""
        return max(0.0, self.must_hours - self.help_hours)


@dataclass(frozen=True)
class Balance:
    """Everything that can be said of a winter by adding up, before it is planned.

    ``crowded``: places that arriving gear overfills if nothing is moved out by that day.
    """

    help_hours: float
    must_hours: float
    optional_hours: float
    months: tuple[MonthBalance, ...]
    places: tuple[PlaceBalance, ...]
    weather: tuple[WeatherBalance, ...]
    spaces: tuple[SpaceBalance, ...]
    skills: tuple[SkillBalance, ...]
    tightest: Stretch | None
    crowded: tuple[tuple[Crowded, date], ...]


def balance_of(workload: Workload, first_day: date) -> Balance:
    """All balances of the workload; ``first_day`` is the first day of the season, on which its second 0 lies."""
    helps = [(s.day, s.length_s * len(s.helpers) / 3600) for s in workload.sessions]
    return Balance(
        help_hours=fsum(hours for _, hours in helps),
        must_hours=_hours(step for _, step in _steps(workload) if _must(step)),
        optional_hours=_hours(step for _, step in _steps(workload) if not _must(step)),
        months=tuple(_months(workload, first_day, helps)),
        places=tuple(_places(workload)),
        weather=tuple(_weather(workload)),
        spaces=tuple(_spaces(workload)),
        skills=tuple(_skills(workload)),
        tightest=_tightest(workload, first_day, helps),
        crowded=tuple((one, _day_of(first_day, one.since_s)) for one in crowded(workload)),
    )


def work_hours(step: Step) -> float:
    """Hours of one person that all pieces of the step take, without set-up."""
    return step.pieces * step.seconds_each * step.hands / 3600


def due_s(workload: Workload, lot: Lot, number: int) -> int:
    """Second by which step ``number`` of the lot is due: when the lot is to be ready, or the last safe moment for comb.

    Comb is due to be protected by its treat-by date, so every must step up to the first protecting one is due then.
    """
    ready = workload.until_s if lot.ready_by_s is None else lot.ready_by_s
    if lot.treat_by_s is None or lot.protected:
        return ready
    protecting = next((n for n, step in enumerate(lot.steps) if step.protected and step.pieces == lot.count), None)
    return min(ready, lot.treat_by_s) if protecting is not None and number <= protecting else ready


def _steps(workload: Workload) -> Iterator[tuple[Lot, Step]]:
    return ((lot, step) for lot in workload.lots for step in lot.steps)


def _must(step: Step) -> bool:
    return step.importance is Importance.MUST


def _hours(steps: Iterable[Step]) -> float:
    return fsum(work_hours(step) for step in steps)


def _day_of(first_day: date, second: int) -> date:
    """Day that begins nearest to the second; nearest, because a change of the clocks moves midnight by an hour."""
    return first_day + timedelta(days=round(second / DAY_S))


def _months(workload: Workload, first_day: date, helps: list[tuple[date, float]]) -> Iterator[MonthBalance]:
    last_day = _day_of(first_day, workload.until_s) - timedelta(days=1)
    so_far, after = 0.0, first_day
    while after <= last_day:
        month, after = after, _next_month(after)
        until = min(after - timedelta(days=1), last_day)
        hours = fsum(h for day, h in helps if month <= day <= until)
        so_far += hours
        at_hand = [step for lot, step in _steps(workload) if _day_of(first_day, lot.arrives_s) <= until]
        due = (
            step
            for lot in workload.lots
            for n, step in enumerate(lot.steps)
            if _must(step) and _day_of(first_day, due_s(workload, lot, n)) - timedelta(days=1) <= until
        )
        yield MonthBalance(
            until=until,
            help_hours=hours,
            help_so_far=so_far,
            must_due=_hours(due),
            must_at_hand=_hours(step for step in at_hand if _must(step)),
            optional_at_hand=_hours(step for step in at_hand if not _must(step)),
        )


def _next_month(day: date) -> date:
    return (day.replace(day=1) + timedelta(days=32)).replace(day=1)


def _places(workload: Workload) -> Iterator[PlaceBalance]:
    for index, place in enumerate(workload.places):
        steps = [step for _, step in _steps(workload) if step.at == index]
        if place.seats is None or not steps:
            continue
        yield PlaceBalance(
            place=place.name,
            must_hours=_hours(step for step in steps if _must(step)),
            optional_hours=_hours(step for step in steps if not _must(step)),
            open_hours=sum(s.length_s * min(place.seats, len(s.helpers)) for s in workload.sessions) / 3600,
        )


def _weather(workload: Workload) -> Iterator[WeatherBalance]:
    for need in dict.fromkeys(step.need for _, step in _steps(workload) if step.need is not None):
        steps = [step for _, step in _steps(workload) if step.need == need]
        seats = _seats_for(workload, steps)
        fit = [s for s in workload.sessions if need in s.fit and s.helpers]
        yield WeatherBalance(
            need=need,
            must_hours=_hours(step for step in steps if _must(step)),
            optional_hours=_hours(step for step in steps if not _must(step)),
            fit_hours=sum(s.length_s * min(seats, len(s.helpers)) for s in fit) / 3600,
            fit_days=len({s.day for s in fit}),
        )


def _seats_for(workload: Workload, steps: list[Step]) -> int:
    """Seats at all places of these steps together; as many as there are helpers where a step asks for no seat."""
    seats = {step.at: None if step.at is None else workload.places[step.at].seats for step in steps}
    everybody = len(workload.helpers)
    return min(everybody, sum(everybody if n is None else n for n in seats.values()))


def _spaces(workload: Workload) -> Iterator[SpaceBalance]:
    for index, place in enumerate(workload.places):
        asked = [
            (step.pieces * stay.spaces, step.wait_s)
            for _, step in _steps(workload)
            for stay in step.stays
            if stay.place == index and step.wait_s > 0 and _must(step)
        ]
        if place.holds is not None and asked:
            space_seconds = sum(spaces * wait for spaces, wait in asked)
            yield SpaceBalance(
                place=place.name,
                holds=place.holds,
                spaces_asked=sum(spaces for spaces, _ in asked),
                least_days=space_seconds / place.holds / DAY_S,
            )


def _skills(workload: Workload) -> Iterator[SkillBalance]:
    able = {
        step.task: tuple(n for n, helper in enumerate(workload.helpers) if helper.able(step.task))
        for _, step in _steps(workload)
    }
    everybody = tuple(range(len(workload.helpers)))
    for group in dict.fromkeys(able.values()):
        if group == everybody:
            continue
        kinds = tuple(task for task, who in able.items() if set(who) <= set(group))
        steps = [step for _, step in _steps(workload) if step.task in kinds]
        yield SkillBalance(
            helpers=tuple(workload.helpers[n].name for n in group),
            kinds=kinds,
            must_hours=_hours(step for step in steps if _must(step)),
            optional_hours=_hours(step for step in steps if not _must(step)),
            help_hours=sum(s.length_s * len(set(group) & set(s.helpers)) for s in workload.sessions) / 3600,
        )


def _tightest(workload: Workload, first_day: date, helps: list[tuple[date, float]]) -> Stretch | None:
    """The stretch of days in which must-work takes the largest share of the help; None where no work must be done."""
    asked = [
        (
            _day_of(first_day, lot.arrives_s),
            _day_of(first_day, due_s(workload, lot, n)) - timedelta(days=1),
            work_hours(step),
        )
        for lot in workload.lots
        for n, step in enumerate(lot.steps)
        if _must(step) and work_hours(step) > 0
    ]
    firsts, lasts = sorted({first for first, _, _ in asked}), sorted({last for _, last, _ in asked})
    stretches = [
        Stretch(
            first,
            last,
            must_hours=fsum(hours for a, d, hours in asked if first <= a and d <= last),
            help_hours=fsum(hours for day, hours in helps if first <= day <= last),
        )
        for first in firsts
        for last in lasts
        if first <= last
    ]
    return max(stretches, key=lambda s: (s.must_hours / max(s.help_hours, 1e-9), s.last - s.first), default=None)
