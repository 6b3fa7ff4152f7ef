"""What work on old gear is worth in money: against new gear over the same years, against honey for comb.

All of it is derived here by plain arithmetic; prices, lives and years are the keeper's own. Money is of any one kind.
"""

from __future__ import annotations

from offseason.trade.comb import HONEY_KG_PER_WAX_KG, HONEY_KG_PER_WAX_KG_RANGE, honey_worth_kg
from offseason.trade.limits import checked_amount
from offseason.trade.paint import YEARS_BETWEEN_PAINTINGS


def wages(person_hours: float, price_of_an_hour: float) -> float:
    """What so many hours of work cost. Errors: ValueError for amounts below 0."""
    return checked_amount(person_hours, "Hours of work") * checked_amount(price_of_an_hour, "The price of an hour")


def a_year(cost: float, years: float) -> float:
    """What something costs for each year it buys. Errors: ValueError for a cost below 0, years not above 0."""
    return checked_amount(cost, "What it costs") / _above_0(years, "The years it buys")


def new_instead(price_each: float, lasts_years: float, years: float, pieces: float = 1) -> float:
    """What new pieces would cost over so many ``years``: the share of their life that these are, of their price.

    Errors: ValueError for a price or pieces below 0, years or a life not above 0.
    """
    checked_amount(pieces, "The number of pieces")
    return a_year(price_each, lasts_years) * _above_0(years, "The years it buys") * pieces


def comb_worth(comb_worth_ratio: float, combs: int, price_of_a_kg_honey: float) -> tuple[float, float, float]:
    """Least, usual and most that so many combs are worth: the honey bees would eat to build them anew.

    ``comb_worth_ratio``: the area of one comb against a deep comb. Source: 100 g of wax in a deep comb (published, a
    practical manual), 8.4 kg of honey for a kilogram of wax (published at second hand, Whitcomb 1946; others 6 to 17).
    """
    checked_amount(price_of_a_kg_honey, "The price of a kilogram of honey")
    low, high = HONEY_KG_PER_WAX_KG_RANGE
    least, usual, most = (
        honey_worth_kg(comb_worth_ratio, combs, honey_kg_per_wax_kg=kg) * price_of_a_kg_honey
        for kg in (low, HONEY_KG_PER_WAX_KG, high)
    )
    return least, usual, most


def an_hour_saves(worth: float, cost: float, person_hours: float) -> float:
    """Money that an hour of the work saves beyond what it costs; below 0 where it costs more than it is worth."""
    return (worth - cost) / _above_0(person_hours, "Hours of work")


def years_painted(climate: str) -> int:
    """Years until what was painted this winter is painted again: 3, 4 or 5 (common practice, no source)."""
    return YEARS_BETWEEN_PAINTINGS[climate]


def _above_0(amount: float, what: str) -> float:
    if not 0 < amount < float("inf"):
        raise ValueError(f"{what} cannot be {amount}; give a number above 0.")
    return amount
