"""Small words a keeper writes in a scenario: durations, hours of the day, dates, shares, spaces.

Each parser takes what the YAML reader left (a string or a number) and returns plain data, or raises
``ValueError`` whose text is a sentence for the keeper, without place or file name (the reader adds those).
The types made of them are in ``offseason.scenario.typed``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, time, timedelta
from itertools import pairwise
from typing import Any

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_UNIT_SECONDS = {"min": 60, "h": 3_600, "d": 86_400, "w": 604_800}
_DEGREES = r"[-+]?[0-9]{1,9}(?:\.[0-9]{1,9})?"
YEARS = range(1900, 2200)
AS_THE_STORE_WARMS = "as the store warms"
MOST_LEAD_DAYS = 730
MOST_STRETCHES = 24
"""Stretches of hours in one day: one for each hour; ours."""
PAST_YEARS = ("poor year", "poorest year", "middle year")


@dataclass(frozen=True, order=True)
class Hours:
    """A stretch of one day by the clock on the wall, ``start`` before ``end``."""

    start: time
    end: time

    def __str__(self) -> str:
        return f"{self.start:%H:%M}-{self.end:%H:%M}"

    @property
    def minutes(self) -> tuple[int, int]:
        """Start and end in minutes since midnight."""
        return self.start.hour * 60 + self.start.minute, self.end.hour * 60 + self.end.minute

    @classmethod
    def of_minutes(cls, start: int, end: int) -> Hours:
        """From one minute of the day to another."""
        return cls(time(start // 60, start % 60), time(end // 60, end % 60))


@dataclass(frozen=True, order=True)
class Days:
    """Days from ``first`` to ``last``, both included."""

    first: date
    last: date

    def __contains__(self, day: object) -> bool:
        return isinstance(day, date) and self.first <= day <= self.last

    def __str__(self) -> str:
        return f"{self.first}" if self.first == self.last else f"{self.first}..{self.last}"

    def each(self) -> list[date]:
        """Every day of the stretch, in order."""
        return [self.first + timedelta(days=n) for n in range((self.last - self.first).days + 1)]


@dataclass(frozen=True)
class Holds:
    """How much a place holds: ``spaces`` counted in ``unit`` ("pieces", "combs" or "boxes")."""

    spaces: int
    unit: str = "pieces"


@dataclass(frozen=True)
class Celsius:
    """The temperature of a place through the winter, from its coldest to its warmest, in °C."""

    lowest: float
    highest: float

    @property
    def mean(self) -> float:
        """The middle between the two."""
        return (self.lowest + self.highest) / 2


def parse_duration(value: Any) -> int:
    """``24 h``, ``14 d``, ``90 min`` or ``2 w`` in seconds."""
    match = re.fullmatch(r"\s*([0-9]{1,9}(?:\.[0-9]{1,9})?)\s*(min|h|d|w)\s*", str(value))
    if match is None:
        raise ValueError(f"{shown(value)} is not a length of time; write a number and min, h, d or w, as in 24 h")
    return round(float(match[1]) * _UNIT_SECONDS[match[2]])


def parse_wait(value: Any) -> int | str:
    """A duration, or the words ``freezer stay``: as long as the comb and the cold of the place need."""
    if isinstance(value, str) and value.strip().lower() == "freezer stay":
        return "freezer stay"
    return parse_duration(value)


def parse_lasting(value: Any) -> int | str:
    """A duration, or the word ``season``: protection that lasts until spring."""
    if isinstance(value, str) and value.strip().lower() == "season":
        return "season"
    return parse_duration(value)


def parse_every(value: Any) -> int | str:
    """A duration, or the words ``as the store warms``: as often as comb in a store so warm must be looked at."""
    if isinstance(value, str) and value.strip().lower() == AS_THE_STORE_WARMS:
        return AS_THE_STORE_WARMS
    try:
        return parse_duration(value)
    except ValueError:
        told = f"write days or weeks, as in 14 d, or '{AS_THE_STORE_WARMS}'"
        raise ValueError(f"{shown(value)} does not say how often; {told}") from None


def parse_lead_time(value: Any) -> int:
    """A duration of two years at most: from ordering to having it in hand."""
    seconds = parse_duration(value)
    if seconds > MOST_LEAD_DAYS * 86_400:
        raise ValueError(f"{shown(value)} is longer than any delivery; write {MOST_LEAD_DAYS} d or less, as in 14 d")
    return seconds


def parse_past_year(value: Any) -> int | str:
    """The year a past winter began in, or ``poor year``, ``poorest year``, ``middle year``."""
    word = value.strip().lower() if isinstance(value, str) else value
    if word in PAST_YEARS:
        return str(word)
    if isinstance(value, bool) or not re.fullmatch(r"[0-9]{4}", str(value)):
        raise ValueError(f"{shown(value)} is not a past winter; write {', '.join(PAST_YEARS)} or the year it began in")
    return int(value)


def parse_file_names(value: Any) -> tuple[str, ...]:
    """One file name, or a list of them."""
    if isinstance(value, tuple):
        return value
    names = value if isinstance(value, list) else [value]
    for name in names:
        if not isinstance(name, str) or not name.strip() or "\n" in name or "\0" in name:
            raise ValueError(f"{shown(name)} is not the name of a file; write it as in forecast.csv")
    return tuple(name.strip() for name in names)


def parse_date(value: Any) -> date:
    """A calendar day written year-month-day."""
    if isinstance(value, date):
        return value
    text = str(value).strip()
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise ValueError(f"{shown(value)} is not a date; write year-month-day, as in 2026-10-17")
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"{shown(value)} is not a day of the calendar") from None
    if day.year not in YEARS:
        raise ValueError(f"{shown(value)} is in a year no winter is planned for; write one from 1900 to 2199")
    return day


def parse_days(value: Any) -> Days:
    """One date, or two with two dots between them: ``2026-12-21..2027-01-03``."""
    if isinstance(value, Days):
        return value
    first, dots, last = value.partition("..") if isinstance(value, str) else (value, "", "")
    days = Days(parse_date(first), parse_date(last if dots else first))
    if days.last < days.first:
        raise ValueError(f"{shown(value)} ends before it begins; write the earlier date first")
    return days


def parse_hours(value: Any) -> Hours:
    """``09:00-12:30`` on a 24-hour clock; 24:00 is not a time, use 23:59."""
    if isinstance(value, Hours):
        return value
    match = re.fullmatch(r"\s*([0-9]{1,2}):([0-9]{2})\s*-\s*([0-9]{1,2}):([0-9]{2})\s*", str(value))
    if match is None:
        raise ValueError(f"{shown(value)} is not a stretch of hours; write it as in 09:00-12:30")
    try:
        hours = Hours(time(int(match[1]), int(match[2])), time(int(match[3]), int(match[4])))
    except ValueError:
        raise ValueError(f"{shown(value)} has a time that no clock shows; hours go from 00:00 to 23:59") from None
    if hours.end <= hours.start:
        raise ValueError(f"{shown(value)} ends before it begins; write the earlier time first")
    return hours


def parse_hours_list(value: Any) -> tuple[Hours, ...]:
    """One stretch of hours, a list of them that do not overlap, or ``none``."""
    if isinstance(value, tuple):
        return value
    if value is None or (isinstance(value, str) and value.strip().lower() == "none"):
        return ()
    if isinstance(value, list) and len(value) > MOST_STRETCHES:
        raise ValueError(f"{len(value)} stretches of hours in one day are too many; write {MOST_STRETCHES} at most")
    stretches = sorted(parse_hours(v) for v in (value if isinstance(value, list) else [value]))
    for one, two in pairwise(stretches):
        if two.start < one.end:
            raise ValueError(f"{one} and {two} overlap; write them as one stretch")
    return tuple(stretches)


def parse_weekdays(value: Any) -> tuple[int, ...]:
    """``sat``, ``mon-fri``, ``sat, sun`` or ``every day`` as weekday numbers, Monday 0."""
    if isinstance(value, tuple):
        return value
    text = str(value).strip().lower()
    if text == "every day":
        return tuple(range(7))
    found: set[int] = set()
    for part in text.split(","):
        first, dash, last = (p.strip() for p in part.partition("-"))
        if first not in WEEKDAYS or (dash and last not in WEEKDAYS):
            raise ValueError(
                f"{shown(value)} is not a weekday as written here; write mon, tue, wed, thu, fri, sat, sun or mon-fri"
            )
        one, two = WEEKDAYS.index(first), WEEKDAYS.index(last if dash else first)
        found |= {(one + n) % 7 for n in range((two - one) % 7 + 1)}
    return tuple(sorted(found))


def parse_flag(value: Any) -> bool:
    """``true`` or ``false``; ``yes`` and ``no`` say the same."""
    if isinstance(value, bool):
        return value
    word = value.strip().lower() if isinstance(value, str) else None
    if word not in ("yes", "no"):
        raise ValueError(f"{shown(value)} is not understood here; write true or false")
    return word == "yes"


def parse_share(value: Any) -> float:
    """``20%`` as 0.2, more than 0 and at most 1."""
    match = re.fullmatch(r"\s*([0-9]{1,9}(?:\.[0-9]{1,9})?)\s*%\s*", str(value))
    if match is None or not 0 < float(match[1]) <= 100:
        raise ValueError(f"{shown(value)} is not a share; write a per cent above 0 and up to 100, as in 20%")
    return float(match[1]) / 100


def parse_holds(value: Any) -> Holds:
    """``40`` (pieces of whatever kind), ``60 combs`` or ``40 boxes``."""
    if isinstance(value, Holds):
        return value
    match = re.fullmatch(r"\s*([0-9]{1,9})\s*(pieces|combs|boxes)?\s*", str(value))
    if match is None or int(match[1]) == 0:
        raise ValueError(
            f"{shown(value)} is not an amount of space; write a whole number above 0, alone or with combs or boxes"
        )
    return Holds(int(match[1]), match[2] or "pieces")


def parse_celsius(value: Any) -> Celsius:
    """``-18`` or ``4..12``, in °C."""
    if isinstance(value, Celsius):
        return value
    match = re.fullmatch(rf"\s*({_DEGREES})(?:\s*\.\.\s*({_DEGREES}))?\s*", str(value))
    if match is None:
        raise ValueError(f"{shown(value)} is not a temperature in °C; write -18, or 4..12 for coldest..warmest")
    celsius = Celsius(float(match[1]), float(match[2] or match[1]))
    if not (celsius.lowest >= -60 and celsius.highest <= 60):
        raise ValueError(f"{shown(value)} is not a temperature a place has; write °C between -60 and 60")
    if celsius.highest < celsius.lowest:
        raise ValueError(f"{shown(value)} ends colder than it begins; write coldest..warmest")
    return celsius


def shown(value: Any) -> str:
    """The value as the keeper would recognise it, in quotes, cut where it is long."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a block of keys and values"
    if isinstance(value, (list, tuple)):
        return "a list"
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return f"'{text[:60]}…'" if len(text) > 60 else f"'{text}'"
