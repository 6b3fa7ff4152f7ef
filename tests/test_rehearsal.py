"""A plan rehearsed in past winters that are made up, so that what must come of it can be seen by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest

from offseason.plan.audit import Promise, audit
from offseason.plan.rehearsed import fragile
from offseason.rehearsal import Asked, Progress, rehearse
from offseason.rehearsal.replay import labour_factors, live, worked_in
from offseason.weather.winter import settled
from offseason.workload.model import Schedule
from tests.plan.winters import changed, winter
from tests.rehearsed import MadeUp, as_plan, stage_of, workload_of

YARD = """
season: {name: Winter at Farrow Weir, from: 2026-10-05, until: 2026-11-15}
moths: {season_starts: 2027-05-01}
crew:
  Ines: {works: {mon-fri: 09:00-12:00}}
places:
  rack: {holds: 30, celsius: 20, humidity_percent: 50}
  freezer: {holds: 20 combs, celsius: -18}
  loft: {}
tasks:
  scrape: {minutes_each: 10}
  coat: {minutes_each: 6, weather: painting, paint: latex, then: {dries: latex, on: rack}}
  put away: {minutes_each: 2}
  freeze: {minutes_each: 1, then: {wait: 48 h, in: freezer}, kills: true}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear:
  boxes: {piece: langstroth deep box, count: 24, last_painted: never, steps: [scrape, coat, put away]}
  combs: {piece: medium comb, count: 60, comb: dry, steps: [freeze, seal]}
jobs:
  mend the fence: {hours: 12, by: 2026-11-07}
"""

FIT = tuple(date(2026, 10, d) for d in (7, 8, 9, 14, 15, 16, 21, 22))
LATE = (date(2026, 11, 4), date(2026, 11, 5), date(2026, 11, 6))


@pytest.fixture(scope="module")
def yard():
    return MadeUp(winter(YARD), FIT, {2019: FIT, 2020: LATE, 2021: (), 2022: FIT[1:4]})


@pytest.fixture(scope="module")
def stage(yard):
    return stage_of(yard)


@pytest.fixture(scope="module")
def rehearsal(stage):
    return rehearse(stage, workers=1)


def work_in(rehearsal, year, step):
    (one,) = [w for lived in rehearsal.winters if lived.year == year for w in lived.works if w.step == step]
    return one


def test_in_the_very_winter_it_was_made_for_a_plan_comes_true_day_by_day(rehearsal):
    own = rehearsal.winters[0]
    assert own.all_in_time
    assert own.comb_in_time
    assert own.finished == rehearsal.planned
    assert {one.days_later for one in own.works} == {0}


def test_that_also_holds_where_labour_and_seats_are_to_spare_and_few_days_are_wanted():
    few = winter(YARD + "prefer: few days\n")
    stage = stage_of(MadeUp(few, FIT, {2019: FIT}))
    assert {one.days_later for one in live(stage, 2019).works} == {0}


def test_a_wet_autumn_puts_painting_off_and_painting_is_named_as_fragile(rehearsal):
    coat = work_in(rehearsal, 2020, "coat")
    assert coat.left == 0
    assert coat.ended in LATE
    assert coat.days_later > 14
    assert ("boxes", "coat") in {(one.lot, one.step) for one in fragile(rehearsal.winters)}


def test_what_no_weather_was_fit_for_is_left_and_what_comes_after_it_too(rehearsal):
    lived = rehearsal.winters[2]
    assert {one.step for one in lived.must if one.left} == {"coat", "put away"}
    assert work_in(rehearsal, 2021, "coat").left == 24
    assert lived.finished is None
    assert not lived.all_done


def test_rain_does_not_keep_combs_from_the_freezer(rehearsal):
    assert all(lived.comb_in_time and lived.comb_safe for lived in rehearsal.winters)


@pytest.mark.parametrize("year", [2019, 2020, 2021, 2022])
def test_what_the_keeper_did_keeps_every_promise_but_those_the_weather_took(stage, yard, year):
    real = yard.as_it_was(year)
    workload = workload_of(yard, real)
    lived = as_plan(workload, Schedule(worked_in(stage, year), ()))
    taken = {b.promise for b in audit(settled(yard.scenario, real), lived, real)}
    assert taken <= {Promise.DONE}
    assert (Promise.DONE in taken) == (not live(stage, year).all_done)


def test_a_job_that_was_not_ready_in_time_is_still_done_and_told_as_late():
    text = changed(
        YARD, "mend the fence: {hours: 12, by: 2026-11-07}", "mend: {hours: 2, weather: painting, by: 2026-10-10}"
    )
    stage = stage_of(MadeUp(winter(text), FIT, {2020: LATE}))
    (mend,) = [one for one in live(stage, 2020).works if one.lot == "mend"]
    assert mend.left == 0
    assert mend.late > 0
    assert mend.ended in LATE


def test_comb_left_open_when_its_day_comes_was_not_protected_in_time():
    text = changed(YARD, "2027-05-01}", "2026-11-01}")
    text = changed(text, "freeze: {minutes_each: 1,", "freeze: {minutes_each: 1, weather: painting,")
    lived = live(stage_of(MadeUp(winter(text), FIT, {2020: LATE})), 2020)
    (combs,) = lived.combs
    assert combs.treat_by == date(2026, 10, 31)
    assert not combs.in_time
    assert not lived.comb_in_time


@pytest.mark.parametrize(
    ("first", "until", "days"),
    [
        ("2026-10-05", "2026-10-19", ["2026-10-05", "2026-10-12", "2026-10-19"]),
        ("2026-10-07", "2026-10-18", ["2026-10-07", "2026-10-12"]),
        ("2026-10-07", "2026-10-11", ["2026-10-07"]),
    ],
)
def test_the_keeper_plans_on_the_first_day_and_every_monday(stage, first, until, days):
    season = stage.scenario.season.model_copy(
        update={"from_": date.fromisoformat(first), "until": date.fromisoformat(until)}
    )
    weeks = replace(stage, scenario=stage.scenario.model_copy(update={"season": season})).weeks()
    assert [str(today) for today, _ in weeks] == days
    assert weeks[-1][1] == season.until + timedelta(days=1)


def test_the_same_seed_gives_the_same_numbers_and_another_seed_others(stage):
    one, again, other = (replace(stage, asked=Asked(vary_percent=20, seed=seed)) for seed in (1, 1, 2))
    assert worked_in(one, 2020) == worked_in(again, 2020)
    assert worked_in(one, 2020) != worked_in(other, 2020)


def test_labour_varies_by_no_more_than_was_asked_and_differs_from_winter_to_winter(yard, stage):
    stage = replace(stage, asked=Asked(vary_percent=20))
    factors = [labour_factors(stage, year) for year in yard.years]
    assert all(0.8 <= factor <= 1.2 for of_year in factors for factor in of_year.values())
    assert len({of_year["scrape"] for of_year in factors}) == len(factors)


@pytest.mark.slow
def test_several_processes_come_to_the_same_as_one(stage, rehearsal):
    assert rehearse(stage, workers=2) == rehearsal


def test_progress_goes_from_nothing_to_all(stage):
    told: list[Progress] = []
    rehearse(stage, workers=1, on_progress=told.append)
    assert [told[0].share, told[-1].share, told[-1].winters] == [0, 1, 4]
    assert all(one.share <= two.share for one, two in pairwise(told))


def test_stopped_after_two_winters_it_tells_of_these_two(stage):
    def stop(at: Progress) -> None:
        if at.winters == 2:
            raise KeyboardInterrupt

    found = rehearse(stage, workers=1, on_progress=stop)
    assert [lived.year for lived in found.winters] == [2019, 2020]
    assert found.asked == 4


def test_stopped_in_the_first_winter_there_is_nothing_to_tell(stage):
    def stop(_: Progress) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        rehearse(stage, workers=1, on_progress=stop)
