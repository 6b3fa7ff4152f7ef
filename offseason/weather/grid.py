"""Rows put in order and onto hours or days without gaps; what was unknown, missing or there twice is said."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta

import numpy as np

from offseason.weather.notes import counted, fault, grouped
from offseason.weather.records import Daily, Floats, Hourly, Note, Record
from offseason.weather.table import DAILY_COLUMNS, HOURLY_COLUMNS, Flags, Ints, Table

LONGEST_YEARS = 200
_DAY_H = 24
_HOUR_S = 3600
# Ours: where so many rows tell something else about a time told before, two places are in one file.
_TWO_PLACES_PART, _TWO_PLACES_ROWS = 0.2, 10


def gridded(table: Table, values: Mapping[str, Floats], file: str, notes: list[Note]) -> Record:
    """The record of a table whose values are in °C, mm, m/s and per cent. Raises WeatherFileError.

    Of rows for the same moment the first stands; of several readings within an hour the first that is known, but the
    most rain and the strongest wind.
    """
    if len(table.moments) == 0:
        raise fault(file, None, "there is no row of data that can be read")
    _refuse_too_long(table, file)
    moments, rows, columns = _ordered(table, values, file, notes)
    slots = moments // _HOUR_S if table.hourly else moments
    first, length = int(slots[0]), int(slots[-1] - slots[0]) + 1
    places = slots - first
    _say_span(places, length, first, table, notes)
    filled = {name: _filled(name, column, places, length) for name, column in columns.items()}
    _say_unknown(columns, rows, notes)
    names = HOURLY_COLUMNS if table.hourly else DAILY_COLUMNS
    whole = [filled[name] if name in filled else np.full(length, np.nan) for name in names]
    if table.hourly:
        celsius, humidity, dew_point, rain, wind, wood = whole
        return Hourly(datetime.fromtimestamp(first * _HOUR_S, UTC), celsius, humidity, dew_point, rain, wind, wood)
    lowest, highest, humidity, rain, wind = whole
    return Daily(_day(first), lowest, highest, humidity, rain, wind)


def _refuse_too_long(table: Table, file: str) -> None:
    years = int(table.moments.max() - table.moments.min()) / (365.25 * _DAY_H * _HOUR_S if table.hourly else 365.25)
    if years > LONGEST_YEARS:
        early, late = int(table.moments.argmin()), int(table.moments.argmax())
        text = f"the records run from {_moment(table, early)} to {_moment(table, late)} (row {table.rows[late]})"
        remedy = f"more than {LONGEST_YEARS} years; correct the year that is wrong"
        raise fault(file, int(table.rows[early]), f"{text}: {remedy}")


def _moment(table: Table, place: int) -> str:
    number = int(table.moments[place])
    return _hour(number // _HOUR_S) if table.hourly else str(_day(number))


def _hour(hours: int) -> str:
    return f"{datetime(1970, 1, 1, tzinfo=UTC) + timedelta(hours=hours):%Y-%m-%d %H:%M} UTC"


def _day(days: int) -> date:
    return date(1970, 1, 1) + timedelta(days=days)


def _ordered(
    table: Table, values: Mapping[str, Floats], file: str, notes: list[Note]
) -> tuple[Ints, Ints, dict[str, Floats]]:
    """Rows by time, each moment once."""
    moments, rows = table.moments, table.rows
    columns = dict(values)
    steps = np.diff(moments)
    if (steps < 0).any():
        if (steps <= 0).all():
            notes.append(Note(None, "the rows go from the newest to the oldest; they were turned round"))
        else:
            text = "earlier than the row above it; the rows were put in order of time"
            notes.append(grouped(rows[1:][steps < 0], text))
        order = np.argsort(moments, kind="stable")
        moments, rows = moments[order], rows[order]
        columns = {name: column[order] for name, column in columns.items()}
    again: Flags = np.concatenate(([False], np.diff(moments) == 0))
    if again.any():
        notes += _repeats(again, rows, columns, file)
        moments, rows = moments[~again], rows[~again]
        columns = {name: column[~again] for name, column in columns.items()}
    return moments, rows, columns


def _repeats(again: Flags, rows: Ints, columns: Mapping[str, Floats], file: str) -> list[Note]:
    other = np.zeros(len(again), np.bool_)
    for column in columns.values():
        before = np.concatenate(([np.nan], column[:-1]))
        other |= again & ~((column == before) | (np.isnan(column) & np.isnan(before)))
    if other.sum() >= _TWO_PLACES_ROWS and other.mean() > _TWO_PLACES_PART:
        text = (
            f"{counted(int(other.sum()), 'row')} of {len(rows):,} tell other weather for a time that was there before"
        )
        raise fault(file, int(rows[other].min()), f"{text}; are there two places in one file? Keep the rows of one")
    said = ((again & ~other, "a row of the same time and values was there before"), (
        other, "another row of the same time was there before, with other values"))  # fmt: skip
    return [grouped(rows[which], f"{text}; the first stands") for which, text in said if which.any()]


def _filled(name: str, column: Floats, places: Ints, length: int) -> Floats:
    filled = np.full(length, np.nan)
    known = np.isfinite(column)
    if name in {"rain", "wind"}:
        np.fmax.at(filled, places[known], column[known])
    else:
        # Backwards: of several entries for one place the last assigned stands.
        filled[places[known][::-1]] = column[known][::-1]
    return filled


def _say_span(places: Ints, length: int, first: int, table: Table, notes: list[Note]) -> None:
    """From when to when, what is missing within, and whether rows come closer or farther apart than they should."""
    named = _hour if table.hourly else lambda day: str(_day(day))
    what = "hour" if table.hourly else "day"
    notes.insert(0, Note(None, f"{counted(length, what)}, from {named(first)} to {named(first + length - 1)}"))
    there = places[np.concatenate(([True], np.diff(places) > 0))]
    if len(there) < len(places):
        text = "several readings in one hour: the first stands, but the most rain and the strongest wind of the hour"
        notes.append(Note(None, text))
    gaps = np.diff(there)
    if missing := length - len(there):
        at = int(gaps.argmax())
        longest, since = int(gaps[at]) - 1, named(first + int(there[at]) + 1)
        text = f"{counted(missing, what)} of {length:,} missing, at most {longest:,} together (from {since})"
        notes.append(Note(None, f"{text}; unknown weather is never fit"))
    if table.hourly and len(gaps) >= 3 and (usual := int(np.median(gaps))) > 1:
        text = f"the rows are {usual} hours apart, and nothing is known of the hours between"
        notes.append(Note(None, f"{text}; a file with every hour gives more fit hours"))


def _say_unknown(columns: Mapping[str, Floats], rows: Ints, notes: list[Note]) -> None:
    unknown = {name: np.isnan(column) for name, column in columns.items()}
    unknown = {name: missing for name, missing in unknown.items() if missing.any()}
    told = [
        f"{name} in every row" if missing.all() else f"{name} in {counted(int(missing.sum()), 'row')}"
        for name, missing in unknown.items()
    ]
    if told:
        firsts = [int(rows[missing].min()) for missing in unknown.values() if not missing.all()]
        notes.append(Note(min(firsts, default=None), f"unknown: {', '.join(told)}"))
