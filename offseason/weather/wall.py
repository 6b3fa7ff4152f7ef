"""Records by the clock on the wall: for each day 24 hours of air, and for each need why an hour is not fit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from offseason.trade.fitness import Limits
from offseason.weather.diurnal import hours_of_days
from offseason.weather.judge import Reason, Reasons, asks_wood_alone, judge_days, judge_hours
from offseason.weather.outlook import Air
from offseason.weather.records import Daily, Floats, Hourly, Record
from offseason.weather.vapour import humidities_percent

FEWEST_HOURS_OF_A_MEAN = 18
"""The mean of a day with fewer hours is not known: ours, so that a missing night does not pass for a warm day."""


@dataclass(frozen=True, eq=False)
class Wall:
    """A record from the day ``first`` on; each of ``reasons`` has shape (days, 24), as the air does."""

    first: date
    air: Air
    reasons: Mapping[str, Reasons]


def wall_of(record: Record, needs: Mapping[str, Limits], timezone: str | None) -> Wall:
    """A record by the clock on the wall of ``timezone`` (None: UTC is taken for it), judged for each of ``needs``.

    Hourly: the hour left out in spring is UNKNOWN; of one that comes twice in autumn the worse counts, and so of the
    two that an hour of the wall lies in where clocks are off by half an hour. Daily: rain, wind and
    mean humidity of the day stand for all its hours; warmth and dampness are judged hour by hour, and in the hours
    after, on the curve of ``offseason.weather.diurnal``.
    """
    return _of_days(record, needs) if isinstance(record, Daily) else _of_hours(record, needs, timezone)


def _of_days(record: Daily, needs: Mapping[str, Limits]) -> Wall:
    celsius, humidity_percent = hours_of_days(record)
    curve = _curve(record.first, celsius, humidity_percent)
    reasons = {}
    for need, asked in needs.items():
        # no day has wood moisture
        limits = asked if asks_wood_alone(asked) else replace(asked, at_most_wood_moisture_percent=None)
        whole_day = judge_days(record, replace(limits, at_least_celsius=None, at_most_celsius=None, warm_hours_after=0))
        by_hour = judge_hours(curve, replace(limits, no_rain=False, dry_hours_after=0, at_most_wind_m_s=None))
        spread = np.broadcast_to(whole_day[:, None], celsius.shape)
        reasons[need] = _first_of(spread, by_hour.reshape(celsius.shape))
    # The usual mean of a day of which only the extremes are recorded.
    mean_celsius = (record.lowest_celsius + record.highest_celsius) / 2
    return Wall(record.first, Air(record.first, celsius, humidity_percent, mean_celsius), reasons)


def _curve(first: date, celsius: Floats, humidity_percent: Floats) -> Hourly:
    """Days on the curve as a record by the hour, of temperature and humidity alone."""
    unknown = np.full(celsius.size, np.nan)
    began = datetime.combine(first, time(), UTC)
    return Hourly(began, celsius.ravel(), humidity_percent.ravel(), unknown, unknown, unknown, unknown)


def _first_of(one: Reasons, other: Reasons) -> Reasons:
    """Of two reasons the first; FIT only where both are."""
    first: Reasons = np.where(
        (one == Reason.FIT) | (other == Reason.FIT), np.maximum(one, other), np.minimum(one, other)
    )
    return first


def _of_hours(record: Hourly, needs: Mapping[str, Limits], timezone: str | None) -> Wall:
    clock = _Clock.of(record, timezone)
    celsius = clock.mean(record.celsius)
    humidity = np.where(
        np.isnan(record.humidity_percent),
        humidities_percent(record.celsius, record.dew_point_celsius),
        record.humidity_percent,
    )
    reasons = {need: clock.worst(judge_hours(record, limits)) for need, limits in needs.items()}
    known = ~np.isnan(celsius)
    counts = known.sum(axis=1)
    sums = np.where(known, celsius, 0).sum(axis=1)
    mean_celsius = np.where(counts >= FEWEST_HOURS_OF_A_MEAN, sums / np.maximum(counts, 1), np.nan)
    return Wall(clock.first, Air(clock.first, celsius, clock.mean(humidity), mean_celsius), reasons)


@dataclass(frozen=True, eq=False)
class _Clock:
    """Where the hours of a record stand on the wall: row ``at`` (hours from 0:00 of ``first``), minutes of it covered.

    A recorded hour stands in one row, or in two where it does not begin with an hour of the wall (``source`` names it).
    """

    first: date
    days: int
    source: NDArray[np.int64]
    at: NDArray[np.int64]
    minutes: NDArray[np.int64]

    @classmethod
    def of(cls, record: Hourly, timezone: str | None) -> _Clock:
        begins = _wall_minutes(record.first, len(record), timezone)
        first = int(begins.min()) // (24 * 60) if len(begins) else 0
        begins = begins - first * 24 * 60
        source = np.arange(len(begins))
        at, late = np.divmod(begins, 60)
        over = late > 0
        at = np.concatenate((at, at[over] + 1))
        days = int(at.max()) // 24 + 1 if len(at) else 0
        epoch = record.first.astimezone(UTC).date()
        return cls(
            epoch + timedelta(days=first),
            days,
            np.concatenate((source, source[over])),
            at,
            np.concatenate((60 - late, late[over])),
        )

    def mean(self, values: Floats) -> Floats:
        """Means of what was recorded within each hour of the wall; NaN where any of it is not known."""
        size = self.days * 24
        sums = np.bincount(self.at, values[self.source] * self.minutes, minlength=size)
        minutes = np.bincount(self.at, self.minutes, minlength=size)
        known = minutes >= 60
        return np.where(known, sums / np.where(known, minutes, 1), np.nan).reshape(self.days, 24)

    def worst(self, reasons: Reasons) -> Reasons:
        """The worst reason within each hour of the wall; UNKNOWN where the hour is not covered from end to end."""
        size = self.days * 24
        found = np.zeros(size, dtype=np.int8)
        np.maximum.at(found, self.at, reasons[self.source])
        minutes = np.bincount(self.at, self.minutes, minlength=size)
        return np.where(minutes >= 60, found, np.int8(Reason.UNKNOWN)).reshape(self.days, 24)


def hours_shown_twice(days: Iterable[date], timezone: str | None) -> dict[date, int]:
    """The days on which the clock goes back, and the full hour it then shows for the second time."""
    if timezone is None:
        return {}
    zone = ZoneInfo(timezone)

    def offset(day: date, hour: int, fold: int) -> timedelta:
        return datetime.combine(day, time(hour, fold=fold), zone).utcoffset() or timedelta()

    changing = (day for day in days if offset(day, 0, 0) > offset(day + timedelta(days=1), 0, 0))
    twice = ((day, hour) for day in changing for hour in range(24) if offset(day, hour, 0) > offset(day, hour, 1))
    return dict(twice)


def _wall_minutes(first: datetime, hours: int, timezone: str | None) -> NDArray[np.int64]:
    """What the wall clock shows when each hour begins, in minutes from 0:00 of the day ``first`` lies in (UTC)."""
    begins = first.astimezone(UTC)
    midnight = begins.replace(hour=0, minute=0, second=0, microsecond=0)
    utc = np.arange(hours, dtype=np.int64) * 60 + int((begins - midnight).total_seconds()) // 60
    if timezone is None or hours == 0:
        return utc
    zone = ZoneInfo(timezone)

    def offset(hour: int) -> int:
        local = (begins + timedelta(hours=hour)).astimezone(zone).utcoffset()
        return round((local or timedelta()).total_seconds() / 60)

    # Clocks change so seldom that one look a day finds the days on which to look each hour.
    looks = [*range(0, hours, 24), hours - 1]
    seen = [offset(hour) for hour in looks]
    offsets = np.empty(hours, dtype=np.int64)
    for one, two, before, after in zip(looks, looks[1:], seen, seen[1:], strict=False):
        offsets[one:two] = before if before == after else [offset(hour) for hour in range(one, two)]
    offsets[-1] = seen[-1]
    return utc + offsets
