"""What a winter uses up or buys, by the names that may stand under ``supplies:``, and what is mistaken there."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date
from enum import StrEnum
from types import MappingProxyType

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.lots import kind_of
from offseason.scenario.model import GearEntry, SupplyEntry, TaskEntry
from offseason.scenario.nearest import nearest, offer

DEFAULT_LEAD_DAYS = 7  # ours
PAINTS = ("latex", "oil")
_PRIMER = re.compile(r"(?<![^\W_])(?:prim(?:e|er|ed|ing)|undercoat(?:s|ed|ing)?)(?![^\W_])", re.IGNORECASE)


class SupplyKind(StrEnum):
    """What kind of thing a supply is: decides how it is counted."""

    PAINT = "paint"
    THING = "thing"
    TREATMENT = "treatment"
    GEAR = "gear"


def paint_name(step: str, task: TaskEntry) -> str | None:
    """``latex paint``, ``oil paint``, or a primer where the step is called so; None where nothing is painted."""
    if task.paint not in PAINTS:
        return None
    return f"{task.paint} {'primer' if _PRIMER.search(step) else 'paint'}"


def supply_kinds(tasks: Mapping[str, TaskEntry]) -> Mapping[str, SupplyKind]:
    """What these tasks use up, by name: paints, things used for each piece, treatments."""
    found: dict[str, SupplyKind] = {}
    for step, task in tasks.items():
        if (paint := paint_name(step, task)) is not None:
            found.setdefault(paint, SupplyKind.PAINT)
        for name in task.uses:
            found.setdefault(name, SupplyKind.THING)
        if task.treatment is not None:
            found.setdefault(task.treatment, SupplyKind.TREATMENT)
    return MappingProxyType(found)


def is_bought(
    name: str, lot: GearEntry, tasks: Mapping[str, TaskEntry], supplies: Mapping[str, SupplyEntry], *, first_day: date
) -> bool:
    """Whether a lot of gear is bought: named under ``supplies:``, or foundation that comes after the first day.

    Foundation does not come back from the hives; other gear that arrives later mostly does. Where a step uses up
    sheets of foundation, those sheets are what is bought, and the lot is not counted a second time.
    """
    if name in supply_kinds(tasks):
        return False
    if name in supplies:
        return True
    late = lot.arrives is not None and lot.arrives != first_day
    return kind_of(lot) == "foundation" and late and not any(fits_foundation(tasks.get(step)) for step in lot.steps)


def fits_foundation(task: TaskEntry | None) -> bool:
    """Whether the task puts foundation into frames: something it uses is called so."""
    return task is not None and any("foundation" in name.casefold() for name in task.uses)


def supply_findings(draft: Draft) -> Iterator[Finding]:
    """Names under ``supplies:`` that the winter neither uses nor buys, and square metres for what is no paint."""
    known = supply_kinds(draft.tasks)
    read = all(draft.sound_in("tasks", name, "uses", "paint", "treatment") for name in draft.names("tasks"))
    if not (read and draft.readable("tasks") and draft.readable("gear")):
        return
    lots = draft.names("gear")
    for name, entry in draft.supplies.items():
        path = ("supplies", name)
        if name not in known and name not in lots:
            close = nearest(name, [*known, *lots])
            told = f"did you mean '{close}'?" if close else offer(name, known, what="used this winter")
            yield Finding(path, f"'{name[:60]}' is neither used nor bought this winter; {told}", on_key=True)
        elif entry.m2_per_litre is not None and known.get(name) is not SupplyKind.PAINT:
            text = f"only paint covers square metres, and '{name[:60]}' is not the paint of a task; delete it"
            yield Finding((*path, "m2_per_litre"), text, on_key=True)
