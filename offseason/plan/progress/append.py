"""Adding rows to a log: one writer at a time, all of the rows or none, and never a byte of what was there."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from offseason.plan.progress.entry import Entry
from offseason.plan.progress.locking import deadline, let_go, locked
from offseason.plan.progress.log import Log, parse_log
from offseason.plan.progress.rows import entry_text
from offseason.plan.unwritten import cannot_write
from offseason.plan.whole import settle_folder

HEAD = """\
# What was done, one line an entry, written by `offseason record`. Rows are only ever added: what was wrong is taken
# back by a row with pieces below 0. Where it is changed by hand, keep one row to a line. `minutes`: how long all of
# `who` were at it together; `until`: when they were through. Pieces of a job are equal parts of it.
"""


_AS_IT_WAS = "Nothing was recorded, and the log is as it was"
_NOT_SURE = "Part of it may be there: look at the last lines of the log before you record it again"


class CannotAppendError(Exception):
    """Nothing was added to the log, which is as it was unless the sentence says otherwise; why, and what to do."""


class HeldLog:
    """A log that nobody else writes to as long as it is held."""

    def __init__(self, path: Path, handle: int) -> None:
        self.path = path
        self._handle = handle

    def read(self) -> Log:
        """What is in it. Raises LogFileError."""
        return parse_log(self._bytes(), str(self.path))

    def append(self, entries: Iterable[Entry]) -> int:
        """Adds a row for each entry at the end, has them survive a power cut, and gives the line of the first.

        A last row that was cut off keeps its place, on a line of its own. Raises CannotAppendError.
        """
        before = self._bytes()
        rows = "".join(f"{entry_text(entry)}\n" for entry in entries)
        begun = before if before.endswith(b"\n") or not before else before + b"\n"
        begun = begun or HEAD.encode()
        added = begun[len(before) :] + rows.encode()
        if before and not before.strip(b"\0"):  # a power cut left a file of empty bytes
            added = b"\n" + HEAD.encode() + rows.encode()
        try:
            self._write(added)
        except BaseException as error:
            undone = self._undo(len(before))
            if isinstance(error, OSError):
                raise CannotAppendError(_why(self.path, error, _AS_IT_WAS if undone else _NOT_SURE)) from None
            raise
        if not self._is_in_place():
            told = "another program put another file in its place in this very moment; nothing is recorded, try again"
            raise CannotAppendError(f"{self.path}: {told}.")
        return (before + added).count(b"\n") - rows.count("\n") + 1

    def _bytes(self) -> bytes:
        os.lseek(self._handle, 0, os.SEEK_SET)
        parts = []
        while part := os.read(self._handle, 1 << 20):
            parts.append(part)
        return b"".join(parts)

    def _write(self, data: bytes) -> None:
        left = memoryview(data)
        while left:
            left = left[os.write(self._handle, left) :]
        os.fsync(self._handle)

    def _undo(self, length: int) -> bool:
        """Whether the log is as it was. Where it is not, a row that is cut off is told by whoever reads it next."""
        try:
            os.ftruncate(self._handle, length)
        except OSError:
            return False
        with suppress(OSError):
            os.fsync(self._handle)
        return True

    def _is_in_place(self) -> bool:
        """Whether this is still the file of that name: editors put a new file in its place."""
        try:
            return os.path.samestat(os.fstat(self._handle), self.path.stat())
        except OSError:
            return False


def append(path: Path, entries: Iterable[Entry]) -> None:
    """Adds a row for each entry to the log, which is made where there is none. Raises CannotAppendError."""
    with held(path) as log:
        log.append(entries)


@contextmanager
def held(path: Path) -> Iterator[HeldLog]:
    """The log, made where there is none, with nobody else writing to it. Raises CannotAppendError.

    The file itself is locked, so nothing is left over when a writer is killed. One that was made here and into which
    nothing was written goes again.
    """
    handle, made = _opened(path)
    try:
        yield HeldLog(path, handle)
    finally:
        if made:
            _remove_if_empty(path, handle)
        let_go(handle)


def _remove_if_empty(path: Path, handle: int) -> None:
    with suppress(OSError):
        if os.fstat(handle).st_size == 0 and HeldLog(path, handle)._is_in_place():  # noqa: SLF001  of this module
            path.unlink()


def _opened(path: Path) -> tuple[int, bool]:
    """The log, held, and whether it was made here."""
    until = deadline()
    with suppress(OSError, ValueError):  # a name that cannot be is told below; a pipe would be waited for
        if not stat.S_ISREG(path.stat().st_mode):
            raise CannotAppendError(f"{path}: this is not a file; a log is a file with a row for each entry.")
    while True:
        handle = -1
        try:
            handle, made = _open(path)
            if made:
                settle_folder(Path(os.path.realpath(path)).parent)
            _lock(handle, path, until)
            if HeldLog(path, handle)._is_in_place():  # noqa: SLF001  of this module
                return handle, made
        except (OSError, ValueError) as error:
            _close(handle)
            raise CannotAppendError(_why(path, error, "Nothing was recorded")) from None
        except BaseException:
            _close(handle)
            raise
        _close(handle)  # while we waited, another file was put in its place: wait for that one


def _open(path: Path) -> tuple[int, bool]:
    how = os.O_RDWR | os.O_APPEND | getattr(os, "O_BINARY", 0)
    place = os.path.realpath(path)  # a link to where nothing is yet is written through, as by any other program
    try:
        return os.open(place, how | os.O_CREAT | os.O_EXCL, 0o666), True
    except FileExistsError:
        return os.open(place, how | os.O_CREAT, 0o666), False


def _close(handle: int) -> None:
    if handle >= 0:
        let_go(handle)


def _lock(handle: int, path: Path, until: float) -> None:
    if not locked(handle, until):
        told = "another program has been writing to it for so long that nothing was recorded; end it and try again"
        raise CannotAppendError(f"{path}: {told}.")


def _why(path: Path, error: Exception, so: str) -> str:
    return f"{cannot_write(path, error, 'copy the winter to another folder')} {so}."
