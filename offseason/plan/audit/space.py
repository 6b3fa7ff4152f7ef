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
    """At every moment a place holds no more than it has room for; a row is named once, with the worst it leads to.

    Where the plan says that a place has spaces too few for what arrives, it may be too full by so many, from then on;
    yet nothing is put into it from elsewhere while it is.
    """
    for name, place in case.scenario.places.items():
        if place.holds is None:
            continue
        holds, unit = capacity(place.holds)
        too_few, since = case.declared_too_few(name)
        traffic = traffic_of(case, name, place.holds)
        room = np.where(traffic.moments >= since, holds + too_few, holds)
        going_over = _going_over(traffic, room, _begins(case, traffic))
        for stint, (first, most) in going_over.items():
            said = f"{name} holds {holds} {unit}, and from {case.when(first)} up to {most} are in it"
            said += f": {most - holds} too many"
            said += f"; the plan says that it has {too_few} too few from {case.when(since)}" if too_few else ""
            row = None if stint == ARRIVAL else case.timeline.row(stint)
            yield broken(Promise.SPACE, row, said, about="gear as it arrives")
        for stint, when in (_put_into_a_full_place(traffic, holds) if too_few else {}).items():
            if stint not in going_over:
                said = f"{name} is too full for what arrives, and from {case.when(when)} more is put into it"
                yield broken(Promise.SPACE, case.timeline.row(stint), said)


def most_over(case: Case, place: str, holds: Holds) -> tuple[int, int | None]:
    """The most that is ever in a place over what it holds, and when it first is too full; 0 and None: never.

    Of a plan made anew, from then on.
    """
    traffic = traffic_of(case, place, holds)
    begins = _begins(case, traffic)
    over = begins + np.flatnonzero(traffic.inside[begins:] > capacity(holds)[0])
    if not len(over):
        return 0, None
    return int(traffic.inside[over].max()) - capacity(holds)[0], max(int(traffic.moments[over[0]]), case.since_s)


def _begins(case: Case, traffic: Traffic) -> int:
    """The change after which a place is as it is when planning begins."""
    return max(int(np.searchsorted(traffic.moments, case.since_s, "right")) - 1, 0)


def _put_into_a_full_place(traffic: Traffic, holds: int) -> dict[int, int]:
    """For each stint that brings gear from elsewhere into a place too full for it: when it first does."""
    wrong = (traffic.inside > holds) & (traffic.brought > 0) & (traffic.stints != ARRIVAL)
    found: dict[int, int] = {}
    for position in np.flatnonzero(wrong).tolist():
        found.setdefault(int(traffic.stints[position]), int(traffic.moments[position]))
    return found


def _going_over(traffic: Traffic, room: Moments, begins: int) -> dict[int, tuple[int, int]]:
    """For each stint that takes a place over the room it has: when it first does, and the most then in the place.

    What is over before change number ``begins`` is not looked at.
    """
    over = traffic.inside > room
    begun = np.flatnonzero(over & ~np.concatenate([[False], over[:-1]])).tolist()
    ended = np.flatnonzero(np.concatenate([[False], over[:-1]]) & ~over).tolist()
    found: dict[int, tuple[int, int]] = {}
    for first, after in zip_longest(begun, ended, fillvalue=len(over)):
        if after <= begins:
            continue
        stint, most = int(traffic.stints[first]), int(traffic.inside[max(first, begins) : after].max())
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
