"""How long a piece waits after a step: a plain wait, drying where it rests, or the freezer stay of its comb."""

from __future__ import annotations

from offseason.scenario.model import GearEntry, PlaceEntry, Then
from offseason.trade.cold import FREEZER_CELSIUS, WARMEST_KILL_CELSIUS, freezer_stay_hours
from offseason.trade.paint import (
    HIGHEST_HUMIDITY_PERCENT,
    UNKNOWN_CELSIUS,
    UNKNOWN_HUMIDITY_PERCENT,
    drying_hours,
)


def wait_s(then: Then, gear: GearEntry, place: PlaceEntry | None, *, dries_by_hour: bool = False) -> int:
    """Seconds of waiting, rounded up to whole seconds; the longest of what the step names.

    ``dries_by_hour``: drying goes by the hours of the weather, and is not counted here.
    """
    hours = 0.0
    if then.dries is not None and not dries_by_hour:
        celsius = place.celsius.lowest if place and place.celsius else UNKNOWN_CELSIUS
        humidity = place.humidity_percent if place and place.humidity_percent is not None else UNKNOWN_HUMIDITY_PERCENT
        hours = drying_hours(then.dries.value, celsius, min(humidity, HIGHEST_HUMIDITY_PERCENT))
    if then.wait == "freezer stay":
        cold = place.celsius.highest if place and place.celsius else FREEZER_CELSIUS
        cold = FREEZER_CELSIUS if cold >= WARMEST_KILL_CELSIUS else cold
        stay = freezer_stay_hours(gear.comb.value if gear.comb else None, freezer_celsius=cold)
        hours = max(hours, stay)
    plain = then.wait if isinstance(then.wait, int) else 0
    return max(plain, -int(-hours * 3_600 // 1))
