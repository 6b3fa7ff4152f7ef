"""Water in the air for whole records at once: the formulas of ``offseason.trade.air``, NaN where nothing is known.

What is impossible is not refused here: a record has had its implausible values set aside before.
"""

from __future__ import annotations

import numpy as np

from offseason.trade.air import HPA_AT_ZERO, OFFSET_CELSIUS, SLOPE
from offseason.weather.records import Floats


def saturation_pressures_hpa(celsius: Floats) -> Floats:
    """Pressure of water vapour in saturated air over water, in hPa (published: WMO-No. 8, Annex 4.B)."""
    pressures: Floats = HPA_AT_ZERO * np.exp(SLOPE * celsius / (OFFSET_CELSIUS + celsius))
    return pressures


def dew_points_celsius(celsius: Floats, humidity_percent: Floats) -> Floats:
    """Dew points in °C over water (published: WMO-No. 8, Annex 4.B); in air of 0 % so low that it is never met."""
    with np.errstate(divide="ignore"):
        g = np.log(humidity_percent / 100) + SLOPE * celsius / (OFFSET_CELSIUS + celsius)
    # 0 % has no dew point and the formula nears -243 °C there: minus infinity says the same without 0/0.
    dry = np.isneginf(g)
    dew_points: Floats = np.where(dry, -np.inf, OFFSET_CELSIUS * np.where(dry, 0, g) / (SLOPE - np.where(dry, 0, g)))
    return dew_points


def humidities_percent(celsius: Floats, dew_point_celsius: Floats) -> Floats:
    """Relative humidity in per cent of air with this dew point, at most 100 (derived here from the pressures)."""
    shares = saturation_pressures_hpa(dew_point_celsius) / saturation_pressures_hpa(celsius)
    humidities: Floats = np.minimum(100.0, 100.0 * shares)
    return humidities
