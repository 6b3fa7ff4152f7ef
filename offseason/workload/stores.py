"""How warm a store is day by day, and how fast something dries in it hour by hour."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from datetime import date, timedelta

import numpy as np

from offseason.scenario.hours import season_days
from offseason.scenario.model import PlaceEntry, Scenario
from offseason.trade.air import saturation_pressure_hpa
from offseason.trade.moths import UNKNOWN_STORE_CELSIUS, daily_heat, in_season
from offseason.trade.paint import drying_part
from offseason.weather.outlook import Outlook
from offseason.workload.drying import HOUR_S, WHOLE, Drying
from offseason.workload.sessions import day_starts_s, hours_shown

UNKNOWN = (math.nan, math.nan)

STORE_CELSIUS = (-60.0, 60.0)
"""No store is colder or warmer than a keeper may write, whatever the weather and the kelvin come to."""


def outdoors_plus_k(place: PlaceEntry | None) -> float | None:
    """How many kelvin warmer than outdoors a place is; None: it does not follow the weather."""
    if place is None or place.celsius is not None:
        return None
    return 0.0 if place.outdoors_plus_k is None and place.open_air else place.outdoors_plus_k


def store_by_day(place: PlaceEntry | None, outlook: Outlook | None) -> Mapping[date, float] | None:
    """Daily means of a store that follows the weather, in °C, NaN where unknown; None: it does not, or they are not."""
    plus_k = outdoors_plus_k(place)
    if plus_k is None or outlook is None:
        return None
    air = outlook.air
    means = np.clip(air.mean_celsius + plus_k, *STORE_CELSIUS)
    return {air.first + timedelta(days=n): float(mean) for n, mean in enumerate(means)}


def heat_by_midnight(scenario: Scenario, place: PlaceEntry | None, outlook: Outlook | None) -> list[tuple[int, float]]:
    """(elapsed seconds, degree-days so far) at each midnight of the season.

    The mean of the store's temperature where it is given, the mean of each day where it follows the weather; where
    it is not known, 20 °C in the moth season and nothing out of it.
    """
    by_day = store_by_day(place, outlook)
    found, heat = [(0, 0.0)], 0.0
    for day in season_days(scenario.season.from_, scenario.season.until):
        heat += _heat(scenario, place, by_day, day)
        found.append((day_starts_s(scenario, day + timedelta(days=1)), heat))
    return found


def _heat(scenario: Scenario, place: PlaceEntry | None, by_day: Mapping[date, float] | None, day: date) -> float:
    if place is not None and place.celsius is not None:
        return daily_heat(place.celsius.mean)
    mean = math.nan if by_day is None else by_day.get(day, math.nan)
    if not math.isnan(mean):
        return daily_heat(mean)
    moths = scenario.moths
    flying = moths is not None and in_season(day, moths.season_starts, moths.season_ends)
    return daily_heat(UNKNOWN_STORE_CELSIUS) if flying else 0.0


def drying_in(scenario: Scenario, place: PlaceEntry | None, kind: str, outlook: Outlook | None) -> Drying | None:
    """How far a coat dries hour by hour where it follows the weather; None: the air there is taken as constant."""
    plus_k = outdoors_plus_k(place)
    if place is None or plus_k is None or outlook is None:
        return None
    done = [0]
    for celsius, humidity_percent in _air_by_hour(scenario, outlook):
        inside = min(max(celsius + plus_k, STORE_CELSIUS[0]), STORE_CELSIUS[1])
        if place.humidity_percent is not None:
            humidity = place.humidity_percent
        else:
            humidity = _warmed(celsius, humidity_percent, inside)
        part = drying_part(kind, inside, humidity)
        done.append(done[-1] + math.ceil(part * (WHOLE // HOUR_S)) * HOUR_S)  # up: 24 hours of a 24th are dry
    return Drying(tuple(done))


def _air_by_hour(scenario: Scenario, outlook: Outlook) -> Iterator[tuple[float, float]]:
    """Outdoor air of each elapsed hour from the start of the season to the last day known."""
    air = outlook.air
    for day in season_days(scenario.season.from_, air.last):
        row = (day - air.first).days
        for hour in hours_shown(scenario, day):
            known = 0 <= row < len(air.celsius)
            yield (
                (float(air.celsius[row, hour]), float(air.humidity_percent[row, hour]))
                if known
                else (math.nan, math.nan)
            )


def _warmed(celsius: float, humidity_percent: float, inside_celsius: float) -> float:
    """Humidity of outdoor air brought to another temperature, its water kept; derived here."""
    if math.isnan(celsius) or math.isnan(humidity_percent):
        return math.nan
    pressure_hpa = humidity_percent * saturation_pressure_hpa(celsius)
    return min(100.0, pressure_hpa / saturation_pressure_hpa(inside_celsius))
