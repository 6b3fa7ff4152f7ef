"""Where a dispatch can be gone on again from, when work of it is taken back, instead of from the first morning."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from offseason.solver.ledger import Ledger, Snapshot
from offseason.workload.model import Work

Caps = dict[tuple[int, int], np.ndarray]
"""(lot, step) -> most pieces through it by the end of each session."""

SESSIONS_APART = 8
"""Marks are so many sessions apart: to take one costs about as much as to work one session. Ours."""


@dataclass
class Trail:
    """The marks of a dispatch: how things stood then, the first where it began. ``work``: what was given out.

    ``reached``: of steps that may be capped, how many pieces could have been through in each session, had there been
    people enough. A cap that leaves room for these changes nothing in the session.
    """

    marks: list[Snapshot]
    work: list[Work] = field(default_factory=list)
    reached: dict[tuple[int, int], dict[int, int]] = field(default_factory=dict)

    def mark(self, book: Ledger, k: int) -> None:
        """Take a mark before session ``k``, if it is time for one."""
        if k >= self.marks[-1].sessions + SESSIONS_APART:
            self.marks.append(book.snapshot(k))

    def go_back(self, caps: Mapping[tuple[int, int], np.ndarray]) -> Snapshot:
        """Go back to the last mark before these caps change anything, and forget all that came after it."""
        changes = [k for key, cap in caps.items() for k, pieces in self.reached.get(key, {}).items() if cap[k] < pieces]
        first = min(changes, default=self.marks[0].sessions)
        while self.marks[-1].sessions > first:
            self.marks.pop()
        at = self.marks[-1]
        self.work = [one for one in self.work if one.session < at.sessions]
        self.reached = {
            key: {k: pieces for k, pieces in by_session.items() if k < at.sessions}
            for key, by_session in self.reached.items()
        }
        return at
