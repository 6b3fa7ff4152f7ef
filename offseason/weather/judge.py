"""Which hours and days of a record are fit for a need, and the first reason why the others are not.

What is not known is never fit: a field that is missing, and hours after the work that the record does not reach.
Limits are kept to the letter: an hour exactly at one is fit.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from offseason.trade.fitness import Limits
from offseason.weather.records import Daily, Floats, Hourly
from offseason.weather.vapour import dew_points_celsius, humidities_percent

Flags = NDArray[np.bool_]
Reasons = NDArray[np.int8]


class Reason(IntEnum):
    """Why an hour or a day is not fit. Where several hold, the first in this order is the one that is said.

    First what is not known, then the work itself, then the hours after it; ``said`` puts it in words.
    """

    FIT = 0
    UNKNOWN = 1
    TOO_COLD = 2
    TOO_WARM = 3
    TOO_DAMP = 4
    NEAR_DEW_POINT = 5
    RAIN = 6
    TOO_WINDY = 7
    WET_WOOD = 8
    COLD_AFTER = 9
    RAIN_AFTER = 10
    UNKNOWN_AFTER = 11

    @property
    def said(self) -> str:
        """The reason in short words, for a table."""
        return _SAID[self]


_SAID = {
    Reason.FIT: "fit",
    Reason.UNKNOWN: "not known",
    Reason.TOO_COLD: "colder than asked",
    Reason.TOO_WARM: "warmer than asked",
    Reason.TOO_DAMP: "damper than asked",
    Reason.NEAR_DEW_POINT: "too near the dew point",
    Reason.RAIN: "rain",
    Reason.TOO_WINDY: "windier than asked",
    Reason.WET_WOOD: "wood wetter than asked",
    Reason.COLD_AFTER: "colder than asked in the hours after",
    Reason.RAIN_AFTER: "rain in the hours after",
    Reason.UNKNOWN_AFTER: "not known for the hours after",
}


def judge_hours(record: Hourly, limits: Limits) -> Reasons:
    """For each hour the first ``Reason`` why it is not fit, FIT where there is none; shape (hours,).

    Only what the limits ask for is looked at. Dew point as recorded, else from temperature and humidity; humidity as
    recorded, else from temperature and dew point. Wood moisture is judged where it is recorded. The hours after an
    hour are those that begin after it: for 24, the next 24 hours of the record.
    """
    celsius = record.celsius
    damp = limits.at_most_humidity_percent is not None
    dew = limits.above_dew_point_k is not None
    humidity, dew_point = _filled(record) if damp or dew else (celsius, celsius)
    asked = [
        (_asks_warmth(limits), celsius),
        (damp, humidity),
        (dew, celsius - dew_point),
        (limits.no_rain, record.rain_mm),
        (limits.at_most_wind_m_s is not None, record.wind_m_s),
        (asks_wood_alone(limits), record.wood_moisture_percent),
    ]
    return _first_reasons(
        len(record),
        [
            (Reason.UNKNOWN, _any_unknown(len(record), asked)),
            (Reason.TOO_COLD, _below(celsius, limits.at_least_celsius)),
            (Reason.TOO_WARM, _above(celsius, limits.at_most_celsius)),
            (Reason.TOO_DAMP, _above(humidity, limits.at_most_humidity_percent)),
            (Reason.NEAR_DEW_POINT, _below(celsius - dew_point, limits.above_dew_point_k)),
            (Reason.RAIN, record.rain_mm > 0 if limits.no_rain else None),
            (Reason.TOO_WINDY, _above(record.wind_m_s, limits.at_most_wind_m_s)),
            (Reason.WET_WOOD, _above(record.wood_moisture_percent, limits.at_most_wood_moisture_percent)),
            *_afterwards(celsius, record.rain_mm, limits, limits.warm_hours_after, limits.dry_hours_after),
        ],
    )


def judge_days(record: Daily, limits: Limits) -> Reasons:
    """For each day the first ``Reason`` why it is not fit as a whole, FIT where there is none; shape (days,).

    A day is fit if its lowest and highest temperature, its rain and its mean wind are. Rain at any hour counts where
    it must stay dry during the work or after it; the hours after also take up the whole of the next day (the next two
    for more than 24). Mean humidity is judged where it is recorded. How near the air is to its dew point changes with
    the hour and is not judged here, nor is wood moisture, which no day has: a day is unknown where that is all asked.
    """
    no_rain = limits.no_rain or limits.dry_hours_after > 0
    asked = [
        (limits.at_least_celsius is not None or limits.above_dew_point_k is not None, record.lowest_celsius),
        (limits.at_most_celsius is not None or limits.above_dew_point_k is not None, record.highest_celsius),
        (no_rain, record.rain_mm),
        (limits.at_most_wind_m_s is not None, record.wind_m_s),
        (asks_wood_alone(limits), np.full(len(record), np.nan)),
    ]
    return _first_reasons(
        len(record),
        [
            (Reason.UNKNOWN, _any_unknown(len(record), asked)),
            (Reason.TOO_COLD, _below(record.lowest_celsius, limits.at_least_celsius)),
            (Reason.TOO_WARM, _above(record.highest_celsius, limits.at_most_celsius)),
            (Reason.TOO_DAMP, _above(record.humidity_percent, limits.at_most_humidity_percent)),
            (Reason.RAIN, record.rain_mm > 0 if no_rain else None),
            (Reason.TOO_WINDY, _above(record.wind_m_s, limits.at_most_wind_m_s)),
            *_afterwards(
                record.lowest_celsius,
                record.rain_mm,
                limits,
                -(-limits.warm_hours_after // 24),
                -(-limits.dry_hours_after // 24),
            ),
        ],
    )


def _filled(record: Hourly) -> tuple[Floats, Floats]:
    """Humidity and dew point, each where it is missing worked out from the other."""
    celsius, humidity, dew_point = record.celsius, record.humidity_percent, record.dew_point_celsius
    return (
        np.where(np.isnan(humidity), humidities_percent(celsius, dew_point), humidity),
        np.where(np.isnan(dew_point), dew_points_celsius(celsius, humidity), dew_point),
    )


def _asks_warmth(limits: Limits) -> bool:
    return limits.at_least_celsius is not None or limits.at_most_celsius is not None


def asks_wood_alone(limits: Limits) -> bool:
    """Whether wood moisture is all that is asked: then an hour without it is unknown, not fit."""
    asks_it = limits.at_most_wood_moisture_percent is not None
    return asks_it and replace(limits, at_most_wood_moisture_percent=None) == Limits()


def _below(values: Floats, limit: float | None) -> Flags | None:
    return None if limit is None else values < limit


def _above(values: Floats, limit: float | None) -> Flags | None:
    return None if limit is None else values > limit


def _any_unknown(count: int, asked: Iterable[tuple[bool, Floats]]) -> Flags:
    unknown = np.zeros(count, np.bool_)
    for is_asked, values in asked:
        if is_asked:
            unknown |= np.isnan(values)
    return unknown


def _afterwards(
    celsius: Floats, rain_mm: Floats, limits: Limits, warm_after: int, dry_after: int
) -> list[tuple[Reason, Flags | None]]:
    """Cold, rain and the unknown in the entries (hours or days) after each."""
    if limits.at_least_celsius is None:
        warm_after = 0
    cold = _below(celsius, limits.at_least_celsius)
    unknown_warmth = _soon(np.isnan(celsius), warm_after, beyond=True)
    unknown_rain = _soon(np.isnan(rain_mm), dry_after, beyond=True)
    return [
        (Reason.COLD_AFTER, None if cold is None else _soon(cold, warm_after, beyond=False)),
        (Reason.RAIN_AFTER, _soon(rain_mm > 0, dry_after, beyond=False)),
        (Reason.UNKNOWN_AFTER, unknown_warmth | unknown_rain),
    ]


def _soon(flags: Flags, after: int, *, beyond: bool) -> Flags:
    """For each entry whether any of the ``after`` entries following it is flagged; ``beyond`` stands past the end."""
    if after == 0:
        return np.zeros(len(flags), np.bool_)
    longer = np.concatenate((flags, np.full(after, beyond)))
    flagged_before = np.concatenate(([0], np.cumsum(longer)))
    following = np.arange(1, len(flags) + 1)
    soon: Flags = flagged_before[following + after] > flagged_before[following]
    return soon


def _first_reasons(shape: int | tuple[int, ...], found: list[tuple[Reason, Flags | None]]) -> Reasons:
    """The first reason found for each entry: written from the last to the first."""
    reasons = np.full(shape, Reason.FIT, np.int8)
    for reason, flags in sorted(found, key=lambda one: one[0], reverse=True):
        if flags is not None:
            reasons[flags] = reason
    return reasons
