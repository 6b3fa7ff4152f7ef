"""Which other unit a column is probably in, from its numbers alone: a guess for a message, never acted on."""

from __future__ import annotations

import numpy as np

from offseason.weather.records import Floats
from offseason.weather.table import Column
from offseason.weather.units import UNITS, Unit


def likely_units(column: Column) -> list[Unit]:
    """The units, other than the declared one, that the numbers look like; none where nothing tells.

    All bounds are ours. Whole numbers up to 130 can be °F as well as tenths of °C: then both are named.
    """
    known = column.written[np.isfinite(column.written)]
    words = _guess(column.kind, known) if len(known) else []
    return [unit for unit in UNITS[column.kind] if unit.word in words and unit is not column.unit]


def _guess(kind: str, written: Floats) -> list[str]:
    low, middle, high = np.percentile(written, [2, 50, 98])
    whole = bool((written == np.round(written)).all())
    if kind == "temperature":
        return _temperature(low, high, whole=whole)
    if kind == "wind":
        return ["tenths m/s"] if whole and middle >= 15 and high > 60 else ["km/h", "mph"] if low >= 0 else []
    if kind == "rain":
        return ["tenths mm"] if whole and low >= 0 else []
    return ["%"] if low >= 0 and 1 < high <= 100 else []


def _temperature(low: float, high: float, *, whole: bool) -> list[str]:
    if low >= 200 and high <= 335:
        return ["K"]
    if whole and low >= -600 and 130 < high <= 600:
        return ["tenths °C"]
    if low >= -60 and high <= 50:
        return ["°C"]
    if low >= -76 and high <= 130:
        return ["°F", "tenths °C"] if whole else ["°F"]
    return []
