"""The rows of a plan on the true clock, and from them every single piece: when it begins and ends each step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from offseason.plan.audit.clock import Clock
from offseason.plan.audit.yard import Lot, Step, Yard
from offseason.plan.document import Plan, Row

Moments = NDArray[np.int64]


@dataclass(frozen=True)
class Stint:
    """A row in elapsed seconds: set-up from ``begins``, then pieces from ``first_piece``; None: no such work."""

    row: Row
    begins: int
    ends: int
    first_piece: int
    lot: Lot | None
    step: Step | None


@dataclass(frozen=True)
class Pieces:
    """Pieces of one step in the order they are done: begin and finish in elapsed seconds, and the stint of each."""

    begins: Moments
    finishes: Moments
    stints: Moments

    def __len__(self) -> int:
        return len(self.begins)

    def part(self, first: int, last: int | None) -> Pieces:
        """Those from number ``first``, counted from 0, to before ``last``."""
        return Pieces(self.begins[first:last], self.finishes[first:last], self.stints[first:last])


@dataclass(frozen=True)
class Timeline:
    """All stints in order of time, and the pieces of each (lot, step)."""

    clock: Clock
    stints: tuple[Stint, ...]
    pieces: Mapping[tuple[str, int], Pieces]

    def of(self, lot: Lot, step: Step) -> Pieces:
        """The pieces of a step that the plan does, each once."""
        return self.pieces.get((lot.name, step.index), NO_PIECES).part(0, step.pieces)

    def again(self, lot: Lot, step: Step) -> Pieces:
        """Pieces that get a step anew because its protection wears off."""
        return self.pieces.get((lot.name, step.index), NO_PIECES).part(step.pieces, None)

    def row(self, stint: int) -> Row:
        """The row behind a number in ``Pieces.stints``."""
        return self.stints[stint].row

    def of_step(self, lot: Lot, step: Step) -> list[Stint]:
        """The stints of a step in order of time."""
        return [s for s in self.stints if s.step is step and s.lot is lot]


_NONE: Moments = np.empty(0, dtype=np.int64)
NO_PIECES = Pieces(_NONE, _NONE, _NONE)


def timeline_of(plan: Plan, yard: Yard, clock: Clock) -> Timeline:
    """The rows on the clock. Pieces beyond those of the step are left to the count and not followed further."""
    stints = tuple(sorted((_stint(row, yard, clock) for row in plan.rows), key=_in_order))
    runs: dict[tuple[str, int], list[tuple[int, int]]] = {}
    left: dict[tuple[str, int], int] = {}
    for number, stint in enumerate(stints):
        if stint.lot is None or stint.step is None:
            continue
        key = (stint.lot.name, stint.step.index)
        followed = min(stint.row.pieces, left.setdefault(key, stint.step.pieces * (1 + stint.step.renewals)))
        left[key] -= followed
        if followed > 0:
            runs.setdefault(key, []).append((number, followed))
    return Timeline(clock, stints, {key: _pieces(stints, run) for key, run in runs.items()})


def _stint(row: Row, yard: Yard, clock: Clock) -> Stint:
    begins, ends = clock.at(row.day, row.start), clock.at(row.day, row.end)
    lot, step = yard.find(row) or (None, None)
    return Stint(row, begins, ends, begins + round(row.set_up_minutes * 60), lot, step)


def _in_order(stint: Stint) -> tuple[int, int, tuple[str, ...], str, str]:
    return stint.begins, stint.ends, stint.row.who, stint.row.lot, stint.row.step


def _pieces(stints: tuple[Stint, ...], runs: list[tuple[int, int]]) -> Pieces:
    first = stints[runs[0][0]].step
    each = first.seconds_each if first else 0
    # of what was done only the end is known
    lengths = [0 if stints[n].row.done else each for n, _ in runs]
    starts = [stints[n].ends if stints[n].row.done else stints[n].first_piece for n, _ in runs]
    begins = np.concatenate(
        [
            start + one * np.arange(many, dtype=np.int64)
            for start, one, (_, many) in zip(starts, lengths, runs, strict=True)
        ]
    )
    numbers = np.repeat(np.array([n for n, _ in runs], dtype=np.int64), [many for _, many in runs])
    order = np.argsort(begins, kind="stable")
    lasting = np.repeat(np.array(lengths, dtype=np.int64), [many for _, many in runs])
    return Pieces(begins[order], (begins + lasting)[order], numbers[order])
