"""What stands in a weather file, column by column, before it is judged and put in order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import tzinfo
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from offseason.weather.records import Floats
from offseason.weather.units import Unit

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

# An amount too small to measure wets fresh paint all the same; how much to take for it is ours.
TRACE_MM = 0.05

HOURLY_COLUMNS: Mapping[str, str] = MappingProxyType(
    {
        "temperature": "temperature",
        "humidity": "per cent",
        "dew point": "temperature",
        "rain": "rain",
        "wind": "wind",
        "wood moisture": "per cent",
    }
)
"""Columns of records by the hour, with the kind of unit of each (a key of ``UNITS``)."""

DAILY_COLUMNS: Mapping[str, str] = MappingProxyType(
    {"lowest": "temperature", "highest": "temperature", "humidity": "per cent", "rain": "rain", "wind": "wind"}
)
"""Columns of records by the day, with the kind of unit of each."""


@dataclass(frozen=True, eq=False)
class Column:
    """Numbers of one column as written, NaN where unknown; ``rows`` are the lines of the file they stand in."""

    name: str
    kind: str
    unit: Unit
    written: Floats
    rows: Ints

    @property
    def si(self) -> Floats:
        """The numbers in °C, mm, m/s or per cent."""
        return self.unit.si(self.written)


@dataclass(frozen=True, eq=False)
class Table:
    """All that was read of a file: one entry of ``moments`` and of every column for each row, in the file's order.

    ``moments``: seconds since 1970 UTC for records by the hour, days since 1970-01-01 for records by the day.
    ``zone``: the clock the hours are declared by, None for days and where each row says it.
    """

    hourly: bool
    moments: Ints
    rows: Ints
    columns: Mapping[str, Column]
    zone: tzinfo | None = None
