"""Cautions beside hazardous work: a word next to the row, its sentence once below, and always the last word."""

from __future__ import annotations

from collections.abc import Iterable

from offseason.plan.document import Row
from offseason.plan.supplies import painted_area_m2
from offseason.scenario.model import Foulbrood, GearEntry, Scenario
from offseason.share.terminal.layout import clean, paragraph
from offseason.trade.cautions import CAUTIONS, LAST_WORD, NEVER_ALONE, cautions_for


def cautions_of(scenario: Scenario, row: Row) -> tuple[str, ...]:
    """Words of caution for the row: the keeper's, and those the trade adds by what is done, with what, to what."""
    entry = scenario.tasks.get(row.step) or scenario.jobs.get(row.step) or scenario.rounds.get(row.step)
    if entry is None:
        return ()
    task, gear = scenario.tasks.get(row.step), scenario.gear.get(row.lot)
    known = cautions_for(
        words=[word for word in entry.caution if word in CAUTIONS],
        paint=task.paint if task else None,
        kind_of_work=row.step,
        old_paint=gear is not None and _may_have_old_paint(gear),
        substances=[*([task.treatment] if task.treatment else []), *task.uses] if task else (),
    )
    return (*known, *(word for word in entry.caution if word not in CAUTIONS))


def _may_have_old_paint(gear: GearEntry) -> bool:
    """Painted once, or of a kind that is painted and nobody says that it never was."""
    return gear.last_painted != "never" and (gear.last_painted is not None or painted_area_m2(gear) is not None)


def mark(words: Iterable[str]) -> str:
    """The words as they stand beside a row: ``[lead, dust]``, or nothing."""
    joined = ", ".join(words)
    return f"[{clean(joined)}]" if joined else ""


def care_of(scenario: Scenario, rows: Iterable[Row]) -> tuple[tuple[str, str], ...]:
    """The words of caution of these rows, each with its sentence; names in it as they were written."""
    words: dict[str, None] = {}
    alone: dict[str, dict[str, None]] = {}
    for row in rows:
        for word in cautions_of(scenario, row):
            words[word] = None
            if word in NEVER_ALONE and len(row.who) == 1:
                alone.setdefault(word, {})[row.step] = None
    if any(gear.foulbrood is Foulbrood.SUSPECTED for gear in scenario.gear.values()):
        words["foulbrood"] = None
    return tuple((word, CAUTIONS.get(word, "take care") + _alone(alone.get(word, ()))) for word in words)


def care_text(scenario: Scenario | None, rows: Iterable[Row]) -> str:
    """The sentence of each caution of these rows, once, and the last word."""
    found = care_of(scenario, rows) if scenario is not None else ()
    lines = [paragraph(clean(sentence), indent=14, first=f"  {clean(word)}") for word, sentence in found]
    return "\n".join([*(["Take care"] if lines else []), *lines, paragraph(LAST_WORD)])


def _alone(works: Iterable[str]) -> str:
    """Which work that is never to be done alone is planned so, and what to write to change that."""
    return "".join(f" {work}: planned for one person alone: give it `hands: 2`." for work in works)
