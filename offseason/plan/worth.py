"""Mend or replace: what this winter's work on each lot costs, and what it is worth, at the keeper's own prices.

Gear is held against new gear over the years that the work buys; comb against the honey of building it anew. Minutes
are those of the scenario without setting up, which depends on the plan.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from math import fsum
from statistics import fmean

from offseason.plan.supplies import painted_area_m2
from offseason.scenario.lots import kind_of
from offseason.scenario.model import Foulbrood, GearEntry, NewEntry, Scenario, SupplyEntry, TaskEntry
from offseason.scenario.supply import fits_foundation, is_bought, paint_name
from offseason.trade.paint import litres
from offseason.trade.sizes import CATALOGUE
from offseason.trade.worth import a_year, an_hour_saves, comb_worth, new_instead, wages, years_painted
from offseason.workload.model import Helper, Lot, Step, Workload


class Unjudged(StrEnum):
    """Why a lot cannot be weighed, in a sentence about it."""

    NO_WORK = "There is no work on it this winter."
    NOTHING_KEPT = "All of it is used up this winter."
    NO_PRICE = "What it costs new does not stand under prices: new."
    NO_YEARS = "It is not painted, and no mended_years stand under prices: new."
    NO_HONEY = "It is comb, and no honey_kg stands under prices."
    COMB_UNKNOWN = "It is comb of a size not known here."
    SAFE_ANYWAY = "None of the work on it keeps moths away."
    NEW_GEAR = "It is new gear that is made ready."


class Advice(StrEnum):
    """What the prices speak for; the keeper decides."""

    MEND = "mend"
    BUY = "buy new"
    PROTECT = "protect"
    GIVE_UP = "not worth it"
    DEPENDS = "depends"


@dataclass(frozen=True)
class LotWorth:
    """One lot: person-hours and cost (wages, things used, paint) of the work, and what it is worth, all pieces.

    ``worth``: least, usual, most. Of gear: what new pieces cost over the same years, and at most with the paint of
    this winter besides, as new ones want it too. ``years``: that the work buys, None for comb.
    ``new_a_year``: what one new piece costs for each year of its life, None for comb.
    """

    lot: str
    pieces: int
    hours: float
    cost: float
    worth: tuple[float, float, float]
    years: float | None = None
    new_a_year: float | None = None

    @property
    def an_hour(self) -> tuple[float, float, float]:
        """What an hour of the work saves beyond its cost: least, usual, most."""
        least, usual, most = (an_hour_saves(worth, self.cost, self.hours) for worth in self.worth)
        return least, usual, most

    @property
    def mended_a_year(self) -> float | None:
        """What the work on one piece costs for each year it buys; None for comb."""
        return None if self.years is None else a_year(self.cost / self.pieces, self.years)

    @property
    def new_painted_a_year(self) -> float | None:
        """What one new piece costs for each year, painted as often as this one; None for comb."""
        return None if self.years is None else a_year(self.worth[2] / self.pieces, self.years)

    @property
    def advice(self) -> Advice:
        """What the prices speak for; ``depends`` where the cost lies within the range of what it is worth."""
        least, _, most = self.worth
        if least > self.cost:
            return Advice.PROTECT if self.years is None else Advice.MEND
        if most < self.cost:
            return Advice.GIVE_UP if self.years is None else Advice.BUY
        return Advice.DEPENDS


@dataclass(frozen=True)
class Worth:
    """All lots: those weighed, best hour first; those that cannot be, with why; those never to be used again.

    ``unpriced``: what is used without a price, and by which lots. ``looking_hours``: of rounds that look at comb.
    ``wage_written``: whether the scenario says what an hour of help costs; without that nothing is weighed.
    """

    lots: tuple[LotWorth, ...]
    unjudged: tuple[tuple[str, Unjudged], ...]
    suspected: tuple[str, ...]
    unpriced: tuple[tuple[str, tuple[str, ...]], ...]
    looking_hours: float
    wage_written: bool


def worth_of(scenario: Scenario, workload: Workload) -> Worth:
    """What the work on each lot of the scenario is worth; ``workload``: the one built of it."""
    lots = {lot.name: lot for lot in workload.lots if lot.name in scenario.gear and lot.period is None}
    found: list[LotWorth] = []
    unjudged: list[tuple[str, Unjudged]] = []
    unpriced: dict[str, list[str]] = {}
    written = wage_written(scenario)
    suspected = tuple(name for name, gear in scenario.gear.items() if gear.foulbrood is Foulbrood.SUSPECTED)
    for name, gear in scenario.gear.items():
        if name in suspected or not written:
            continue
        one = _weighed(scenario, workload, gear, lots[name])
        if isinstance(one, Unjudged):
            unjudged.append((name, one))
            continue
        found.append(one[0])
        for thing in one[1]:
            unpriced.setdefault(thing, []).append(name)
    return Worth(
        lots=tuple(sorted(found, key=lambda one: (-one.an_hour[1], one.lot))),
        unjudged=tuple(unjudged),
        suspected=suspected,
        unpriced=tuple((thing, tuple(names)) for thing, names in sorted(unpriced.items())),
        looking_hours=fsum(
            _hours(step)
            for lot in workload.lots
            if lot.period is not None and scenario.rounds[lot.stated].looks_at is not None
            for step in lot.steps
        ),
        wage_written=written,
    )


def wage_written(scenario: Scenario) -> bool:
    """Whether the scenario says what an hour costs: for everybody, or for each of the crew."""
    prices = scenario.prices
    return "hour" in prices.model_fields_set or all(name in prices.help for name in scenario.crew)


def _weighed(
    scenario: Scenario, workload: Workload, gear: GearEntry, lot: Lot
) -> tuple[LotWorth, tuple[str, ...]] | Unjudged:
    comb = kind_of(gear) == "comb" and scenario.prices.honey_kg is not None
    new = _new(scenario, lot.name, gear)
    kept = gear.count - max((step.pieces for step in lot.steps if scenario.tasks[step.task].uses_up), default=0)
    steps = _protecting(scenario, lot) if comb else lot.steps
    if (why := _not_weighed(scenario, gear, lot, new=new, kept=kept, steps=steps)) is not None:
        return why
    things = [_things(scenario, gear, step) for step in steps]
    hours = fsum(_hours(step) for step in steps)
    costs = [
        wages(_hours(step), _hour(scenario, workload.helpers, step)) + money
        for step, (money, _) in zip(steps, things, strict=True)
    ]
    cost = fsum(costs)
    missing = tuple(dict.fromkeys(name for _, names in things for name in names))
    if comb:
        ratio = CATALOGUE[gear.piece].comb_worth_ratio
        worth = comb_worth(ratio, kept, scenario.prices.honey_kg or 0.0)
        return LotWorth(lot.name, kept, hours, cost, worth), missing
    years = _years(scenario, lot, new)
    if new is None or years is None:
        return Unjudged.NO_PRICE if new is None else Unjudged.NO_YEARS
    instead = new_instead(new.price, new.lasts_years, years, kept)
    painting = fsum(money for step, money in zip(steps, costs, strict=True) if _paints(scenario, step))
    new_a_year = a_year(new.price, new.lasts_years)
    return LotWorth(lot.name, kept, hours, cost, (instead, instead, instead + painting), years, new_a_year), missing


def _not_weighed(
    scenario: Scenario, gear: GearEntry, lot: Lot, *, new: NewEntry | None, kept: int, steps: tuple[Step, ...]
) -> Unjudged | None:
    """Why the lot cannot be weighed, None where nothing is in the way of it."""
    if not lot.steps:
        return Unjudged.NO_WORK
    if kept <= 0:
        return Unjudged.NOTHING_KEPT
    if kind_of(gear) == "comb" and scenario.prices.honey_kg is not None:
        if not (gear.piece in CATALOGUE and CATALOGUE[gear.piece].comb_worth_ratio > 0):
            return Unjudged.COMB_UNKNOWN
        return None if steps else Unjudged.SAFE_ANYWAY
    if kind_of(gear) == "comb" and new is None:
        return Unjudged.NO_HONEY
    return Unjudged.NEW_GEAR if _is_new(scenario, lot, gear) and lot.name not in scenario.prices.new else None


def _new(scenario: Scenario, name: str, gear: GearEntry) -> NewEntry | None:
    """What is written of the lot itself, else of its piece."""
    return scenario.prices.new.get(name) or scenario.prices.new.get(gear.piece)


def _years(scenario: Scenario, lot: Lot, new: NewEntry | None) -> float | None:
    """Years that the work buys: as written, else until the paint of this winter is due again."""
    if new is not None and new.mended_years is not None:
        return new.mended_years
    painted = any(_paints(scenario, step) for step in lot.steps)
    return years_painted(scenario.season.climate.value) if painted else None


def _paints(scenario: Scenario, step: Step) -> bool:
    return paint_name(step.task, scenario.tasks[step.task]) is not None


def _is_new(scenario: Scenario, lot: Lot, gear: GearEntry) -> bool:
    """Whether it is bought new, or foundation is fitted to it, so that there is nothing old to mend."""
    bought = is_bought(lot.name, gear, scenario.tasks, scenario.supplies, first_day=scenario.season.from_)
    return bought or any(fits_foundation(scenario.tasks[step.task]) for step in lot.steps)


def _protecting(scenario: Scenario, lot: Lot) -> tuple[Step, ...]:
    """The steps that keep moths away, and those they need done first."""
    wanted: set[int] = set()
    for n in reversed(range(len(lot.steps))):
        task = scenario.tasks[lot.steps[n].task]
        if n in wanted or task.kills or task.seals or task.protects is not None:
            wanted |= {n, *lot.steps[n].needs}
    return tuple(step for n, step in enumerate(lot.steps) if n in wanted)


def _hours(step: Step) -> float:
    return step.pieces * step.seconds_each * step.hands / 3600


def _hour(scenario: Scenario, helpers: Iterable[Helper], step: Step) -> float:
    """Price of an hour of the step: the mean of those who can do it, as who will is not known before planning."""
    able = [scenario.prices.hour_of(helper.name) for helper in helpers if helper.able(step.task)]
    return fmean(able) if able else scenario.prices.hour


def _things(scenario: Scenario, gear: GearEntry, step: Step) -> tuple[float, tuple[str, ...]]:
    """Money for what the step uses up, and the names of what could not be counted in it."""
    task: TaskEntry = scenario.tasks[step.task]
    asked: dict[str, float | None] = {name: each * step.pieces for name, each in task.uses.items()}
    if (paint := paint_name(step.task, task)) is not None:
        area_m2 = painted_area_m2(gear)
        m2_per_litre = scenario.supplies.get(paint, SupplyEntry()).m2_per_litre
        covers = {} if m2_per_litre is None else {"m2_per_litre": m2_per_litre}
        asked[paint] = None if area_m2 is None else litres(area_m2 * step.pieces, 1, **covers)
    if task.treatment is not None:
        asked[task.treatment] = None  # the label says how much, so nobody can say here what it costs
    money = {name: scenario.prices.supplies.get(name) for name in asked}
    counted = [
        amount * price for name, amount in asked.items() if amount is not None and (price := money[name]) is not None
    ]
    return sum(counted), tuple(name for name, amount in asked.items() if amount is None or money[name] is None)
