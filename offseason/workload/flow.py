"""How pieces flow through the steps of a lot: which step waits for which, and where pieces come to rest."""

from __future__ import annotations

from dataclasses import dataclass

from offseason.workload.model import Importance, Lot


@dataclass(frozen=True)
class Follows:
    """Step ``then`` may only have had pieces that ``first`` has given up, ``spare`` pieces excepted.

    ``skippable``: pieces that never get ``first`` pass it by, so they count as spare too.
    """

    first: int
    then: int
    spare: int
    skippable: bool


def skippable(lot: Lot, first: int, then: int) -> bool:
    """Whether pieces may come to step ``then`` without ever having had step ``first``."""
    return lot.steps[first].importance is not Importance.MUST and first not in lot.steps[then].needs


def follows(lot: Lot) -> tuple[Follows, ...]:
    """Every pair of steps whose order binds: back to the last step that all pieces must have had, and all needs."""
    pairs: list[Follows] = []
    for then, step in enumerate(lot.steps):
        bound = False
        for first in range(then - 1, -1, -1):
            passed_by = skippable(lot, first, then)
            if not bound or first in step.needs:
                spare = max(0, step.pieces - lot.steps[first].pieces)
                pairs.append(Follows(first, then, spare, passed_by))
            bound = bound or (lot.steps[first].pieces == lot.count and not passed_by)
    return tuple(pairs)


def stages(lot: Lot) -> tuple[int, ...]:
    """Steps after which pieces rest anew; -1 is arrival. Steps to a share, or that may be passed by, move nothing."""
    found = [-1]
    for s, step in enumerate(lot.steps):
        last = s + 1 == len(lot.steps)
        if step.pieces == lot.count and (last or not skippable(lot, s, s + 1)):
            found.append(s)
    return tuple(found)


@dataclass(frozen=True)
class WayRound:
    """Pieces reach step ``then`` from step ``after`` (None: arrival), by way of the steps ``between`` or past them."""

    after: int | None
    between: tuple[int, ...]
    then: int


def ways_round(lot: Lot) -> tuple[WayRound, ...]:
    """Every step that pieces may reach past some step before it."""
    found = []
    for then in range(len(lot.steps)):
        pairs = [f for f in follows(lot) if f.then == then]
        between = tuple(sorted(f.first for f in pairs if f.spare or f.skippable))
        after = max((f.first for f in pairs if not f.spare and not f.skippable), default=None)
        between = tuple(s for s in between if after is None or s > after)
        if between:
            found.append(WayRound(after, between, then))
    return tuple(found)
