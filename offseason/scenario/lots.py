"""What a lot of gear goes through: the steps that take place, and the places it rests in between.

For the checks of a scenario; the workload asks here for kinds and spaces, the audit works all out in its own words.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from offseason.scenario.draft import Draft
from offseason.scenario.model import GearEntry, Importance, PlaceEntry, TaskEntry
from offseason.scenario.outdoors import follows_outdoors
from offseason.scenario.yaml_tree import Path
from offseason.trade.cold import freezer_stay_hours
from offseason.trade.paint import UNKNOWN_CELSIUS, UNKNOWN_HUMIDITY_PERCENT, drying_hours, paint_due
from offseason.trade.sizes import CATALOGUE

COMBS_TO_A_BOX = 10


@dataclass(frozen=True)
class LotStep:
    """One step that takes place: ``full``: on all pieces; ``must``: for this lot; ``needs``: names of earlier steps."""

    index: int
    name: str
    task: TaskEntry
    full: bool
    must: bool
    needs: tuple[str, ...]

    def skippable_for(self, later: LotStep) -> bool:
        """Whether a piece may reach ``later`` without this step."""
        return not self.must and self.name not in later.needs


@dataclass(frozen=True)
class Stage:
    """Where pieces rest, after ``step`` (None: on arrival); ``path``: where the scenario says so."""

    place: str
    step: LotStep | None
    path: Path


def kind_of(lot: GearEntry) -> str | None:
    """Kind of the pieces, as written or by the catalogue; None where neither says it."""
    piece = CATALOGUE.get(lot.piece)
    return lot.kind or (piece.kind if piece else None)


def spaces_of(lot: GearEntry) -> int | None:
    """Comb spaces one piece takes, as written or by the catalogue; None where neither says it."""
    piece = CATALOGUE.get(lot.piece)
    return lot.spaces or (piece.spaces if piece else None)


def capacity(place: PlaceEntry, lot: GearEntry) -> tuple[int, int] | None:
    """Spaces a place holds and spaces one piece of the lot takes there; None where one is not known."""
    if place.holds is None:
        return None
    if place.holds.unit == "pieces":
        return place.holds.spaces, 1
    spaces = spaces_of(lot)
    return (place.holds.spaces * (COMBS_TO_A_BOX if place.holds.unit == "boxes" else 1), spaces) if spaces else None


def steps_of(draft: Draft, lot: GearEntry) -> list[LotStep] | None:
    """The steps that take place, in order, without painting that is not due; None where one cannot be read."""
    if not all(draft.sound("tasks", name) for name in lot.steps):
        return None
    steps: list[LotStep] = []
    for index, name in enumerate(lot.steps):
        task = draft.tasks[name]
        if task.paint is not None and not _due(draft, lot):
            continue
        pieces = math.ceil(lot.count * task.share - 1e-9)
        must = task.importance is Importance.MUST and name not in lot.optional
        needs = tuple(need for need in task.needs if need in [step.name for step in steps])
        steps.append(LotStep(index, name, task, pieces == lot.count, must, needs))
    return steps


def _due(draft: Draft, lot: GearEntry) -> bool:
    if draft.season is None:
        return True
    try:
        return paint_due(lot.last_painted, draft.season.from_.year, draft.season.climate)
    except ValueError:
        return True


def stages_of(lot: GearEntry, name: str, steps: list[LotStep]) -> list[Stage]:
    """Where the pieces rest: on arrival, then after each step that all pieces go through before the next."""
    stages = [Stage(lot.rests, None, ("gear", name, "rests"))] if lot.rests else []
    for n, step in enumerate(steps):
        place = step.task.then.rests
        if place is not None and is_stage(steps, n):
            stages.append(Stage(place, step, ("tasks", step.name, "then", "in" if step.task.then.in_ else "on")))
    return stages


def is_stage(steps: list[LotStep], n: int) -> bool:
    """Whether all pieces rest after the n-th step as it says, before the next is begun."""
    if n + 1 < len(steps):
        return steps[n].full and not steps[n].skippable_for(steps[n + 1])
    return steps[n].full


def wait_hours(draft: Draft, lot: GearEntry, step: LotStep, place: str | None) -> float:
    """Hours from the end of a step until the next may begin, at the warmest of the place; 0 where not known.

    Where the air changes with the weather it is not known: warm days may dry it sooner than any number here.
    """
    then, at = step.task.then, draft.places.get(place or "")
    if then.wait == "freezer stay":
        return freezer_stay_hours(lot.comb.value if lot.comb else None)
    if isinstance(then.wait, int):
        return then.wait / 3600
    if then.dries is None:
        return 0.0
    if at and (follows_outdoors(draft.weather, at) or (at.celsius is None and not draft.readable("weather"))):
        return 0.0
    celsius = at.celsius.highest if at and at.celsius else UNKNOWN_CELSIUS
    humidity = at.humidity_percent if at and at.humidity_percent is not None else UNKNOWN_HUMIDITY_PERCENT
    try:
        return drying_hours(then.dries, celsius, humidity)
    except ValueError:
        return 0.0
