"""What a dispatch carries from session to session."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.manner import Manner
from offseason.solver.pressure import Pressure
from offseason.workload.model import Stay


@dataclass(frozen=True)
class Block:
    """A stretch of work that is under way: pieces of (lot, step) by these helpers, until ``ends_s``."""

    ends_s: int
    lot: int
    step: int
    pieces: int
    helpers: tuple[int, ...]
    comes: tuple[Stay, ...] = ()
    leaves: tuple[Stay, ...] = ()
    carried: bool = False


@dataclass(frozen=True)
class Ledger:
    """Counts so far per lot (steps, sessions), written as the dispatch goes, and what it is to keep to.

    ``totals``: pieces wanted of each step in the whole winter. ``caps``: (lot, step) -> most pieces through it by the
    end of each session. ``habits``: for each helper, how often they took up each kind of work.
    """

    m: Counts
    manner: Manner
    pressure: Pressure
    counts: list[np.ndarray]
    totals: list[list[int]]
    caps: dict[tuple[int, int], np.ndarray]
    habits: list[dict[str, int]] = field(default_factory=list)
    carried: list[Block] = field(default_factory=list)

    def by(self, lot: int, step: int, k: int) -> int:
        """Pieces through the step by the end of session ``k``; before the first session: none."""
        return int(self.counts[lot][step, k]) if k >= 0 else 0
