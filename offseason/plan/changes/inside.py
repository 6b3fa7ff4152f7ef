"""What is in a place at a moment of a plan, load by load: what brought each there, and what takes it out again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby, zip_longest

import numpy as np

from offseason.plan.audit.case import Case
from offseason.plan.audit.timeline import NO_PIECES
from offseason.plan.audit.yard import Lot, Stage
from offseason.plan.document import Row


@dataclass(frozen=True)
class Load:
    """Pieces in a place: ``came_by`` this row at ``since_s``, and taken out by ``leaves_by`` (None: by none)."""

    since_s: int
    came_by: Row
    leaves_by: Row | None


def stays_of(case: Case, row: Row) -> tuple[str | None, str | None]:
    """The place the work of a row takes pieces from, and the one it puts them in; None: neither counts."""
    lot = case.yard.lots.get(row.lot)
    came_from = None
    for stage in lot.stages if lot else ():
        if lot and stage.after is not None and lot.steps[stage.after].name == row.step:
            return (came_from, stage.place) if came_from != stage.place else (None, None)
        came_from = stage.place
    return None, None


def finished_s(case: Case, row: Row) -> tuple[int, int] | None:
    """When the first and when the last piece of a row is through, in elapsed seconds; None where it has none."""
    found = case.yard.find(row)
    numbers = [number for number, stint in enumerate(case.timeline.stints) if stint.row is row]
    if found is None or not numbers:
        return None
    pieces = case.timeline.of(*found)
    own = pieces.finishes[pieces.stints == numbers[0]]
    return (int(own.min()), int(own.max())) if len(own) else None


def loads_in(case: Case, place: str, moment_s: int) -> tuple[Load, ...]:
    """The loads in a place at a moment, in the order in which they came; gear there since it arrived is none."""
    found = {
        load
        for lot in case.yard.lots.values()
        for stage, following in _visits(lot)
        if stage.place == place
        for load in _of_stage(case, lot, stage, following, moment_s)
    }
    return tuple(sorted(found, key=lambda load: (load.since_s, load.came_by.lot, load.came_by.step)))


def _visits(lot: Lot) -> Iterator[tuple[Stage, Stage | None]]:
    """Each time a piece of the lot comes to another place: the stage it comes with, and the one it leaves with."""
    come = [next(stages) for _, stages in groupby(lot.stages, key=lambda stage: stage.place)]
    yield from zip_longest(come, come[1:])


def _of_stage(case: Case, lot: Lot, stage: Stage, following: Stage | None, moment_s: int) -> Iterator[Load]:
    """Pieces go in and out first come, first served, as the audit counts them."""
    if stage.after is None:
        return
    come = case.timeline.of(lot, lot.steps[stage.after])
    leaves = following is not None and following.after is not None
    leave = case.timeline.of(lot, lot.steps[following.after or 0]) if following and leaves else NO_PIECES
    never = np.iinfo(np.int64).max
    gone_s, out = np.full(len(come), never, dtype=np.int64), np.full(len(come), -1, dtype=np.int64)
    both = min(len(come), len(leave))
    gone_s[:both], out[:both] = leave.begins[:both], leave.stints[:both]
    inside = (come.finishes <= moment_s) & (gone_s > moment_s)
    for by, to in dict.fromkeys(zip(come.stints[inside].tolist(), out[inside].tolist(), strict=True)):
        since_s = int(come.finishes[come.stints == by].min())
        yield Load(since_s, case.timeline.row(by), None if to < 0 else case.timeline.row(to))
