"""The air hour by hour where only the day is recorded: a curve between each day's lowest and highest temperature."""

from __future__ import annotations

import numpy as np

from offseason.weather.records import Daily, Floats
from offseason.weather.vapour import saturation_pressures_hpa

LOWEST_AT, HIGHEST_AT = 6, 15
"""Hours of the wall clock at which a day is coldest and warmest: ours, near sunrise and three hours after noon."""


def hours_of_days(record: Daily) -> tuple[Floats, Floats]:
    """Temperature in °C and relative humidity in per cent by the clock on the wall; each of shape (days, 24).

    Temperature: half a cosine from the day's lowest at 6:00 up to its highest at 15:00, and down to the next day's
    lowest at 6:00 (derived here; curves through the two extremes are old practice, the hours are ours), kept within
    what that day reached. Beside a day that is missing the night goes by the day's own lowest or highest.
    Humidity: one amount of vapour for the day. From the mean humidity where it is recorded (at the middle between
    lowest and highest: derived here), else the dew point is the day's lowest (published: FAO Irrigation and Drainage
    Paper 56, Allen et al. 1998). A day without its lowest and highest is unknown (NaN) throughout.
    """
    lowest, highest = record.lowest_celsius[:, None], record.highest_celsius[:, None]
    hour = np.arange(24)[None, :]
    rise = _half_cosine((hour - LOWEST_AT) / (HIGHEST_AT - LOWEST_AT))
    fall = _half_cosine(((hour - HIGHEST_AT) % 24) / (24 - HIGHEST_AT + LOWEST_AT))
    highest_before = _or_own(_shifted(highest, 1), highest)
    lowest_after = _or_own(_shifted(lowest, -1), lowest)
    curve = np.select(
        [hour < LOWEST_AT, hour < HIGHEST_AT],
        [highest_before + (lowest - highest_before) * fall, lowest + (highest - lowest) * rise],
        highest + (lowest_after - highest) * fall,
    )
    celsius: Floats = np.clip(curve, lowest, np.maximum(lowest, highest))
    return celsius, _humidity(record, celsius)


def _half_cosine(part: Floats) -> Floats:
    """0 to 1 for a part of 0 to 1, slow at both ends."""
    values: Floats = (1 - np.cos(np.pi * part)) / 2
    return values


def _shifted(days: Floats, by: int) -> Floats:
    """The values of the days before (1) or after (-1); NaN where there is none."""
    other = np.full_like(days, np.nan)
    if by > 0:
        other[by:] = days[:-by]
    else:
        other[:by] = days[-by:]
    return other


def _or_own(neighbours: Floats, own: Floats) -> Floats:
    return np.where(np.isnan(neighbours), own, neighbours)


def _humidity(record: Daily, celsius: Floats) -> Floats:
    lowest = record.lowest_celsius
    middle = (lowest + record.highest_celsius) / 2
    recorded = record.humidity_percent / 100 * saturation_pressures_hpa(middle)
    vapour_hpa = np.where(np.isnan(recorded), saturation_pressures_hpa(lowest), recorded)
    humidity: Floats = np.minimum(100.0, 100.0 * vapour_hpa[:, None] / saturation_pressures_hpa(celsius))
    return humidity
