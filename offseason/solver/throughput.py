"""How much can have gone into a place in whole loads by a given moment, whatever else there is to do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from offseason.solver.counts import Counts
from offseason.solver.exprs import total
from offseason.solver.space import Resting, resting_at, sessions_entered
from offseason.solver.windows import parties_in_sessions
from offseason.workload.model import Session

PORTIONS = 16
"""A load is reckoned in so many portions, each begun one counted whole and charged for its first piece only. Ours."""


@dataclass(frozen=True)
class Turn:
    """What it takes to turn a load over, at the least: pieces it holds, seconds a piece to fill, to wait, to empty."""

    holds: int
    fill_s: int
    wait_s: int
    empty_s: int


def no_more_than_loads_bring_through(m: Counts) -> None:
    """``sum N[in,k] <= F[k]``: the most that one load after another can have brought in by the end of session k.

    The rows of loads tell each load from the next; with fractions of loads allowed they let one in on every day, though
    each is closed later in the day than the one before, until it no longer fits.
    """
    for place, entry in enumerate(m.workload.places):
        if not entry.whole_loads or entry.holds is None:
            continue
        stays = resting_at(m, place)
        entering = sorted({(lot, stage) for lot, stage, _, _ in stays if stage >= 0})
        turn = least_turn(m, stays, entry.holds)
        if turn is None or not entering:
            continue
        pieces = sum(m.workload.lots[lot].steps[s].pieces - int(m.past[lot][s, -1]) for lot, s in entering)
        hours = Hours.of(m.workload.sessions[m.gone :], parties_at(m, stays)[m.gone :])
        arrives_s = min(m.workload.lots[lot].arrives_s for lot, _ in entering)
        soonest_s = soonest_through(turn, hours, arrives_s, pieces)
        for k in sessions_entered(m, stays):
            most = int(np.searchsorted(soonest_s, m.workload.sessions[k].ends_s, side="right")) - 1
            if most < pieces:
                brought = total((1, m.at(lot, s, k)) for lot, s in entering)
                m.rows.at_most(brought - brought.constant, most)


@dataclass(frozen=True)
class Hours:
    """Hours that parties have at a place: start, end and parties of each session, seconds of parties before it."""

    starts_s: NDArray[np.int64]
    ends_s: NDArray[np.int64]
    parties: NDArray[np.int64]
    before: NDArray[np.int64]

    @classmethod
    def of(cls, sessions: Sequence[Session], parties: Sequence[int] | NDArray[np.int64]) -> Hours:
        """The hours of these sessions."""
        starts = np.array([s.starts_s for s in sessions], np.int64)
        ends = np.array([s.ends_s for s in sessions], np.int64)
        people = np.asarray(parties, np.int64)
        worked = np.cumsum((ends - starts) * people)
        return cls(starts, ends, people, np.concatenate([[0], worked]))

    def worked_by(self, time_s: NDArray[np.float64]) -> NDArray[np.float64]:
        """Seconds of parties up to each moment."""
        k = np.searchsorted(self.starts_s, time_s, side="right") - 1
        inside = np.minimum(time_s, self.ends_s[k]) - self.starts_s[k]
        return np.where(k < 0, 0.0, self.before[k] + inside * self.parties[k])

    def when_worked(self, seconds: NDArray[np.float64]) -> NDArray[np.float64]:
        """The first moment by which so many seconds of parties are over; infinite where there are not so many."""
        k = np.searchsorted(self.before[1:], seconds, side="left")
        there = k < len(self.starts_s)
        at = np.where(there, k, 0)
        late = self.starts_s[at] + (seconds - self.before[at]) / np.maximum(self.parties[at], 1)
        return np.where(there, late, np.inf)


def soonest_through(turn: Turn, hours: Hours, arrives_s: int, pieces: int) -> NDArray[np.float64]:
    """For 0, 1, 2 ... pieces: the soonest moment, seconds of the season, at which so many can have gone in.

    Kept for each number of portions in so far and in the last load: when that can be closed at the soonest.
    """
    unit = -(-turn.holds // PORTIONS)
    loads = np.arange(1, -(-turn.holds // unit) + 1)
    charged = (loads - 1) * unit + 1
    portions = -(-pieces // unit)
    closed = np.full((portions + len(loads) + 1, len(loads)), np.inf)
    begins = hours.worked_by(np.array([float(arrives_s)]))
    first = hours.when_worked(begins + charged * turn.fill_s)
    for size, at_s in zip(loads, first, strict=True):
        closed[size, size - 1] = at_s
    for n in range(1, portions):
        known = np.flatnonzero(np.isfinite(closed[n]))
        if not len(known):
            continue
        free = hours.worked_by(closed[n, known] + turn.wait_s) + charged[known] * turn.empty_s
        soonest = hours.when_worked(free.min() + charged * turn.fill_s)
        for size, at_s in zip(loads, soonest, strict=True):
            closed[n + size, size - 1] = min(closed[n + size, size - 1], at_s)
    by_portions = np.minimum.accumulate(closed.min(axis=1)[::-1])[::-1][: portions + 1]
    by_portions[0] = -np.inf
    return np.repeat(by_portions, [1] + [unit] * portions)[: pieces + 1]


def least_turn(m: Counts, stays: list[Resting], holds: int) -> Turn | None:
    """The quickest turn of any that goes there; None: something never leaves, or needs nobody."""
    entering = [(lot, stage, then, stay) for lot, stage, then, stay in stays if stage >= 0]
    if any(then is None for _, _, then, _ in entering) or not entering:
        return None
    steps = m.workload.lots
    return Turn(
        holds // min(stay.spaces for _, _, _, stay in entering),
        min(steps[lot].steps[stage].seconds_each for lot, stage, _, _ in entering),
        min(steps[lot].steps[stage].wait_s for lot, stage, _, _ in entering),
        min(steps[lot].steps[then].seconds_each for lot, _, then, _ in entering if then is not None),
    )


def parties_at(m: Counts, stays: list[Resting]) -> NDArray[np.int64]:
    """The most parties that can fill or empty the place in each session."""
    touching = {(lot, s) for lot, stage, then, _ in stays for s in (stage, then) if s is not None and s >= 0}
    steps = [m.workload.lots[lot].steps[s] for lot, s in sorted(touching)]
    found: NDArray[np.int64] = np.max([parties_in_sessions(m.workload, m.timeline, step) for step in steps], axis=0)
    return found
