"""Where gear rests: room for it, shelter for wood, warmth for foundation, steps that follow one another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.lots import (
    LotStep,
    Stage,
    capacity,
    is_stage,
    kind_of,
    stages_of,
    steps_of,
    wait_hours,
)
from offseason.scenario.model import Foulbrood, GearEntry, PlaceEntry
from offseason.scenario.nearest import listed, nearest
from offseason.scenario.outdoors import unknown_celsius
from offseason.scenario.yaml_tree import Path
from offseason.trade.sizes import CATALOGUE, FOUNDATION_CELSIUS, KINDS


def store_findings(draft: Draft) -> Iterator[Finding]:
    """Every lot whose pieces, steps or resting places cannot be as written."""
    lots = {name: lot for name, lot in draft.gear.items() if draft.sound("gear", name)}
    for name, lot in draft.gear.items():
        if draft.sound_in("gear", name, "piece", "kind"):
            yield from _piece(name, lot)
        yield from _twice(name, lot)
    for name, lot in lots.items():
        steps = steps_of(draft, lot)
        if steps is None:
            continue
        yield from _needs_later(draft, name, lot)
        for stage in stages_of(lot, name, steps):
            if draft.sound("places", stage.place):
                yield from _rest(draft.places[stage.place], stage, name, lot)
        yield from _moved_by_some(draft, lot, name, steps)
        yield from _within(draft, lot, name, steps)
    yield from _arrivals(draft, lots)
    yield from _foulbrood(draft, lots)
    yield from _looked_at(draft)


def _piece(name: str, lot: GearEntry) -> Iterator[Finding]:
    piece, path = CATALOGUE.get(lot.piece), ("gear", name)
    kinds = listed(KINDS, "or")
    if lot.kind is not None and lot.kind not in KINDS:
        close = nearest(lot.kind, KINDS)
        did_you = f" (did you mean '{close}'?)" if close else ""
        yield Finding((*path, "kind"), f"'{lot.kind[:60]}' is not a kind of gear{did_you}; write {kinds}")
    elif lot.kind is None and piece is None:
        close = nearest(lot.piece, CATALOGUE)
        ask = f"did you mean '{close}'? If not," if close else "to use your own word,"
        yield Finding((*path, "piece"), f"'{lot.piece[:60]}' is not in the catalogue; {ask} add kind: {kinds}")
    elif lot.kind is not None and piece is not None and lot.kind != piece.kind:
        text = f"'{lot.piece}' is of kind {piece.kind} in the catalogue; delete this, or call the piece something else"
        yield Finding((*path, "kind"), text)
    elif kind_of(lot) != "comb":
        for key, there in (("comb", lot.comb is not None), ("webbing_seen", lot.webbing_seen)):
            if there:
                text = f"only comb has '{key}', and '{name[:60]}' is of kind {kind_of(lot)}; delete it"
                yield Finding((*path, key), text, on_key=True)


def _twice(name: str, lot: GearEntry) -> Iterator[Finding]:
    for n, step in enumerate(lot.steps):
        if step in lot.steps[:n]:
            text = (
                f"'{step[:60]}' is already a step of '{name[:60]}'; for a second time describe a task of another name"
            )
            yield Finding(("gear", name, "steps", n), text)


def _needs_later(draft: Draft, name: str, lot: GearEntry) -> Iterator[Finding]:
    for n, step in enumerate(lot.steps):
        for need in draft.tasks[step].needs:
            if need in lot.steps[n + 1 :]:
                text = f"'{step[:60]}' needs '{need[:60]}', which comes later in these steps; exchange them"
                yield Finding(("gear", name, "steps", n), text)


def _rest(place: PlaceEntry, stage: Stage, name: str, lot: GearEntry) -> Iterator[Finding]:
    where, what = f"'{stage.place[:60]}'", f"'{name[:60]}'"
    room = capacity(place, lot)
    if place.holds is None:
        yield Finding(stage.path, f"{where} does not hold anything; add holds: to that place")
    elif room is None:
        add = "add spaces: and how many combs would take as much, as in spaces: 10"
        text = f"say how much room one {lot.piece[:60]} takes in {where}; {add}"
        yield Finding(("gear", name), text, on_key=True)
    elif room[1] > room[0]:
        yield Finding(stage.path, f"one piece of {what} takes {room[1]} comb spaces, and {where} has {room[0]} in all")
    kind = kind_of(lot)
    if kind == "woodenware" and not (place.sheltered if place.sheltered is not None else not place.open_air):
        text = f"{what} is woodenware and would rot in {where}, in sun and rain; choose a sheltered place"
        yield Finding(stage.path, text)
    if kind == "foundation":
        low, high = FOUNDATION_CELSIUS
        if place.celsius is None:
            text = f"{what} is foundation, and {unknown_celsius(stage.place, place)}"
            yield Finding(stage.path, text)
        elif place.celsius.lowest < low or place.celsius.highest > high:
            text = f"{what} is foundation, which wants {low:g} to {high:g} °C; {where} is not so all winter"
            yield Finding(stage.path, text)


def _moved_by_some(draft: Draft, lot: GearEntry, name: str, steps: list[LotStep]) -> Iterator[Finding]:
    at = lot.rests
    for n, step in enumerate(steps):
        place = step.task.then.rests
        if is_stage(steps, n):
            at = place or at
        elif place is not None and place != at and draft.sound("places", place):
            why = "is done to only some pieces of" if not step.full else "may be left out for"
            home = f"they stay in '{at[:60]}'" if at else "delete the place"
            text = f"'{step.name[:60]}' {why} '{name[:60]}', so it cannot move them to '{place[:60]}'; {home}"
            yield Finding(("tasks", step.name, "then", "in" if step.task.then.in_ else "on"), text)


def _within(draft: Draft, lot: GearEntry, name: str, steps: list[LotStep]) -> Iterator[Finding]:
    for n, step in enumerate(steps):
        if step.task.within is None or n == 0:
            continue
        before = next((s for s in reversed(steps[:n]) if s.name in step.needs), steps[n - 1])
        path: Path = ("tasks", step.name, "within")
        if not before.full or before.skippable_for(step):
            why = "is done to only some pieces" if not before.full else "may be left out"
            text = (
                f"'{step.name[:60]}' of '{name[:60]}' cannot be counted from '{before.name[:60]}', which {why}; "
                "name a step that all pieces go through under needs:"
            )
            yield Finding(path, text)
            continue
        place = before.task.then.rests or lot.rests
        wait = wait_hours(draft, lot, before, place) + step.task.minutes_each / 60
        if step.task.within < wait * 3600 - 1 and draft.sound("places", place or ""):
            text = (
                f"'{step.name[:60]}' of '{name[:60]}' is to be done within {step.task.within / 3600:g} h of "
                f"'{before.name[:60]}', after which {wait:.3g} h pass before it can be{_told_on(draft, before.name)}; "
                "write a longer time"
            )
            yield Finding(path, text)


def _told_on(draft: Draft, task: str) -> str:
    """Where it is written how long one waits after a task, for a sentence; empty where nothing is."""
    path = next((p for key in ("wait", "dries") if draft.tree.at(p := ("tasks", task, "then", key)) is not None), None)
    return "" if path is None else f" (see line {draft.line(*path)})"


def _arrivals(draft: Draft, lots: dict[str, GearEntry]) -> Iterator[Finding]:
    """What arrives on one day at one place is all there that morning, before any work on it."""
    together: dict[tuple[str, date | None], dict[str, int]] = defaultdict(dict)
    for name, lot in lots.items():
        if lot.rests is None or not draft.sound("places", lot.rests):
            continue
        room = capacity(draft.places[lot.rests], lot)
        if room is None or room[1] > room[0]:
            continue
        day = lot.arrives or (draft.season.from_ if draft.season else None)
        there = together[(lot.rests, day)]
        fitted = sum(there.values()) <= room[0]
        there[name] = lot.count * room[1]
        taken = sum(there.values())
        if fitted and taken > room[0]:
            who = f"'{name[:60]}'" if len(there) == 1 else listed(f"'{other[:60]}'" for other in there)
            text = f"{who} on arrival take {taken:,} spaces in '{lot.rests[:60]}', which has {room[0]:,}"
            yield Finding(("gear", name, "rests"), text)


def _foulbrood(draft: Draft, lots: dict[str, GearEntry]) -> Iterator[Finding]:
    for name, lot in lots.items():
        if lot.foulbrood is not Foulbrood.SUSPECTED:
            continue
        if lot.steps:
            text = (
                f"'{name[:60]}' may carry foulbrood: no cleaning, melting, moving or freezing for use again; "
                "delete its steps, isolate it, seal it and report it"
            )
            yield Finding(("gear", name, "steps"), text)
        for other, beside in lots.items():
            stages = [] if other == name else stages_of(beside, other, steps_of(draft, beside) or [])
            if lot.rests is not None and lot.rests in [stage.place for stage in stages]:
                text = (
                    f"'{name[:60]}' may carry foulbrood and rests where '{other[:60]}' does; give it a place of its own"
                )
                yield Finding(("gear", name, "rests"), text)
                break


def _looked_at(draft: Draft) -> Iterator[Finding]:
    for name, inspection in draft.rounds.items():
        place = inspection.looks_at
        if place is not None and draft.sound("places", place) and draft.places[place].holds is None:
            yield Finding(("rounds", name, "looks_at"), f"'{place[:60]}' does not hold anything to look at")
