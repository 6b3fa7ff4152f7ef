"""The audit at the edges of what it takes as a wait, and of what a plan may say it leaves."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from offseason.plan.audit import audit
from offseason.plan.audit.airs import _inside, _possible
from offseason.plan.audit.left import _most
from offseason.plan.audit.waits import missing_text, wait_of
from offseason.plan.audit.yard import Lot, Step
from offseason.plan.document import LeftOver
from offseason.scenario.model import CombClass, PlaceEntry, Then
from offseason.trade.limits import HIGHEST_CELSIUS, LOWEST_CELSIUS
from tests.plan.winters import assert_keeps, changed, plan, winter

FREEZER_STAY = Then.model_validate({"wait": "freezer stay", "in": "freezer"})
DAY = "2026-10-05"


def stay_hours(comb: CombClass | None, celsius: str | float | None) -> float:
    """How long comb must stay in a freezer so cold; None: the freezer is not described."""
    place = None if celsius is None else PlaceEntry.model_validate({"celsius": celsius})
    return wait_of(FREEZER_STAY, comb, place, None).seconds / 3_600


# 24 h for dry comb, 48 h for comb with honey (published), longer where the core takes longer to be cold (derived).


@pytest.mark.parametrize(
    ("comb", "celsius", "hours"),
    [
        (CombClass.DRY, -18, 24),
        (CombClass.HONEY, -18, 48),
        (None, -18, 48),
        (CombClass.HONEY, None, 48),
    ],
)
def test_comb_stays_as_long_as_what_is_in_it_asks(comb, celsius, hours):
    assert stay_hours(comb, celsius) == hours


def test_a_freezer_that_is_less_cold_at_its_warmest_keeps_honey_longer():
    assert stay_hours(CombClass.HONEY, "-18..-7.1") == stay_hours(CombClass.HONEY, -7.1) > 50


def test_a_place_that_kills_nothing_is_not_asked_how_long_killing_takes_there():
    assert stay_hours(CombClass.HONEY, -7) == 48
    assert stay_hours(CombClass.HONEY, 4) == 48


def test_a_place_whose_warmth_is_not_given_is_taken_for_an_ordinary_freezer():
    assert wait_of(FREEZER_STAY, CombClass.DRY, PlaceEntry(), None).seconds == 24 * 3_600


def test_of_a_wait_that_never_ends_nobody_says_how_much_is_missing():
    assert missing_text(math.inf) == ""
    assert missing_text(60.0) == ", 1 min are missing"


# Air beyond what any place on earth has (ours).


@pytest.mark.parametrize("celsius", [LOWEST_CELSIUS, HIGHEST_CELSIUS])
def test_the_coldest_and_the_hottest_air_there_may_be_still_holds_water(celsius):
    assert _inside(celsius, 50, 0, None) == (celsius, pytest.approx(50))


@pytest.mark.parametrize("celsius", [LOWEST_CELSIUS - 1, HIGHEST_CELSIUS + 1])
def test_of_the_water_in_air_that_cannot_be_nothing_is_said(celsius):
    assert math.isnan(_inside(celsius, 50, 0, None)[1])


def test_damp_air_that_cools_holds_no_more_water_than_it_can():
    assert _inside(20, 100, -5, None) == (15, 100.0)


def test_beyond_what_a_place_can_have_moths_do_as_at_its_bounds():
    assert _possible(70) == HIGHEST_CELSIUS
    assert _possible(-70) == LOWEST_CELSIUS
    assert math.isnan(_possible(math.nan))


# What a plan may say it leaves.


def test_of_a_step_to_a_share_no_more_can_be_undone_than_are_to_have_it_but_all_combs_can_be_open():
    step = Step("treat", 0, pieces=5, seconds_each=60, renewals=2)
    lot = Lot("combs", 10, (step,), opens=None, closes=None)
    assert [_most(lot, step, how) for how in ("open", "late", "undone")] == [10, 15, 5]


JOBS = f"""
season: {{from: {DAY}, until: 2026-10-09}}
crew: {{Ines: {{works: {{every day: 09:00-12:00}}}}}}
jobs: {{tidy: {{hours: 1, importance: could}}}}
"""


def test_a_job_that_could_be_done_may_be_left_without_a_word_and_is_not_said_to_be_left():
    assert_keeps(JOBS, "")
    said = replace(plan(""), left=(LeftOver("tidy", "tidy", 1, "undone"),))
    (found,) = audit(winter(JOBS), said)
    assert "may be left without a word" in found.text


def test_a_job_that_must_be_done_is_missed():
    (found,) = audit(winter(changed(JOBS, ", importance: could", "")), plan(""))
    assert "this work must be done" in found.text


@pytest.mark.parametrize(
    ("left", "about"),
    [
        (LeftOver("tody", "tidy", 1, "undone"), "what is left, tidy of tody (undone 1)"),
        (LeftOver("tidy", "tody", 1, "undone"), "what is left, tody of tidy (undone 1)"),
    ],
)
def test_a_name_that_is_not_known_among_what_is_left_is_told_with_where_it_stands(left, about):
    found = audit(winter(JOBS), replace(plan(""), left=(left,)))
    assert [broken.text.startswith(f"{about}: ") for broken in found] == [True]
