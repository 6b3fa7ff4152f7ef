"""Invented weather and winters for the tests: temperatures that swing with the year, hour by hour or day by day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

import numpy as np

from offseason.scenario.model import Scenario
from offseason.scenario.yaml_tree import read_tree
from offseason.weather.records import Daily, Floats, Hourly

DAY = timedelta(days=1)


def winter(text: str) -> Scenario:
    """The scenario in this text, each entry checked by itself only."""
    tree, problems = read_tree(text, "winter.yaml")
    assert problems == []
    return Scenario.model_validate(tree.data)


def days(first: date, last: date) -> list[date]:
    return [first + n * DAY for n in range((last - first).days + 1)]


def daily(
    first: date, last: date, mean: Callable[[date], float], *, wet: Callable[[date], bool] | None = None
) -> Daily:
    """Days 8 K from coldest to warmest around ``mean``, in light wind; on wet days a millimetre falls. NaN: missing."""
    every = days(first, last)
    means = np.array([mean(day) for day in every], dtype=float)
    rain = np.array([1.0 if wet and wet(day) else 0.0 for day in every])
    calm = np.where(np.isnan(means), np.nan, 2.0)
    unknown = np.full(len(every), np.nan)
    return Daily(first, means - 4, means + 4, unknown, np.where(np.isnan(means), np.nan, rain), calm)


def swing(day: date, *, mean: float = 9.0, by: float = 10.0, coldest: int = 15) -> float:
    """°C on a day of a year that is coldest on its ``coldest``-th day and warmest half a year later."""
    return float(mean - by * np.cos(2 * np.pi * (day.timetuple().tm_yday - coldest) / 365.25))


def hourly(first: datetime, hours: int, celsius: Callable[[datetime], float], *, humidity: float = 50.0) -> Hourly:
    """Dry and calm hours from ``first`` (UTC) on."""
    assert first.tzinfo is not None
    moments = [first.astimezone(UTC) + timedelta(hours=n) for n in range(hours)]
    values = np.array([celsius(moment) for moment in moments], dtype=float)
    return Hourly(
        first.astimezone(UTC),
        values,
        np.where(np.isnan(values), np.nan, humidity),
        _all(values, np.nan),
        _all(values, 0.0),
        _all(values, 2.0),
        np.full(hours, np.nan),
    )


def _all(values: Floats, value: float) -> Floats:
    return np.where(np.isnan(values), np.nan, value)
