"""Foundation: fitted warm, and frames with foundation in them kept where it neither freezes nor sags.

Loose sheets and other gear of kind foundation are judged where they rest by ``offseason.scenario.stores``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.lots import kind_of
from offseason.scenario.model import GearEntry, PlaceEntry, Scenario, TaskEntry
from offseason.scenario.nearest import listed
from offseason.scenario.supply import fits_foundation
from offseason.scenario.yaml_tree import Path
from offseason.trade.sizes import FITTING_CELSIUS, FOUNDATION_CELSIUS, FOUNDATION_SOFT_CELSIUS

_FROM, _TO = FITTING_CELSIUS
_LOW, _HIGH = FOUNDATION_CELSIUS


def foundation_findings(draft: Draft) -> Iterator[Finding]:
    """Foundation fitted where it is never warm enough, and frames with foundation kept in frost or great heat."""
    tasks = {name: task for name, task in draft.tasks.items() if draft.sound("tasks", name)}
    gear = {name: lot for name, lot in draft.gear.items() if draft.sound("gear", name)}
    places = {name: place for name, place in draft.places.items() if draft.sound("places", name)}
    for step, task in _worked(tasks, gear).items():
        place = places.get(task.at or "")
        if place and place.celsius and place.celsius.highest < _FROM:
            text = (
                f"'{step[:60]}' works foundation, which breaks below {_FROM:g} °C, and '{str(task.at)[:60]}' is never "
                f"warmer than {place.celsius.highest:g} °C; choose a place of {_FROM:g} to {_TO:g} °C"
            )
            yield Finding(("tasks", step, "at"), text)
    for lot, step, where in _kept(tasks, gear):
        place = places.get(where)
        if place and place.celsius and (place.celsius.highest < _LOW or place.celsius.lowest > _HIGH):
            then = tasks[step].then
            moved: Path = ("tasks", step, "then", "in" if then.in_ else "on")
            path = moved if then.rests == where else ("gear", lot, "rests")
            wants = f"which wants {_LOW:g} to {_HIGH:g} °C"
            text = f"by then foundation is in '{lot[:60]}', {wants}; '{where[:60]}' is never so"
            yield Finding(path, text)


def foundation_remarks(scenario: Scenario) -> tuple[str, ...]:
    """What to see to where foundation is fitted or kept in a place that can be too cold or too warm for it.

    Fitted at 18 to 25 °C, brittle when colder, soft from about 32 °C: seen only on a secondary page, not confirmed,
    and common practice. A place whose temperature nobody knows counts as not known to be warm enough.
    """
    told = [
        text
        for step, task in _worked(scenario.tasks, scenario.gear).items()
        if task.at in scenario.places and (text := _fitting(step, task.at, scenario.places[task.at]))
    ]
    kept: dict[tuple[str, str], list[str]] = {}
    for lot, _, where in _kept(scenario.tasks, scenario.gear):
        if (how := _not_always_fit(scenario.places.get(where))) is not None:
            lots = kept.setdefault((where, how), [])
            lots += [lot] if lot not in lots else []
    told += [
        f"{listed(lots)}: with foundation in them they rest in {where}, {how}. Foundation wants {_LOW:g} to {_HIGH:g} "
        "°C, flat and dark: where it freezes, leave it alone until it is warm."
        for (where, how), lots in kept.items()
    ]
    return tuple(told)


def _worked(tasks: Mapping[str, TaskEntry], gear: Mapping[str, GearEntry]) -> dict[str, TaskEntry]:
    """The tasks in which foundation is handled: fitted, or worked on by itself."""
    stepped = {step for lot in gear.values() for step in lot.steps}
    on_it = {step for lot in gear.values() if kind_of(lot) == "foundation" for step in lot.steps}
    return {step: task for step, task in tasks.items() if step in on_it or (step in stepped and fits_foundation(task))}


def _kept(tasks: Mapping[str, TaskEntry], gear: Mapping[str, GearEntry]) -> Iterator[tuple[str, str, str]]:
    """Lots, the step since which they have foundation in them, and each place they rest in after it."""
    for name, lot in gear.items():
        where, fitted = lot.rests, False
        told: set[str] = set()
        for step in lot.steps:
            task = tasks.get(step)
            if task is None:
                break
            fitted = fitted or (fits_foundation(task) and kind_of(lot) != "foundation")
            where = task.then.rests or where
            if fitted and where is not None and where not in told and not task.uses_up:
                told.add(where)
                yield name, step, where


def _fitting(step: str, where: str, place: PlaceEntry) -> str | None:
    begins = f"{step}: foundation is worked at {where}, "
    warm = f"Warm sheets and place to {_FROM:g}-{_TO:g} °C first, or choose a warmer place."
    brittle = f"and it breaks below {_FROM:g} °C. {warm}"
    if place.celsius is None:
        return f"{begins}{_of_unknown_warmth(place)}, {brittle}"
    if place.celsius.lowest < _FROM:
        return f"{begins}which gets as cold as {place.celsius.lowest:g} °C, {brittle}"
    if place.celsius.highest >= FOUNDATION_SOFT_CELSIUS:
        soft = f"and it is soft from about {FOUNDATION_SOFT_CELSIUS:g} °C. Choose a cooler day or place."
        return f"{begins}which gets as warm as {place.celsius.highest:g} °C, {soft}"
    return None


def _not_always_fit(place: PlaceEntry | None) -> str | None:
    if place is None:
        return None
    if place.celsius is None:
        return _of_unknown_warmth(place)
    if place.celsius.lowest < _LOW:
        return f"which gets as cold as {place.celsius.lowest:g} °C"
    if place.celsius.highest > _HIGH:
        return f"which gets as warm as {place.celsius.highest:g} °C"
    return None


def _of_unknown_warmth(place: PlaceEntry) -> str:
    follows = place.open_air or place.outdoors_plus_k is not None
    return "whose temperature follows the weather" if follows else "whose temperature is not given"
