"""A plan made forward in time, on the clock: in each session, whoever is free takes up the most pressing work.

The dispatch places real people, seats and spaces minute by minute, so what it gives is a roster as well as counts.
Led by a guide (the relaxation rounded up, or counts found by the search) it never runs ahead of it, except to
fill idle time where that is asked for.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.desk import Desk
from offseason.solver.manner import Manner, wanted_totals
from offseason.solver.pressure import Pressure
from offseason.workload.model import Work


@dataclass(frozen=True)
class Dispatched:
    """Work on the clock and the counts it comes to, per lot (steps, sessions)."""

    work: tuple[Work, ...]
    counts: tuple[np.ndarray, ...]


def dispatch(m: Counts, manner: Manner) -> Dispatched:
    """Go through the sessions in order and give out the work. The result may still break a deadline: check it."""
    sessions = m.workload.sessions
    counts = [np.zeros((len(lot.steps), len(sessions)), np.int64) for lot in m.workload.lots]
    totals = wanted_totals(m, manner)
    pressure = Pressure.of(m)
    habits = [dict[str, int]() for _ in m.workload.helpers]
    work: list[Work] = []
    for k, pairs in enumerate(m.work_by_session()):
        if k:
            for known in counts:
                known[:, k] = known[:, k - 1]
        if pairs:
            work.extend(Desk(m, k, pairs, counts, totals, pressure, manner, habits).run())
    return Dispatched(tuple(sorted(work)), tuple(counts))
