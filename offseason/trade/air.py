"""Water in the air: saturation pressure and dew point."""

from __future__ import annotations

import math

from offseason.trade.limits import checked_celsius, checked_humidity_percent

# Published: WMO-No. 8, Guide to Instruments and Methods of Observation, Annex 4.B, over water.
HPA_AT_ZERO = 6.112
SLOPE = 17.62
OFFSET_CELSIUS = 243.12


def saturation_pressure_hpa(celsius: float) -> float:
    """Pressure of water vapour in saturated air over water, in hPa.

    Source: published, WMO-No. 8 Annex 4.B, without the enhancement factor (a few tenths of a per cent).
    Errors: ValueError where the temperature is not one a place has.
    """
    checked_celsius(celsius)
    return HPA_AT_ZERO * math.exp(SLOPE * celsius / (OFFSET_CELSIUS + celsius))


def dew_point_celsius(celsius: float, humidity_percent: float) -> float:
    """Temperature in °C at which dew forms from air of this temperature and relative humidity, over water.

    Formula: ``g = ln(RH/100) + 17.62 T/(243.12 + T)``; ``Td = 243.12 g/(17.62 - g)``.
    Source: published, WMO-No. 8 Annex 4.B. Below 0 °C this is dew, not frost.
    Errors: ValueError for a humidity of 0 (no dew at any temperature) or outside 0 to 100.
    """
    checked_celsius(celsius)
    if checked_humidity_percent(humidity_percent) == 0:
        raise ValueError("Air of 0 % humidity has no dew point; give a per cent above 0 and up to 100.")
    g = math.log(humidity_percent / 100) + SLOPE * celsius / (OFFSET_CELSIUS + celsius)
    return OFFSET_CELSIUS * g / (SLOPE - g)
