"""Work that goes better in some weather, such as scraping while propolis is brittle, is done then if that is cheap."""

from __future__ import annotations

from dataclasses import replace

import pytest

from offseason.solver import solve
from offseason.workload.model import Prefer
from tests.solver.winters import lot, mornings, step, winter


def scraping(cold_days: set[int], *, days: int = 8, pieces: int = 4, ready_by_day: int | None = None):
    sessions = [
        replace(s, liked=(("cold", 1000 if day in cold_days else 0),)) for day, s in enumerate(mornings(days, hours=1))
    ]
    ready_by_s = None if ready_by_day is None else (ready_by_day + 1) * 86_400
    return winter(sessions, lot("boxes", pieces, step("scrape", pieces, 10, likes="cold"), ready_by_s=ready_by_s))


def days_worked(workload):
    schedule = solve(workload, seconds=5)
    assert schedule.proven
    assert schedule.left_undone == ()
    return {workload.sessions[w.session].starts_s // 86_400 for w in schedule.work}


def test_boxes_are_scraped_on_the_first_cold_day_of_the_week():
    assert days_worked(scraping({3, 5})) == {3}


def test_a_cold_day_more_than_a_week_away_is_not_waited_for():
    assert days_worked(scraping({11}, days=14)) == {0}


def test_what_must_be_ready_before_it_turns_cold_is_scraped_in_the_warm():
    assert days_worked(scraping({3}, ready_by_day=2)) == {0}


def test_without_cold_days_it_is_as_if_none_were_liked():
    assert days_worked(scraping(set())) == {0}


@pytest.mark.parametrize("prefer", [Prefer.FEW_DAYS, Prefer.EVEN_WEEKS])
def test_also_where_few_days_or_even_weeks_are_preferred_the_cold_day_is_taken(prefer):
    assert days_worked(replace(scraping({2}, days=4), prefer=prefer)) == {2}
