"""Places that arriving gear overfills, by the clock: how many spaces too few, from when on, and what is in them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from offseason.solver.in_time import moments
from offseason.workload.flow import stages
from offseason.workload.model import Leaving, Left, Work, Workload

Moments = NDArray[np.int64]
ByStep = Mapping[tuple[int, int], list[Work]]


@dataclass(frozen=True)
class Overfull:
    """A place with ``spaces`` too few at worst, over since ``since_s``, and the ``lots`` that are in it then."""

    place: int
    spaces: int
    since_s: int
    lots: tuple[int, ...]


def overfull(workload: Workload, work: Iterable[Work]) -> tuple[Overfull, ...]:
    """Every place that is too full, now or later, where gear that arrives finds no room in it at some time.

    A place that is too full only by what was put there before planning begins is not held against a plan.
    """
    begun = workload.standing
    done = () if begun is None else begun.done
    past = (Work(0, one.finished_s, one.finished_s, (), one.lot, one.step, one.pieces) for one in done)
    by_step: dict[tuple[int, int], list[Work]] = {}
    for one in (*past, *work):
        by_step.setdefault((one.lot, one.step), []).append(one)
    now_s = 0 if begun is None else begun.now_s
    found = (_at(workload, by_step, n, place.holds, now_s) for n, place in enumerate(workload.places))
    return tuple(one for one in found if one is not None)


def left_without_room(workload: Workload, work: Iterable[Work]) -> tuple[Left, ...]:
    """The same, as what a plan leaves: a word for each lot in such a place."""
    return tuple(
        Left(lot, -1, one.spaces, Leaving.OVERFULL, one.place, one.since_s)
        for one in overfull(workload, work)
        for lot in one.lots
    )


def _at(workload: Workload, by_step: ByStep, place: int, holds: int | None, now_s: int) -> Overfull | None:
    moves = {n: move for n in range(len(workload.lots)) if len((move := _moves(workload, by_step, n, place)).when)}
    if holds is None or not moves:
        return None
    when = np.unique(np.concatenate([move.when for move in moves.values()]))
    over = np.sum([move.inside(when) for move in moves.values()], axis=0) - holds
    arrivals = [workload.lots[n].arrives_s for n in moves if any(s.place == place for s in workload.lots[n].rests)]
    now = max(int(np.searchsorted(when, now_s, "right")) - 1, 0)
    spaces = int(over[now:].max())
    if spaces <= 0 or not (over[np.searchsorted(when, arrivals)] > 0).any():
        return None
    first = now + int(np.argmax(over[now:] > 0))
    while first and over[first - 1] > 0:
        first -= 1
    worst = when[now + int(np.argmax(over[now:]))]
    lots = tuple(n for n, move in moves.items() if move.inside(np.array([worst]))[0] > 0)
    return Overfull(place, spaces, int(when[first]), lots)


@dataclass(frozen=True, eq=False)
class _Moves:
    """When something comes to rest in a place or leaves it, in order, and the spaces taken after each."""

    when: Moments
    taken: Moments

    def inside(self, moments: Moments) -> Moments:
        """Spaces taken after all that happens at each of the moments."""
        inside: Moments = np.concatenate([[0], self.taken])[np.searchsorted(self.when, moments, "right")]
        return inside


def _moves(workload: Workload, by_step: ByStep, lot: int, place: int) -> _Moves:
    """What a lot moves in and out of a place."""
    entry, found = workload.lots[lot], stages(workload.lots[lot])
    when, change = [np.empty(0, np.int64)], [np.empty(0, np.int64)]
    for stage, following in zip(found, [*found[1:], None], strict=True):
        for stay in entry.rests if stage < 0 else entry.steps[stage].stays:
            if stay.place == place:
                came = np.full(entry.count, entry.arrives_s)
                if stage >= 0:
                    came = moments(by_step.get((lot, stage), []), finished=True)
                if not stay.until_taken:
                    gone = np.array([entry.steps[stage].ready_s(moment) for moment in came.tolist()], np.int64)
                else:
                    gone = moments([] if following is None else by_step.get((lot, following), []), finished=False)
                when += [came, gone]
                change += [np.full(len(came), stay.spaces), np.full(len(gone), -stay.spaces)]
    order = np.argsort(np.concatenate(when), kind="stable")
    return _Moves(np.concatenate(when)[order], np.cumsum(np.concatenate(change)[order]))
