"""What the weather must be like for work in the open air: limits for each kind of work, with where they come from.

The label of the product comes before every number here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from offseason.trade.paint import (
    HIGHEST_CELSIUS,
    HIGHEST_HUMIDITY_PERCENT,
    HIGHEST_WIND_M_S,
    LEAST_ABOVE_DEW_POINT_K,
    LOWEST_CELSIUS,
    RAIN_FREE_HOURS_AFTER,
)

WETTEST_WOOD_PERCENT = 20.0  # no painting on wetter wood; seen only on a secondary page, and ours


@dataclass(frozen=True)
class Limits:
    """What is asked of the air while the work is done, and for so many hours after it. None or 0: not asked.

    ``warm_hours_after``: hours in which it must stay at ``at_least_celsius`` or above; ``dry_hours_after``: without
    rain. ``no_rain``: none during the work. Wood moisture is judged only where it is recorded.
    """

    at_least_celsius: float | None = None
    at_most_celsius: float | None = None
    warm_hours_after: int = 0
    at_most_humidity_percent: float | None = None
    above_dew_point_k: float | None = None
    no_rain: bool = False
    dry_hours_after: int = 0
    at_most_wind_m_s: float | None = None
    at_most_wood_moisture_percent: float | None = None


NEEDS: Mapping[str, Limits] = MappingProxyType(
    {
        # Published: USDA Forest Products Laboratory, Wood Handbook, chapter 16 (10 °C during and 24 h after); the other
        # limits and how sure they are: offseason.trade.paint.
        "painting with latex": Limits(
            at_least_celsius=LOWEST_CELSIUS["latex"],
            at_most_celsius=HIGHEST_CELSIUS,
            warm_hours_after=24,
            at_most_humidity_percent=HIGHEST_HUMIDITY_PERCENT,
            above_dew_point_k=LEAST_ABOVE_DEW_POINT_K,
            no_rain=True,
            dry_hours_after=RAIN_FREE_HOURS_AFTER,
            at_most_wind_m_s=HIGHEST_WIND_M_S,
            at_most_wood_moisture_percent=WETTEST_WOOD_PERCENT,
        ),
        "painting with oil": Limits(
            at_least_celsius=LOWEST_CELSIUS["oil"],
            at_most_celsius=HIGHEST_CELSIUS,
            at_most_humidity_percent=HIGHEST_HUMIDITY_PERCENT,
            above_dew_point_k=LEAST_ABOVE_DEW_POINT_K,
            no_rain=True,
            dry_hours_after=RAIN_FREE_HOURS_AFTER,
            at_most_wind_m_s=HIGHEST_WIND_M_S,
            at_most_wood_moisture_percent=WETTEST_WOOD_PERCENT,
        ),
        # White glue 10 °C or warmer while it sets: published (with the clamping time, 30-90 min: so two hours). That no
        # rain may fall on it is ours.
        "gluing": Limits(at_least_celsius=LOWEST_CELSIUS["glue"], warm_hours_after=2, no_rain=True),
        # Propolis is hard up to 15 °C, brittle up to 5 °C: seen only on a secondary page, not confirmed.
        "scraping in the cold": Limits(at_most_celsius=15.0),
        # Vapours leave the comb above 10 °C: published for acetic acid, Norwegian beekeepers' association. No rain, and
        # no more wind than for the brush: ours.
        "airing comb": Limits(at_least_celsius=10.0, no_rain=True, at_most_wind_m_s=HIGHEST_WIND_M_S),
    }
)
"""Kinds of weather by the name a scenario may use."""
