"""A forecast beside the history of the same place: so far apart that one of them may be in another unit."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from offseason.scenario.nearest import listed
from offseason.weather.records import Daily, Record

# Ours: hardly any weather is so far from the usual for days on end; °F taken for °C is 30 K and more in winter.
_APART_K = 15.0
_FEWEST_DAYS = 5
_FEWEST_HOURS = 8  # of a day, for its mean: every third hour will do


def apart_said(
    forecast: Record, history: Record, forecast_files: Sequence[str], history_files: Sequence[str]
) -> str | None:
    """That the forecast is more than 15 K off the same days of other years, on average; None where it is not.

    Nothing is said of fewer than 5 such days: then neither is known well enough.
    """
    years: dict[tuple[int, int], list[float]] = {}
    for day, mean in _means(history).items():
        years.setdefault((day.month, day.day), []).append(mean)
    both = {day: mean for day, mean in _means(forecast).items() if (day.month, day.day) in years}
    if len({(day.month, day.day) for day in both}) < _FEWEST_DAYS:
        return None
    ahead = float(np.mean(list(both.values())))
    usual = float(np.mean([np.mean(years[day.month, day.day]) for day in both]))
    if abs(ahead - usual) <= _APART_K:
        return None
    there = f"{listed(history_files)} {'has' if len(history_files) == 1 else 'have'} {usual:.0f} °C"
    text = f"{listed(forecast_files)}: {ahead:.0f} °C on average, while on the same days of the year {there}"
    return f"{text}; one of the two may be in another unit than it says"


def _means(record: Record) -> dict[date, float]:
    """The mean temperature of each day that is known; of records by the hour by UTC, which is near enough here."""
    if isinstance(record, Daily):
        first, means = record.first, (record.lowest_celsius + record.highest_celsius) / 2
    else:
        before, after = record.first.hour, -(record.first.hour + len(record)) % 24
        hours = np.pad(record.celsius, (before, after), constant_values=np.nan).reshape(-1, 24)
        known = np.isfinite(hours).sum(axis=1)
        sums = np.nansum(hours, axis=1)
        first = record.first.date()
        means = np.where(known >= _FEWEST_HOURS, sums / np.maximum(known, 1), np.nan)
    return {first + timedelta(days=int(n)): float(means[n]) for n in np.flatnonzero(np.isfinite(means))}
