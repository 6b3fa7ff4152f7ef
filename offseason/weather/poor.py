"""Which past winter to plan with: a poor one, by the hours in which somebody is here and the weather was fit."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import time

import numpy as np

from offseason.scenario.hours import hours_on
from offseason.scenario.model import Scenario
from offseason.weather.records import Floats
from offseason.weather.span import Span

MANY_YEARS = 10
_NAMES = ("", "second-", "third-", "fourth-", "fifth-", "sixth-", "seventh-", "eighth-", "ninth-", "tenth-")


def rank_of(years: int) -> int:
    """Which one from the bad end is planned with: the second of ten, a fifth of more; of fewer than ten the first."""
    return years // 5 if years >= MANY_YEARS else 1


def ranked(rank: int, word: str) -> str:
    """``poorest``, ``second-poorest``, ``12th-poorest``."""
    return f"{_NAMES[rank - 1]}{word}" if rank <= len(_NAMES) else f"{rank}th-{word}"


def by_fit_hours(fit: Mapping[int, float]) -> list[int]:
    """Years from the poorest to the best; of years alike the earlier comes first."""
    return sorted(fit, key=lambda year: (round(fit[year], 6), year))


def chosen_year(which: int | str, fit: Mapping[int, float]) -> int | None:
    """The year meant by ``poor year``, ``poorest year``, ``middle year`` or a year itself; None: there is none such."""
    order = by_fit_hours(fit)
    if isinstance(which, int):
        return which if which in fit else None
    if not order:
        return None
    at = {"poor year": rank_of(len(order)) - 1, "poorest year": 0, "middle year": (len(order) - 1) // 2}
    return order[at[which]]


def presence(scenario: Scenario, span: Span) -> Floats:
    """The part of each hour in which anybody of the crew is here, for each day of the season: shape (days, 24)."""
    days = span.season_days()
    here = np.zeros((len(days), 24 * 60), dtype=bool)
    for row, day in zip(here, days, strict=True):
        for helper in scenario.crew.values():
            for hours in hours_on(helper, day):
                row[_minute(hours.start) : _minute(hours.end)] = True
    part: Floats = here.reshape(len(days), 24, 60).mean(axis=2)
    return part


def _minute(moment: time) -> int:
    return moment.hour * 60 + moment.minute
