"""What is to be done, from scenario and weather: lots, their steps with pieces and waits; jobs and rounds as lots."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

from offseason.plan.audit.airs import DryingAir, drying_air
from offseason.plan.audit.clock import Clock
from offseason.plan.audit.periods import periods_of
from offseason.plan.audit.treatby import renewals, treat_by_day
from offseason.plan.audit.waits import NO_WAIT, Wait, wait_of
from offseason.plan.document import Row
from offseason.scenario.model import Foulbrood, GearEntry, Importance, JobEntry, RoundEntry, Scenario, TaskEntry, Then
from offseason.scenario.words import Days
from offseason.trade.paint import paint_due
from offseason.trade.sizes import CATALOGUE
from offseason.weather.outlook import Outlook

_ROUNDING = 1e-9
_DryingAt = Callable[[str, str], DryingAir | None]
_NOTHING_AFTER = Then()


@dataclass(frozen=True)
class Step:
    """One step of a lot: ``pieces`` of it, ``seconds_each`` by ``hands`` together, ``wait`` afterwards.

    ``needs``: positions of earlier steps a piece must have had. ``then``: what the keeper wrote of afterwards.
    ``renewals``: how many times more than once each piece may get it.
    """

    name: str
    index: int
    pieces: int
    seconds_each: int
    must: bool = True
    setup_s: int = 0
    hands: int = 1
    at: str | None = None
    weather: str | None = None
    needs: frozenset[int] = frozenset()
    then: Then = _NOTHING_AFTER
    wait: Wait = NO_WAIT
    within_s: int | None = None
    kills: bool = False
    uses_up: bool = False
    seals: bool = False
    protects: int | str | None = None
    renewals: int = 0

    def skippable_for(self, later: Step) -> bool:
        """Whether a piece may come to ``later`` without having had this step."""
        return not self.must and self.index not in later.needs


@dataclass(frozen=True)
class Stage:
    """Where pieces rest for a while: from the finish of step ``after`` (None: from arrival) at ``place``."""

    after: int | None
    place: str | None


@dataclass(frozen=True)
class Lot:
    """Equal pieces with the same steps; a job or round is a lot of one step. Rows between ``opens`` and ``closes``."""

    name: str
    count: int
    steps: tuple[Step, ...]
    opens: date
    closes: date
    stages: tuple[Stage, ...] = ()
    treat_by: date | None = None
    spaces: int = 1
    piece_kind: str | None = None
    gear: GearEntry | None = None
    job: JobEntry | None = None
    periods: tuple[Days, ...] | None = None
    undue: tuple[str, ...] = ()

    @property
    def suspected(self) -> bool:
        """Suspected of foulbrood: set apart, no work."""
        return self.gear is not None and self.gear.foulbrood is Foulbrood.SUSPECTED


@dataclass(frozen=True)
class Yard:
    """All lots of the winter by name: gear, jobs and rounds."""

    lots: Mapping[str, Lot]

    def find(self, row: Row) -> tuple[Lot, Step] | None:
        """The lot and step a row works on; None where there is no such work."""
        lot = self.lots.get(row.lot)
        step = next((s for s in lot.steps if s.name == row.step), None) if lot else None
        return (lot, step) if lot and step else None


def yard_of(scenario: Scenario, clock: Clock, outlook: Outlook | None) -> Yard:
    """Everything there is to do, derived from the scenario and the weather to be expected."""

    @cache
    def drying_at(kind: str, place: str) -> DryingAir | None:
        return drying_air(kind, scenario.places.get(place), outlook, clock)

    lots = {name: _gear_lot(scenario, name, gear, outlook, drying_at) for name, gear in scenario.gear.items()}
    lots |= {name: _job_lot(scenario, name, job) for name, job in scenario.jobs.items()}
    lots |= {name: _round_lot(scenario, name, entry, outlook) for name, entry in scenario.rounds.items()}
    return Yard(lots)


def _gear_lot(scenario: Scenario, name: str, gear: GearEntry, outlook: Outlook | None, drying_at: _DryingAt) -> Lot:
    season = scenario.season
    piece = CATALOGUE.get(gear.piece)
    kind = gear.kind or (piece.kind if piece else None)
    due = paint_due(gear.last_painted, season.from_.year, season.climate.value)
    named = () if gear.foulbrood is Foulbrood.SUSPECTED else tuple(t for t in gear.steps if t in scenario.tasks)
    done_here = tuple(t for t in named if due or scenario.tasks[t].paint is None)
    steps: list[Step] = []
    for task in done_here:
        steps.append(_step(scenario.tasks[task], task, gear, steps))
    stages, closes = _stages(gear, steps), gear.ready_by or season.until
    comb = kind == "comb" and gear.foulbrood is not Foulbrood.SUSPECTED
    treated_by = treat_by_day(scenario, gear, outlook) if comb else None
    if steps:
        steps[-1] = replace(steps[-1], renewals=renewals(treated_by, closes, steps[-1].protects))
    return Lot(
        name=name,
        count=gear.count,
        steps=tuple(_with_wait(scenario, gear, s, stages, drying_at) for s in steps),
        opens=gear.arrives or season.from_,
        closes=closes,
        stages=stages,
        treat_by=treated_by,
        spaces=gear.spaces or (piece.spaces if piece else 1),
        piece_kind=kind,
        gear=gear,
        undue=tuple(t for t in named if t not in done_here),
    )


def _step(task: TaskEntry, name: str, gear: GearEntry, earlier: list[Step]) -> Step:
    return Step(
        name=name,
        index=len(earlier),
        pieces=math.ceil(gear.count * task.share - _ROUNDING),
        seconds_each=round(task.minutes_each * 60),
        must=task.importance is Importance.MUST and name not in gear.optional,
        setup_s=round(task.setup_minutes * 60),
        hands=task.hands,
        at=task.at,
        weather=task.weather,
        needs=frozenset(s.index for s in earlier if s.name in task.needs),
        then=task.then,
        within_s=task.within,
        kills=task.kills,
        uses_up=task.uses_up,
        seals=task.seals,
        protects=task.protects,
    )


def _stages(gear: GearEntry, steps: list[Step]) -> tuple[Stage, ...]:
    """Arrival and every step after which all pieces rest anew: full, and last or not skippable for the one after it."""
    stages = [Stage(None, gear.rests)]
    for step in steps:
        following = steps[step.index + 1] if step.index + 1 < len(steps) else None
        if step.pieces == gear.count and (following is None or not step.skippable_for(following)):
            place = None if step.uses_up else step.then.rests or stages[-1].place
            stages.append(Stage(step.index, place))
    return tuple(stages)


def _with_wait(
    scenario: Scenario, gear: GearEntry, step: Step, stages: tuple[Stage, ...], drying_at: _DryingAt
) -> Step:
    here = [stage.place for stage in stages if stage.after is None or stage.after <= step.index]
    rests = step.then.rests or here[-1] or ""
    air = drying_at(step.then.dries.value, rests) if step.then.dries is not None else None
    return replace(step, wait=wait_of(step.then, gear.comb, scenario.places.get(rests), air))


def _job_lot(scenario: Scenario, name: str, job: JobEntry) -> Lot:
    whole_s = round(job.hours * 3_600)
    part_s = next((p for p in (900, 300, 60) if whole_s % p == 0), whole_s) if job.divisible else whole_s
    step = Step(
        name=name,
        index=0,
        pieces=whole_s // part_s,
        seconds_each=part_s,
        must=job.importance is Importance.MUST,
        hands=job.hands,
        at=job.at,
        weather=job.weather,
    )
    opens, closes = job.from_ or scenario.season.from_, job.by or scenario.season.until
    return Lot(name, step.pieces, (step,), opens, closes, job=job)


def _round_lot(scenario: Scenario, name: str, entry: RoundEntry, outlook: Outlook | None) -> Lot:
    opens, closes = entry.from_ or scenario.season.from_, entry.until or scenario.season.until
    periods = periods_of(scenario, entry, outlook)
    step = Step(
        name=name,
        index=0,
        pieces=len(periods),
        seconds_each=round(entry.minutes * 60),
        must=entry.importance is Importance.MUST,
        hands=entry.hands,
        at=entry.at,
        weather=entry.weather,
    )
    return Lot(name, len(periods), (step,), opens, closes, periods=periods)
