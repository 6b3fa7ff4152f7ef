"""What drawn comb is worth, and when brood comb is to be renewed."""

from __future__ import annotations

import math

from offseason.trade.limits import checked_amount

WAX_KG_PER_DEEP_COMB = 0.1  # published: a practical manual, about 100 g in a standard deep comb
HONEY_KG_PER_WAX_KG = 8.4  # published at second hand: Whitcomb 1946
HONEY_KG_PER_WAX_KG_RANGE = (6.0, 17.0)  # range of the same
BROOD_COMB_SEASONS = 3  # published: UK National Bee Unit; Bees for Development Journal 109
RENEWAL_SHARE = 1 / 3  # published: the same; at least this share of the brood comb each year


def wax_kg(comb_worth_ratio: float, combs: int = 1) -> float:
    """Kilograms of wax in so many combs; ``comb_worth_ratio`` is their area against a deep comb.

    Source: published, about 100 g in a deep comb (a practical manual); scaled by area (derived here).
    """
    checked_amount(comb_worth_ratio, "The worth of a comb against a deep comb")
    return WAX_KG_PER_DEEP_COMB * comb_worth_ratio * checked_amount(combs, "The number of combs")


def honey_worth_kg(
    comb_worth_ratio: float, combs: int = 1, *, honey_kg_per_wax_kg: float = HONEY_KG_PER_WAX_KG
) -> float:
    """Kilograms of honey the bees would eat to build so many combs again: 0.84 for one deep comb.

    Source: derived here from 100 g of wax (published) and 8.4 kg of honey for 1 kg of wax (published at second
    hand, Whitcomb 1946; others found 6 to 17).
    """
    checked_amount(honey_kg_per_wax_kg, "The honey eaten for a kilogram of wax")
    return wax_kg(comb_worth_ratio, combs) * honey_kg_per_wax_kg


def combs_to_renew(brood_combs: int) -> int:
    """How many of the brood combs to renew this year: at least a third, rounded up to whole combs.

    Source: published, UK National Bee Unit; Bees for Development Journal 109.
    """
    return math.ceil(checked_amount(brood_combs, "The number of brood combs") * RENEWAL_SHARE - 1e-9)


def to_retire(seasons_used: int) -> bool:
    """Whether a brood comb has had its 3 seasons (published: UK National Bee Unit)."""
    return checked_amount(seasons_used, "The number of seasons a comb was used") >= BROOD_COMB_SEASONS
