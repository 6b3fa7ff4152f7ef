"""What one more hour, seat or space is worth where it can be worked out by hand, and what is fullest in a week."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from offseason.plan.audit import audit
from offseason.plan.make import plan_from
from offseason.remedy.spare import Gain, OneMore, Spare, Use
from offseason.remedy.spare_weeks import fullest_by_week, weeks_of
from offseason.remedy.spare_worth import asked_about, compared, gain, worths
from offseason.scenario.read import parse_scenario
from offseason.share.terminal.spare import spare_text
from offseason.solver import solve
from offseason.workload.build import build_workload
from offseason.workload.model import AimReached, Leaving, Left, Schedule, Work

SECONDS = 20

BENCH = """\
season: {{name: Winter at Fennel End, from: 2026-10-05, until: 2026-10-11}}
crew:
  Ines: {{works: {{mon-thu: 09:00-11:00}}}}
  Tomas: {{works: {{mon-thu: 09:00-11:00}}}}
places:
  bench: {{seats: {seats}}}
tasks:
  repair: {{minutes_each: 60, at: bench}}
gear:
  frames: {{piece: deep frame, count: 8, steps: [repair]}}
"""

FREEZER = """\
season: {{name: Winter at Fennel End, from: 2026-10-05, until: 2026-10-14}}
moths: {{season_starts: 2026-10-15, season_ends: 2026-09-30}}
crew:
  Ines: {{works: {{mon-sun: 09:00-10:00}}}}
places:
  freezer: {{holds: {holds} combs, celsius: -18, whole_loads: true}}
  comb room: {{holds: 100 combs, celsius: 20}}
tasks:
  freeze: {{minutes_each: 0.1, kills: true, then: {{wait: 20 h, in: freezer}}}}
  seal: {{minutes_each: 0.1, needs: [freeze], seals: true, then: {{in: comb room}}}}
gear:
  combs: {{piece: medium comb, count: 7, comb: dry, rests: comb room, arrives: 2026-10-06, steps: [freeze, seal]}}
"""

ALONE = """\
season: {name: Winter at Fennel End, from: 2026-10-05, until: 2026-10-11}
crew:
  Ines: {works: {mon-fri: 09:00-11:00}}
tasks:
  repair: {minutes_each: 60}
gear:
  frames: {piece: deep frame, count: 8, steps: [repair]}
"""


def planned(text):
    """Scenario, workload and a plan that keeps every promise."""
    scenario = parse_scenario(text, "winter.yaml")
    workload = build_workload(scenario)
    plan = plan_from(
        workload,
        solve(workload, seconds=SECONDS),
        scenario_file="winter.yaml",
        scenario_sha256="0" * 64,
        made=datetime(2026, 10, 1, tzinfo=UTC),
        made_with="a test",
    )
    assert audit(scenario, plan, None) == ()
    return scenario, workload, plan


def worth_of(text, what, name):
    scenario, workload, plan = planned(text)
    asked = [one for one in asked_about(scenario, workload, weeks_of(workload, plan)) if one.one.what == what]
    (found,) = [one for one in worths(scenario, None, asked, seconds=SECONDS).found if one.name == name]
    return found


def said(one: OneMore) -> str:
    scenario = parse_scenario(ALONE, "winter.yaml")
    text = spare_text(scenario, Spare((), (), worths=(one,)))
    return " ".join(text.split())


def test_a_second_seat_for_two_people_lets_an_hour_of_work_wait_a_day_less():
    # One seat: 6, 4 and 2 of 8 hours are left after the first three days, 12 days of waiting in all, 1.5 each.
    # Two seats: 4 are left after the first day, half a day each.
    found = worth_of(BENCH.format(seats=1), "place", "bench")
    last = found.gains[-1]
    assert last.aim == "work done early"
    assert (last.sure, last.most) == pytest.approx((1.0, 1.0))
    assert "seat at bench an hour of work waits 1 days less on average" in said(found)


def test_a_seat_that_nobody_would_sit_on_is_worth_nothing_and_needs_no_solving():
    scenario, workload, plan = planned(BENCH.format(seats=2))
    (seat,) = [one for one in asked_about(scenario, workload, weeks_of(workload, plan)) if one.one.what == "place"]
    assert seat.change is None
    assert "nothing: never more than 2 people come" in said(seat.one)


def test_ten_more_spaces_in_a_freezer_of_three_keep_five_combs_from_lying_open_for_a_day():
    # Seven combs come on one day, three go in that day, three on the next, one on the third: 4 and 1 lie open for a
    # day at 20 °C, ten degree-days each; with thirteen spaces none does.
    found = worth_of(FREEZER.format(holds=3), "space", "freezer")
    assert (found.gains[-1].aim, found.gains[-1].unit) == ("comb exposed to moths", "comb degree-days")
    assert (found.gains[-1].sure, found.gains[-1].most) == pytest.approx((50.0, 50.0))
    assert "ten spaces in freezer comb in the open: 50 comb degree-days less" in said(found)


def test_ten_more_spaces_in_a_freezer_that_takes_all_at_once_are_proven_to_be_worth_nothing():
    found = worth_of(FREEZER.format(holds=7), "space", "freezer")
    assert found.gains
    assert all(one.nothing for one in found.gains)
    assert said(found).endswith("ten spaces in freezer nothing: proven")


def test_a_place_that_is_never_full_is_not_asked_about():
    scenario, workload, plan = planned(FREEZER.format(holds=20))
    assert [
        one.one.name for one in asked_about(scenario, workload, weeks_of(workload, plan)) if one.one.what == "space"
    ] == []


def test_an_hour_more_on_monday_is_worth_what_it_takes_off_the_days_after():
    # 6, 4 and 2 of 8 hours are left for 24 h each; with the hour 5 are left for 23 h (it ends an hour later that
    # day), then 3 and 1 for 24 h each.
    found = worth_of(ALONE, "person", "Ines")
    assert (found.week, found.day, found.hour) == (date(2026, 10, 5), date(2026, 10, 5), "11:00-12:00")
    gained = (12 * 24 - (5 * 23 + 3 * 24 + 1 * 24)) / (8 * 24)
    assert (found.gains[-1].sure, found.gains[-1].most) == pytest.approx((gained, gained))


def test_of_a_gain_only_what_both_searches_prove_is_claimed():
    was = AimReached("work done early", "days an hour of work waits on average", 10.0, 9.0)
    worse_than_bound = gain(was, AimReached(was.aim, was.unit, 9.5, 8.0))
    assert (worse_than_bound.sure, worse_than_bound.most) == (0.0, 2.0)
    assert not worse_than_bound.certain
    text = said(OneMore("place", "bench", (worse_than_bound,)))
    assert "no difference that could be proved (an hour of work waits at most 2 days less on average)" in text
    better = gain(was, AimReached(was.aim, was.unit, 8.5, 8.0))
    assert (better.sure, better.most) == (0.5, 2.0)
    assert "an hour of work waits 0.5 to 2 days less on average" in said(OneMore("place", "bench", (better,)))


def test_where_no_bound_was_found_nothing_is_said_of_how_much_it_could_be():
    was = AimReached("work done early", "days an hour of work waits on average", 40.0, 39.0)
    nothing_known = gain(was, AimReached(was.aim, was.unit, 40.0, 0.0))
    assert said(OneMore("place", "bench", (nothing_known,))).endswith("no difference that could be proved")


def test_figures_are_rounded_so_that_they_still_hold():
    close = Gain("work done early", "", 0.123, 0.1199, 0.1301)
    assert "waits 0.11 to 0.14 days less" in said(OneMore("place", "bench", (close,)))


def test_aims_after_the_first_that_differs_are_not_compared():
    aims = tuple(
        AimReached(name, "", value, value) for name, value in (("first", 0.0), ("second", 5.0), ("third", 9.0))
    )
    more = tuple(
        AimReached(name, "", value, value) for name, value in (("first", 0.0), ("second", 4.0), ("third", 11.0))
    )
    work = (Work(0, 0, 60, (0,), 0, 0, 1),)
    found = compared(OneMore("place", "bench"), Schedule(work, aims), Schedule(work, more))
    assert [(one.aim, one.found) for one in found.gains] == [("first", 0.0), ("second", 1.0)]


def test_a_plan_that_came_out_worse_with_more_proves_nothing_of_the_aims_after():
    work = (Work(0, 0, 60, (0,), 0, 0, 1),)
    was = (AimReached("first", "", 3.0, 3.0), AimReached("second", "", 5.0, 1.0))
    now = (AimReached("first", "", 4.0, 3.0), AimReached("second", "", 2.0, 1.0))
    found = compared(OneMore("place", "bench"), Schedule(work, was), Schedule(work, now))
    assert [one.nothing for one in found.gains] == [True]
    assert said(found).endswith("no difference that could be proved")


def test_what_no_time_is_left_for_is_said_not_to_be_known():
    scenario, workload, plan = planned(BENCH.format(seats=1))
    asked = asked_about(scenario, workload, weeks_of(workload, plan))
    found = worths(scenario, None, asked, seconds=0.001).found
    assert len(found) == len(asked)
    assert all(not one.compared and "not known" in said(one) for one in found)


def test_a_winter_that_was_not_planned_in_time_is_not_compared():
    work = (Work(0, 0, 60, (0,), 0, 0, 1),)
    left = Schedule(work, (), left=(Left(0, 0, 1, Leaving.UNDONE),))
    found = compared(OneMore("place", "bench"), left, Schedule(work, ()))
    assert not found.compared
    assert "not known" in said(found)


def test_the_seat_that_is_always_taken_is_the_fullest_of_the_week():
    _, workload, plan = planned(BENCH.format(seats=1))
    (week,) = weeks_of(workload, plan)
    assert (week.monday, week.hours) == (date(2026, 10, 5), pytest.approx(8.0))
    assert week.uses[0] == Use("place", "bench", pytest.approx(1.0))
    people = [use.share for use in week.uses if use.what == "person"]
    assert sum(people) == pytest.approx(1.0)  # 8 of the 8 hours that each of the two offers


def test_a_place_is_as_full_as_at_its_fullest_moment_of_the_week():
    _, workload, plan = planned(FREEZER.format(holds=4))
    full = fullest_by_week(workload, plan)
    assert full["freezer"] == {date(2026, 10, 5): pytest.approx(1.0), date(2026, 10, 12): pytest.approx(0.0)}
    assert full["comb room"][date(2026, 10, 5)] == pytest.approx(7 / 100)
    assert full["comb room"][date(2026, 10, 12)] == pytest.approx(7 / 100)
