"""Files that are never half there: written beside their place, settled on the disk, and put there in one go."""

from __future__ import annotations

import os
import re
import secrets
import stat
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from offseason.plan.progress.locking import try_lock

LEFT_OVER_AFTER_S = 3_600.0
"""What was begun so long ago and nobody is at any more was left over by a run that was killed. Ours."""

_HALF = re.compile(r"\.[0-9a-f]{16}\.half-written")
_CLOSED_BEFORE_MOVED = os.name == "nt"  # an open file cannot be moved there


def write_whole(path: Path, content: bytes) -> None:
    """Writes a file beside ``path`` and then puts it there in one go: a reader sees the old file or the new one.

    A file that was there keeps its permissions. Errors: OSError, or ValueError for a name no file can have; the old
    file then stays as it was.
    """
    target = Path(os.path.realpath(path))
    with _beside(target, content) as half:
        if target.exists():
            half.chmod(stat.S_IMODE(target.stat().st_mode))
        half.replace(target)
    settle_folder(target.parent)


def put_new(path: Path, content: bytes) -> None:
    """Writes a file that is not there yet, whole or not at all, and never over one that comes meanwhile.

    Errors: FileExistsError where there is one; OSError, or ValueError for a name no file can have.
    """
    target = Path(os.path.realpath(path))
    if os.path.lexists(path):
        _clear_left_over(target.parent)
        raise FileExistsError(path)
    with _beside(target, content) as half:
        try:
            os.link(half, target)
        except FileExistsError:
            raise
        except OSError:  # a disk without links, as sticks are
            _take_name(target)
            try:
                half.replace(target)
            except OSError:
                target.unlink()
                raise
    settle_folder(target.parent)


def copy_whole(source: Path, path: Path) -> None:
    """Writes what is in one file into another as ``write_whole`` does, with the permissions and the time of the first.

    Errors: OSError; what was at ``path`` then stays as it was.
    """
    was = source.stat()
    with _beside(path, source.read_bytes()) as half:
        half.chmod(stat.S_IMODE(was.st_mode))
        os.utime(half, ns=(was.st_atime_ns, was.st_mtime_ns))
        half.replace(path)
    settle_folder(path.parent)


def try_folder(folder: Path, size: int) -> None:
    """Tries whether a file of so many bytes can be written into the folder. Errors: OSError."""
    with _beside(folder / "trial", b"\n" * size):
        pass


def settle_folder(folder: Path) -> None:
    """Has the names of new files in the folder survive a power cut, where the system can do so."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def _beside(target: Path, content: bytes) -> Iterator[Path]:
    """A file with this content in the folder of ``target``, settled on the disk; gone afterwards unless it was moved.

    It is held meanwhile, so that no other command takes it for left over; where open files cannot be moved, its youth
    has to do.
    """
    _clear_left_over(target.parent)
    half = target.with_name(f".{secrets.token_hex(8)}.half-written")
    with ExitStack() as until_moved:
        until_moved.callback(_remove, half)
        stream = until_moved.enter_context(half.open("xb"))
        if not _CLOSED_BEFORE_MOVED:
            with suppress(OSError):
                try_lock(stream.fileno())
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())
        if _CLOSED_BEFORE_MOVED:
            stream.close()
        yield half


def _remove(half: Path) -> None:
    with suppress(OSError):
        half.unlink()


def _take_name(target: Path) -> None:
    """Makes an empty file where there is none. Errors: FileExistsError where there is one, OSError."""
    os.close(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))


def _clear_left_over(folder: Path) -> None:
    """Removes what a run that was killed left half written, never what another is at."""
    with suppress(OSError), os.scandir(folder) as found:
        for name in [entry.name for entry in found if _HALF.fullmatch(entry.name)]:
            with suppress(OSError):
                _remove_if_left_over(folder / name)


def _remove_if_left_over(half: Path) -> None:
    found = half.lstat()
    if not stat.S_ISREG(found.st_mode) or time.time() - found.st_mtime < LEFT_OVER_AFTER_S:
        return
    with half.open("rb") as stream:
        nobody_is_at_it = try_lock(stream.fileno())
    if nobody_is_at_it:
        half.unlink()
