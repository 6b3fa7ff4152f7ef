"""What could be changed so that a part of the winter fits: every lever that touches it, grouped by what it is about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from offseason.remedy.free_hours import free_slots, quarters, short_visits, weeks
from offseason.remedy.lever import QUARTER_MINUTES, Change, Kind, Lever
from offseason.remedy.yard import Yard
from offseason.scenario.hours import fit_on, hours_on, season_days
from offseason.scenario.words import Hours
from offseason.workload.balance import due_s
from offseason.workload.gear import COMB_SPACES_PER_BOX
from offseason.workload.model import Importance, Leaving, Left, Lot, Step, Workload

DAY_S = 86_400

MOST_QUARTERS_A_WEEK = 64
"""A helper is asked for 16 hours more in a week at most. Ours."""

MOST_WEEKS_VISITED = 6
"""A helper is asked for short visits on the days of so many weeks at most. Ours."""

MOST_DAYS_HIRED = 15
MOST_STARTS = 24
"""So many days a place is hired for at most, and so many first days are looked at. Ours."""

MOST_DAYS_LATER = 28
"""The season is prolonged by four weeks at most, and never into the moth season. Ours."""


@dataclass(frozen=True)
class Family:
    """Levers about the same thing that only differ in when: the best of them will do for a remedy.

    ``guess``: about how much of it may be enough, where what is left tells.
    """

    variants: tuple[Lever, ...]
    guess: int | None = None


def families_of(yard: Yard, workload: Workload, lots: Iterable[Lot], left: Sequence[Left]) -> tuple[Family, ...]:
    """Every lever that touches these lots of the workload. ``left``: what the best plan leaves, to begin there."""
    part = _Part(yard, workload, tuple(lots), left)
    if not part.lots:
        return ()
    found = [*_places(part), *_help(part), *_indoors(part), *_dates(part), *_work(part)]
    families = (tuple(one for one in some if one.most > 0 and _readable(part, one)) for some in found)
    return tuple(Family(variants, _guess(part, variants[0])) for variants in families if variants)


def _readable(part: _Part, lever: Lever) -> bool:
    """Not so for a step that moves the pieces to another place: it cannot be left out for some."""
    return lever.kind is not Kind.OPTIONAL or part.yard.allowed((Change(lever, 1),))


def _guess(part: _Part, lever: Lever) -> int | None:
    """About how much of a lever makes up for what the best plan leaves."""
    if lever.kind is Kind.FEWER:
        return part.left_combs.get(lever.about)
    if lever.kind is Kind.HELP:
        return -(-part.left_s // (60 * QUARTER_MINUTES)) or None
    return None


class _Part:
    """The lots that do not fit, and when they are worked on."""

    def __init__(self, yard: Yard, workload: Workload, lots: tuple[Lot, ...], left: Sequence[Left]) -> None:
        self.yard, self.scenario, self.prices = yard, yard.scenario, yard.scenario.prices
        self.workload, self.lots = workload, lots
        self.left_combs = {workload.lots[one.lot].name: one.pieces for one in left if one.how is Leaving.OPEN}
        undone = [(workload.lots[one.lot].steps[one.step], one.pieces) for one in left if one.how is Leaving.UNDONE]
        self.left_s = sum(_seconds(step) * pieces for step, pieces in undone)
        self.steps = [(lot, step) for lot in lots for step in lot.steps if step.importance is Importance.MUST]
        self.needs = list(dict.fromkeys(step.need for _, step in self.steps if step.need is not None))
        season = self.scenario.season
        first = min((self.day(lot.arrives_s) for lot in lots), default=season.from_)
        last = max((self.day(self.due_s(lot)) - timedelta(days=1) for lot in lots), default=season.until)
        self.first, self.last = max(first, yard.first_day), min(last, season.until)

    def day(self, second: int) -> date:
        """The day that begins nearest to the second: clocks may have changed."""
        return self.scenario.season.from_ + timedelta(days=round(second / DAY_S))

    def due_s(self, lot: Lot) -> int:
        """When the last must-work of a lot is due."""
        due = [due_s(self.workload, lot, n) for n, s in enumerate(lot.steps) if s.importance is Importance.MUST]
        return max(due, default=self.workload.until_s)


def _places(part: _Part) -> Iterator[list[Lever]]:
    for index, (name, place) in enumerate(part.scenario.places.items()):
        if place.holds is not None and any(_stays(lot, index) for lot in part.lots):
            spaces = sum(sum(_stays(lot, index)) for lot in part.workload.lots)
            boxes = place.holds.unit == "boxes"
            wanted = -(-spaces // COMB_SPACES_PER_BOX) if boxes else spaces
            price = part.prices.box_space if boxes else part.prices.space
            yield [Lever(Kind.SPACE, name, wanted, price)]
        if place.seats is not None and any(step.at == index for _, step in part.steps):
            yield [Lever(Kind.SEATS, name, len(part.scenario.crew) - place.seats, part.prices.seat)]


def _stays(lot: Lot, place: int) -> list[int]:
    """Spaces that all pieces of a lot take at a place, each time they rest there."""
    stays = (*lot.rests, *(stay for step in lot.steps for stay in step.stays))
    return [stay.spaces * lot.count for stay in stays if stay.place == place]


def _help(part: _Part) -> Iterator[list[Lever]]:
    for helper in part.workload.helpers:
        if any(step.hands and helper.able(step.task) for _, step in part.steps):
            name, price = helper.name, part.prices.hour_of(helper.name) / 4
            by_week = weeks(part.first, part.last)
            found = [free_slots(part.scenario, name, days, part.needs) for days in by_week]
            if _in_loads(part):
                found += [_visits(part, name, by_week[n : n + MOST_WEEKS_VISITED]) for n in range(len(by_week))]
            yield [
                Lever(Kind.HELP, name, min(quarters(slots), MOST_QUARTERS_A_WEEK), price, slots=tuple(slots))
                for slots in dict.fromkeys(map(tuple, found))
            ]


def _visits(part: _Part, name: str, by_week: list[list[date]]) -> list[tuple[date, Hours]]:
    """Short visits on the days of these weeks on which the helper does not come anyway."""
    helper = part.scenario.crew[name]
    days = [day for week in by_week for day in week if not hours_on(helper, day)]
    return short_visits(free_slots(part.scenario, name, days, part.needs))


def _in_loads(part: _Part) -> bool:
    """Whether pieces of the part go somewhere by whole loads, as into a freezer."""
    stays = [stay for _, step in part.steps for stay in step.stays]
    return any(part.workload.places[stay.place].whole_loads for stay in stays)


def _indoors(part: _Part) -> Iterator[list[Lever]]:
    days = [day for day in season_days(part.first, part.last) if _somebody(part, day)]
    for need in part.needs:
        unfit = [day for day in days if not _all_fit(part, need, day)]
        every = max(1, -(-len(unfit) // MOST_STARTS))
        yield [
            Lever(Kind.INDOORS, need, len(hired), part.prices.day_under_roof, days=hired)
            for n in range(0, len(unfit), every)
            if (hired := tuple(unfit[n : n + MOST_DAYS_HIRED]))
        ]


def _somebody(part: _Part, day: date) -> bool:
    return any(hours_on(helper, day) for helper in part.scenario.crew.values())


def _all_fit(part: _Part, need: str, day: date) -> bool:
    """Whether some stretch of fit weather holds all hours anybody is there."""
    there = [hours for helper in part.scenario.crew.values() for hours in hours_on(helper, day)]
    first, last = min(hours.start for hours in there), max(hours.end for hours in there)
    fit = fit_on(part.scenario.weather.windows.get(need, {}), day)
    return any(one.start <= first and last <= one.end for one in fit)


def _dates(part: _Part) -> Iterator[list[Lever]]:
    scenario, first, until = part.scenario, part.yard.first_day, part.scenario.season.until
    for name in _named(part, scenario.gear):
        gear = scenario.gear[name]
        if gear.arrives is not None:
            yield [Lever(Kind.EARLIER, name, (gear.arrives - first).days, part.prices.day_earlier)]
        if gear.ready_by is not None:
            yield [Lever(Kind.LATER, name, (until - gear.ready_by).days, part.prices.day_later)]
    for name in _named(part, scenario.jobs):
        by = scenario.jobs[name].by
        if by is not None:
            yield [Lever(Kind.LATER, name, (until - by).days, part.prices.day_later, job=True)]
    if any(part.due_s(lot) >= part.workload.until_s for lot in part.lots):
        moths = scenario.moths
        room = MOST_DAYS_LATER if moths is None else min((moths.season_starts - until).days - 1, MOST_DAYS_LATER)
        yield [Lever(Kind.LATER, "", room, part.prices.day_later)]


def _named(part: _Part, entries: Iterable[str]) -> list[str]:
    names = {lot.name for lot in part.lots if lot.period is None}
    return [name for name in entries if name in names]


def _work(part: _Part) -> Iterator[list[Lever]]:
    """Work that need not be done, and combs given up. Steps that make comb safe are never among the former."""
    for lot in part.lots:
        must = [n for n, step in enumerate(lot.steps) if step.importance is Importance.MUST]
        if lot.period is not None or not must:
            continue
        if lot.name in part.scenario.jobs:
            yield [Lever(Kind.OPTIONAL, lot.name, 1, _price_undone(part, lot, must), job=True)]
        elif lot.treat_by_s is not None:
            yield [Lever(Kind.FEWER, lot.name, lot.count - 1, part.prices.comb)]
        else:
            painting = [n for n in must if part.scenario.tasks[lot.steps[n].task].paint is not None]
            groups = [[n] for n in must] + ([painting] if len(painting) > 1 else [])
            for some in groups:
                steps = tuple(lot.steps[n].task for n in some)
                yield [Lever(Kind.OPTIONAL, lot.name, 1, _price_undone(part, lot, some), steps=steps)]


def _price_undone(part: _Part, lot: Lot, steps: Sequence[int]) -> float:
    """Hours of these steps at their price: what may be left out is priced as if all of it were."""
    hours = sum(_seconds(lot.steps[n]) * lot.steps[n].pieces for n in steps) / 3_600
    return round(hours * part.prices.hour_left, 2)


def _seconds(step: Step) -> int:
    return step.seconds_each * step.hands
