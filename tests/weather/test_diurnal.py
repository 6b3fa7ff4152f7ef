"""The air hour by hour made out of a day's lowest and highest temperature."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.trade.air import dew_point_celsius
from offseason.weather.diurnal import hours_of_days
from offseason.weather.records import Daily

NAN = float("nan")


def days(lowest, highest, humidity=None):
    count = len(lowest)
    unknown = np.full(count, NAN)
    recorded = unknown if humidity is None else np.array(humidity, float)
    return Daily(date(2026, 10, 1), np.array(lowest, float), np.array(highest, float), recorded, unknown, unknown)


def test_a_day_is_coldest_at_six_and_warmest_at_three():
    celsius, _ = hours_of_days(days([5, 7], [15, 19]))
    assert celsius.shape == (2, 24)
    assert list(celsius[:, 6]) == [5, 7]
    assert list(celsius[:, 15]) == [15, 19]


def test_between_the_two_it_follows_half_a_cosine():
    # Derived: a third of the way from 6:00 to 15:00 a quarter of the rise is done, two thirds: three quarters.
    celsius, _ = hours_of_days(days([5], [15]))
    assert celsius[0, 9] == pytest.approx(7.5)
    assert celsius[0, 12] == pytest.approx(12.5)


def test_the_night_leads_on_to_the_next_mornings_lowest():
    # Derived: of the 15 hours from 15:00 to 6:00 a third is over at 20:00 and two thirds at 1:00.
    celsius, _ = hours_of_days(days([5, 7], [15, 19]))
    assert celsius[0, 20] == pytest.approx(15 - 0.25 * 8)
    assert celsius[1, 1] == pytest.approx(15 - 0.75 * 8)


def test_beside_a_missing_day_the_night_goes_by_the_days_own_temperatures():
    celsius, _ = hours_of_days(days([NAN, 5, NAN], [20, 15, NAN]))
    assert np.isnan(celsius[[0, 2]]).all()
    assert celsius[1, 20] == pytest.approx(15 - 0.25 * 10)
    # The highest of the day before is known, even where its lowest is not; the day never got warmer than 15.
    assert celsius[1, 1] == pytest.approx(20 - 0.75 * 15)
    assert celsius[1, 0] == pytest.approx(20 - 15 * (1 - np.cos(0.6 * np.pi)) / 2)


def test_a_day_alone_goes_round_in_itself():
    celsius, _ = hours_of_days(days([5], [15]))
    assert celsius[0, 1] == pytest.approx(15 - 0.75 * 10)
    assert celsius[0, 20] == pytest.approx(15 - 0.25 * 10)


def test_no_days_have_no_hours():
    celsius, humidity = hours_of_days(days([], []))
    assert celsius.shape == humidity.shape == (0, 24)


def test_where_no_humidity_is_recorded_dew_forms_at_the_days_lowest():
    # Published: FAO Irrigation and Drainage Paper 56 (Allen et al. 1998): dew point near the day's lowest temperature.
    celsius, humidity = hours_of_days(days([5], [15]))
    assert humidity[0, 6] == 100
    for hour in (9, 12, 15, 20):
        assert dew_point_celsius(celsius[0, hour], humidity[0, hour]) == pytest.approx(5)


def test_mean_humidity_that_is_recorded_is_that_of_the_days_middle():
    # Derived: 10 °C and 60 % have as much vapour all day; the dew point by WMO-No. 8 is that of the table's formula.
    celsius, humidity = hours_of_days(days([5, 5], [15, 15], [60, NAN]))
    for hour in (3, 9, 15, 21):
        expected = dew_point_celsius(10, 60)
        assert dew_point_celsius(celsius[0, hour], humidity[0, hour]) == pytest.approx(expected)
    assert humidity[1, 6] == 100, "a day without its humidity falls back on its own lowest"


temperatures = st.one_of(st.just(NAN), st.floats(-30, 40))
some_days = st.lists(
    st.tuples(temperatures, st.floats(0, 25), st.one_of(st.just(NAN), st.floats(1, 100))), min_size=1, max_size=8
).map(lambda drawn: days([lo for lo, _, _ in drawn], [lo + k for lo, k, _ in drawn], [rh for *_, rh in drawn]))


@given(some_days)
def test_no_hour_lies_outside_what_its_day_reached(record):
    celsius, humidity = hours_of_days(record)
    known = ~np.isnan(record.lowest_celsius)
    assert (np.isnan(celsius) == ~known[:, None]).all()
    assert (np.isnan(humidity) == ~known[:, None]).all()
    assert (celsius[known].min(axis=1, initial=99) == record.lowest_celsius[known]).all()
    assert (celsius[known].max(axis=1, initial=-99) == record.highest_celsius[known]).all()
    assert ((humidity[known] > 0) & (humidity[known] <= 100)).all()


@given(some_days)
def test_it_warms_up_to_three_and_air_gets_drier_as_it_warms(record):
    celsius, humidity = hours_of_days(record)
    known = ~np.isnan(record.lowest_celsius)
    assert (np.diff(celsius[known][:, 6:16], axis=1) >= -1e-9).all()
    assert (np.diff(humidity[known][:, 6:16], axis=1) <= 1e-6).all()


@given(some_days, st.floats(-5, 5))
def test_a_warmer_record_is_warmer_by_as_much_at_every_hour(record, by_k):
    warmer = days(record.lowest_celsius + by_k, record.highest_celsius + by_k, record.humidity_percent)
    assert hours_of_days(warmer)[0] == pytest.approx(hours_of_days(record)[0] + by_k, nan_ok=True)
