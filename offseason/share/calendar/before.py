"""The calendar written last time: what stood in it, so that only what is different counts as changed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from offseason.share.calendar.content import folded, unfolded

PRODID = "-//offseason//plan of a winter//EN"
_MOMENT = r"[0-9]{8}(T[0-9]{6}Z?)?"
_FORMS = {
    "UID": r"[0-9a-f-]{36}",
    "SEQUENCE": r"[0-9]{1,9}",
    "DTSTAMP": r"[0-9]{8}T[0-9]{6}Z",
    "LAST-MODIFIED": r"[0-9]{8}T[0-9]{6}Z",
    "DTSTART": _MOMENT,
    "DTEND": _MOMENT,
    "SUMMARY": r".*",
}
_LINE = re.compile(r"[A-Z-]+(;[A-Z]+=[^;:,\"\x00-\x1f]+)*:[^\x00-\x1f\x7f]*")
_STAMPS = ("DTSTAMP:", "LAST-MODIFIED:", "SEQUENCE:")


class UnreadableError(ValueError):
    """The calendar cannot be gone on with; the message says why: "The calendar" begins the sentence."""


@dataclass(frozen=True)
class Known:
    """An entry as it was written: ``shown`` are its lines in any order, but for the stamps; ``written`` is all of it.

    ``day``: the last that it touches, or the day after. ``cancelled``: it was called off.
    """

    uid: str
    sequence: int
    shown: tuple[str, ...]
    written: bytes
    day: date
    cancelled: bool

    @classmethod
    def of(cls, lines: list[str]) -> Known:
        """The entry from BEGIN to END. Raises UnreadableError where it is not as all of ours are."""
        values = own_values(lines)
        if not all(re.fullmatch(pattern, values.get(name, "")) for name, pattern in _FORMS.items()) or any(
            not _LINE.fullmatch(line) for line in lines
        ):
            raise UnreadableError("is damaged: an entry is not as it was written")
        return cls(
            values["UID"],
            int(values["SEQUENCE"]),
            shown_of(lines),
            folded(lines),
            _day(values["DTEND"]),
            values.get("STATUS") == "CANCELLED",
        )


def is_ours(content: bytes) -> bool:
    """Whether the file is a calendar written here, be it whole or not."""
    return any(line.strip() == f"PRODID:{PRODID}".encode() for line in content.split(b"\n"))


def trouble_with(content: bytes) -> str | None:
    """A sentence where a calendar written last time cannot be gone on with, so that a new one is begun; else None."""
    try:
        read(content)
    except UnreadableError as error:
        return f"The calendar {error}: a new one is begun, and what was called off meanwhile is not said in it."
    return None


def read(content: bytes) -> tuple[str, Mapping[str, Known]]:
    """UID of the calendar, and its entries by UID in the order of the file. Raises UnreadableError."""
    if not is_ours(content):
        raise UnreadableError("was not written by offseason")
    try:
        lines = unfolded(content)
    except UnicodeDecodeError:
        raise UnreadableError("is damaged: it is no longer text") from None
    if (lines[0], lines[-1]) != ("BEGIN:VCALENDAR", "END:VCALENDAR"):
        raise UnreadableError("is damaged: its beginning or its end is missing")
    found: dict[str, Known] = {}
    entry: list[str] | None = None
    for line in lines:
        if line == "BEGIN:VEVENT":
            entry = []
        if entry is not None:
            entry.append(line)
        if line == "END:VEVENT":
            known = Known.of(entry or [])
            if known.uid in found:
                raise UnreadableError("is damaged: an entry stands in it twice")
            found[known.uid] = known
            entry = None
    if entry is not None:
        raise UnreadableError("is damaged: an entry has no end")
    return own_values(lines).get("UID", ""), found


def shown_of(lines: list[str]) -> tuple[str, ...]:
    """What an entry shows, from its lines: all but the stamps, in an order of their own."""
    return tuple(sorted(line for line in lines if not line.startswith(_STAMPS)))


def own_values(lines: list[str]) -> dict[str, str]:
    """Values by name, of the outermost component only."""
    found: dict[str, str] = {}
    depth = 0
    for line in lines:
        depth += line.startswith("BEGIN:")
        if depth == 1 and ":" in line:
            # no parameter that is written here holds a colon
            found.setdefault(name_of(line), line.split(":", 1)[1])
        depth -= line.startswith("END:")
    return found


def name_of(line: str) -> str:
    """The name of a line's property."""
    return re.split("[;:]", line, maxsplit=1)[0].upper()


def _day(value: str) -> date:
    try:
        return date.fromisoformat(f"{value[:4]}-{value[4:6]}-{value[6:8]}")
    except ValueError:
        raise UnreadableError("is damaged: an entry is on a day that is none") from None
