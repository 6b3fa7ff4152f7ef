"""Where gear rests: what goes in and out of a place piece by piece, and never more in it than it holds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import zip_longest

import numpy as np

from offseason.plan.audit.broken import Broken, Promise, broken
from offseason.plan.audit.case import Case
from offseason.plan.audit.timeline import Moments
from offseason.plan.audit.yard import Lot, Stage
from offseason.scenario.words import Holds

Move = tuple[Moments, Moments, Moments]

ARRIVAL = -1
_COMB_SPACES_PER_BOX = 10


@dataclass(frozen=True)
class Traffic:
    """What goes in (``change`` above 0) and out of one place, in order of time, at one moment out before in.

    ``inside``: what is in the place after each change. ``stints``: the stint that moves it, ARRIVAL for none.
    ``brought``: it comes from elsewhere, not back from work at the place itself.
    """

    moments: Moments
    change: Moments
    inside: Moments
    stints: Moments
    brought: Moments


def overfull(case: Case) -> Iterator[Broken]:
    """At every moment a place holds no more than it has room for; a row is named once, with the worst it leads to."""
    for name, place in case.scenario.places.items():
        if place.holds is None:
            continue
        holds, unit = capacity(place.holds)
        for stint, (first, most) in _going_over(traffic_of(case, name, place.holds), holds).items():
            said = f"{name} holds {holds} {unit}, and from {case.when(first)} up to {most} are in it"
            row = None if stint == ARRIVAL else case.timeline.row(stint)
            yield broken(Promise.SPACE, row, f"{said}: {most - holds} too many", about="gear as it arrives")


def _going_over(traffic: Traffic, holds: int) -> dict[int, tuple[int, int]]:
    """For each stint that takes a place over what it holds: when it first does, and the most then in the place."""
    over = traffic.inside > holds
    begun = np.flatnonzero(over & ~np.concatenate([[False], over[:-1]])).tolist()
    ended = np.flatnonzero(np.concatenate([[False], over[:-1]]) & ~over).tolist()
    found: dict[int, tuple[int, int]] = {}
    for first, after in zip_longest(begun, ended, fillvalue=len(over)):
        stint, most = int(traffic.stints[first]), int(traffic.inside[first:after].max())
        since, worst = found.get(stint, (int(traffic.moments[first]), 0))
        found[stint] = (since, max(most, worst))
    return found


def capacity(holds: Holds) -> tuple[int, str]:
    """The number a place holds and what is counted: pieces, or comb spaces (10 to a box)."""
    if holds.unit == "pieces":
        return holds.spaces, "pieces"
    return holds.spaces * (_COMB_SPACES_PER_BOX if holds.unit == "boxes" else 1), "comb spaces"


def traffic_of(case: Case, place: str, holds: Holds | None) -> Traffic:
    """All that goes in and out of a place, counted as ``holds`` counts (None: in pieces)."""
    moments, changes, stints, brought = [], [], [], []
    for lot in case.yard.lots.values():
        each = 1 if holds is None or holds.unit == "pieces" else lot.spaces
        for number, (stage, following) in enumerate(zip_longest(lot.stages, lot.stages[1:])):
            if stage.place != place:
                continue
            came_from = lot.stages[number - 1].place if number else None
            for comes, (when, change, by) in (
                (came_from != place, _in(case, lot, stage, each)),
                (False, _out(case, lot, following, each)),
                *((False, move) for move in _out_and_in_again(case, lot, stage, each)),
            ):
                moments.append(when)
                changes.append(change)
                stints.append(by)
                brought.append(np.full(len(when), comes, dtype=np.int64))
    if not moments:
        moments = changes = stints = brought = [np.empty(0, dtype=np.int64)]
    when, change = np.concatenate(moments), np.concatenate(changes)
    order = np.lexsort((change > 0, when))
    change = change[order]
    by, new = np.concatenate(stints)[order], np.concatenate(brought)[order]
    return Traffic(when[order], change, np.cumsum(change), by, new)


def _in(case: Case, lot: Lot, stage: Stage, each: int) -> Move:
    if stage.after is None:
        arrives = np.array([case.clock.midnight_before(lot.opens)], dtype=np.int64)
        return arrives, np.array([each * lot.count], dtype=np.int64), np.array([ARRIVAL], dtype=np.int64)
    pieces = case.timeline.of(lot, lot.steps[stage.after])
    return pieces.finishes, np.full(len(pieces), each, dtype=np.int64), pieces.stints


def _out(case: Case, lot: Lot, following: Stage | None, each: int) -> Move:
    if following is None or following.after is None:
        none = np.empty(0, dtype=np.int64)
        return none, none, none
    pieces = case.timeline.of(lot, lot.steps[following.after])
    return pieces.begins, np.full(len(pieces), -each, dtype=np.int64), pieces.stints


def _out_and_in_again(case: Case, lot: Lot, stage: Stage, each: int) -> tuple[Move, ...]:
    """Pieces taken out for a step they get anew, and put back."""
    if stage.after is None:
        return ()
    pieces = case.timeline.again(lot, lot.steps[stage.after])
    change = np.full(len(pieces), each, dtype=np.int64)
    return (pieces.begins, -change, pieces.stints), (pieces.finishes, change, pieces.stints)
