"""How far something dries from hour to hour in air that changes, in whole numbers."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

HOUR_S = 3_600
WHOLE = 10**9 * HOUR_S
"""Parts of a drying that make it whole: whole parts for each second, so that no rounding hides between hours."""

NEVER_S = 10**9
"""Longer than any winter."""


@dataclass(frozen=True)
class Drying:
    """How far something dries, hour by hour: where the air changes, how long it takes depends on when it begins.

    ``done[h]``: parts that have come together by the end of the first ``h`` hours of the season (``done[0]`` is 0,
    never falling, each hour adding a multiple of 3,600); ``WHOLE`` parts make it dry.
    """

    done: tuple[int, ...]

    def ready_s(self, finished_s: int) -> int:
        """When a piece finished at that moment is dry, no sooner for one finished later. ``NEVER_S``: not known to."""
        wanted = self._by(finished_s) + WHOLE
        hour = bisect_left(self.done, wanted)
        if hour >= len(self.done):
            return NEVER_S
        each_s = (self.done[hour] - self.done[hour - 1]) // HOUR_S
        return HOUR_S * (hour - 1) + -(-(wanted - self.done[hour - 1]) // each_s)

    def finished_by_s(self, ready_s: int) -> int:
        """The latest moment at which a piece can have been finished to be dry by then; below 0: before the season."""
        most = self._by(ready_s) - WHOLE
        if most < 0:
            return -1
        hour = bisect_right(self.done, most)  # never past the end: a whole drying more was done by then
        each_s = (self.done[hour] - self.done[hour - 1]) // HOUR_S
        return HOUR_S * (hour - 1) + (most - self.done[hour - 1]) // each_s

    def _by(self, time_s: int) -> int:
        hour, into_s = divmod(max(time_s, 0), HOUR_S)
        if hour + 1 >= len(self.done):
            return self.done[-1]
        return self.done[hour] + into_s * ((self.done[hour + 1] - self.done[hour]) // HOUR_S)
