"""What a file may begin with in place of column names: a title, or names that mean another layout."""

from __future__ import annotations

import re
from collections.abc import Sequence

from offseason.scenario.nearest import listed
from offseason.weather.headings import COLUMNS, LONGEST_LINE, fields_of, heading, in_brackets, separator_of
from offseason.weather.notes import fault, quoted

_LINES_SEARCHED = 40  # ours: titles are shorter
_OF_GHCN = ("tmax", "tmin", "tavg", "prcp", "awnd")
_PLAIN = "day,lowest [°C],highest [°C],rain [mm]"


def refuse_lines_above(lines: Sequence[str], top: int, file: str) -> None:
    """Raise WeatherFileError where the column names stand below other lines, the first of which is ``lines[top]``."""
    if _are_names(lines[top]):
        return
    below = range(top + 1, min(len(lines), top + _LINES_SEARCHED))
    if (names := next((n for n in below if _are_names(lines[n])), None)) is not None:
        rows = f"the lines above them, rows {top + 1} to {names}," if names > top + 1 else f"row {names}, above them,"
        raise fault(file, top + 1, f"the column names stand in row {names + 1}; delete {rows} and they are found")
    titled = separator_of(lines[top]) is None and not re.search(r"\b(?:time|day|date)\b", lines[top].casefold())
    if titled and any(separator_of(lines[n]) for n in below):
        text = "this is no line of column names; delete the lines above the names, so that the file begins with"
        raise fault(file, top + 1, f"{text} a line such as time [UTC],temperature [°C]")


def _are_names(line: str) -> bool:
    separator = separator_of(line)
    if separator is None or len(line) > LONGEST_LINE:
        return False
    words = {heading(in_brackets(field) or field)[0] for field in fields_of(line, separator)}
    return bool(words & {"time", "day"} and words & COLUMNS.keys())


def refuse_other_layouts(fields: Sequence[str], row: int, file: str) -> None:
    """Raise WeatherFileError where units stand without brackets, or elements of GHCN-Daily head columns."""
    words = [heading(field)[0] for field in fields]
    if not {"lowest", "highest"} & set(words) and (elements := [w.upper() for w in words if w in _OF_GHCN]):
        text = f"{listed(elements)} as {'a column' if len(elements) == 1 else 'columns'}: this is a wide table"
        remedy = (
            "raw GHCN-Daily is read in the long layout, one value a line, as in XXW00000001,20120101,TMAX,128,,,W, - "
            f"give it so, or name the columns and their units as in {_PLAIN}"
        )
        raise fault(file, row, f"{text}, and does not say its units; {remedy}")
    known = {"time", "day", *COLUMNS}
    told = [
        f"{meant} for {quoted(field.strip())}"
        for field, word in zip(fields, words, strict=True)
        if word not in known and (meant := in_brackets(field))
    ]
    if told:
        raise fault(file, row, f"what stands behind a name, its unit or clock, goes in brackets; write {listed(told)}")
