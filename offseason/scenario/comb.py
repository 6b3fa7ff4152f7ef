"""Comb and moths: what kills, what seals, how long, and looking at comb that is only kept cool."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.lots import LotStep, kind_of, stages_of, steps_of
from offseason.scenario.model import CombClass, GearEntry, TaskEntry
from offseason.scenario.outdoors import unknown_celsius
from offseason.scenario.words import AS_THE_STORE_WARMS
from offseason.scenario.yaml_tree import Path
from offseason.trade.cold import WARMEST_KILL_CELSIUS, kill_hours
from offseason.trade.heat import HIGHEST_CELSIUS, WAX_SAGS_CELSIUS, heat_kill_minutes
from offseason.trade.moths import ARRESTED_CELSIUS, INACTIVE_CELSIUS

LOOK_EVERY_DAYS = 30


def comb_findings(draft: Draft) -> Iterator[Finding]:
    """Every step that does not do to comb what the scenario says it does."""
    for name, task in draft.tasks.items():
        if task.kills and draft.sound("tasks", name):
            yield from _kills(draft, name, task)
        elif task.then.wait == "freezer stay" and draft.sound("tasks", name):
            yield from _cold_enough(draft, name, task)
    for name, lot in draft.gear.items():
        steps = steps_of(draft, lot) if draft.sound("gear", name) else None
        if steps is None:
            continue
        yield from _gone(name, steps)
        if kind_of(lot) == "comb":
            yield from _steps(draft, name, lot, steps)
        elif kind_of(lot) is not None:
            for step in steps:
                if step.task.then.wait == "freezer stay":
                    kind = f"'{name[:60]}' is of kind {kind_of(lot)}"
                    text = f"'freezer stay' is for comb, and {kind}; write a length of time"
                    yield Finding(("tasks", step.name, "then", "wait"), text)


def _kills(draft: Draft, name: str, task: TaskEntry) -> Iterator[Finding]:
    path: Path = ("tasks", name, "kills")
    if task.then.rests is None:
        text = f"'{name[:60]}' kills moths by cold or heat only where the comb rests: write where, under then: in:"
        yield Finding(path, text, on_key=True)
        return
    place = draft.places.get(task.then.rests)
    if place is None or not draft.sound("places", task.then.rests):
        return
    where = f"'{task.then.rests[:60]}'"
    if place.celsius is None:
        yield Finding(path, unknown_celsius(task.then.rests, place), on_key=True)
        return
    if task.then.wait == "freezer stay":
        yield from _cold_enough(draft, name, task)
        return
    hours = kill_hours(place.celsius.highest)
    if hours is None and place.celsius.highest <= HIGHEST_CELSIUS:
        minutes = heat_kill_minutes(place.celsius.lowest)
        hours = None if minutes is None else minutes / 60
    if hours is None:
        text = (
            f"{where} is neither cold nor hot enough to kill moths; that takes {WARMEST_KILL_CELSIUS:g} °C or colder "
            f"(or 46 to {HIGHEST_CELSIUS:.0f} °C for empty dry comb)"
        )
        yield Finding(path, text, on_key=True)
        return
    wait = task.then.wait / 3600 if isinstance(task.then.wait, int) else 0.0
    if wait < hours - 1e-9:
        text = f"moths are dead after {hours:.3g} h in {where}, and the comb stays {wait:.3g} h; write wait: 24 h"
        yield Finding((*path[:2], "then", "wait"), text)


def _cold_enough(draft: Draft, name: str, task: TaskEntry) -> Iterator[Finding]:
    path: Path = ("tasks", name, "then", "wait")
    if task.then.rests is None:
        yield Finding(path, "'freezer stay' wants the freezer beside it; add in: and the name of that place")
        return
    place = draft.places.get(task.then.rests)
    if place is None or not draft.sound("places", task.then.rests):
        return
    where = f"'{task.then.rests[:60]}'"
    if place.celsius is None:
        yield Finding(path, unknown_celsius(task.then.rests, place))
    elif place.celsius.highest >= WARMEST_KILL_CELSIUS:
        text = f"{where} is not a freezer that kills moths; it has to be colder than {WARMEST_KILL_CELSIUS:g} °C"
        yield Finding(path, text)


def _steps(draft: Draft, name: str, lot: GearEntry, steps: list[LotStep]) -> Iterator[Finding]:
    killed = False
    for step in steps:
        path: Path = ("gear", name, "steps", step.index)
        if step.task.seals and not killed:
            text = (
                f"'{step.name[:60]}' closes '{name[:60]}' with what moths there are inside; "
                "put a step before it that kills them, such as freezing"
            )
            yield Finding(path, text)
        if step.task.treatment is not None and lot.comb is CombClass.HONEY:
            text = (
                f"'{name[:60]}' has honey in it, and no treatment belongs on honey; "
                f"take '{step.name[:60]}' off its steps"
            )
            yield Finding(path, text)
        place = draft.places.get(step.task.then.rests or "")
        hot = place and place.celsius and place.celsius.highest > WAX_SAGS_CELSIUS
        if step.task.kills and hot and lot.comb is not CombClass.DRY:
            text = (
                f"heat is for empty dry comb alone, and '{name[:60]}' is not said to be: "
                "freeze it, or write comb: dry if it is"
            )
            yield Finding(path, text)
        killed = killed or step.task.kills


def _gone(name: str, steps: list[LotStep]) -> Iterator[Finding]:
    """Pieces that are gone cannot be worked on again, nor can some of a lot be gone and the rest go on."""
    for step in steps:
        path: Path = ("gear", name, "steps", step.index)
        if step.task.uses_up and step is not steps[-1]:
            text = f"after '{step.name[:60]}' nothing is left of '{name[:60]}' to work on; make it the last step"
            yield Finding(path, text)
        elif step.task.uses_up and not step.full:
            text = f"'{step.name[:60]}' uses up only a share of '{name[:60]}'; make those pieces a lot of their own"
            yield Finding(path, text)


def cool_store_findings(draft: Draft) -> Iterator[Finding]:
    """Stores that keep moths from growing and do not make them inactive, and that nobody looks at often enough."""
    if draft.moths is None or not draft.readable("rounds"):
        return
    for name, lot in draft.gear.items():
        steps = steps_of(draft, lot) if draft.sound("gear", name) else None
        if steps is not None and kind_of(lot) == "comb":
            yield from _looked_at(draft, name, lot, steps)


def _often_enough(every: int | str) -> bool:
    return every <= LOOK_EVERY_DAYS * 86_400 if isinstance(every, int) else every == AS_THE_STORE_WARMS


def _looked_at(draft: Draft, name: str, lot: GearEntry, steps: list[LotStep]) -> Iterator[Finding]:
    for stage in stages_of(lot, name, steps):
        place = draft.places.get(stage.place)
        if place is None or place.celsius is None or not draft.sound("places", stage.place):
            continue
        if not INACTIVE_CELSIUS < place.celsius.highest <= ARRESTED_CELSIUS:
            continue
        looks = [n for n in draft.rounds if draft.rounds[n].looks_at == stage.place]
        if not all(draft.sound("rounds", n) for n in draft.rounds):
            continue
        if any(_often_enough(draft.rounds[n].every) for n in looks):
            continue
        where, warmest = f"'{stage.place[:60]}'", f"{place.celsius.highest:g} °C"
        text = f"comb in {where}, at up to {warmest}, has to be looked at every {LOOK_EVERY_DAYS} days or more often"
        if looks:
            yield Finding(("rounds", looks[0], "every"), f"{text}; write {LOOK_EVERY_DAYS} d")
        else:
            add = f"add a round with every: {LOOK_EVERY_DAYS} d and looks_at: {stage.place[:60]}"
            yield Finding(("places", stage.place), f"{text}; {add}", on_key=True)
