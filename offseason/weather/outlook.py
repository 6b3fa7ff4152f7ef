"""What is to be expected of the weather this winter: hours fit for each need, the air outdoors, and the moth season."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from offseason.scenario.model import Moths
from offseason.scenario.words import Hours
from offseason.weather.records import Floats


@dataclass(frozen=True, eq=False)
class Air:
    """Air outdoors by the clock on the wall, NaN where unknown.

    ``celsius`` and ``humidity_percent`` have shape (days, 24): row 0 is the day ``first``, column h the hour from
    h:00. ``mean_celsius`` has shape (days,): the mean of each day.
    """

    first: date
    celsius: Floats
    humidity_percent: Floats
    mean_celsius: Floats

    def mean_on(self, day: date) -> float:
        """Mean temperature of a day in °C; NaN where it is not known."""
        n = (day - self.first).days
        return float(self.mean_celsius[n]) if 0 <= n < len(self.mean_celsius) else float("nan")

    @property
    def last(self) -> date:
        """The last day there is anything of."""
        return self.first + timedelta(days=len(self.mean_celsius) - 1)


@dataclass(frozen=True, eq=False)
class Outlook:
    """The weather a winter is planned with, worked out from records.

    ``windows``: need -> day -> hours fit, for the needs judged from records; every day of the season has an entry.
    ``air`` covers the season and some days around it. ``moths``: the season worked out, None where the keeper gave
    it or nothing tells. ``said``: sentences for the keeper: what this weather is taken from. ``notes``: what was set
    aside or noticed in the files it was read from.
    """

    windows: Mapping[str, Mapping[date, tuple[Hours, ...]]]
    air: Air
    moths: Moths | None
    said: tuple[str, ...]
    notes: tuple[str, ...] = ()
