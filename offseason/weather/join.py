"""Several weather files of one kind as one record."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

import numpy as np

from offseason.weather.grid import LONGEST_YEARS
from offseason.weather.notes import counted
from offseason.weather.records import Daily, Floats, Hourly, Record, WeatherFileError


def joined(records: Sequence[Record]) -> tuple[Record, tuple[str, ...]]:
    """The records as one, unknown where none of them has anything, and what there is to say about it.

    Where several have something of an hour or day, the earlier in the list stands for it, as a whole: what it does not
    know is not taken from another file, which may be of another place. Raises WeatherFileError where some are by the
    hour and some by the day, or where they lie too far apart; ValueError where there are none.
    """
    if not records:
        raise ValueError("There are no records to join; give one at least.")
    if len(records) == 1:
        return records[0], ()
    if len({type(record) for record in records}) > 1:
        text = "some of these weather files are by the hour and some by the day; name files of one kind"
        raise WeatherFileError(text)
    starts = [_start(record) for record in records]
    first = min(starts)
    length = max(start + len(record) for start, record in zip(starts, records, strict=True)) - first
    what, a_day = ("hour", 24) if isinstance(records[0], Hourly) else ("day", 1)
    if length > LONGEST_YEARS * 366 * a_day:
        text = f"these weather files lie more than {LONGEST_YEARS} years apart; is a year in one of them wrong?"
        raise WeatherFileError(text)
    told = np.zeros(length, np.bool_)
    whole = [np.full(length, np.nan) for _ in _fields(records[0])]
    both = 0
    for start, record in zip(starts, records, strict=True):
        fields = _fields(record)
        has = np.isfinite(fields).any(axis=0)
        part = slice(start - first, start - first + len(record))
        both += int((has & told[part]).sum())
        new = has & ~told[part]
        for joint, field in zip(whole, fields, strict=True):
            joint[part][new] = field[new]
        told[part] |= has
    said = []
    if both:
        said.append(f"{counted(both, what)} stood in more than one weather file; the file named first was taken")
    if isinstance(records[0], Hourly):
        return Hourly(datetime.fromtimestamp(first * 3600, UTC), *whole), tuple(said)
    return Daily(date.fromordinal(first), *whole), tuple(said)


def _start(record: Record) -> int:
    """Hours since 1970, or the number of the day."""
    if isinstance(record, Hourly):
        return (record.first - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(hours=1)
    return record.first.toordinal()


def _fields(record: Record) -> list[Floats]:
    if isinstance(record, Hourly):
        return [
            record.celsius, record.humidity_percent, record.dew_point_celsius,
            record.rain_mm, record.wind_m_s, record.wood_moisture_percent,
        ]  # fmt: skip
    return [record.lowest_celsius, record.highest_celsius, record.humidity_percent, record.rain_mm, record.wind_m_s]
