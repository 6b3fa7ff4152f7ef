"""When wax moths get at comb: heat of the store, feeding larvae, the moth season, and the treat-by date.

No degree-day constants are published. The envelope here (derived) is never later than the published ranges: an
estimate to plan with, never a prediction.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date, timedelta

from offseason.trade.limits import checked_celsius

# Derived here. Published beside them: development stops below 12 °C (Swiss bee health service leaflet 4.4.2; others
# print 9, 10, 14, 15), so the base of 10 °C is ours, on the safe side.
BASE_CELSIUS = 10.0
WARMEST_COUNTED_CELSIUS = 35.0
FEEDING_DEGREE_DAYS = 75.0
LARVA_DEGREE_DAYS = 418.0
DAMAGE_DEGREE_DAYS = FEEDING_DEGREE_DAYS + LARVA_DEGREE_DAYS
ADULT_DEGREE_DAYS = 653.0

INACTIVE_CELSIUS = 5.0  # published, handbook practice: none active, none killed
ARRESTED_CELSIUS = 12.0  # published, Swiss bee health service leaflet 4.4.2: development stops
LONGEST_UNTREATED_DAYS = 7  # derived here, for comb taken off in the season
UNKNOWN_STORE_CELSIUS = 20.0  # ours

_CARRIES_EGGS = ("brood", "pollen")

_DAY = timedelta(days=1)
_ROUNDING = 1e-9


def daily_heat(celsius: float) -> float:
    """Degree-days that one day at this daily mean (°C, of the store) gives moths: ``max(0, min(T, 35) - 10)``.

    Source: derived here.
    """
    return max(0.0, min(checked_celsius(celsius), WARMEST_COUNTED_CELSIUS) - BASE_CELSIUS)


def days_until(needed_degree_days: float, celsius: float) -> float | None:
    """Days, with decimals, until so many degree-days at a constant temperature; None: never (10 °C or colder)."""
    heat = daily_heat(celsius)
    return needed_degree_days / heat if heat > 0 else None


def day_reached(last_protected: date, celsius: float | Mapping[date, float], needed_degree_days: float) -> date | None:
    """First day by which so many degree-days have come together, counted from the day after ``last_protected``.

    ``celsius``: one temperature of the store throughout, or daily means by day. None: never, or not within the days
    given. Source: derived here. Errors: ValueError where a day between the days given is missing.
    """
    if not isinstance(celsius, Mapping):
        days = days_until(needed_degree_days, celsius)
        if days is None or days >= (date.max - last_protected).days:
            return None
        return last_protected + math.ceil(days - _ROUNDING) * _DAY
    last_known = max(celsius, default=last_protected)
    total, day = 0.0, last_protected
    while day < last_known:
        day += _DAY
        if day not in celsius:
            raise ValueError(f"No temperature is given for {day}; give one for each day after {last_protected}.")
        total += daily_heat(celsius[day])
        if total >= needed_degree_days - _ROUNDING:
            return day
    return None


def feeding_larvae_day(last_protected: date, celsius: float | Mapping[date, float]) -> date | None:
    """First day on which larvae may feed in comb that was last protected on that day: 75 degree-days.

    ``celsius`` and None as for ``day_reached``. Source: derived here; an estimate, never a prediction.
    """
    return day_reached(last_protected, celsius, FEEDING_DEGREE_DAYS)


def serious_damage_day(last_protected: date, celsius: float | Mapping[date, float]) -> date | None:
    """First day by which larvae may have eaten the comb: 493 degree-days (75 and a larva's 418).

    ``celsius`` and None as for ``day_reached``. Source: derived here; an estimate, never a prediction.
    """
    return day_reached(last_protected, celsius, DAMAGE_DEGREE_DAYS)


def store_class(celsius: float) -> str:
    """``inactive`` up to 5 °C, ``arrested`` up to 12 °C, ``active`` above: what moths do in a store so warm.

    Source: published, handbook practice (5 °C) and Swiss bee health service leaflet 4.4.2 (12 °C).
    """
    checked_celsius(celsius)
    return "inactive" if celsius <= INACTIVE_CELSIUS else "arrested" if celsius <= ARRESTED_CELSIUS else "active"


def inspection_days(celsius: float) -> int | None:
    """Days from one look at stored comb to the next: 14 where moths are active, 30 where arrested, None: no need.

    Source: 14 d published (Swiss and German practice); 30 d derived here.
    """
    return {"active": 14, "arrested": 30, "inactive": None}[store_class(celsius)]


def in_season(day: date, season_starts: date, season_ends: date | None) -> bool:
    """Whether moths fly on that day: from ``season_starts`` on, or up to ``season_ends`` of the season before.

    Errors: ValueError where ``season_ends`` does not lie before ``season_starts``.
    """
    if season_ends is not None and season_ends >= season_starts:
        raise ValueError(
            f"The last moth season cannot end on {season_ends} when the next starts on {season_starts}; "
            "give the end of the season before the winter, or leave it out."
        )
    return day >= season_starts or (season_ends is not None and day <= season_ends)


def treat_by(
    arrives: date,
    season_starts: date,
    season_ends: date | None,
    comb: str | None,
    webbing_seen: bool,
    store_celsius: float | Mapping[date, float] | None,
    *,
    mean_celsius: float | None = None,
) -> date:
    """Last day by whose end comb that arrived then must be protected from moths.

    Webbing seen: the day it arrives. Arrived in the season: the earlier of 7 days later and the feeding-larvae date
    at ``store_celsius``; ``brood`` or ``pollen`` comb counts as carrying eggs already, so its clock counts the day of
    arrival too. Arrived out of season: the day before the season starts, or the feeding-larvae date of comb that
    carries eggs, where the temperature of the store tells and that is sooner.
    ``store_celsius``: the warmest the store gets, daily means by day, or None: 20 °C is taken, as it is for days that
    are NaN or left out among the daily means; days after the last of them are not judged. ``mean_celsius``:
    the mean of a store whose daily means are not given, for comb that arrives out of season.
    Source: derived here. Errors: as ``in_season``.
    """
    flying = in_season(arrives, season_starts, season_ends)
    if webbing_seen:
        return arrives
    carries_eggs = comb in _CARRIES_EGGS
    if not flying and not isinstance(store_celsius, Mapping):
        store_celsius = mean_celsius
    if not flying and not (carries_eggs and store_celsius is not None):
        return season_starts - _DAY
    last_protected = arrives - _DAY if carries_eggs else arrives
    larvae = feeding_larvae_day(last_protected, _with_unknown_days(store_celsius, last_protected + _DAY))
    latest = arrives + LONGEST_UNTREATED_DAYS * _DAY if flying else season_starts - _DAY
    return latest if larvae is None else min(latest, larvae)


def _with_unknown_days(store_celsius: float | Mapping[date, float] | None, first: date) -> float | Mapping[date, float]:
    """The store's temperature with 20 °C where it is not known, by day from ``first`` to the last day given."""
    if store_celsius is None:
        return UNKNOWN_STORE_CELSIUS
    if not isinstance(store_celsius, Mapping):
        return store_celsius
    count = (max(store_celsius, default=first - _DAY) - first).days + 1
    means = ((day, store_celsius.get(day, math.nan)) for day in (first + n * _DAY for n in range(count)))
    return {day: UNKNOWN_STORE_CELSIUS if math.isnan(mean) else mean for day, mean in means}
