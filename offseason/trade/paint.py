"""Paint on wood and glue in wood: when a box is due, how long a coat dries, how many litres it takes.

The label of the product comes before every number here.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from offseason.trade.limits import HIGHEST_CELSIUS as HOTTEST_PLACE_CELSIUS
from offseason.trade.limits import checked_amount, checked_celsius, checked_humidity_percent

# Common practice, no source: sooner where sun, rain and frost are hard on paint.
YEARS_BETWEEN_PAINTINGS: Mapping[str, int] = MappingProxyType({"harsh": 3, "moderate": 4, "mild": 5})

# Latex and oil published: USDA Forest Products Laboratory, Wood Handbook, chapter 16; glue published (white glue).
LOWEST_CELSIUS: Mapping[str, float] = MappingProxyType({"latex": 10.0, "oil": 4.0, "glue": 10.0})
# Colder than this nobody says that it dries. Latex published: the coldest point of the maker's data sheet.
COLDEST_DRYING_CELSIUS: Mapping[str, float] = MappingProxyType({**LOWEST_CELSIUS, "latex": 2.0})
HIGHEST_CELSIUS = 32.0  # published, pages on practice
HIGHEST_HUMIDITY_PERCENT = 85.0  # published; the drying formula holds up to here too
LEAST_ABOVE_DEW_POINT_K = 3.0  # published as practice for steel (ISO 8502-4 has the method), borrowed for wood
RAIN_FREE_HOURS_AFTER = 24  # published in part, seen in part only on a secondary page
HIGHEST_WIND_M_S = 6.7  # for the brush; seen only on a secondary page, not confirmed
BARE_WOOD_TO_FIRST_COAT_DAYS = 14  # published for planed wood; for scraped wood from memory, not confirmed
CURE_BEFORE_BEES_DAYS = 30  # latex, published

# What is taken where the keeper does not say: both ours, on the slow side for a shed in autumn.
UNKNOWN_CELSIUS = 10.0
UNKNOWN_HUMIDITY_PERCENT = 70.0

# Latex published, a maker's data sheet at 25 °C and 50 %. Oil seen only on a secondary page; its 23 °C is ours.
_LATEX_HOURS, _LATEX_AT_CELSIUS = 4.0, 25.0
_OIL_HOURS, _OIL_AT_CELSIUS = 24.0, 23.0
_GLUE_HOURS = 24.0  # full strength of white glue; published

_NOTHING_THAT_DRIES = "'{}' is not something that dries here; write latex, oil or glue."


def paint_due(last_painted: int | str | None, year: int, climate: str) -> bool:
    """Whether a box last painted in that year is to be painted in the winter that begins in ``year``.

    ``last_painted`` None, ``unknown`` or ``never``: due. ``climate``: harsh, moderate or mild.
    Source: common practice, no source (every 3, 4 or 5 years).
    Errors: ValueError for a climate or a word that is not known.
    """
    if climate not in YEARS_BETWEEN_PAINTINGS:
        raise ValueError(f"'{climate}' is not a climate that paint is judged by; write harsh, moderate or mild.")
    if last_painted is None or last_painted in ("unknown", "never"):
        return True
    if isinstance(last_painted, bool) or not str(last_painted).strip().isdecimal():
        raise ValueError(f"'{last_painted}' does not say when it was last painted; write a year, never or unknown.")
    return year - int(last_painted) >= YEARS_BETWEEN_PAINTINGS[climate]


def drying_factor(
    celsius: float, humidity_percent: float, *, reference_celsius: float = 23, with_humidity: bool = True
) -> float:
    """How many times longer than at the reference (``reference_celsius``, 50 % humidity) a coat dries.

    Formula: ``2^((T_ref - T)/10) * max(1, 0.5/(1 - RH))``; ``with_humidity`` False leaves the second part out.
    Source: derived here; within 8 % of the vapour-pressure-deficit ratio for 10-23 °C and 50-85 % humidity.
    Errors: ValueError above 85 % humidity, where the formula does not hold.
    """
    checked_celsius(celsius)
    checked_humidity_percent(humidity_percent)
    by_warmth: float = 2.0 ** ((reference_celsius - celsius) / 10)
    if not with_humidity:
        return by_warmth
    if humidity_percent > HIGHEST_HUMIDITY_PERCENT:
        raise ValueError(
            f"At {humidity_percent:g} % humidity nobody can say when water-based paint is dry; "
            f"dry it where the air has {HIGHEST_HUMIDITY_PERCENT:.0f} % or less."
        )
    return by_warmth * max(1.0, 0.5 / (1 - humidity_percent / 100))


def drying_hours(kind: str, celsius: float, humidity_percent: float) -> float:
    """Hours from the end of a coat until the next (latex, oil), or until glue has its full strength.

    Latex: 4 h at 25 °C and 50 % (published, a maker's data sheet). Oil: 24 h (seen only on a secondary page, not
    confirmed) at 23 °C (ours), without humidity. Away from there by ``drying_factor`` (derived here). Glue: 24 h
    flat (published). Colder than ``LOWEST_CELSIUS`` the result is a stretch of the formula: the same data sheet
    prints 24 h for latex at 2 °C, where the formula gives 19.7 h.
    Errors: ValueError for another kind, and for latex above 85 % humidity.
    """
    if kind == "latex":
        return _LATEX_HOURS * drying_factor(celsius, humidity_percent, reference_celsius=_LATEX_AT_CELSIUS)
    if kind == "oil":
        return _OIL_HOURS * drying_factor(
            celsius, humidity_percent, reference_celsius=_OIL_AT_CELSIUS, with_humidity=False
        )
    if kind == "glue":
        return _GLUE_HOURS
    raise ValueError(_NOTHING_THAT_DRIES.format(kind))


def drying_part(kind: str, celsius: float, humidity_percent: float) -> float:
    """Part of the whole drying that one hour in such air does (derived here); 0 where it is not known to dry.

    Not known: latex colder than 2 °C, oil than 4 °C, glue than 10 °C (``COLDEST_DRYING_CELSIUS``), latex above 85 %
    humidity, air that is unknown (NaN) or hotter than any place is. Oil and glue do not ask for the humidity.
    Errors: ValueError for another kind.
    """
    if kind not in COLDEST_DRYING_CELSIUS:
        raise ValueError(_NOTHING_THAT_DRIES.format(kind))
    warm = COLDEST_DRYING_CELSIUS[kind] <= celsius <= HOTTEST_PLACE_CELSIUS
    if kind != "latex":
        return 1 / drying_hours(kind, celsius, UNKNOWN_HUMIDITY_PERCENT) if warm else 0.0
    dry = 0 <= humidity_percent <= HIGHEST_HUMIDITY_PERCENT
    return 1 / drying_hours(kind, celsius, humidity_percent) if warm and dry else 0.0


def litres(area_m2: float, coats: int, m2_per_litre: float = 9.0, waste: float = 0.10) -> float:
    """Litres of paint for so many coats on so many square metres; ``waste`` is the share left in tin and brush.

    Source: 9 m²/L on smooth wood published (7.4 to 9.8; 5 on rough wood); 10 % waste from memory, not confirmed.
    Errors: ValueError for an area, coats or waste below 0, or a spreading rate that is not above 0.
    """
    checked_amount(area_m2, "The area to paint in square metres")
    checked_amount(coats, "The number of coats")
    checked_amount(waste, "The waste of paint")
    if not m2_per_litre > 0:
        raise ValueError(f"A litre cannot cover {m2_per_litre} m²; give the square metres from the tin, such as 9.")
    return area_m2 * coats / m2_per_litre * (1 + waste)
