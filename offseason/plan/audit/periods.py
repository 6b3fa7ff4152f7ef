"""The stretches of days in each of which a round is to be made once."""

from __future__ import annotations

import math
from datetime import date, timedelta

from offseason.plan.audit.airs import means_from
from offseason.scenario.model import PlaceEntry, RoundEntry, Scenario
from offseason.scenario.words import Days
from offseason.trade.moths import inspection_days
from offseason.weather.outlook import Outlook

_SECONDS_PER_DAY = 86_400
_DAY = timedelta(days=1)
# A store of which nothing is known is looked at as if moths were active in it.
_DAYS_WHERE_UNKNOWN = 14
_ROUNDING = 1e-9


def periods_of(scenario: Scenario, entry: RoundEntry, outlook: Outlook | None) -> tuple[Days, ...]:
    """The whole stretches from the first to the last day of a round; one cut short only where there is no other."""
    opens, closes = entry.from_ or scenario.season.from_, entry.until or scenario.season.until
    if isinstance(entry.every, int):
        return _equal(opens, closes, max(1, entry.every // _SECONDS_PER_DAY))
    return _as_the_store_warms(opens, closes, scenario.places.get(entry.looks_at or ""), outlook)


def _equal(opens: date, closes: date, days: int) -> tuple[Days, ...]:
    whole = ((closes - opens).days + 1) // days
    if whole < 1:
        return (Days(opens, closes),)
    firsts = [opens + timedelta(days=n * days) for n in range(whole)]
    return tuple(Days(first, first + timedelta(days=days - 1)) for first in firsts)


def _as_the_store_warms(
    opens: date, closes: date, place: PlaceEntry | None, outlook: Outlook | None
) -> tuple[Days, ...]:
    """Each day is a part of a stretch, as great as the store is warm; a stretch ends with the day that fills it."""
    means = means_from(place, outlook, opens)
    found: list[Days] = []
    first, full = opens, 0.0
    for day in Days(opens, closes).each():
        full += _part(place, means.get(day, math.nan) if means is not None else None)
        if full >= 1 - _ROUNDING:
            found.append(Days(first, day))
            first, full = day + _DAY, 0.0
    if not found and full > 0:
        found.append(Days(opens, closes))
    return tuple(found)


def _part(place: PlaceEntry | None, mean_celsius: float | None) -> float:
    """What a day is of a stretch; ``mean_celsius`` None: the store does not follow the weather, NaN: unknown."""
    celsius = mean_celsius
    if celsius is None and place is not None and place.celsius is not None:
        celsius = place.celsius.highest
    if celsius is None or math.isnan(celsius):
        return 1 / _DAYS_WHERE_UNKNOWN
    days = inspection_days(celsius)
    return 1 / days if days is not None else 0.0
