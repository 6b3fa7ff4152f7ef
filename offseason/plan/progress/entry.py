"""One row of the log: what was done, when and by whom."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass, field
from datetime import date, time

ID_SIGNS = 10


@dataclass(frozen=True)
class Entry:
    """On ``day`` these people did ``step`` on ``pieces`` of ``lot``.

    ``pieces`` below 0 take back what an earlier row said, or what was lost. ``until``: clock time at which it was
    finished. ``minutes``: how long all of ``who`` were at it together, by the clock. ``line``: line in the log file,
    None when never written; it makes no other entry.
    """

    id: str
    day: date
    who: tuple[str, ...]
    lot: str
    step: str
    pieces: int
    until: time | None = None
    minutes: float | None = None
    note: str = ""
    line: int | None = field(default=None, compare=False)


def new_id() -> str:
    """An id that no other row has."""
    return secrets.token_hex(ID_SIGNS // 2)


def id_of_content(content: str, nth: int) -> str:
    """The id of the ``nth`` line or row with this content: always the same, so that reading it twice is once."""
    return hashlib.sha256(f"{nth} {content}".encode("utf-8", "replace")).hexdigest()[:ID_SIGNS]


def in_order(entry: Entry) -> tuple[date, time, int, str, tuple[str, ...], str, str, int, float, str]:
    """Key to sort by: day, then when it was finished (untold: last of the day), then anything that is always alike."""
    until = entry.until.replace(fold=0) if entry.until is not None else time.max
    again = entry.until.fold if entry.until is not None else 0
    minutes = -1.0 if entry.minutes is None else entry.minutes
    names = (entry.who, entry.lot, entry.step)
    return entry.day, until, again, entry.id, *names, entry.pieces, minutes, entry.note


def content_key(entry: Entry) -> str:
    """What an entry says, without its id."""
    said = (entry.day, entry.who, entry.lot, entry.step, entry.pieces, entry.until, entry.minutes, entry.note)
    again = entry.until.fold if entry.until is not None else 0
    return repr((*said, again))
