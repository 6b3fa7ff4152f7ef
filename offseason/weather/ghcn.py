"""Raw GHCN-Daily: one value a line, in tenths, with flags. Published: readme of GHCN-Daily and of its yearly files.

A line is station, day, element, value, measurement flag, quality flag, source flag, hour of observation. The elements
TMAX, TMIN (tenths of °C), PRCP (tenths of mm), AWND (tenths of m/s) and RHAV (per cent) are read; -9999 is missing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from offseason.scenario.nearest import listed, offer
from offseason.weather.clocks import days_of
from offseason.weather.notes import counted, fault, grouped, too_many
from offseason.weather.records import Note, SeveralStationsError
from offseason.weather.table import TRACE_MM, Column, Table
from offseason.weather.units import UNITS

_STATION = re.compile("[A-Z]{2}[A-Z0-9_.-]{9}")
_ELEMENTS: Mapping[str, tuple[str, str, int]] = MappingProxyType(
    {
        "TMIN": ("lowest", "temperature", -1),
        "TMAX": ("highest", "temperature", -1),
        "RHAV": ("humidity", "per cent", 0),
        "PRCP": ("rain", "rain", -1),
        "AWND": ("wind", "wind", -1),
    }
)
_WHOLE = re.compile("-?[0-9]{1,6}")
_IN_TENTHS = (
    ". Raw, 128 is 12.8 °C: take the file as it is published, or write the days in the plain layout, which says its "
    "units, as in day,lowest [°C],highest [°C],rain [mm]"
)
_NO_LINE = np.iinfo(np.int64).max
_MISSING = -9999
_TRACE = "T"
_PRESUMED_ZERO = "P"  # "missing presumed zero": nobody measured it


def is_ghcn(lines: Sequence[str]) -> bool:
    """Whether the first line, or the one below a line of names that starts with ID or STATION, is raw GHCN-Daily."""
    first, second = ([line for line in lines[:20] if line.strip()] + ["", ""])[:2]
    names = first.strip('"').upper().startswith(("ID,", 'ID"', "STATION,", 'STATION"'))
    fields = _fields(second if names else first)
    return (
        _is_whole(fields)
        and re.fullmatch("[0-9]{8}", fields[1]) is not None
        and re.fullmatch("[A-Z0-9]{4}", fields[2]) is not None
    )


def ghcn_table(lines: Sequence[str], file: str, station: str | None) -> tuple[Table, int, list[Note]]:
    """The days of one station: the table, how many lines were read, and notes. Raises WeatherFileError.

    A trace of rain counts as 0.05 mm (ours: it wets fresh paint). What is flagged as doubtful is unknown, and so is
    rain that is "missing presumed zero".
    """
    split = [(row, _fields(line)) for row, line in enumerate(lines, 1) if line.strip()]
    if split[0][1][0].upper() in {"ID", "STATION"}:
        split = split[1:]
    notes: list[Note] = []
    whole = [_Line(row, *fields[:6], *[""] * (6 - len(fields))) for row, fields in split if _is_whole(fields)]
    torn = [row for row, fields in split if not _is_whole(fields)]
    _set_aside(torn, len(split), "not the eight fields of raw GHCN-Daily; the line is set aside", file, notes)
    chosen = _station(sorted({line.station for line in whole}), station, file)
    ours = [line for line in whole if line.station == chosen and line.element in _ELEMENTS]
    return _table(_values(ours, file, notes), chosen, file), len(split), notes


class _Line(NamedTuple):
    row: int
    station: str
    day: str
    element: str
    value: str
    measured: str
    quality: str


def _fields(line: str) -> list[str]:
    return [field.strip().strip('"').strip() for field in line.split(",")]


def _is_whole(fields: Sequence[str]) -> bool:
    return 4 <= len(fields) <= 8 and _STATION.fullmatch(fields[0]) is not None


def _set_aside(rows: list[int], total: int, what: str, file: str, notes: list[Note], remedy: str = "") -> None:
    if too_many(len(rows), total):
        raise fault(file, rows[0], f"{what}; so in {counted(len(rows), 'line')} of {total:,}{remedy}")
    if rows:
        notes.append(grouped(rows, what))


def _station(stations: list[str], asked: str | None, file: str) -> str:
    if asked is not None:
        if asked in stations:
            return asked
        raise fault(
            file, None, f"nothing is here of the station '{asked}'; {offer(asked, stations, what='stations here')}"
        )
    if len(stations) > 1:
        shown = listed([*stations[:10], *([f"{len(stations) - 10:,} more"] if len(stations) > 10 else [])])
        remedy = f"say which with --station, as in --station {stations[0]}, or keep the lines of one"
        raise SeveralStationsError(f"{file}: there are several stations here: {shown}", remedy)
    return stations[0]


_Values = dict[str, dict[int, tuple[float, int]]]


def _values(ours: Sequence[_Line], file: str, notes: list[Note]) -> _Values:
    """Element -> day -> (the whole number as written, its line), without what is missing or doubtful."""
    dates = {line.day for line in ours}
    day_of = dict(zip(dates, days_of(dates), strict=True))
    values: _Values = {element: {} for element in _ELEMENTS}
    slips: dict[str, list[int]] = {}
    doubts: dict[str, list[int]] = {}
    for line in ours:
        day, of_element = day_of[line.day], values[line.element]
        if day is None:
            slips.setdefault("this is not a day (year, month, day in 8 figures); the line is set aside", []).append(
                line.row
            )
        elif not _WHOLE.fullmatch(line.value):
            text = f"{line.element} is not a whole number, as raw values in tenths are; taken as unknown"
            slips.setdefault(text, []).append(line.row)
        elif line.quality:
            doubts.setdefault(f"doubtful after quality control (flag {line.quality[:1]}); taken as unknown", []).append(
                line.row
            )
        elif line.element == "PRCP" and line.measured == _PRESUMED_ZERO:
            doubts.setdefault("rain was not measured but presumed to be none (flag P); taken as unknown", []).append(
                line.row
            )
        elif int(line.value) == _MISSING:
            continue
        elif day in of_element:
            doubts.setdefault("this value of that day was there before; the first stands", []).append(line.row)
        else:
            trace = line.element == "PRCP" and line.measured == _TRACE and int(line.value) == 0
            of_element[day] = (TRACE_MM * 10 if trace else float(line.value), line.row)
    for text, rows in slips.items():
        _set_aside(rows, len(ours), text, file, notes, _IN_TENTHS if "whole number" in text else "")
    notes += [grouped(rows, text) for text, rows in sorted(doubts.items())]
    return values


def _table(values: _Values, station: str, file: str) -> Table:
    if missing := [element for element in ("TMAX", "TMIN") if not values[element]]:
        text = f"station {station} has no {listed(missing)} that can be used; no weather can be judged without it"
        raise fault(file, None, text)
    days = np.array(sorted({day for of_element in values.values() for day in of_element}), np.int64)
    columns = {}
    for element, (name, kind, unit) in _ELEMENTS.items():
        written = np.full(len(days), np.nan)
        rows = np.full(len(days), _NO_LINE, np.int64)
        if of_element := values[element]:
            places = np.searchsorted(days, np.array(list(of_element), np.int64))
            written[places] = [value for value, _ in of_element.values()]
            rows[places] = [row for _, row in of_element.values()]
        columns[name] = Column(name, kind, UNITS[kind][unit], written, rows)
    first = np.min([column.rows for column in columns.values()], axis=0)
    return Table(hourly=False, moments=days, rows=first, columns=columns)
