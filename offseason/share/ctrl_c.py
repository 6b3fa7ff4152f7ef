"""Ctrl-C: never half-way into loading, heard once while there is work to stop, and not at all while a plan is saved."""

from __future__ import annotations

import signal
import threading
import time

TYPE_CHECKING = False  # as in typing, which takes a while to load
if TYPE_CHECKING:
    from types import FrameType
    from typing import Self

SECONDS_DEAF = 3.0
"""An impatient second press is the same wish as the first; so long after it, a press counts anew."""


class CtrlC:
    """While entered, SIGINT is only remembered until ``listen``, raises KeyboardInterrupt then, is lost on ``ignore``.

    ``for_good``: it stays ignored when left, for a program that ends there. Where the signal is ignored already (work
    in the background), or outside of the main thread, nothing is changed.
    """

    def __init__(self, *, for_good: bool) -> None:
        self._for_good = for_good
        self._ours = False
        self._waits = False
        self._listens = False
        self._heard_at: float | None = None
        self._before: object = None

    def __enter__(self) -> Self:
        in_main = threading.current_thread() is threading.main_thread()
        self._ours = in_main and signal.getsignal(signal.SIGINT) != signal.SIG_IGN
        if self._ours:
            self._before = signal.signal(signal.SIGINT, self._hear)
        return self

    def __exit__(self, *_: object) -> None:
        if self._ours and not self._for_good:
            signal.signal(signal.SIGINT, self._before)  # type: ignore[arg-type]  # as it was found

    @property
    def heard(self) -> bool:
        """Whether KeyboardInterrupt was raised."""
        return self._heard_at is not None

    def listen(self) -> None:
        """From here on a press raises KeyboardInterrupt; one that came before is raised at once."""
        self._listens = True
        if self._waits:
            self._waits = False
            self._hear(signal.SIGINT, None)

    def ignore(self) -> None:
        """From here on no press does anything."""
        if self._ours:
            signal.signal(signal.SIGINT, signal.SIG_IGN)

    def _hear(self, _: int, __: FrameType | None) -> None:
        now = time.monotonic()
        if not self._listens:
            self._waits = True
        elif self._heard_at is None or now - self._heard_at >= SECONDS_DEAF:
            self._heard_at = now
            raise KeyboardInterrupt
