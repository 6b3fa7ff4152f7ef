"""The lots that do not fit together: as few as are quickly found, so that questions about them are quickly answered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from offseason.remedy.asking import Asking, Clock, Part
from offseason.remedy.least import left_out
from offseason.remedy.lever import Change
from offseason.workload.balance import due_s
from offseason.workload.model import Importance, Lot, Workload

SHARE_FOR_FEWER = 0.15
"""Part of the time in which lots are left out again. Ours."""


@dataclass(frozen=True)
class InTheWay:
    """Finds lots that do not fit together; ``left``: names of those that the best plan leaves something of."""

    asking: Asking
    workload: Workload
    left: tuple[str, ...]

    def part(self, changes: Sequence[Change], clock: Clock, *, widen: bool) -> Part | None:
        """Lots proven not to fit with these changes made, out of what is left and, to ``widen`` it, all must-work.

        None where no proof was found: then it is not known what stands in the way.
        """
        ordered = _by_likelihood(self.workload, self.left)
        size = max(len(self.left), 1)
        while True:
            part = frozenset(ordered[:size])
            if self.asking.part(part, changes, clock).no:
                # with changes made, what is quick to ask is known: the lots that are left
                return part if changes else _fewer(self.asking, part, ordered[:size], changes, clock)
            if size >= len(ordered) or not widen:
                return None
            size = min(size * 2, len(ordered))


def _by_likelihood(workload: Workload, left: Sequence[str]) -> list[str]:
    """What is left first, then comb, then all must-work by the date it is due."""
    names = set(left)
    lots = [lot for lot in workload.lots if any(step.importance is Importance.MUST for step in lot.steps)]
    return [
        lot.name for lot in sorted(lots, key=lambda o: (o.name not in names, o.treat_by_s is None, _due(workload, o)))
    ]


def _due(workload: Workload, lot: Lot) -> int:
    return min((due_s(workload, lot, n) for n in range(len(lot.steps))), default=workload.until_s)


def _fewer(asking: Asking, part: Part, ordered: Sequence[str], changes: Sequence[Change], clock: Clock) -> Part:
    """Lots are left out, the unlikeliest first and half of them at once while that goes, as long as it is still no."""
    clock = clock.within(clock.left_s * SHARE_FOR_FEWER)
    kept, _ = left_out(ordered, lambda some: bool(some) and asking.part(frozenset(some), changes, clock).no, clock)
    return frozenset(kept) if len(kept) < len(part) else part
