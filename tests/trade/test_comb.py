"""What drawn comb is worth, and when it is renewed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.trade.comb import (
    HONEY_KG_PER_WAX_KG_RANGE,
    combs_to_renew,
    honey_worth_kg,
    to_retire,
    wax_kg,
)
from offseason.trade.sizes import CATALOGUE


def test_a_deep_comb_is_worth_840_grams_of_honey():
    # 100 g wax: published, a practical manual. 8.4 kg honey per kg wax: published at second hand, Whitcomb 1946.
    deep = CATALOGUE["deep comb"].comb_worth_ratio
    assert wax_kg(deep) == pytest.approx(0.100)
    assert honey_worth_kg(deep) == pytest.approx(0.84)


# Derived: scaled by comb area.
@pytest.mark.parametrize(("comb", "kg"), [("medium comb", 0.588), ("shallow comb", 0.4788)])
def test_a_lower_comb_is_worth_less_honey(comb, kg):
    assert honey_worth_kg(CATALOGUE[comb].comb_worth_ratio) == pytest.approx(kg)


def test_the_worth_lies_between_what_others_found():
    # Published at second hand: the range is 6 to 17 kg of honey.
    low, high = (honey_worth_kg(1, honey_kg_per_wax_kg=kg) for kg in HONEY_KG_PER_WAX_KG_RANGE)
    assert low == pytest.approx(0.6)
    assert high == pytest.approx(1.7)
    assert low < honey_worth_kg(1) < high


def test_six_hundred_medium_combs_are_worth_a_good_harvest():
    assert honey_worth_kg(0.70, 600) == pytest.approx(600 * 0.588)


# Published: UK National Bee Unit; Bees for Development Journal 109: at least a third each year, after 3 seasons.
@pytest.mark.parametrize(("combs", "renewed"), [(0, 0), (1, 1), (2, 1), (3, 1), (4, 2), (30, 10), (31, 11)])
def test_at_least_a_third_of_the_brood_comb_is_renewed(combs, renewed):
    assert combs_to_renew(combs) == renewed


def test_brood_comb_is_retired_after_three_seasons():
    assert [to_retire(seasons) for seasons in (0, 2, 3, 10)] == [False, False, True, True]


@given(st.integers(0, 100_000))
def test_renewing_each_year_leaves_no_comb_older_than_its_three_seasons(combs):
    assert 3 * combs_to_renew(combs) >= combs


def test_counts_below_nothing_are_refused_in_a_sentence():
    with pytest.raises(ValueError, match="The number of brood combs cannot be -1; give a number from 0 up"):
        combs_to_renew(-1)
    with pytest.raises(ValueError, match="The number of combs cannot be -5"):
        honey_worth_kg(1, -5)
    with pytest.raises(ValueError, match=r"^The honey eaten for a kilogram of wax cannot be -6; give a number from 0"):
        honey_worth_kg(1, honey_kg_per_wax_kg=-6)
    with pytest.raises(ValueError, match=r"^The number of seasons a comb was used cannot be -1; give a number from 0"):
        to_retire(-1)
    with pytest.raises(ValueError, match=r"The worth of a comb against a deep comb cannot be -0\.5"):
        wax_kg(-0.5)
