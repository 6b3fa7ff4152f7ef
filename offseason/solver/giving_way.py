"""Promised work given up on purpose, a load at a time, so that all other promised work can be kept.

Where a place is full, load after load, what was lost can only come in where something else gives way: one later load
is given up, what was lost takes its turn, and what gave way comes at the end. The same the other way round: of a plan
found without the promises, all of them are kept that do not contradict it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from offseason.solver.dispatch import Dispatched, dispatch
from offseason.solver.hunt import Hunt, on_the_clock
from offseason.solver.manner import Manner
from offseason.workload.model import Work, Workload

Kept = Mapping[int, Sequence[Work]]
"""Promised work, by session."""

Load = tuple[int, int, int]
"""Session, lot and step of promised work that goes into a place in whole loads."""

Rank = tuple[float, tuple[int, ...], int]
"""What a try breaks, what it leaves, and what the judge finds. Smaller is better."""


def loads_of(workload: Workload, kept: Kept) -> list[Load]:
    """Promised work that goes into places taking whole loads, in order of time."""
    every = {(k, one.lot, one.step) for k, some in kept.items() for one in some}
    return sorted(load for load in every if goes_in_loads(workload, *load[1:]))


def goes_in_loads(workload: Workload, lot: int, step: int) -> bool:
    """Whether pieces go into a place in whole loads after the step."""
    stays = workload.lots[lot].steps[step].stays
    return any(workload.places[stay.place].whole_loads for stay in stays)


def without(kept: Kept, given_up: Iterable[Load]) -> Kept:
    """The promised work but for some loads."""
    out = frozenset(given_up)
    return {k: [one for one in some if (k, one.lot, one.step) not in out] for k, some in kept.items()}


def agreeing(kept: Kept, counts: Sequence[np.ndarray], before: Sequence[np.ndarray]) -> Kept:
    """The promised work that does no more in any session than the counts have there.

    ``before``: per lot, what was done before the first session stands in the first column.
    """
    found: dict[int, list[Work]] = {}
    for k, some in kept.items():
        room: Counter[tuple[int, int]] = Counter()
        for one in sorted(some):
            known = counts[one.lot][one.step]
            here = int(known[k]) - int(known[k - 1] if k else before[one.lot][one.step, 0])
            if room[one.lot, one.step] + one.pieces <= here:
                room[one.lot, one.step] += one.pieces
                found.setdefault(k, []).append(one)
    return found


def keep_what_agrees(hunt: Hunt, promised: Sequence[np.ndarray], kept: Kept, until_s: float) -> None:
    """Offer the best plan with the people and minutes that were promised, wherever these do not contradict it.

    Then lot after lot goes back to what was promised of it altogether, if nothing is worse by it. ``promised``: the
    counts that come to; ``until_s``: seconds since the start of the hunt after which no further try begins.
    """
    if hunt.best is None:
        return
    m = hunt.model.counts
    found = m.values(hunt.best.point)
    agreed = agreeing(kept, found, m.past)
    back: frozenset[int] = frozenset()
    best = _tried(hunt, _following(found), agreed)
    better = True
    while better:
        better = False
        for lot in sorted(set(range(len(found))) - back):
            if hunt.settings.elapsed_s() + hunt.slowest_dispatch_s > until_s:
                return
            lots = back | {lot}
            guide = [promised[n] if n in lots else known for n, known in enumerate(found)]
            rank = _tried(hunt, _following(guide), _of_lots(kept, agreed, lots))
            if rank <= best:
                better = better or rank < best
                best, back = rank, lots


def _following(guide: Sequence[np.ndarray]) -> Manner:
    return Manner(guide=guide, fill=False, full_loads=0.0)


def _of_lots(kept: Kept, agreed: Kept, lots: frozenset[int]) -> Kept:
    """What is kept altogether of some lots, and as far as it was agreed on of the others."""
    return {
        k: [
            *(one for one in kept.get(k, ()) if one.lot in lots),
            *(one for one in agreed.get(k, ()) if one.lot not in lots),
        ]
        for k in {*kept, *agreed}
    }


def give_way(hunt: Hunt, guide: Sequence[np.ndarray], kept: Kept, until_s: float) -> None:
    """Give up one promised load after another, each time the one that helps most, and offer what comes of it.

    ``until_s``: seconds since the start of the hunt after which no further try begins.
    """
    loads = loads_of(hunt.model.counts.workload, kept)
    if not loads:
        return
    manner = replace(_following(guide), keeps_room=True)
    given_up: tuple[Load, ...] = ()
    best = _tried(hunt, manner, kept)
    while True:
        found: tuple[Rank, Load] | None = None
        for load in loads:
            if hunt.settings.elapsed_s() + hunt.slowest_dispatch_s > until_s:
                return
            if load in given_up:
                continue
            rank = _tried(hunt, manner, without(kept, (*given_up, load)))
            if rank < best and (found is None or rank < found[0]):
                found = rank, load
                if len(loads) * hunt.slowest_dispatch_s > until_s - hunt.settings.elapsed_s():
                    break  # no time for all of them: the first that helps
        if found is None:
            return
        best, given_up = found[0], (*given_up, found[1])


def _tried(hunt: Hunt, manner: Manner, kept: Kept) -> Rank:
    made = dispatch(hunt.model.counts, replace(manner, kept=kept))
    hunt.offer(made)
    return _rank(hunt, made)


def _rank(hunt: Hunt, made: Dispatched) -> Rank:
    point = on_the_clock(hunt.model.counts, list(made.counts), made.work)
    left = tuple(aim.expr.value(point) for aim in hunt.model.aims[: hunt.model.before])
    return _broken_by(hunt, point), left, hunt.judge(made.work)


def _broken_by(hunt: Hunt, point: np.ndarray) -> float:
    """How far a point is from keeping every row, in pieces or the like."""
    m = hunt.matrix
    sums = np.zeros(len(m.low), np.int64)
    np.add.at(sums, m.row, m.coef * point[m.var])
    largest = np.ones(len(m.low), np.int64)
    np.maximum.at(largest, m.row, np.abs(m.coef))
    return float(np.sum(np.maximum(np.maximum(m.low - sums, sums - m.high), 0) / largest))
