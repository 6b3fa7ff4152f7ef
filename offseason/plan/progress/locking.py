"""One writer at a time: an open file is held by the system, so that nothing is left over when a writer is killed."""

from __future__ import annotations

import errno
import os
import sys
import time
from contextlib import suppress

LONGEST_WAIT_S = 20.0
_POLL_S = 0.02

if sys.platform == "win32":
    import msvcrt

    _FAR = 1 << 30  # a byte behind all rows, so that they can still be read

    def try_lock(handle: int) -> bool:
        """Holds the file if nobody else does, and tells whether it is held. Raises OSError where it never can be.

        By the documentation of the C runtime a range that others hold is EACCES; all else will not pass by waiting.
        """
        os.lseek(handle, _FAR, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError as error:
            if error.errno == errno.EACCES:
                return False
            raise
        return True

    def unlock(handle: int) -> None:
        """Lets the file go, if it is held."""
        with suppress(OSError):
            os.lseek(handle, _FAR, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def try_lock(handle: int) -> bool:
        """Holds the file if nobody else does, and tells whether it is held. Raises OSError where it never can be."""
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def unlock(handle: int) -> None:
        """Lets the file go, if it is held."""
        with suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_UN)


def deadline() -> float:
    """Until when another writer is waited for, by the clock that never jumps."""
    return time.monotonic() + LONGEST_WAIT_S


def locked(handle: int, until: float) -> bool:
    """Waits until nobody else holds the file; False where that is still so at ``until``. Raises OSError as above."""
    while not try_lock(handle):
        if time.monotonic() > until:
            return False
        time.sleep(_POLL_S)
    return True


def let_go(handle: int) -> None:
    """Unlocks and closes: closing alone would let go too, but on some systems only after a while."""
    try:
        unlock(handle)
    finally:
        os.close(handle)
