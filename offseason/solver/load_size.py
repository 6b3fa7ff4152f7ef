"""How many pieces go into a load so that the next one can still be a large one.

A load can be taken out only when it has waited. The later it is closed, the later in the day the next one goes in,
until there is no time left for it: a smaller load, closed a little sooner, may let a whole one in after it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.space import resting_at
from offseason.solver.throughput import Hours, Turn, least_turn, parties_at


@dataclass(frozen=True)
class Turnover:
    """What it takes to turn a place over, the hours there are for it, and when each day with work ends."""

    turn: Turn
    hours: Hours
    day_ends_s: np.ndarray

    def most_in(self, k: int, now_s: int) -> int:
        """Pieces that can go in from a moment of session ``k`` until it ends, with all who can be at it."""
        seconds = (int(self.hours.ends_s[k]) - now_s) * int(self.hours.parties[k])
        return seconds // self.turn.fill_s if self.turn.fill_s else self.turn.holds


def turnovers(m: Counts) -> dict[int, Turnover]:
    """For each place in whole loads that is emptied again; worked out once for each model."""
    known = m.worked_out.get("turnovers")
    if not isinstance(known, dict):
        known = m.worked_out["turnovers"] = _all_of(m)
    return known


def _all_of(m: Counts) -> dict[int, Turnover]:
    found: dict[int, Turnover] = {}
    sessions = m.workload.sessions
    day_ends_s = np.array([sessions[k].ends_s for k in m.timeline.last_of_day], np.int64)
    for place, entry in enumerate(m.workload.places):
        stays = resting_at(m, place)
        if entry.whole_loads and entry.holds is not None and (turn := least_turn(m, stays, entry.holds)) is not None:
            found[place] = Turnover(turn, Hours.of(sessions, parties_at(m, stays)), day_ends_s)
    return found


def best_size(turnover: Turnover, now_s: int, most: int, still_to_come: int) -> int:
    """Pieces to put in from ``now_s`` on, ``most`` at most, so that with the next load as many as can be are in.

    Of equal ones the most. ``still_to_come``: pieces that are to go in from now on, in this load or later.
    """
    if still_to_come <= most:
        return most
    turn, hours = turnover.turn, turnover.hours
    sizes = np.arange(1, most + 1)
    closed_s = hours.when_worked(hours.worked_by(np.array([float(now_s)])) + sizes * turn.fill_s)
    sizes, closed_s = sizes[np.isfinite(closed_s)], closed_s[np.isfinite(closed_s)]
    if not len(sizes):
        return most
    ready_s = closed_s + turn.wait_s
    k = np.searchsorted(hours.ends_s, ready_s, side="right")  # the session in which it is ready, or the next
    there = k < len(hours.ends_s)
    ends_s = turnover.day_ends_s[np.where(there, k, 0)].astype(np.float64)
    room_s = np.where(there, hours.worked_by(ends_s) - hours.worked_by(ready_s), 0.0)
    wanted = np.minimum(turn.holds, still_to_come - sizes)
    after = np.clip((room_s - sizes * turn.empty_s) // max(turn.fill_s, 1), 0, wanted)
    both = sizes + after
    return int(sizes[np.flatnonzero(both == both.max())[-1]])
