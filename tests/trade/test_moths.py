"""Wax moths: heat, feeding larvae, damage, the season and the treat-by date."""

import math
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.trade.moths import (
    ADULT_DEGREE_DAYS,
    DAMAGE_DEGREE_DAYS,
    FEEDING_DEGREE_DAYS,
    LARVA_DEGREE_DAYS,
    daily_heat,
    days_until,
    feeding_larvae_day,
    in_season,
    inspection_days,
    serious_damage_day,
    store_class,
    treat_by,
)

DAY = timedelta(days=1)
SEPTEMBER = date(2026, 9, 1)
SPRING = date(2027, 4, 20)
AUTUMN = date(2026, 10, 15)

temperatures = st.floats(-30, 50)
days = st.dates(date(2026, 1, 1), date(2028, 12, 31))
combs = st.sampled_from(["dry", "wet", "brood", "pollen", "honey", None])


# Derived check values.
@pytest.mark.parametrize(("celsius", "heat"), [(9, 0), (10, 0), (12, 2), (25, 15), (38, 25)])
def test_a_day_gives_moths_heat_above_10_degrees_and_no_more_than_at_35(celsius, heat):
    assert daily_heat(celsius) == heat


# Derived check values: days at constant temperature until larvae feed.
@pytest.mark.parametrize(("celsius", "expected"), [(15, 15.0), (20, 7.5), (25, 5.0), (30, 3.75)])
def test_larvae_feed_sooner_in_a_warmer_store(celsius, expected):
    assert days_until(FEEDING_DEGREE_DAYS, celsius) == expected
    whole_days = -(-expected // 1)
    assert feeding_larvae_day(SEPTEMBER, celsius) == SEPTEMBER + whole_days * DAY


@pytest.mark.parametrize("celsius", [10, 4, -18])
def test_larvae_never_feed_at_10_degrees_or_colder(celsius):
    assert days_until(FEEDING_DEGREE_DAYS, celsius) is None
    assert feeding_larvae_day(SEPTEMBER, celsius) is None
    assert serious_damage_day(SEPTEMBER, celsius) is None


def test_a_store_a_hair_above_10_degrees_is_no_danger_in_any_year_a_calendar_shows():
    assert feeding_larvae_day(SEPTEMBER, 10.000001) is None


# Derived check values: day of serious damage at constant temperature.
@pytest.mark.parametrize(("celsius", "day"), [(20, 50), (25, 33), (32, 23)])
def test_comb_left_open_is_seriously_damaged_on_that_day(celsius, day):
    assert serious_damage_day(SEPTEMBER, celsius) == SEPTEMBER + day * DAY
    every_day = {SEPTEMBER + n * DAY: celsius for n in range(1, 60)}
    assert serious_damage_day(SEPTEMBER, every_day) == SEPTEMBER + day * DAY


def test_damage_takes_the_egg_and_the_larva_and_the_adult_comes_later():
    # Derived: 75 + 418 = 493; egg to adult 653.
    assert DAMAGE_DEGREE_DAYS == FEEDING_DEGREE_DAYS + LARVA_DEGREE_DAYS == 493
    assert ADULT_DEGREE_DAYS == 653


def test_the_estimate_is_never_later_than_what_is_published_or_printed():
    # Published, University of Illinois rearing sheet: egg 5-8 d at 24-27 °C, up to 35 d at 10-16 °C.
    assert days_until(FEEDING_DEGREE_DAYS, 24) <= 8
    assert days_until(FEEDING_DEGREE_DAYS, 16) <= 35
    # Seen only on a secondary page: egg 3-5 d at 29-35 °C; larva 19 d at 32 °C.
    assert 3 <= days_until(FEEDING_DEGREE_DAYS, 35) <= days_until(FEEDING_DEGREE_DAYS, 29) <= 5
    assert days_until(LARVA_DEGREE_DAYS, 32) == 19
    # Published, Swiss Bee Research Centre, Communication 24: the whole cycle takes 6 weeks at the quickest.
    assert days_until(ADULT_DEGREE_DAYS, 32) <= 6 * 7


def test_cold_days_between_warm_ones_only_delay_the_larvae():
    warm_and_cold = {SEPTEMBER + n * DAY: (25.0 if n % 2 else 5.0) for n in range(1, 30)}
    assert feeding_larvae_day(SEPTEMBER, warm_and_cold) == SEPTEMBER + 9 * DAY


def test_the_day_of_protection_itself_does_not_count():
    hot_only_then = {SEPTEMBER: 35.0, **{SEPTEMBER + n * DAY: 25.0 for n in range(1, 10)}}
    assert feeding_larvae_day(SEPTEMBER, hot_only_then) == SEPTEMBER + 5 * DAY


def test_larvae_are_not_foretold_past_the_days_that_are_known():
    assert feeding_larvae_day(SEPTEMBER, {SEPTEMBER + n * DAY: 25.0 for n in range(1, 5)}) is None
    assert feeding_larvae_day(SEPTEMBER, {}) is None


def test_a_missing_day_is_named():
    with pytest.raises(ValueError, match="No temperature is given for 2026-09-02; give one for each day after 2026-09"):
        feeding_larvae_day(SEPTEMBER, {SEPTEMBER + 2 * DAY: 25.0})


# Published: handbook practice (5 °C) and Swiss bee health service leaflet 4.4.2 (12 °C).
@pytest.mark.parametrize(
    ("celsius", "name", "look_every"),
    [
        (-18, "inactive", None),
        (5, "inactive", None),
        (5.1, "arrested", 30),  # derived: look every 30 d
        (12, "arrested", 30),
        (12.1, "active", 14),  # published: Swiss and German practice, every 14 days while it is warm
        (25, "active", 14),
    ],
)
def test_a_warmer_store_is_looked_at_more_often(celsius, name, look_every):
    assert store_class(celsius) == name
    assert inspection_days(celsius) == look_every


@given(temperatures, temperatures)
def test_warmer_never_makes_moths_slower(one, other):
    colder, warmer = sorted((one, other))
    assert daily_heat(colder) <= daily_heat(warmer)
    late = feeding_larvae_day(SEPTEMBER, colder) or date.max
    assert (feeding_larvae_day(SEPTEMBER, warmer) or date.max) <= late


@given(temperatures)
def test_damage_never_comes_before_the_larvae(celsius):
    larvae = feeding_larvae_day(SEPTEMBER, celsius)
    damage = serious_damage_day(SEPTEMBER, celsius)
    assert damage is None or (larvae is not None and SEPTEMBER < larvae <= damage)


@given(st.floats(10.5, 40), st.sampled_from([FEEDING_DEGREE_DAYS, DAMAGE_DEGREE_DAYS]))
def test_the_same_warmth_every_day_is_the_same_as_a_constant_store(celsius, needed):
    reached = feeding_larvae_day if needed == FEEDING_DEGREE_DAYS else serious_damage_day
    constant = reached(SEPTEMBER, celsius)
    day_by_day = reached(SEPTEMBER, {SEPTEMBER + n * DAY: celsius for n in range(1, 1100)})
    assert constant == day_by_day


# --- the moth season


def test_moths_fly_from_the_start_of_the_season_and_until_the_end_of_the_last():
    assert in_season(SPRING, SPRING, None)
    assert not in_season(SPRING - DAY, SPRING, None)
    assert in_season(AUTUMN, SPRING, AUTUMN)
    assert not in_season(AUTUMN + DAY, SPRING, AUTUMN)


def test_a_season_that_ends_after_the_next_begins_is_refused_in_a_sentence():
    with pytest.raises(ValueError, match="season cannot end on 2027-05-01 when the next starts on 2027-04-20; give"):
        in_season(AUTUMN, SPRING, date(2027, 5, 1))


# --- the treat-by date (derived: the earlier of the feeding-larvae date and 7 days after removal)


def treated_by(arrives, comb="dry", *, season_ends=AUTUMN, webbing_seen=False, store_celsius=None):
    return treat_by(arrives, SPRING, season_ends, comb, webbing_seen, store_celsius)


def test_comb_that_comes_in_after_the_moths_have_gone_has_until_the_day_before_they_fly_again():
    assert treated_by(date(2026, 11, 2)) == SPRING - DAY
    assert treated_by(date(2026, 9, 2), season_ends=None) == SPRING - DAY


@pytest.mark.parametrize(("store_celsius", "in_days"), [(None, 7), (20, 7), (15, 7), (4, 7), (25, 5), (30, 4)])
def test_comb_taken_off_in_the_season_has_a_week_or_until_larvae_feed(store_celsius, in_days):
    assert treated_by(SEPTEMBER, store_celsius=store_celsius) == SEPTEMBER + in_days * DAY


@pytest.mark.parametrize("comb", ["brood", "pollen"])
@pytest.mark.parametrize(("store_celsius", "in_days"), [(None, 7), (25, 4), (30, 3), (4, 7)])
def test_brood_and_pollen_comb_carry_eggs_when_they_come(comb, store_celsius, in_days):
    assert treated_by(SEPTEMBER, comb, store_celsius=store_celsius) == SEPTEMBER + in_days * DAY


@pytest.mark.parametrize("arrives", [SEPTEMBER, date(2026, 12, 1), date(2027, 5, 1)])
def test_comb_with_webbing_is_treated_the_day_it_comes(arrives):
    assert treated_by(arrives, webbing_seen=True) == arrives


def test_comb_that_comes_in_the_new_season_has_a_week_as_well():
    assert treated_by(SPRING) == SPRING + 7 * DAY


@given(days, days, st.one_of(st.none(), days), combs, st.one_of(st.none(), temperatures))
def test_comb_is_never_due_before_it_arrives_and_never_left_past_a_week_in_season(arrives, starts, ends, comb, store):
    ends = ends if ends is not None and ends < starts else None
    due = treat_by(arrives, starts, ends, comb, webbing_seen=False, store_celsius=store)
    assert due >= arrives
    if in_season(arrives, starts, ends):
        assert due <= arrives + 7 * DAY
    else:
        assert due == starts - DAY


@given(days, combs, st.booleans(), temperatures, temperatures)
def test_a_warmer_store_webbing_or_brood_never_give_more_time(arrives, comb, webbing_seen, one, other):
    colder, warmer = sorted((one, other))
    due = treated_by(arrives, comb, webbing_seen=webbing_seen, store_celsius=warmer)
    assert due <= treated_by(arrives, comb, store_celsius=colder)
    assert treated_by(arrives, "brood", store_celsius=colder) <= treated_by(arrives, "dry", store_celsius=colder)


# --- daily means of the store (derived: the same degree-days, added up day by day)


def means(first, *celsius):
    return {first + n * DAY: mean for n, mean in enumerate(celsius)}


@pytest.mark.parametrize("comb", ["dry", "wet", "honey", "brood", "pollen", None])
@pytest.mark.parametrize("celsius", [4.0, 15.0, 20.0, 25.0, 30.0])
def test_a_store_equally_warm_every_day_is_the_same_as_one_temperature_in_season(comb, celsius):
    daily = means(SEPTEMBER, *[celsius] * 30)
    assert treated_by(SEPTEMBER, comb, store_celsius=daily) == treated_by(SEPTEMBER, comb, store_celsius=celsius)


def test_a_hot_spell_after_arrival_brings_the_larvae_sooner_and_a_cool_one_gives_the_whole_week():
    # 25 degree-days a day from 35 °C: three days make 75.
    assert treated_by(SEPTEMBER, store_celsius=means(SEPTEMBER, 35, 35, 35, 35, 8, 8, 8, 8)) == SEPTEMBER + 3 * DAY
    assert treated_by(SEPTEMBER, store_celsius=means(SEPTEMBER, 8, 8, 8, 8, 8, 8, 8, 35)) == SEPTEMBER + 7 * DAY


def test_eggs_in_brood_comb_use_the_heat_of_the_day_they_come_on():
    store = means(SEPTEMBER, 35, 35, 35, 35, 35)
    assert treated_by(SEPTEMBER, "brood", store_celsius=store) == SEPTEMBER + 2 * DAY
    assert treated_by(SEPTEMBER, "dry", store_celsius=store) == SEPTEMBER + 3 * DAY


def test_a_day_whose_warmth_is_not_known_counts_as_20_degrees():
    # 35 °C twice and a day unknown: 25 + 25 + 10 degree-days, 15 short of larvae: 24 °C will not do, 25 °C will.
    gap = means(SEPTEMBER + DAY, 35, 35, math.nan, 24, 10)
    assert treated_by(SEPTEMBER, store_celsius=gap) == SEPTEMBER + 7 * DAY
    assert treated_by(SEPTEMBER, store_celsius=gap | {SEPTEMBER + 4 * DAY: 25.0}) == SEPTEMBER + 4 * DAY
    left_out = {day: mean for day, mean in gap.items() if not math.isnan(mean)}
    assert treated_by(SEPTEMBER, store_celsius=left_out | {SEPTEMBER + 4 * DAY: 25.0}) == SEPTEMBER + 4 * DAY
    assert treated_by(SEPTEMBER, store_celsius={}) == treated_by(SEPTEMBER, store_celsius=None)


NOVEMBER = date(2026, 11, 2)


@pytest.mark.parametrize("comb", ["brood", "pollen"])
def test_comb_that_brings_its_eggs_into_a_warm_store_is_not_safe_because_no_moth_flies(comb):
    # 15 °C gives 5 degree-days a day, the day of arrival included: 75 on the fifteenth.
    assert treated_by(NOVEMBER, comb, store_celsius=means(NOVEMBER, *[15] * 60)) == NOVEMBER + 14 * DAY
    assert treated_by(NOVEMBER, comb, store_celsius=means(NOVEMBER, *[math.nan] * 60)) == NOVEMBER + 7 * DAY


def test_comb_without_eggs_or_in_a_cold_store_has_until_the_moths_fly_again():
    assert treated_by(NOVEMBER, "dry", store_celsius=means(NOVEMBER, *[15] * 60)) == SPRING - DAY
    assert treated_by(NOVEMBER, "brood", store_celsius=means(NOVEMBER, *[9] * 160)) == SPRING - DAY
    assert treated_by(NOVEMBER, "brood", store_celsius=15) == SPRING - DAY


def test_spring_warmth_in_the_store_wakes_eggs_before_the_moths_outdoors():
    winter, first = (date(2027, 3, 1) - NOVEMBER).days, date(2027, 3, 1)
    store = means(NOVEMBER, *[6] * winter, *[25] * 100)
    assert treated_by(NOVEMBER, "pollen", store_celsius=store) == first + 4 * DAY


@given(days, combs, st.lists(st.one_of(st.just(math.nan), temperatures), max_size=40), st.integers(0, 39))
def test_daily_means_never_leave_comb_longer_than_the_rules_without_them(arrives, comb, daily, warmed):
    store = means(arrives, *daily)
    due = treated_by(arrives, comb, store_celsius=store)
    flying = in_season(arrives, SPRING, AUTUMN)
    assert arrives <= due <= (arrives + 7 * DAY if flying else SPRING - DAY)
    if warmed < len(daily):
        assert treated_by(arrives, comb, store_celsius=store | {arrives + warmed * DAY: 60.0}) <= due


def test_brood_comb_in_a_heated_room_is_due_when_its_larvae_feed_whether_a_moth_flies_or_not():
    def due(comb, mean):
        return treat_by(date(2026, 11, 10), date(2027, 5, 1), None, comb, False, mean, mean_celsius=mean)

    # 20 degrees: 75 degree-days on the eighth day, the day of arrival counted (derived here)
    assert due("brood", 20.0) == date(2026, 11, 17)
    assert due("dry", 20.0) == due("brood", 8.0) == date(2027, 4, 30)


def test_a_moth_season_cannot_end_on_the_day_on_which_the_next_starts():
    with pytest.raises(ValueError, match="cannot end on 2027-04-20"):
        in_season(date(2026, 10, 5), date(2027, 4, 20), date(2027, 4, 20))
