"""Why a file cannot be written, and what to do: a sentence for each reason a system can give."""

from __future__ import annotations

import errno
import os
from pathlib import Path

LONGEST_SHOWN = 80
ELSEWHERE = "name a file in another folder"
_AGAIN = "then run the command again"
_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
_HELD = ", or another program has the file open" if os.name == "nt" else ""
_WHY = (
    (_NO_ROOM, f"there is no room left for it; make room on the disk, {_AGAIN}, or {{elsewhere}}"),
    ((errno.EROFS,), "the disk that holds the folder {folder} can only be read; {elsewhere} on another one"),
    (
        (errno.EACCES, errno.EPERM, errno.ENOENT),
        f"you may not write into the folder {{folder}}{_HELD}; {{elsewhere}}",
    ),
    (
        (errno.EIO,),
        (
            "the disk did not take it, as one that fails or a stick that was pulled out; look after the disk, "
            f"{_AGAIN}, or {{elsewhere}} on another one"
        ),
    ),
    (
        (errno.EMFILE, errno.ENFILE, errno.ENOMEM),
        f"the computer has no room for one more open file; close other programs, {_AGAIN}",
    ),
    (
        (errno.ETIMEDOUT, errno.EBUSY, errno.ETXTBSY),
        f"another program keeps it from being written; end that, {_AGAIN}",
    ),
    ((errno.EISDIR,), "this is a folder; {elsewhere}"),
    ((errno.ENAMETOOLONG,), "the name is too long for a file; choose a shorter one"),
)


def cannot_write(path: Path, error: Exception, elsewhere: str = ELSEWHERE) -> str:
    """A sentence for the keeper: which file cannot be written, why, and what to do instead.

    ``elsewhere``: what would have it written on another disk or in another folder, where another name is not enough.
    """
    return f"{shown(path)} cannot be written: {why_unwritten(path, error, elsewhere)}."


def cannot_use(error: OSError) -> str:
    """The same of an error of which nobody knows any more what was done with which file."""
    if error.filename is not None and error.errno in (*_NO_ROOM, errno.EROFS):
        return cannot_write(Path(os.fsdecode(error.filename)), error)
    named = f"{error.filename}: this file" if error.filename is not None else "A file"
    return f"{named} cannot be read or written: {error.strerror or error}. Put that right, {_AGAIN}."


def why_unwritten(path: Path, error: Exception, elsewhere: str = ELSEWHERE) -> str:
    """The same from behind the colon, without a full stop."""
    folder = Path(os.path.realpath(path)).parent if "\0" not in str(path) else path
    number = error.errno if isinstance(error, OSError) else None
    if number in (errno.ENOENT, errno.ENOTDIR) and not folder.is_dir():
        return f"there is no such folder as {shown(folder)}; make it first, or {elsewhere}"
    for numbers, why in _WHY:
        if number in numbers:
            return why.replace("{elsewhere}", elsewhere).replace("{folder}", shown(folder))
    if isinstance(error, OSError):
        return f"{error.strerror or error}; put that right, {_AGAIN}, or {elsewhere}"
    return "this is not a name a file can have; choose another"


def shown(path: Path) -> str:
    """The name of a file for a sentence, without the middle of one that is very long."""
    text = str(path)
    return text if len(text) <= LONGEST_SHOWN else f"{text[:40]}...{text[-30:]}"
