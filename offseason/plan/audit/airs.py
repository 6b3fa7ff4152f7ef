"""Places whose air follows the weather: how warm they are day by day, and how far something dries there by the hour."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, time, timedelta

import numpy as np
from numpy.typing import NDArray

from offseason.plan.audit.clock import Clock
from offseason.scenario.model import PlaceEntry
from offseason.trade.air import saturation_pressure_hpa
from offseason.trade.limits import HIGHEST_CELSIUS, LOWEST_CELSIUS
from offseason.trade.paint import drying_part
from offseason.weather.outlook import Outlook

_SECONDS_PER_HOUR = 3_600
# Hours are added up with rounding, and what is short of dry by this is short of it by a second at most.
_ROUNDING = 2e-6


def kelvin_above_outdoors(place: PlaceEntry | None) -> float | None:
    """How much warmer than outdoors a place is whose air follows the weather; None: its air is given, or not known."""
    if place is None or place.celsius is not None:
        return None
    if place.outdoors_plus_k is not None:
        return place.outdoors_plus_k
    return 0.0 if place.open_air else None


def means_from(place: PlaceEntry | None, outlook: Outlook | None, first: date) -> dict[date, float] | None:
    """Daily means in °C of a place that follows the weather, from a day to the last of the outlook, NaN where unknown.

    None: the place does not follow the weather, or there is none to follow.
    """
    above_k = kelvin_above_outdoors(place)
    if above_k is None or outlook is None:
        return None
    count = (outlook.air.last - first).days + 1
    days = (first + timedelta(days=n) for n in range(count))
    return {day: _possible(outlook.air.mean_on(day) + above_k) for day in days}


@dataclass(frozen=True, eq=False)
class DryingAir:
    """How much of a whole drying has come together by each of the moments ``edges_s``, an hour apart."""

    edges_s: NDArray[np.int64]
    done: NDArray[np.float64]

    def dry_at(self, finished: NDArray[np.int64]) -> NDArray[np.float64]:
        """When pieces finished then are dry, in elapsed seconds; infinite where the weather is not known so long."""
        wanted = np.interp(finished, self.edges_s, self.done) + 1 - _ROUNDING
        edge = np.searchsorted(self.done, wanted, "left")
        dry = np.full(len(wanted), np.inf)
        known = edge < len(self.done)
        ends, wanted = edge[known], wanted[known]
        before, after = self.done[ends - 1], self.done[ends]
        dry[known] = self.edges_s[ends - 1] + (wanted - before) / (after - before) * _SECONDS_PER_HOUR
        return dry


def drying_air(kind: str, place: PlaceEntry | None, outlook: Outlook | None, clock: Clock) -> DryingAir | None:
    """How something of this kind dries at a place that follows the weather; None where the place does not.

    Hours are hours truly gone by, each with the air of the hour that the wall clock shows when it begins.
    """
    above_k = kelvin_above_outdoors(place)
    if place is None or above_k is None or outlook is None:
        return None
    air = outlook.air
    first = clock.at(air.first, time()) // _SECONDS_PER_HOUR
    last = -(-clock.midnight_after(air.last) // _SECONDS_PER_HOUR)
    edges = np.arange(first, last + 1, dtype=np.int64) * _SECONDS_PER_HOUR
    parts = np.zeros(len(edges))
    for number, begins in enumerate(edges[:-1].tolist(), 1):
        shown = clock.shows(begins)
        day = (shown.date() - air.first).days
        if 0 <= day < len(air.celsius):
            outdoors = float(air.celsius[day, shown.hour]), float(air.humidity_percent[day, shown.hour])
            parts[number] = drying_part(kind, *_inside(*outdoors, above_k, place.humidity_percent))
    return DryingAir(edges, np.cumsum(parts))


def _inside(
    celsius: float, humidity_percent: float, above_k: float, given_percent: float | None
) -> tuple[float, float]:
    """Air that is outdoor air, so many kelvin warmer: it holds the same water, unless its humidity is given."""
    warmed = celsius + above_k
    if given_percent is not None:
        return warmed, given_percent
    if not all(LOWEST_CELSIUS <= known <= HIGHEST_CELSIUS for known in (celsius, warmed)):
        return warmed, math.nan
    water = humidity_percent * saturation_pressure_hpa(celsius)
    return warmed, min(water / saturation_pressure_hpa(warmed), 100.0)


def _possible(celsius: float) -> float:
    """Beyond what a place on earth has, moths do as they do at its bounds; NaN stays NaN."""
    return celsius if math.isnan(celsius) else min(max(celsius, LOWEST_CELSIUS), HIGHEST_CELSIUS)
