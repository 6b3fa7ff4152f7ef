"""Temperatures a place can have: what is beyond them is a slip of the pen (ours, wider than any place of bees)."""

import pytest

from offseason.trade.limits import HIGHEST_CELSIUS, LOWEST_CELSIUS, checked_celsius


@pytest.mark.parametrize("celsius", [LOWEST_CELSIUS, 0.0, HIGHEST_CELSIUS])
def test_the_coldest_and_the_hottest_a_place_may_be_are_taken(celsius):
    checked_celsius(celsius)


@pytest.mark.parametrize("celsius", [LOWEST_CELSIUS - 0.1, HIGHEST_CELSIUS + 0.1, float("nan")])
def test_colder_and_hotter_is_a_mistake(celsius):
    with pytest.raises(ValueError, match="give degrees Celsius between -60 and 60"):
        checked_celsius(celsius)
