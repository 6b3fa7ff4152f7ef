"""Killing moths by cold: hours at the core, cooling, stays and loads."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.trade.cold import LOADS, core_hours, freezer_stay_hours, kill_hours

COMBS = ["dry", "wet", "brood", "pollen", "honey", None]


# Published: Standard methods for wax moth research, J. Apic. Res. 52(1), 2013, 5.8.1 (doi 10.3896/IBRA.1.52.1.10).
@pytest.mark.parametrize(
    ("core_celsius", "hours"), [(-7, 4.5), (-11.9, 4.5), (-12, 3), (-14.9, 3), (-15, 2), (-18, 2), (-40, 2)]
)
def test_comb_is_free_of_live_moths_after_so_long_at_its_core(core_celsius, hours):
    assert kill_hours(core_celsius) == hours


@pytest.mark.parametrize("core_celsius", [-6.9, 0, 4])
def test_warmer_than_minus_7_is_not_a_kill(core_celsius):
    # Published: the same source. Its other page prints 0 °C, a slip.
    assert kill_hours(core_celsius) is None


# Derived by lumped cooling from properties that are from memory: hours to -15 °C in a freezer at -18 °C.
@pytest.mark.parametrize(
    ("load", "hours"),
    [("loose dry frame", 0.5), ("box of dry combs", 3.8), ("bagged box of dry combs", 5.3), ("box full of honey", 22)],
)
def test_core_of_a_load_is_cold_after_so_long(load, hours):
    assert core_hours(load) == pytest.approx(hours, rel=0.01)


def test_cooling_follows_the_formula_of_one_lump():
    # Derived: (C/UA) ln((20 + 18)/(-15 + 18)); the time constant is the same to any other core temperature.
    to_15, to_7 = core_hours("box of dry combs"), core_hours("box of dry combs", core_celsius=-7)
    assert to_15 / to_7 == pytest.approx(2.53897 / 1.23969, rel=1e-5)


def test_comb_that_is_cold_already_needs_no_time_to_cool():
    assert core_hours("loose dry frame", start_celsius=-16) == 0


def test_comb_just_as_cold_as_asked_needs_no_time_either():
    assert core_hours("loose dry frame", start_celsius=-15, core_celsius=-15) == 0


# Derived: where the freezer is hardly colder than -7 °C, cooling takes longer than the usual stay; then 4.5 h at -7 °C.
@pytest.mark.parametrize(
    ("comb", "bagged", "load"),
    [
        ("dry", False, "box of dry combs"),
        ("wet", True, "bagged box of dry combs"),
        ("pollen", True, "box full of honey"),
    ],
)
def test_the_stay_in_a_weak_freezer_is_that_of_what_is_put_in(comb, bagged, load):
    freezer_celsius = -7.000000001
    cool = core_hours(load, core_celsius=-7, freezer_celsius=freezer_celsius)
    stay = freezer_stay_hours(comb, bagged, freezer_celsius=freezer_celsius)
    assert stay == cool + 4.5 > 48 if bagged else stay == cool + 4.5 > 24


@given(st.sampled_from(sorted(LOADS)), st.floats(-40, -16), st.floats(-40, -16), st.floats(0, 30), st.floats(0, 30))
def test_a_colder_freezer_or_a_colder_start_never_cools_slower(load, one, other, start, other_start):
    colder, warmer = sorted((one, other))
    cool, warm = sorted((start, other_start))
    fast = core_hours(load, freezer_celsius=colder, start_celsius=cool)
    assert fast <= core_hours(load, freezer_celsius=warmer, start_celsius=warm) + 1e-9


def test_a_freezer_never_makes_comb_colder_than_itself():
    with pytest.raises(ValueError, match="A freezer at -15 °C never brings comb to -15 °C; it has to be colder"):
        core_hours("loose dry frame", freezer_celsius=-15)


def test_a_load_that_is_not_known_is_refused_in_a_sentence():
    with pytest.raises(ValueError, match="'pallet' is not a load whose cooling is known; write one of loose dry frame"):
        core_hours("pallet")


# Ordinary practice, published: 24 h, and 48 h for a whole box at -18 °C; which comb is which is derived.
@pytest.mark.parametrize(
    ("comb", "bagged", "hours"),
    [
        ("dry", False, 24),
        ("wet", False, 24),
        ("honey", False, 48),
        ("pollen", False, 48),
        ("brood", False, 48),
        ("dry", True, 48),
        ("honey", True, 48),
    ],
)
def test_comb_stays_a_day_in_the_freezer_when_dry_and_two_when_full_or_bagged(comb, bagged, hours):
    assert freezer_stay_hours(comb, bagged) == hours


def test_comb_of_which_nothing_is_known_stays_as_long_as_full_comb():
    assert freezer_stay_hours(None) == freezer_stay_hours("honey") == 48


def test_an_ordinary_stay_leaves_time_to_cool_and_to_kill():
    # Derived: 3.8 h + 2 h is less than a day, 5.3 h + 2 h and 22 h + 2 h are less than two.
    assert core_hours("box of dry combs") + kill_hours(-15) < freezer_stay_hours("dry")
    assert core_hours("bagged box of dry combs") + kill_hours(-15) < freezer_stay_hours("dry", bagged=True)
    assert core_hours("box full of honey") + kill_hours(-15) < freezer_stay_hours("honey")


def test_a_cold_room_just_below_minus_7_keeps_full_comb_longer():
    assert freezer_stay_hours("honey", freezer_celsius=-8) == 48
    assert freezer_stay_hours("honey", freezer_celsius=-7.1) > 48


def test_a_freezer_as_warm_as_minus_7_is_refused_in_a_sentence():
    with pytest.raises(ValueError, match="A freezer at -7 °C does not kill moths; it has to be colder than -7 °C"):
        freezer_stay_hours("dry", freezer_celsius=-7)


@given(st.sampled_from(COMBS), st.booleans(), st.floats(-40, -7.01), st.floats(-40, -7.01))
def test_a_warmer_freezer_never_shortens_the_stay(comb, bagged, one, other):
    colder, warmer = sorted((one, other))
    shorter = freezer_stay_hours(comb, bagged, freezer_celsius=colder)
    assert shorter <= freezer_stay_hours(comb, bagged, freezer_celsius=warmer) + 1e-9


@given(st.sampled_from(COMBS), st.booleans(), st.floats(-40, -7.01))
def test_bagging_never_shortens_the_stay_and_no_stay_is_under_a_day(comb, bagged, freezer):
    stay = freezer_stay_hours(comb, bagged, freezer_celsius=freezer)
    assert stay >= 24
    assert stay <= freezer_stay_hours(comb, bagged=True, freezer_celsius=freezer) + 1e-9


def test_dry_comb_of_which_nothing_more_is_said_is_not_taken_to_be_bagged():
    assert freezer_stay_hours("dry") == 24
