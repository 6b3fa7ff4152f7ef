"""What work on old gear is worth in money, worked by hand."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.trade.worth import a_year, an_hour_saves, comb_worth, new_instead, wages, years_painted

money = st.floats(0, 1e6)
above_0 = st.floats(0.01, 1e4)


def test_a_mended_box_is_held_against_the_same_years_of_a_new_one():
    # by hand: 24 for 15 years are 1.60 a year; 3 years of it 4.80, for 10 boxes 48
    assert a_year(24, 15) == pytest.approx(1.6)
    assert new_instead(24, 15, 3) == pytest.approx(4.8)
    assert new_instead(24, 15, 3, 10) == pytest.approx(48)


def test_an_hour_saves_what_is_left_once_it_is_paid():
    # by hand: 2.5 h at 12 are 30; 48 less 30 are 18, for 2.5 h 7.20 an hour
    assert wages(2.5, 12) == 30
    assert an_hour_saves(48, 30, 2.5) == pytest.approx(7.2)
    assert an_hour_saves(20, 30, 2.5) == pytest.approx(-4)


def test_a_deep_comb_is_worth_840_grams_of_honey_and_from_600_grams_to_1700():
    # 100 g wax: published, a practical manual. 8.4 kg honey a kg of wax, 6 to 17: second hand, Whitcomb 1946.
    assert comb_worth(1, 1, 1) == pytest.approx((0.6, 0.84, 1.7))
    # a medium comb by its area, 0.70 (derived): 200 of them, honey at 5 a kilogram
    assert comb_worth(0.7, 200, 5) == pytest.approx((420, 588, 1190))


def test_paint_lasts_shorter_where_the_weather_is_harsh():
    # common practice, no source
    assert [years_painted(climate) for climate in ("harsh", "moderate", "mild")] == [3, 4, 5]


@given(price=money, dearer=money, lasts=above_0, years=above_0, cost=money, hours=above_0)
def test_the_dearer_new_gear_is_the_more_an_hour_of_mending_saves(price, dearer, lasts, years, cost, hours):
    low, high = sorted((price, dearer))
    before, after = (an_hour_saves(new_instead(p, lasts, years), cost, hours) for p in (low, high))
    assert before <= after


@given(worth=money, cost=money, more=money, hours=above_0)
def test_the_more_the_work_costs_the_less_an_hour_of_it_saves(worth, cost, more, hours):
    assert an_hour_saves(worth, cost + more, hours) <= an_hour_saves(worth, cost, hours)


@pytest.mark.parametrize(
    ("asked", "amounts", "told"),
    [
        (a_year, (24, 0), "The years it buys cannot be 0; give a number above 0."),
        (a_year, (24, float("nan")), "The years it buys cannot be nan; give a number above 0."),
        (a_year, (24, float("inf")), "The years it buys cannot be inf; give a number above 0."),
        (a_year, (-1, 3), "What it costs cannot be -1; give a number from 0 up."),
        (new_instead, (24, 15, 0), "The years it buys cannot be 0; give a number above 0."),
        (new_instead, (24, 15, 3, -1), "The number of pieces cannot be -1; give a number from 0 up."),
        (an_hour_saves, (5, 3, 0), "Hours of work cannot be 0; give a number above 0."),
        (comb_worth, (1, 1, -2), "The price of a kilogram of honey cannot be -2; give a number from 0 up."),
        (wages, (float("inf"), 12), "Hours of work cannot be inf; give a number from 0 up."),
        (wages, (2, -12), "The price of an hour cannot be -12; give a number from 0 up."),
    ],
)
def test_amounts_that_cannot_be_are_refused_by_name(asked, amounts, told):
    with pytest.raises(ValueError, match=f"^{re.escape(told)}$"):
        asked(*amounts)
