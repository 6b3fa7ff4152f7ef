"""The days a winter is planned with: its season, and the days around it that drying and moths look at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from offseason.scenario.model import Season
from offseason.weather.records import Floats

AIR_DAYS_BEFORE, AIR_DAYS_AFTER = 10, 40
SPRING_DAYS_AFTER = 60
"""Moths that fly only so many days after the season, or later, are no matter of this winter."""
_WEEK = 7
_FEWEST_DAYS = 30
_DAY = timedelta(days=1)

Ordinals = NDArray[np.int64]


@dataclass(frozen=True)
class Span:
    """A winter on the calendar; ``first`` to ``last`` hold all else. Days are counted from ``first`` (``at``).

    ``midsummer`` is the one before the winter, ``midwinter`` the one that follows it.
    """

    season_first: date
    season_last: date
    midsummer: date
    midwinter: date

    @property
    def first(self) -> date:
        """The first day looked at."""
        return min(self.season_first - AIR_DAYS_BEFORE * _DAY, self.midsummer - _WEEK * _DAY)

    @property
    def last(self) -> date:
        """The last day looked at."""
        return max(self.season_last + SPRING_DAYS_AFTER * _DAY, self.sleep_ends)

    @property
    def sleep_ends(self) -> date:
        """Two months after midwinter: where moths have not stopped by then, they never do."""
        return _months_later(self.midwinter, 2)

    def __len__(self) -> int:
        return (self.last - self.first).days + 1

    def at(self, day: date) -> int:
        """How many days after ``first`` a day is."""
        return (day - self.first).days

    def day(self, at: int) -> date:
        """The day so many days after ``first``."""
        return self.first + at * _DAY

    @property
    def season(self) -> slice:
        """Where the days of the season stand."""
        return slice(self.at(self.season_first), self.at(self.season_last) + 1)

    def season_days(self) -> list[date]:
        """Every day of the season."""
        return [self.day(at) for at in range(self.season.start, self.season.stop)]

    def ordinals(self, years: int = 0) -> Ordinals:
        """Every day, shifted by whole years, as ``date.toordinal`` counts."""
        days = (shifted(self.day(at), years) for at in range(len(self)))
        return np.fromiter((day.toordinal() for day in days), np.int64, len(self))

    def winter(self, year: int) -> str:
        """The winter that began in ``year`` as a keeper calls it: ``2017/18``, or ``2017`` where it ends in it."""
        over = self.season_last.year - self.season_first.year
        return f"{year}/{(year + over) % 100:02d}" if over else f"{year}"


def span_of(season: Season, *, northern: bool) -> Span:
    """The days around a season, on the half of the earth where midsummer is in June (``northern``) or in December."""
    middle = season.from_ + (season.until - season.from_) // 2
    summer, winter = (6, 12) if northern else (12, 6)
    midsummer = date(middle.year, summer, 21)
    if midsummer > middle:
        midsummer = date(middle.year - 1, summer, 21)
    midwinter = date(midsummer.year + (not northern), winter, 21)
    return Span(season.from_, season.until, midsummer, midwinter)


def lies_north(daily_means: Floats, first: date, season: Season) -> bool:
    """Whether June to August are warmer than December to February, in daily means (°C) from ``first`` on.

    Where either is known for less than 30 days: whether the middle of the season, a winter, lies in October to March.
    """
    days = np.datetime64(first, "D") + np.arange(len(daily_means))
    months = days.astype("datetime64[M]").astype(np.int64) % 12 + 1
    known = ~np.isnan(daily_means)
    summer, winter = known & np.isin(months, (6, 7, 8)), known & np.isin(months, (12, 1, 2))
    if min(summer.sum(), winter.sum()) < _FEWEST_DAYS:
        return (season.from_ + (season.until - season.from_) // 2).month in (10, 11, 12, 1, 2, 3)
    return bool(daily_means[summer].mean() >= daily_means[winter].mean())


def shifted(day: date, years: int) -> date:
    """The same day so many years later; 28 February stands in for a 29th that year does not have."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return day.replace(year=day.year + years, day=28)


def _months_later(day: date, months: int) -> date:
    over, month = divmod(day.month - 1 + months, 12)
    return day.replace(year=day.year + over, month=month + 1)
