"""How long something dries where the air changes by the hour, as a plan reckons it: the parts of each hour added up."""

import math
from datetime import date

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from offseason.scenario.model import PlaceEntry, Scenario
from offseason.trade.paint import COLDEST_DRYING_CELSIUS, drying_hours
from offseason.weather.outlook import Air, Outlook
from offseason.workload.drying import NEVER_S
from offseason.workload.stores import drying_in

FIRST = date(2026, 10, 5)
WINTER = Scenario.model_validate(
    {"season": {"from": FIRST.isoformat(), "until": "2027-04-09"}, "crew": {"Ines": {"works": {"sat": "09:00-12:00"}}}}
)
OUTSIDE = PlaceEntry(open_air=True)
A_SECOND_OR_TWO = 1 / 1_800
humidities = st.floats(0, 85)


def hours_until_dry(kind, hourly):
    """Hours from the first hour of the season on, in such air (°C, per cent; None: not known). None: never dry."""
    unknown = (math.nan, math.nan)
    air = [one or unknown for one in hourly]
    air += [unknown] * (-len(air) % 24)
    celsius, humidity = np.array(air, dtype=float).reshape(-1, 24, 2).transpose(2, 0, 1)
    outlook = Outlook({}, Air(FIRST, celsius, humidity, celsius.mean(axis=1)), None, ())
    ready_s = drying_in(WINTER, OUTSIDE, kind, outlook).ready_s(0)
    return None if ready_s == NEVER_S else ready_s / 3_600


@given(st.sampled_from(["latex", "oil", "glue"]), st.floats(0, 50), humidities)
def test_hour_by_hour_in_steady_air_gives_the_same_time(kind, above_coldest_k, humidity):
    celsius = COLDEST_DRYING_CELSIUS[kind] + above_coldest_k
    hours = drying_hours(kind, celsius, humidity)
    counted = hours_until_dry(kind, [(celsius, humidity)] * (int(hours) + 2))
    assert counted == pytest.approx(hours, abs=A_SECOND_OR_TWO)


def test_a_cold_night_delays_the_second_coat():
    # Derived: 2 h at 25 °C do half; at 15 °C an hour does half as much, so the other half takes 4 h.
    assert hours_until_dry("latex", [(25, 50)] * 2 + [(15, 50)] * 10) == pytest.approx(6, abs=A_SECOND_OR_TWO)


def test_an_hour_of_unknown_or_too_damp_air_is_not_taken_as_drying():
    dry = [(25.0, 50.0)]
    assert hours_until_dry("latex", dry * 2 + [None] * 3 + dry * 2) == pytest.approx(7, abs=A_SECOND_OR_TWO)
    assert hours_until_dry("latex", dry * 2 + [(25.0, 95.0)] * 3 + dry * 2) == pytest.approx(7, abs=A_SECOND_OR_TWO)
    assert hours_until_dry("latex", dry * 3) is None


def test_a_night_of_frost_stops_the_drying_until_it_is_warmer():
    # Derived: 3 h at 25 °C leave a quarter; ten hours below 2 °C do nothing, the quarter takes another hour at 25 °C.
    warm = [(25.0, 50.0)] * 3
    assert hours_until_dry("latex", warm + [(1.0, 50.0)] * 10 + warm) == pytest.approx(14, abs=A_SECOND_OR_TWO)
    # Glue takes 24 h of 10 °C and more, whenever they come.
    days = ([(12.0, 60.0)] * 8 + [(6.0, 80.0)] * 16) * 4
    assert hours_until_dry("glue", days) == pytest.approx(2 * 24 + 8, abs=A_SECOND_OR_TWO)


@given(st.floats(14, 25), st.floats(-0.15, 0.6), st.sampled_from(["latex", "oil"]))
def test_in_air_that_warms_or_cools_evenly_it_takes_as_long_as_worked_out_on_paper(start, k_per_hour, kind):
    # Derived, closed form: what takes h hours in air that stays as it is takes ln(1 + a h)/a in air that gets k kelvin
    # warmer an hour, a = k ln 2/10. Down to half the speed, 10 K colder, which is above what oil and latex need.
    hours = drying_hours(kind, start, 50)
    a = k_per_hour * math.log(2) / 10
    assume(a * hours > -0.5)
    on_paper = math.log1p(a * hours) / a if abs(a) > 1e-9 else hours
    hourly = [(start + k_per_hour * (hour + 0.5), 50.0) for hour in range(math.ceil(on_paper) + 1)]
    assert hours_until_dry(kind, hourly) == pytest.approx(on_paper, abs=0.02)


@pytest.mark.parametrize("kind", ["latex", "oil"])
@pytest.mark.parametrize("begun", [0, 9, 16, 21])
def test_through_days_and_nights_it_takes_as_long_as_an_integration_says(kind, begun):
    # Independent: scipy integrates the speed over air that goes up and down by the day; ours adds up whole hours, each
    # taken at its middle. They agree within a minute, of 6 to 46 hours.
    def air(hours):
        wave = math.sin(math.pi * (begun + hours - 9) / 12)
        return 13 + 6 * wave, 65 - 15 * wave

    def dried(until):
        return quad(lambda hours: 1 / drying_hours(kind, *air(hours)), 0, until, limit=500)[0]

    integrated = brentq(lambda until: dried(until) - 1, 0.1, 100)
    assert hours_until_dry(kind, [air(hour + 0.5) for hour in range(100)]) == pytest.approx(integrated, abs=1 / 60)
