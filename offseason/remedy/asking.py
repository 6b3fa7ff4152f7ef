"""Does it fit? Asked of a winter with changes made, as a whole or of some of its lots, and remembered."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from offseason.remedy.lever import Change
from offseason.remedy.yard import Yard
from offseason.solver.fits import Verdict, fits
from offseason.solver.hunt import Progress
from offseason.solver.improve import only_lots
from offseason.workload.model import Workload

Part = frozenset[str]
"""Names of lots that do not fit together, whatever is done about the others."""

MOST_S_OF_PART, MOST_S_OF_WHOLE = 2.5, 15.0
"""No single question takes longer, so that one hard one does not eat the time of all. Ours."""

MUCH_LONGER = 1.5
"""A question that came to nothing is asked again only with so many times the seconds. Ours."""


@dataclass(frozen=True)
class Clock:
    """When a search began and when it must end, in the seconds of ``time.monotonic``."""

    began: float
    ends: float

    @classmethod
    def of(cls, seconds: float) -> Clock:
        """A clock that starts now."""
        now = time.monotonic()
        return cls(now, now + seconds)

    def within(self, seconds: float) -> Clock:
        """The same clock with so many seconds left at most."""
        return Clock(self.began, min(self.ends, time.monotonic() + seconds))

    @property
    def left_s(self) -> float:
        """Seconds left."""
        return self.ends - time.monotonic()

    @property
    def elapsed_s(self) -> float:
        """Seconds since it began."""
        return time.monotonic() - self.began


class Asking:
    """Asks whether a winter fits, each question once. ``tell`` hears of every question asked."""

    def __init__(self, yard: Yard, workers: int, seed: int, tell: Callable[[Progress], None], began: float) -> None:
        self.yard = yard
        self._workers, self._seed, self._tell, self._began = workers, seed, tell, began
        self._known: dict[tuple[Part | None, tuple[Change, ...]], tuple[Verdict, float]] = {}

    def part(self, part: Part, changes: Sequence[Change], clock: Clock) -> Verdict:
        """Whether these lots fit, as if there were no others."""
        return self._ask(part, changes, clock)

    def whole(self, changes: Sequence[Change], clock: Clock) -> Verdict:
        """Whether all fits."""
        return self._ask(None, changes, clock)

    def _ask(self, part: Part | None, changes: Sequence[Change], clock: Clock) -> Verdict:
        key = (part, tuple(changes))
        seconds = min(clock.left_s, MOST_S_OF_WHOLE if part is None else MOST_S_OF_PART)
        known, asked_s = self._known.get(key, (Verdict(), 0.0))
        if known.yes or known.no or seconds <= asked_s * MUCH_LONGER:
            return known
        self._tell(Progress(time.monotonic() - self._began, "looking for what would be enough"))
        workload = self.yard.workload(changes)
        if part is not None:
            workload = only(workload, part)
        led_by = self._known_of_parts(key[1]) if part is None else None
        found = fits(workload, seconds, self._workers, self._seed, led_by=led_by)
        self._known[key] = found, seconds
        return found

    def _known_of_parts(self, changes: tuple[Change, ...]) -> Mapping[str, np.ndarray]:
        """Counts of a plan of the largest part that is known to fit with these changes."""
        plans = [known.through for (part, of), (known, _) in self._known.items() if part and of == changes]
        return max(plans, key=len, default={})


def only(workload: Workload, names: Iterable[str]) -> Workload:
    """The winter with only the lots of these names."""
    wanted = set(names)
    return only_lots(workload, [n for n, lot in enumerate(workload.lots) if lot.name in wanted])
