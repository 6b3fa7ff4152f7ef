"""When wax moths fly, from the daily means of several past years: from when in spring, until when in autumn.

The rule for one year is derived here, for many years at once: the season starts on the first day whose trailing 7-day
mean is 10 °C or more, and ends on the first day after midsummer whose trailing 7-day mean is below 10 °C.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from offseason.scenario.model import Moths
from offseason.trade.moths import BASE_CELSIUS
from offseason.weather.poor import rank_of
from offseason.weather.records import Floats
from offseason.weather.span import SPRING_DAYS_AFTER, Span

_TRAILING_DAYS = 7
_ROUNDING_PLACES = 9  # a mean of exactly 10 must not fall below it by rounding
_DEPTH_OF_WINTER_DAYS = 61
_KNOWN_PERCENT = 90


@dataclass(frozen=True)
class Flight:
    """What one year says of the moths: when their season ends before the winter and starts after it, None: not known.

    ``never_ends``: it stays warm enough for them all winter.
    """

    starts: date | None
    ends: date | None
    never_ends: bool = False


@dataclass(frozen=True)
class MothSeason:
    """The moth season to plan with (None: not known), and of how many springs and autumns it was chosen."""

    moths: Moths | None
    springs: int
    autumns: int


def flights(daily_means: Floats, span: Span) -> list[Flight]:
    """The flight of each year, from daily means in °C laid on the days of the span: shape (years, days).

    The season ends on the first day after midsummer whose trailing 7-day mean is below 10 °C, and starts on the first
    one after midwinter, and after that end, with 10 °C or more. Days with one of the 7 unknown are not judged, so gaps
    make an end or a start later and never earlier. It never ends where no end is found up to two months after
    midwinter, though the coldest four months are known for nine days in ten. Source: derived here.
    """
    before = np.full((len(daily_means), _TRAILING_DAYS - 1), np.nan)
    weeks = np.lib.stride_tricks.sliding_window_view(np.hstack((before, daily_means)), _TRAILING_DAYS, axis=1)
    means = weeks.mean(axis=2).round(_ROUNDING_PLACES)
    at = np.arange(len(span))
    midwinter = span.at(span.midwinter)
    cold = (means < BASE_CELSIUS) & (at > span.at(span.midsummer)) & (at < span.at(span.sleep_ends))
    warm = (means >= BASE_CELSIUS) & (at > midwinter) & (at < span.at(span.season_last) + SPRING_DAYS_AFTER)
    depth = ~np.isnan(means[:, midwinter - _DEPTH_OF_WINTER_DAYS : span.at(span.sleep_ends)])
    known = 100 * depth.sum(axis=1) >= _KNOWN_PERCENT * depth.shape[1]
    found = []
    for year in range(len(daily_means)):
        ends = _first(cold[year])
        if ends is None and known[year]:
            found.append(Flight(None, None, never_ends=True))
            continue
        starts = _first(warm[year] if ends is None else warm[year] & (at > ends))
        dates = [None if day is None else span.day(day) for day in (starts, ends)]
        found.append(Flight(dates[0], dates[1]))
    return found


def _first(days: NDArray[np.bool_]) -> int | None:
    return int(days.argmax()) if days.any() else None


def moth_season(years: Sequence[Flight], span: Span) -> MothSeason:
    """The season to plan with: the earliest start and the latest end of the years.

    Of ten years the second-earliest and second-latest, of twenty the fourth: a poor year for comb, as for the weather.
    Moths that never stop, or whose latest end is not before the earliest start, are in season all winter. Where no year
    has a start up to 60 days after the season, nothing is known.
    """
    starts = sorted(start for year in years if (start := date.min if year.never_ends else year.starts))
    ends = sorted(end for year in years if (end := date.max if year.never_ends else year.ends))
    if not starts:
        return MothSeason(None, 0, len(ends))
    start = starts[rank_of(len(starts)) - 1]
    end = ends[-rank_of(len(ends))] if ends else None
    if start == date.min or (end is not None and end >= start):
        moths = Moths(season_starts=span.season_first)
    else:
        moths = Moths(season_starts=start, season_ends=end)
    return MothSeason(moths, len(starts), len(ends))
