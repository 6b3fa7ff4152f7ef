"""Pieces in hand: one that is being mended, or is drying, cannot be at the next step at the same time.

Where a step is done to a share of the pieces only, or may be passed by, counting each step by itself does not show
it: the pieces that pass the step by would have to be those that are in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from offseason.plan.audit.broken import Broken, Promise, broken, pieces_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.timeline import Moments
from offseason.plan.audit.yard import Lot, Step

# Waits worked out by the trade rules are not whole seconds; the plan's are.
_ROUNDING_S = 1
_NO_STINT = -1
# Longer than any season.
_NEVER_S = 1e12


@dataclass(frozen=True)
class _Counted:
    """After each moment of change: pieces begun at the step, still at the steps between, there to be worked on."""

    begun: Moments
    between: Moments
    there: Moments
    stints: Moments


def in_two_steps_at_once(case: Case, told: frozenset[int]) -> Iterator[Broken]:
    """What has begun a step and what is still at the steps passed by is never more than what was there to work on.

    ``told``: stints of which it is said already that they come too early; their steps are not looked at once more.
    """
    for lot in case.yard.lots.values():
        named: set[int] = set()
        for step in lot.steps:
            passed, full = passed_by(lot, step)
            if passed and not any(told.intersection(case.timeline.of(lot, s).stints.tolist()) for s in (*passed, step)):
                yield from _at(case, lot, step, passed, full, named)


def passed_by(lot: Lot, step: Step) -> tuple[list[Step], Step | None]:
    """Steps that pieces may pass by on their way to ``step``, and the last all must have had (None: arrival)."""
    passed: list[Step] = []
    for before in reversed(lot.steps[: step.index]):
        if before.pieces == lot.count and not before.skippable_for(step):
            return passed, before
        passed.append(before)
    return passed, None


def _at(case: Case, lot: Lot, step: Step, passed: list[Step], full: Step | None, named: set[int]) -> Iterator[Broken]:
    counted = _count(case, lot, step, passed, full)
    over = counted.begun + counted.between - counted.there
    for number in np.flatnonzero((over > 0) & (counted.stints != _NO_STINT)).tolist():
        stint = int(counted.stints[number])
        if stint in named:
            continue
        named.add(stint)
        still = pieces_text(int(counted.between[number]))
        where = " or ".join(s.name for s in passed[::-1])
        there = f"through {full.name}" if full is not None else "there"
        said = f"{pieces_text(int(counted.begun[number]))} would have begun {step.name} while {still} of {lot.name}"
        said += f" still {'is' if still == '1 piece' else 'are'} in {where} or waiting after it, and only"
        said += f" {int(counted.there[number])} {'is' if counted.there[number] == 1 else 'are'} {there}"
        yield broken(Promise.ORDER, case.timeline.row(stint), f"{said}: {int(over[number])} too many")


def _count(case: Case, lot: Lot, step: Step, passed: list[Step], full: Step | None) -> _Counted:
    """Counts at every moment of change; at one moment, what becomes free comes before what is taken up."""
    later = case.timeline.of(lot, step)
    changes = [_change(later.begins, later.stints, begun=1)]
    for other in passed:
        pieces = case.timeline.of(lot, other)
        changes.append(_change(pieces.begins, pieces.stints, between=1))
        changes.append(_change(_through(pieces.finishes, other), None, between=-1))
    at_first = lot.count
    if full is not None:
        pieces, at_first = case.timeline.of(lot, full), 0
        changes.append(_change(_through(pieces.finishes, full), None, there=1))
    table = np.concatenate(changes)
    # Of what is taken up at one moment, the later step is looked at last, so that its row is named.
    table = table[np.lexsort((table[:, 1], table[:, 4] != _NO_STINT, table[:, 0]))]
    begun, between, there = (np.cumsum(table[:, column]) for column in (1, 2, 3))
    return _Counted(begun, between, there + at_first, table[:, 4])


def _through(finishes: Moments, step: Step) -> Moments:
    ready = np.minimum(step.wait.ready(finishes) - _ROUNDING_S, _NEVER_S)
    return np.maximum(finishes, np.ceil(ready).astype(np.int64))


def _change(moments: Moments, stints: Moments | None, begun: int = 0, between: int = 0, there: int = 0) -> Moments:
    """One line for each moment: when, what changes by how much, and the stint that takes a piece up."""
    table = np.empty((len(moments), 5), dtype=np.int64)
    table[:, 0], table[:, 1], table[:, 2], table[:, 3] = moments, begun, between, there
    table[:, 4] = _NO_STINT if stints is None else stints
    return table
