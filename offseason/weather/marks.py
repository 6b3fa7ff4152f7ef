"""Numbers that stand for a missing value in the files of many stations: -99.9, 999, 9999 and the like."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from offseason.weather.notes import counted
from offseason.weather.records import Floats, Note
from offseason.weather.table import Column, Flags

# Ours: so many times the very same number is no measurement any more, and so large a part of those that cannot be.
_REPEATED = 3
_NEARLY_ALL = 0.9
# Ours: what is possible, but never falls or blows so often to the same figure. Such weather is as unfit as unknown.
_RAIN_AN_HOUR_MM, _RAIN_A_DAY_MM, _WIND_M_S = 90.0, 500.0, 25.0


def marks_of(column: Column, impossible: Flags, hourly: bool) -> Flags:
    """Where the column has a number of nines only that no place has, or has to the same figure again and again."""
    values = column.si
    hardly = np.zeros(len(values), np.bool_)
    if column.kind == "rain":
        hardly = values > (_RAIN_AN_HOUR_MM if hourly else _RAIN_A_DAY_MM)
    elif column.kind == "wind":
        hardly = values > _WIND_M_S
    marks = np.zeros(len(values), np.bool_)
    for number in np.unique(column.written[impossible | hardly]).tolist():
        here = column.written == number
        if _nines(number) and (impossible[here].all() or here.sum() >= _REPEATED):
            marks |= here
    return marks


def without(column: Column, marks: Flags) -> tuple[Column, list[Note]]:
    """The column with nothing in these places, and a note for each number that stood there."""
    notes = []
    for number in np.unique(column.written[marks]).tolist():
        rows = column.rows[column.written == number]
        text = f"{column.name} {number:.12g} is taken as a mark for missing, not as a measurement"
        notes.append(Note(int(rows.min()), f"{text}: unknown in {counted(len(rows), 'row')}"))
    return replace(column, written=np.where(marks, np.nan, column.written)), notes


def same_number(written: Floats, wrong: Flags) -> float | None:
    """The number that nearly all the wrong ones are, where others are right: a mark for missing, probably."""
    known = int(np.isfinite(written).sum())
    numbers, counts = np.unique(written[wrong], return_counts=True)
    if not len(counts) or wrong.sum() == known:
        return None
    most = int(counts.argmax())
    many = counts[most] >= _REPEATED and counts[most] >= _NEARLY_ALL * int(wrong.sum())
    return float(numbers[most]) if many else None


def _nines(number: float) -> bool:
    figures = repr(abs(number)).removesuffix(".0").replace(".", "")
    return len(figures) > 1 and set(figures) == {"9"}
