"""Hours fit for work that needs fit weather, as the keeper gave them by hand."""

from __future__ import annotations

from datetime import date

from offseason.scenario.hours import fit_on
from offseason.scenario.model import WeatherEntry
from offseason.scenario.words import Hours


def fit_hours(weather: WeatherEntry, day: date) -> dict[str, tuple[Hours, ...]]:
    """For each weather need, the hours of the day that are fit for it; a day that is not named has none."""
    return {need: tuple(fit_on(windows, day)) for need, windows in weather.windows.items()}
