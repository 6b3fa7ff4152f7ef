"""Two commands at once: one waits until the other has written, and what came meanwhile is never written over unseen."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

from offseason.plan.progress.locking import deadline, let_go, locked


@contextmanager
def alone_beside(path: Path) -> Iterator[None]:
    """No other command of ours writes into the folder of ``path`` meanwhile; one that is killed holds it no more.

    Where a folder cannot be held (Windows, some drives of other computers) nobody is waited for. Errors: TimeoutError.
    """
    handle = _opened_beside(path)
    if handle is None:
        yield
        return
    try:
        _wait_for(handle)
        yield
    finally:
        let_go(handle)


def _opened_beside(path: Path) -> int | None:
    try:
        return os.open(Path(os.path.realpath(path)).parent, os.O_RDONLY)
    except (OSError, ValueError):  # what is wrong with it is told by whoever writes
        return None


def _wait_for(handle: int) -> None:
    try:
        held = locked(handle, deadline())
    except OSError:
        return
    if not held:
        raise TimeoutError(errno.ETIMEDOUT, os.strerror(errno.ETIMEDOUT))


def print_of(path: Path) -> str | None:
    """What tells a file from any other that was there before or comes after; None where there is none to be read."""
    try:
        return sha256(path.read_bytes()).hexdigest() if path.is_file() else None
    except OSError:
        return None
