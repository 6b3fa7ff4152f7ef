"""Weather of some record laid on the days of a winter, so that a forecast and past winters can be put together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from offseason.scenario.words import Hours
from offseason.weather.judge import Reason, Reasons
from offseason.weather.records import Floats
from offseason.weather.span import Ordinals, Span
from offseason.weather.wall import Wall

_LAST_MINUTE = time(23, 59)  # 24:00 is not a time here


@dataclass(frozen=True, eq=False)
class Laid:
    """Weather on the days of a span, by the clock on the wall; ``known``: days of which anything is known.

    Shapes: ``celsius``, ``humidity_percent`` and each of ``reasons`` (days, 24); ``mean_celsius``, ``known`` (days,).
    """

    celsius: Floats
    humidity_percent: Floats
    mean_celsius: Floats
    reasons: Mapping[str, NDArray[np.int8]]
    known: NDArray[np.bool_]


def laid(wall: Wall, ordinals: Ordinals) -> Laid:
    """The days of a record that ``ordinals`` name, in that order; unknown where the record has none."""
    at = ordinals - wall.first.toordinal()
    within = (at >= 0) & (at < len(wall.air.mean_celsius))
    at = np.where(within, at, 0)
    reasons = {
        need: np.where(within[:, None], rows[at], np.int8(Reason.UNKNOWN)) for need, rows in wall.reasons.items()
    }
    celsius = np.where(within[:, None], wall.air.celsius[at], np.nan)
    humidity_percent = np.where(within[:, None], wall.air.humidity_percent[at], np.nan)
    anything = ~np.isnan(celsius) | ~np.isnan(humidity_percent)
    for rows in reasons.values():
        anything |= rows != Reason.UNKNOWN
    mean_celsius = np.where(within, wall.air.mean_celsius[at], np.nan)
    known: NDArray[np.bool_] = np.any(anything, axis=1)
    return Laid(celsius, humidity_percent, mean_celsius, reasons, known)


def nothing(days: int, needs: Mapping[str, object]) -> Laid:
    """Days of which nothing is known."""
    hours = np.full((days, 24), np.nan)
    unknown = np.full((days, 24), np.int8(Reason.UNKNOWN))
    return Laid(hours, hours, np.full(days, np.nan), dict.fromkeys(needs, unknown), np.zeros(days, dtype=bool))


def over(one: Laid, other: Laid, hours_after: Mapping[str, int]) -> Laid:
    """Days known in ``one`` as they are there, unknown hours and all; the rest as in ``other``.

    An hour of ``other`` whose hours after it lie on days known in ``one`` is not known to be fit: it was judged by
    what came after it in a winter of its own. ``hours_after``: as for ``cut_after``.
    """
    row = one.known[:, None]
    left = _hours_before(one.known)
    return Laid(
        np.where(row, one.celsius, other.celsius),
        np.where(row, one.humidity_percent, other.humidity_percent),
        np.where(one.known, one.mean_celsius, other.mean_celsius),
        {
            need: np.where(row, rows, _unsure(other.reasons[need], left < hours_after[need]))
            for need, rows in one.reasons.items()
        },
        one.known | other.known,
    )


def _hours_before(known: NDArray[np.bool_]) -> NDArray[np.int64]:
    """For each hour how many more follow before the next day that is known: shape (days, 24)."""
    days = len(known)
    at = np.where(known, np.arange(days), 100 * days + 100)  # far beyond where none follows
    following = np.append(np.minimum.accumulate(at[::-1])[::-1][1:], 100 * days + 100)
    left: NDArray[np.int64] = (following - np.arange(days) - 1)[:, None] * 24 + 23 - np.arange(24)[None, :]
    return left


def _unsure(reasons: Reasons, too_near: NDArray[np.bool_]) -> Reasons:
    unsure: Reasons = np.where((reasons == Reason.FIT) & too_near, np.int8(Reason.UNKNOWN_AFTER), reasons)
    return unsure


def cut_after(weather: Laid, last: int, hours_after: Mapping[str, int]) -> Laid:
    """Only days up to the row ``last``; an hour that asks for more hours after it than are left is not known to be fit.

    ``hours_after``: for each need, the hours after the work that it looks at.
    """
    days = len(weather.known)
    keep = np.arange(days) <= last
    left = (last - np.arange(days))[:, None] * 24 + 23 - np.arange(24)[None, :]
    reasons = {}
    for need, rows in weather.reasons.items():
        reasons[need] = np.where(keep[:, None], _unsure(rows, left < hours_after[need]), np.int8(Reason.UNKNOWN))
    return Laid(
        np.where(keep[:, None], weather.celsius, np.nan),
        np.where(keep[:, None], weather.humidity_percent, np.nan),
        np.where(keep, weather.mean_celsius, np.nan),
        reasons,
        weather.known & keep,
    )


def windows(weather: Laid, span: Span, twice: Mapping[date, int]) -> dict[str, dict[date, tuple[Hours, ...]]]:
    """For each need the hours fit on each day of the season, joined where one follows another.

    ``twice``: the hour that the clock shows twice on a day. An end is taken for the second time it is shown, so hours
    that are fit up to the first time end a minute before it.
    """
    days = span.season_days()
    bits = 1 << np.arange(24)
    found = {}
    for need, rows in weather.reasons.items():
        fit = (rows[span.season] == Reason.FIT) @ bits
        found[need] = dict(zip(days, map(joined_hours, fit.tolist()), strict=True))
        for day, hour in twice.items():
            found[need][day] = tuple(_ended_before(hours, hour) for hours in found[need][day])
    return found


def _ended_before(hours: Hours, twice: int) -> Hours:
    return Hours(hours.start, time(twice - 1, 59)) if hours.end == time(twice) else hours


@lru_cache(maxsize=4096)
def joined_hours(fit: int) -> tuple[Hours, ...]:
    """Stretches of a day from its fit hours: bit h is set where the hour from h:00 is fit."""
    stretches: list[Hours] = []
    began: int | None = None
    for hour in range(25):
        is_fit = hour < 24 and fit >> hour & 1
        if is_fit and began is None:
            began = hour
        elif not is_fit and began is not None:
            stretches.append(Hours(time(began), time(hour) if hour < 24 else _LAST_MINUTE))
            began = None
    return tuple(stretches)
