"""By which clock a weather file tells its times, and what moment each is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

import numpy as np

from offseason.scenario.nearest import nearest
from offseason.weather.notes import fault, quoted
from offseason.weather.table import Flags, Ints

YEARS = range(1800, 2200)

_TIME = re.compile(
    r"([0-9]{4})[-/]([0-9]{1,2})[-/]([0-9]{1,2})[T ]+([0-9]{1,2}):([0-9]{2})(:[0-9]{2})?(?:[.,][0-9]+)?"
    r" *(Z|[-+][0-9]{2}:?[0-9]{2})?"
)
_AHEAD = re.compile(r"(?:UTC|GMT)? *([-+])([0-9]{1,2})(?::?([0-9]{2}))?", re.IGNORECASE)
_DAY_S = 86_400
_EPOCH_DAY = date(1970, 1, 1).toordinal()


def zone_named(word: str | None, local: str | None, row: int, file: str) -> tzinfo | None:
    """The clock that stands in brackets behind ``time``; None where nothing does. Raises WeatherFileError.

    ``local``: name of the zone that ``[local]`` stands for; None: clocks that never change, taken as UTC.
    """
    if not word:
        return None
    if word.casefold() in {"utc", "z", "gmt"}:
        return UTC
    if word.casefold() == "local":
        return UTC if local is None else _zone(local, row, file)
    if found := _AHEAD.fullmatch(word):
        ahead = timedelta(hours=int(found[2]), minutes=int(found[3] or 0))
        if ahead < timedelta(hours=15):
            return timezone(-ahead if found[1] == "-" else ahead)
        raise fault(file, row, f"{quoted(word)} is not a clock; no place is 15 hours or more from UTC")
    return _zone(word, row, file)


def local_zone(name: str | None, file: str) -> tzinfo:
    """The zone of that name; UTC for None. Raises WeatherFileError where there is none of this name."""
    return UTC if name is None else _zone(name, None, file)


def _zone(name: str, row: int | None, file: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        # Abbreviations are all alike: only longer names have a nearest one that helps.
        close = nearest(name, available_timezones()) if len(name) > 4 else None
        add = f"did you mean '{close}'? If not, " if close else ""
        text = f"{quoted(name)} is not a time zone known here; {add}write UTC, local, or the hours ahead of UTC: +01:00"
        raise fault(file, row, text) from None


def times_of(texts: Sequence[str]) -> list[datetime | None]:
    """Each text as a time, with the offset written in it where there is one; None where it is no time."""
    read = datetime.fromisoformat
    times: list[datetime | None] = []
    for text in texts:
        try:
            time = read(text) if text[10:11] in ("T", " ") else _odd_time(text)
        except ValueError:
            time = _odd_time(text)
        times.append(time if time is not None and time.year in YEARS else None)
    return times


def _odd_time(text: str) -> datetime | None:
    """Times with slashes, one figure for the hour, 24:00 for midnight, a space before the offset."""
    found = _TIME.fullmatch(text.strip())
    if found is None:
        return None
    year, month, day, hour, minute, second, offset = found.groups()
    late = hour == "24"
    try:
        time = datetime.fromisoformat(
            f"{year}-{month:0>2}-{day:0>2}T{'00' if late else hour.zfill(2)}:{minute}{second or ''}{offset or ''}"
        )
        return time + timedelta(days=1) if late else time
    except (ValueError, OverflowError):
        return None


def days_of(texts: Iterable[str]) -> list[int | None]:
    """Each text as a day, counted from 1970-01-01; None where it is no day."""
    return [_day(text) for text in texts]


def _day(text: str) -> int | None:
    plain = text.strip()
    try:
        day = date.fromisoformat(plain)
    except ValueError:
        time = _odd_time(plain) or _odd_time(f"{plain} 00:00")
        if time is None or (time.hour, time.minute) != (0, 0):
            return None
        day = time.date()
    return day.toordinal() - _EPOCH_DAY if day.year in YEARS else None


def seconds_of(times: Sequence[datetime], zone: tzinfo | None) -> tuple[Ints, Flags, Flags]:
    """Seconds since 1970 UTC; which times do not exist by that clock; which come twice by it, and only once here.

    A time that carries its own offset keeps it. By a clock that is put back, the first time of two that read alike is
    the earlier one, in the file's order, or against it in a file that tells the newest first. ``zone`` None is UTC.
    """
    own = np.fromiter((time.tzinfo is not None for time in times), np.bool_, len(times))
    plain = (
        [time.astimezone(UTC).replace(tzinfo=None) if time.tzinfo else time for time in times] if own.any() else times
    )
    seconds = np.fromiter(map(_wall_s, plain), np.int64, len(times))
    left_out = np.zeros(len(times), np.bool_)
    lone = np.zeros(len(times), np.bool_)
    if zone is None:
        return seconds, left_out, lone
    by_clock = np.flatnonzero(~own)
    if len(by_clock) == 0:
        return seconds, left_out, lone
    # Most days have one offset throughout: it is looked up once a day, and hour by hour only where it changes.
    days = seconds[by_clock] // _DAY_S
    earliest = int(days.min())
    starts = np.zeros(int(days.max()) - earliest + 1, np.int64)
    there = np.zeros(len(starts), np.bool_)
    there[days - earliest] = True
    ends = starts.copy()
    for place in np.flatnonzero(there).tolist():
        starts[place] = _offset_s(zone, (earliest + place) * _DAY_S)
        ends[place] = _offset_s(zone, (earliest + place + 1) * _DAY_S)
    changes = (starts != ends)[days - earliest]
    seconds[by_clock[~changes]] -= starts[days - earliest][~changes]
    odd = by_clock[changes]
    backwards = len(times) > 1 and seconds[0] > seconds[-1]
    seen: dict[int, int] = {}
    for place in odd[::-1] if backwards else odd:
        wall = int(seconds[place])
        first, second = _offset_s(zone, wall), _offset_s(zone, wall, fold=1)
        if first < second:
            left_out[place] = True
        elif first > second and wall in seen:
            lone[seen[wall]] = False
            first = second
        elif first > second:
            seen[wall] = int(place)
            lone[place] = True
        seconds[place] = wall - first
    return seconds, left_out, lone


def _wall_s(time: datetime) -> int:
    """Seconds since 1970 as the clock shows them, whatever zone it is in."""
    return (time.toordinal() - _EPOCH_DAY) * _DAY_S + time.hour * 3600 + time.minute * 60 + time.second


def _offset_s(zone: tzinfo, wall_s: int, fold: int = 0) -> int:
    """How far the clock is ahead of UTC when it shows so many seconds since 1970."""
    wall = datetime(1970, 1, 1) + timedelta(seconds=wall_s)  # noqa: DTZ001 - a time by the clock on the wall
    offset = zone.utcoffset(wall.replace(tzinfo=zone, fold=fold))
    return round(offset.total_seconds()) if offset is not None else 0
