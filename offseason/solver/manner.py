"""How a dispatch goes about its work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from offseason.solver.counts import Counts
from offseason.workload.model import Importance, Work

RANK = {Importance.MUST: 0, Importance.SHOULD: 1, Importance.COULD: 2}


@dataclass(frozen=True)
class Manner:
    """``guide``: counts per lot (steps, sessions) not to run ahead of; None: none. ``fill``: fill idle time beyond it.

    ``optional``: least importance of work to take up where no guide says. ``caution``: share of later room that work
    bound by ``within`` may count on. ``full_loads``: start a whole load only when it is at least this full.
    ``loads_first``: where a guide is given, whole loads are turned over before all other work, as soon as they can be
    and as full as they can be, and not topped up with a few pieces later: a load counts from its last piece.
    ``set_up_worth``: guided work is set up for before other work only when it lasts so many times as long as that.
    ``exact``: try several orders within a session until the guide is met to the piece. ``kept``: by session, work that
    was promised to people and is kept as it was wherever it can be; ``least_s``: seconds of (lot, step) below
    which other work beside it is not begun, but for all that is left of it. ``keeps_room``: no other load goes in
    where a load of ``kept`` work would find it still there.
    """

    guide: Sequence[np.ndarray] | None = None
    fill: bool = True
    optional: Importance = Importance.COULD
    caution: float = 0.6
    full_loads: float = 1.0
    exact: bool = False
    loads_first: bool = False
    set_up_worth: float = 0.0
    kept: Mapping[int, Sequence[Work]] | None = None
    least_s: Mapping[tuple[int, int], int] = field(default_factory=dict)
    keeps_room: bool = False


def wanted_totals(m: Counts, manner: Manner) -> list[list[int]]:
    """How many pieces of each step are to be done in the whole winter in this manner.

    Optional work that later work needs is wanted for as many pieces as that work; of pieces that went past it before
    planning begins it is not wanted any more.
    """
    totals = []
    for lot, entry in enumerate(m.workload.lots):
        row = []
        for s, step in enumerate(entry.steps):
            if step.importance is Importance.MUST:
                row.append(step.pieces)
            elif manner.guide is not None:
                row.append(min(int(manner.guide[lot][s, -1]), step.pieces))
            else:
                row.append(step.pieces if RANK[step.importance] <= RANK[manner.optional] else 0)
        for then in range(len(entry.steps) - 1, -1, -1):
            for first in entry.steps[then].needs:
                row[first] = max(row[first], min(row[then], entry.steps[first].pieces))
        for pair in m.follows[lot]:
            if pair.skippable:
                passed_by = int(m.past[lot][pair.then, -1] - m.past[lot][pair.first, -1]) - pair.spare
                row[pair.first] = min(row[pair.first], entry.steps[pair.first].pieces - max(0, passed_by))
        totals.append(row)
    return totals
