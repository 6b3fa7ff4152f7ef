"""Weather as it was recorded or forecast at one place: hour by hour or day by day, unknown where nothing is known.

NaN stands for unknown everywhere: an hour or a field that is missing is never taken as dry, warm or calm.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Hourly:
    """Records hour by hour, gaps filled with NaN; each array has shape (hours,).

    Entry 0 is the hour that begins at ``first`` (aware, UTC, a whole hour); what was read within an hour stands for it.
    ``rain_mm`` fell in that hour. ``dew_point_celsius`` only where the file has it; else it follows from humidity.
    """

    first: datetime
    celsius: Floats
    humidity_percent: Floats
    dew_point_celsius: Floats
    rain_mm: Floats
    wind_m_s: Floats
    wood_moisture_percent: Floats

    def __len__(self) -> int:
        return len(self.celsius)


@dataclass(frozen=True, eq=False)
class Daily:
    """Records day by day, gaps filled with NaN; each array has shape (days,), entry 0 is the day ``first`` (local).

    ``humidity_percent`` and ``wind_m_s`` are means of the day, ``rain_mm`` its sum.
    """

    first: date
    lowest_celsius: Floats
    highest_celsius: Floats
    humidity_percent: Floats
    rain_mm: Floats
    wind_m_s: Floats

    def __len__(self) -> int:
        return len(self.lowest_celsius)

    @property
    def last(self) -> date:
        """The last day recorded."""
        return self.first + timedelta(days=len(self) - 1)


Record = Hourly | Daily


@dataclass(frozen=True)
class Note:
    """What was set aside or noticed while reading; ``row`` 1 is the header, None the whole file."""

    row: int | None
    text: str


@dataclass(frozen=True, eq=False)
class Reading:
    """What a file gave: its record, how many rows of data were read, and what the keeper should know of them."""

    record: Record
    rows: int
    notes: tuple[Note, ...] = ()


class WeatherFileError(Exception):
    """A weather file that cannot be used; the text is a sentence for the keeper: where, what, what instead."""


class SeveralStationsError(WeatherFileError):
    """A file with the days of several stations, none of which was chosen; ``found`` says so without what to do."""

    def __init__(self, found: str, remedy: str) -> None:
        super().__init__(f"{found}; {remedy}")
        self.found = found
