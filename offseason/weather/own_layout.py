"""The plain layout: a line of column names with their units, and rows below it."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from datetime import tzinfo
from itertools import compress

import numpy as np

from offseason.weather.clocks import days_of, seconds_of, times_of, zone_named
from offseason.weather.first_lines import refuse_lines_above
from offseason.weather.header import Header, header_of
from offseason.weather.headings import fields_of
from offseason.weather.notes import counted, fault, grouped, quoted, too_many
from offseason.weather.numbers import numbers_of
from offseason.weather.records import Note
from offseason.weather.table import DAILY_COLUMNS, HOURLY_COLUMNS, TRACE_MM, Column, Flags, Ints, Table


def own_table(lines: Sequence[str], file: str, timezone: str | None) -> tuple[Table, int, list[Note]]:
    """What stands in the lines of a file in the plain layout: the table, how many rows there were, and notes.

    Raises WeatherFileError where the header, or more than a few rows, cannot be read.
    """
    top = next(n for n, line in enumerate(lines) if line.strip())
    refuse_lines_above(lines, top, file)
    header = header_of(lines[top], top + 1, file)
    notes = list(header.notes)
    across, rows, total = _whole_rows(lines, top + 1, header, file, notes)
    if len(rows) == 0:
        raise fault(file, None, "there is no row of data below the column names")
    zone = zone_named(header.zone, timezone, top + 1, file) if header.hourly else None
    clock = across[header.clock]
    moments, kept = (
        _hours(clock, rows, zone, top + 1, file, notes) if header.hourly else _days(clock, rows, file, notes)
    )
    if not kept.all():
        across = [list(compress(column, kept)) for column in across]
        rows = rows[kept]
    kinds = HOURLY_COLUMNS if header.hourly else DAILY_COLUMNS
    columns = {
        name: _column(name, kinds[name], header, across[place], rows, file, notes)
        for name, (place, _) in header.columns.items()
    }
    return Table(header.hourly, moments, rows, columns, zone), total, notes


def _whole_rows(
    lines: Sequence[str], start: int, header: Header, file: str, notes: list[Note]
) -> tuple[list[Sequence[str]], Ints, int]:
    """The columns of the rows that have a field for every one; the rows' lines in the file; how many rows in all."""
    separator, width = header.separator, header.width
    blank = f"{separator} \t"
    plain: list[str] = []
    rows: list[int] = []
    odd: dict[int, list[str]] = {}
    for row, line in enumerate(lines[start:], start + 1):
        if line.count(separator) == width - 1 and '"' not in line and line.strip(blank):
            plain.append(line)
            rows.append(row)
        elif line.strip(blank):
            odd[row] = _odd_fields(line, header)
    wrong = {row: fields for row, fields in odd.items() if len(fields) != width}
    total = len(rows) + len(odd)
    _refuse_other_widths(wrong, total, header, file, notes)
    # One split of all rows together takes a third of the time of one for each.
    flat = separator.join(plain).split(separator) if plain else []
    across: list[Sequence[str]] = [flat[place::width] for place in range(width)]
    if len(odd) > len(wrong):
        quoted_rows = [row for row in odd if row not in wrong]
        order = np.argsort(np.array(rows + quoted_rows), kind="stable").tolist()
        both = [[*column, *(odd[row][place] for row in quoted_rows)] for place, column in enumerate(across)]
        across = [[column[n] for n in order] for column in both]
        rows = sorted(rows + quoted_rows)
    return across, np.array(rows, np.int64), total


def _odd_fields(line: str, header: Header) -> list[str]:
    """The fields of a row with quotation marks, or with separators too few or too many; none where it is torn."""
    try:
        fields = fields_of(line, header.separator)
    except csv.Error:
        return []
    beyond = fields[header.width :]
    return fields if any(field.strip() for field in beyond) else fields[: header.width]


def _refuse_other_widths(
    wrong: Mapping[int, list[str]], total: int, header: Header, file: str, notes: list[Note]
) -> None:
    for what in ("more", "fewer"):
        rows = [row for row, fields in wrong.items() if (len(fields) > header.width) == (what == "more")]
        if too_many(len(rows), total):
            raise fault(file, rows[0], _not_so_wide(what, len(rows), total, header))
        if rows:
            notes.append(grouped(rows, f"{what} fields than column names; the row is set aside"))


def _not_so_wide(what: str, wrong: int, total: int, header: Header) -> str:
    text = f"{what} fields than the {header.width} column names, in {wrong:,} of {counted(total, 'row')}"
    if what == "fewer":
        return f"{text}; set the fields apart as the names are, and leave a field empty where nothing is known"
    if header.separator == ",":
        return (
            f"{text}; are these decimal commas? Set columns apart with semicolons then, "
            "in the line of names too, or write decimal points"
        )
    return f"{text}; strike out what is too much, or give every column a name"


def _hours(
    texts: Sequence[str], rows: Ints, zone: tzinfo | None, top: int, file: str, notes: list[Note]
) -> tuple[Ints, Flags]:
    """Seconds since 1970 UTC of the rows that have a time, and which rows those are."""
    read = times_of(texts)
    times = [time for time in read if time is not None]
    kept = _kept(read, texts, rows, "time", "2026-10-05 09:00", file, notes)
    if zone is None and any(time.tzinfo is None for time in times):
        text = (
            "the column 'time' does not say by which clock; write time [UTC], time [local] for the clock at the place,"
        )
        raise fault(file, top, f"{text} or the hours ahead of UTC, as in time [+01:00]")
    seconds, left_out, lone = seconds_of(times, zone)
    of_times = np.flatnonzero(kept)
    if left_out.any():
        text = "this hour is left out when the clocks go forward; the row is set aside. Is the column 'time' right?"
        notes.append(grouped(rows[of_times[left_out]], text))
    if lone.any():
        text = "this hour comes twice when the clocks go back, and is here once; taken as the first of the two"
        notes.append(grouped(rows[of_times[lone]], text))
    kept[of_times[left_out]] = False
    return seconds[~left_out], kept


def _days(texts: Sequence[str], rows: Ints, file: str, notes: list[Note]) -> tuple[Ints, Flags]:
    """Days since 1970-01-01 of the rows that have a day, and which rows those are."""
    read = days_of(texts)
    kept = _kept(read, texts, rows, "day", "2026-10-05", file, notes)
    return np.array([day for day in read if day is not None], np.int64), kept


def _kept(
    read: Sequence[object], texts: Sequence[str], rows: Ints, what: str, like: str, file: str, notes: list[Note]
) -> Flags:
    kept = np.fromiter((moment is not None for moment in read), np.bool_, len(read))
    wrong = rows[~kept].tolist()
    if not wrong:
        return kept
    found = quoted(texts[int(np.flatnonzero(~kept)[0])])
    if too_many(len(wrong), len(rows)):
        text = f"{found} is not a {what}; so in {counted(len(wrong), 'row')} of {len(rows):,}"
        raise fault(file, wrong[0], f"{text}. Write year-month-day, as in {like}")
    notes.append(grouped(wrong, f"{found} is not a {what} such as {like}; the row is set aside"))
    return kept


def _column(
    name: str, kind: str, header: Header, texts: Sequence[str], rows: Ints, file: str, notes: list[Note]
) -> Column:
    unit = header.columns[name][1]
    numbers, unreadable = numbers_of(texts, trace=unit.written(TRACE_MM) if kind == "rain" else None)
    if unreadable:
        first = quoted(texts[unreadable[0]])
        if too_many(len(unreadable), int(np.isfinite(numbers).sum()) + len(unreadable)):
            text = (
                f"'{name}' is {first}, which is not a number; so in {counted(len(unreadable), 'row')} of {len(rows):,}"
            )
            raise fault(
                file, int(rows[unreadable[0]]), f"{text}. Write numbers such as 12.5, and nothing where unknown"
            )
        notes.append(grouped(rows[unreadable], f"'{name}' is {first}, not a number; taken as unknown"))
    return Column(name, kind, unit, numbers, rows)
