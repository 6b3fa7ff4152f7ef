"""What the audit says: one broken promise, its row and a sentence, and the small phrases such sentences are made of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from offseason.plan.document import Row

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


class Promise(StrEnum):
    """The promises a plan makes; a broken one carries this word."""

    KNOWN_NAMES = "known names"
    HOURS = "hours"
    AWAY = "away"
    ABLE = "able"
    ONE_PLACE_AT_A_TIME = "one place at a time"
    HANDS = "hands"
    LENGTH = "length"
    SET_UP = "set-up"
    PLACE = "place"
    SEATS = "seats"
    SPACE = "space"
    WHOLE_LOADS = "whole loads"
    ORDER = "order"
    WAITING = "waiting"
    NOT_TOO_LATE_AFTER = "not too late after"
    WEATHER = "weather"
    ARRIVAL = "arrival"
    READY_BY = "ready by"
    COUNT = "count"
    DONE = "done"
    LEFT = "left over"
    MARKED_DONE = "marked done"
    JOB_DAYS = "job days"
    BEFORE_AND_AFTER = "before and after"
    ROUNDS = "rounds"
    PAINT_WHEN_DUE = "paint when due"
    FOULBROOD = "foulbrood"
    PROTECTION = "protection"
    SHELTER = "shelter"


@dataclass(frozen=True)
class Broken:
    """A promise the plan does not keep; ``row`` is the row to look at, None where a row is missing altogether."""

    promise: str
    row: Row | None
    text: str


def broken(promise: Promise, row: Row | None, what: str, *, about: str | None = None) -> Broken:
    """The sentence ``what``, headed by the row it is about, or by ``about`` where there is no row."""
    return Broken(promise, row, f"{named(row) if row else about}: {what}")


def named(row: Row) -> str:
    """A row as the keeper finds it again: line, day, hours, people, work."""
    line = f"line {row.line}, " if row.line else ""
    who = ", ".join(row.who) or "nobody"
    work = row.step if row.step == row.lot else f"{row.step} {row.pieces} of {row.lot}"
    return f"{line}{day_text(row.day)} {row.start:%H:%M}-{row.end:%H:%M}, {who}, {work}"


def day_text(day: date) -> str:
    """``Sat 2026-10-10``."""
    return f"{_WEEKDAYS[day.weekday()]} {day.isoformat()}"


def moment_text(moment: datetime) -> str:
    """``Sat 2026-10-10 09:30``, with seconds where there are any."""
    return f"{day_text(moment.date())} {moment:%H:%M:%S}".removesuffix(":00")


def length_text(seconds: float) -> str:
    """A length of time in the two largest units that matter: ``2 d 3 h``, ``1 h 5 min``, ``40 s``."""
    whole = round(seconds)
    parts = []
    for unit, size in (("d", 86_400), ("h", 3_600), ("min", 60), ("s", 1)):
        number, whole = divmod(whole, size)
        if number:
            parts.append(f"{number} {unit}")
    return " ".join(parts[:2]) or "0 s"


def declared_text(number: int, how: str) -> str:
    """What of it the plan says it leaves, as the end of a sentence; nothing where it says nothing."""
    return f"; the plan says that it leaves {number} {how}" if number else ""


def pieces_text(number: int) -> str:
    """``1 piece``, ``12 pieces``."""
    return f"{number} piece" if number == 1 else f"{number} pieces"
