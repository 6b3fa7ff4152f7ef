"""How long a piece has to wait after a step before the next may begin."""

from __future__ import annotations

from offseason.scenario.model import CombClass, PlaceEntry, Then
from offseason.trade.cold import FREEZER_CELSIUS, WARMEST_KILL_CELSIUS, freezer_stay_hours
from offseason.trade.paint import HIGHEST_HUMIDITY_PERCENT, drying_hours

# Ours, as the contract between scenario and plan states it: a cool, damp shed.
_UNKNOWN_CELSIUS = 10.0
_UNKNOWN_HUMIDITY_PERCENT = 70.0
_SECONDS_PER_HOUR = 3_600


def wait_of(then: Then, comb: CombClass | None, place: PlaceEntry | None) -> tuple[float, str]:
    """Seconds to wait at ``place`` (None: unknown), and what for in a word: the longer of waiting and drying."""
    waits = [(0.0, "")]
    if then.wait == "freezer stay":
        waits.append((_freezer_stay_s(comb, place), "in the freezer"))
    elif isinstance(then.wait, int):
        waits.append((float(then.wait), "of waiting"))
    if then.dries is not None:
        waits.append((_drying_s(then.dries.value, place), f"of drying ({then.dries.value})"))
    return max(waits)


def _freezer_stay_s(comb: CombClass | None, place: PlaceEntry | None) -> float:
    celsius = place.celsius.highest if place and place.celsius else FREEZER_CELSIUS
    if celsius >= WARMEST_KILL_CELSIUS:
        celsius = FREEZER_CELSIUS
    return freezer_stay_hours(comb.value if comb else None, freezer_celsius=celsius) * _SECONDS_PER_HOUR


def _drying_s(kind: str, place: PlaceEntry | None) -> float:
    # The coldest the place gets dries slowest: a promise must hold then too.
    celsius = place.celsius.lowest if place and place.celsius else _UNKNOWN_CELSIUS
    humidity = place.humidity_percent if place else None
    if humidity is None:
        humidity = _UNKNOWN_HUMIDITY_PERCENT
    return drying_hours(kind, celsius, min(humidity, HIGHEST_HUMIDITY_PERCENT)) * _SECONDS_PER_HOUR
