"""Killing moths by warmth."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.trade.heat import HIGHEST_CELSIUS, WAX_MELTS_CELSIUS, WAX_SAGS_CELSIUS, heat_kill_minutes


# Seen only on a secondary page, not confirmed: 46 °C 80 min, 49 °C 40 min.
@pytest.mark.parametrize(("celsius", "minutes"), [(46, 80), (48.9, 80), (49, 40), (45.9, None), (-5, None)])
def test_warmth_kills_from_46_degrees(celsius, minutes):
    assert heat_kill_minutes(celsius) == minutes


def test_comb_is_never_treated_above_49_degrees():
    with pytest.raises(ValueError, match="Comb is lost at 50 °C; never go above 49 °C"):
        heat_kill_minutes(50)


def test_treating_by_heat_is_risky_because_wax_sags_before_moths_die():
    # Seen only on a secondary page: sags from about 40 °C, melts at 62-64 °C.
    assert WAX_SAGS_CELSIUS < 46 < HIGHEST_CELSIUS < min(WAX_MELTS_CELSIUS) == 62


@given(st.floats(46, 49), st.floats(46, 49))
def test_warmer_never_takes_longer(one, other):
    cooler, warmer = sorted((one, other))
    assert heat_kill_minutes(warmer) <= heat_kill_minutes(cooler)


def test_no_temperature_is_no_treatment():
    with pytest.raises(ValueError, match="nan °C is not a temperature a place has"):
        heat_kill_minutes(float("nan"))
