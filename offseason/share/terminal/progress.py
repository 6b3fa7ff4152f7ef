"""One line that says how far the search is: rewritten in place on a terminal, else a new line now and then."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable
from typing import Protocol, TextIO

from offseason.share.terminal.layout import COLUMNS, clean

SECONDS_BETWEEN_LINES = 5.0


class Searching(Protocol):
    """What the solver reports while it searches: seconds gone, what it works at, best, proven bound, gap (0..1)."""

    @property
    def seconds(self) -> float:
        """Seconds since the search began."""

    @property
    def stage(self) -> str:
        """The aim or the step of the search."""

    @property
    def best(self) -> float | None:
        """Best value so far."""

    @property
    def gap(self) -> float | None:
        """Distance from the best possible as a share."""


def progress_text(at: Searching) -> str:
    """``12 s · done early · best 1,204 · at most 1.7 % from the best possible``."""
    best = "no plan yet" if at.best is None else f"best {at.best:,.0f}"
    gap = "distance not known yet" if at.gap is None else f"at most {100 * at.gap:.1f} % from the best possible"
    return f"{at.seconds:.0f} s · {clean(at.stage)} · {best} · {gap}"


class ProgressLine:
    """Writes progress to ``stream``; on a terminal one line is rewritten, else a line per change, seconds apart."""

    def __init__(self, stream: TextIO, clock: Callable[[], float] = time.monotonic) -> None:
        self._stream = stream
        self._clock = clock
        self._terminal = stream.isatty()
        self._last_written: float | None = None
        self._last_what: tuple[str, float | None, float | None] | None = None
        self._open = False

    def __call__(self, at: Searching) -> None:
        """Show this state of the search."""
        if self._terminal:
            self._write(f"\r{progress_text(at)[: COLUMNS - 1]:<{COLUMNS - 1}}")
            self._open = True
            return
        what, now = (at.stage, at.best, at.gap), self._clock()
        due = self._last_written is None or now - self._last_written >= SECONDS_BETWEEN_LINES
        if due and what != self._last_what:
            self._write(progress_text(at) + "\n")
            self._last_written, self._last_what = now, what

    def close(self) -> None:
        """End the rewritten line, so that what follows stands on a line of its own."""
        if self._open:
            self._write("\n")
            self._open = False

    def _write(self, text: str) -> None:
        with contextlib.suppress(OSError):  # whoever read along has gone: no reason to give up the plan
            self._stream.write(text)
            self._stream.flush()
