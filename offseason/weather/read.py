"""From a weather file to its record: the plain layout with declared units, or raw GHCN-Daily."""

from __future__ import annotations

from pathlib import Path

from offseason.weather.agreement import refuse_if_apart
from offseason.weather.clocks import local_zone
from offseason.weather.day_course import note_of_wrong_clock
from offseason.weather.ghcn import ghcn_table, is_ghcn
from offseason.weather.grid import gridded
from offseason.weather.lines import lines_of, name_of
from offseason.weather.own_layout import own_table
from offseason.weather.plausible import plausible, unlikely
from offseason.weather.records import Hourly, Reading


def read_weather_file(path: Path, *, timezone: str | None = None, station: str | None = None) -> Reading:
    """The weather a file holds, in °C, mm, m/s and per cent, and notes of what was set aside or noticed.

    ``timezone``: the zone of the clock at the place, for times headed ``time [local]`` (None: a clock that never
    changes, taken as UTC). ``station``: which station of raw GHCN-Daily is meant, where the file holds several.
    Raises WeatherFileError, with a sentence for the keeper, where the file cannot be used.
    """
    file = name_of(path)
    local = local_zone(timezone, file)
    lines = lines_of(path)
    raw = is_ghcn(lines)
    table, rows, notes = ghcn_table(lines, file, station) if raw else own_table(lines, file, timezone)
    values = plausible(table, file, notes)
    refuse_if_apart(table, values, file)
    notes += unlikely(table, values)
    record = gridded(table, values, file, notes)
    if isinstance(record, Hourly) and (note := note_of_wrong_clock(record, local, timezone, table.zone)):
        notes.append(note)
    # What is said of the whole file, then row by row.
    return Reading(record, rows, tuple(sorted(notes, key=lambda note: note.row or 0)))
