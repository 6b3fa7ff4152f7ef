"""Lots of gear: effective steps, pieces, waits, and where they come to rest."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from offseason.scenario.lots import spaces_of
from offseason.scenario.model import Foulbrood, GearEntry, Importance, PlaceEntry, Scenario
from offseason.trade.paint import paint_due
from offseason.weather.outlook import Outlook
from offseason.workload import model
from offseason.workload.drying import Drying
from offseason.workload.protection import guard
from offseason.workload.sessions import day_ends_s, day_starts_s
from offseason.workload.waits import wait_s

COMB_SPACES_PER_BOX = 10
"""Comb spaces one space for a box stands for. Ours: the ten frames of the commonest box."""


def places_of(scenario: Scenario) -> tuple[model.Place, ...]:
    """The places, spaces counted as the keeper counts them there (boxes in comb spaces)."""
    return tuple(_place(name, entry) for name, entry in scenario.places.items())


def _place(name: str, entry: PlaceEntry) -> model.Place:
    holds = None
    if entry.holds is not None:
        holds = entry.holds.spaces * (COMB_SPACES_PER_BOX if entry.holds.unit == "boxes" else 1)
    cold = entry.celsius is not None and entry.celsius.highest <= -7
    return model.Place(name, entry.seats, holds, entry.whole_loads if entry.whole_loads is not None else cold)


def gear_lot(
    scenario: Scenario,
    name: str,
    gear: GearEntry,
    sessions: tuple[model.Session, ...],
    outlook: Outlook | None,
    drying_at: Callable[[str | None, str], Drying | None],
) -> model.Lot:
    """The lot as the solver plans it, with its protection where it is comb.

    ``drying_at``: how something of a kind dries at a place; None: the air there is taken as constant.
    """
    due = paint_due(gear.last_painted, scenario.season.from_.year, scenario.season.climate.value)
    named = () if gear.foulbrood is Foulbrood.SUSPECTED else gear.steps
    tasks = [task for task in named if due or scenario.tasks[task].paint is None]
    steps: list[model.Step] = []
    at_rest = gear.rests
    for task in tasks:
        step = _step(scenario, gear, task, tasks[: len(steps)])
        entry = scenario.tasks[task]
        at_rest = entry.then.rests if entry.then.rests is not None and step.pieces == gear.count else at_rest
        rests_in = entry.then.rests or at_rest
        at_rest = None if entry.uses_up else at_rest
        place, dries = scenario.places.get(rests_in or ""), entry.then.dries
        drying = drying_at(rests_in, dries.value) if dries else None
        wait = wait_s(entry.then, gear, place, dries_by_hour=drying is not None)
        steps.append(replace(step, stays=_stays(scenario, gear, at_rest), wait_s=wait, drying=drying))
    lot = model.Lot(
        name=name,
        stated=name,
        count=gear.count,
        steps=tuple(steps),
        arrives_s=day_starts_s(scenario, gear.arrives or scenario.season.from_),
        ready_by_s=None if gear.ready_by is None else day_ends_s(scenario, gear.ready_by),
        rests=_stays(scenario, gear, gear.rests),
    )
    return guard(scenario, gear, tasks, lot, sessions, outlook)


def _stays(scenario: Scenario, gear: GearEntry, place: str | None) -> tuple[model.Stay, ...]:
    if place is None:
        return ()
    holds = scenario.places[place].holds
    spaces = spaces_of(gear) or 1
    index = list(scenario.places).index(place)
    return (model.Stay(index, 1 if holds is None or holds.unit == "pieces" else spaces),)


def _step(scenario: Scenario, gear: GearEntry, task: str, earlier: list[str]) -> model.Step:
    entry = scenario.tasks[task]
    needs = tuple(earlier.index(n) for n in entry.needs if n in earlier)
    optional = Importance.COULD if task in gear.optional else entry.importance
    reference = max(needs) if needs else (len(earlier) - 1 if earlier else None)
    bound = entry.within is not None and reference is not None
    return model.Step(
        task=task,
        pieces=math.ceil(gear.count * entry.share - 1e-9),
        seconds_each=round(entry.minutes_each * 60),
        setup_s=round(entry.setup_minutes * 60),
        hands=entry.hands,
        at=None if entry.at is None else list(scenario.places).index(entry.at),
        need=entry.weather,
        likes=entry.likes_weather,
        importance=model.Importance(optional.value),
        worth=entry.worth,
        needs=needs,
        within_s=entry.within if bound else None,
        within_of=reference if bound else None,
    )
