"""The clock of a solve: seconds that pass by themselves, or seconds of work that only pass as work is charged for.

Every decision that hangs on time (limits, shares, rounds, how long a dispatch takes) asks this clock. By the clock of
work it falls the same way however fast the machine is, and whatever else it has to do.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from typing import Protocol


class Clock(Protocol):
    """What a solve goes by. ``repeatable``: it moves by work alone, and no search may look at any other."""

    @property
    def repeatable(self) -> bool:
        """Whether the same work always takes the same time."""

    def elapsed_s(self) -> float:
        """Seconds since the start, for decisions."""

    def told_s(self) -> float:
        """Seconds of wall clock since the start, for people only."""

    def charge(self, seconds: float) -> None:
        """Take note of work that is worth so many seconds."""


@dataclass(frozen=True)
class WallClock:
    """The clock on the wall: work takes what it takes, and nothing has to be charged."""

    began: float = field(default_factory=time.monotonic)
    repeatable: bool = False

    def elapsed_s(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self.began

    def told_s(self) -> float:
        """The same."""
        return self.elapsed_s()

    def charge(self, seconds: float) -> None:
        """Nothing: the time has passed."""


@dataclass
class WorkClock:
    """A clock that stands still unless work is charged: each kind by what can be counted in it."""

    worked_s: float = 0.0
    began: float = field(default_factory=time.monotonic)
    repeatable: bool = True

    def elapsed_s(self) -> float:
        """Seconds of work since the start."""
        return self.worked_s

    def told_s(self) -> float:
        """Seconds of wall clock since the start."""
        return time.monotonic() - self.began

    def charge(self, seconds: float) -> None:
        """Let so many seconds pass; never back."""
        self.worked_s += max(seconds, 0.0)
