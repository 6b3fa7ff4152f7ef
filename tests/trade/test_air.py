"""Dew point against the tables of check values and against two independent packages."""

import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI
from hypothesis import given
from hypothesis import strategies as st

from offseason.trade.air import (
    dew_point_celsius,
    saturation_pressure_hpa,
)

temperatures = st.floats(-30, 50)
humidities = st.floats(1, 100)

# Derived from the published formula: WMO-No. 8, Annex 4.B, over water. °C, per cent, dew point.
DEW_POINTS = [
    (20, 50, 9.255),
    (23, 50, 12.014),
    (25, 60, 16.693),
    (10, 85, 7.592),
    (15, 70, 9.569),
    (15, 90, 13.372),
    (5, 80, 1.834),
    (30, 70, 23.927),
]


@pytest.mark.parametrize(("celsius", "humidity", "dew_point"), DEW_POINTS)
def test_dew_point_is_that_of_the_wmo_formula(celsius, humidity, dew_point):
    assert dew_point_celsius(celsius, humidity) == pytest.approx(dew_point, abs=0.0005)


# Independent: PyPI's psychrolib, for 5-35 °C. Near freezing it goes over to ice: not compared. It agrees within 0.033 K
# in steps of 5 K and 10 %, as the table of facts has it, and in air of 30 % and more (0.0332). Counted again here in
# steps of 1 K and 1 %, drier air as well, it is within 0.039 K.
@pytest.mark.parametrize(
    ("kelvin", "per_cent", "compared_at_least", "within_k"), [(5, 10, 40, 0.033), (1, 1, 2000, 0.039)]
)
def test_dew_point_agrees_with_an_independent_package_above_freezing(kelvin, per_cent, compared_at_least, within_k):
    psychrolib.SetUnitSystem(psychrolib.SI)
    apart = [
        abs(ours - psychrolib.GetTDewPointFromRelHum(celsius, humidity / 100))
        for celsius in range(5, 36, kelvin)
        for humidity in range(per_cent, 101, per_cent)
        if (ours := dew_point_celsius(celsius, humidity)) > 0.5
    ]
    assert len(apart) >= compared_at_least
    assert max(apart) <= within_k


# Independent: PyPI's CoolProp, humid air as a mixture of real gases at 1013.25 hPa. Below 0 °C its dew point is over
# ice: not compared. Counted here for 5-40 °C in steps of 1 K and 1 %: within 0.0452 K (the most at 30 °C and 15 %),
# 0.0362 K in air of 30 % and more, 0.0078 K of 80 % and more. Why: up to 0.039 K are the WMO formula against the tables
# of water (psychrolib differs as much), up to 0.012 K what the other gases do to the vapour (the enhancement factor,
# left out here); both grow with the kelvin between air and dew point.
@pytest.mark.parametrize(
    ("damper_than", "compared_at_least", "within_k"), [(0, 2_500, 0.046), (29, 2_000, 0.037), (79, 700, 0.009)]
)
def test_dew_point_agrees_with_a_second_package_above_freezing(damper_than, compared_at_least, within_k):
    apart = [
        abs(HAPropsSI("D", "T", celsius + 273.15, "P", 101_325, "R", humidity / 100) - 273.15 - ours)
        for celsius in range(5, 41)
        for humidity in range(damper_than + 1, 101)
        if (ours := dew_point_celsius(celsius, humidity)) > 0.5
    ]
    assert len(apart) >= compared_at_least
    assert max(apart) <= within_k


@given(temperatures)
def test_saturated_air_has_its_own_temperature_as_dew_point(celsius):
    assert dew_point_celsius(celsius, 100) == pytest.approx(celsius, abs=1e-9)


@given(temperatures, humidities)
def test_air_at_its_dew_point_is_saturated_by_the_same_vapour(celsius, humidity):
    vapour = saturation_pressure_hpa(celsius) * humidity / 100
    dew_point = dew_point_celsius(celsius, humidity)
    if dew_point >= -60:
        assert saturation_pressure_hpa(dew_point) == pytest.approx(vapour, rel=1e-9)


@given(temperatures, humidities, humidities)
def test_damper_air_has_the_higher_dew_point(celsius, one, other):
    drier, damper = sorted((one, other))
    assert dew_point_celsius(celsius, drier) <= dew_point_celsius(celsius, damper) + 1e-9


def test_bone_dry_air_has_no_dew_point():
    with pytest.raises(
        ValueError, match=r"^Air of 0 % humidity has no dew point; give a per cent above 0 and up to 100\.$"
    ):
        dew_point_celsius(20, 0)


@pytest.mark.parametrize("humidity", [-1, 100.1, float("nan")])
def test_an_impossible_humidity_is_refused_in_a_sentence(humidity):
    with pytest.raises(ValueError, match="is not a relative humidity; give a per cent from 0 to 100"):
        dew_point_celsius(20, humidity)


@pytest.mark.parametrize("celsius", [-80, 68, float("nan"), float("inf")])
def test_a_temperature_in_other_degrees_is_refused_in_a_sentence(celsius):
    with pytest.raises(ValueError, match="is not a temperature a place has; give degrees Celsius between -60 and 60"):
        saturation_pressure_hpa(celsius)
