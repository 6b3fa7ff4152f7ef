"""What the log teaches of how long the work takes, and whether the winter still fits at that pace."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.plan.progress.entry import Entry
from offseason.plan.progress.likelihood import likelihood
from offseason.plan.progress.pace import Unused, apart, as_written, paces, unused
from offseason.plan.progress.tally import done_pieces
from offseason.workload.build import build_workload
from tests.plan.winters import plan, winter

YARD = """
season: {from: 2026-10-05, until: 2026-12-06}
crew:
  Ines: {works: {mon-fri: 09:00-12:00}}
  Tove: {works: {mon-fri: 09:00-12:00}}
tasks:
  scrape: {minutes_each: 6}
  coat: {minutes_each: 5, setup_minutes: 20, paint: latex}
  lift: {minutes_each: 2, hands: 2}
gear:
  boxes: {piece: langstroth deep box, count: 200, last_painted: never, steps: [scrape, coat, lift]}
jobs:
  mend the rack: {hours: 2, by: 2026-10-16}
rounds:
  look at the mice: {every: 14 d, minutes: 20}
"""
WORKLOAD = build_workload(winter(YARD))
FIRST = date(2026, 10, 5)


def row(
    step: str, pieces: int, minutes: float | None, *, day: int = 5, who: str = "Ines", lot: str = "boxes", until=""
):
    people = tuple(who.split(" + "))
    ended = time.fromisoformat(until) if until else None
    name = f"{step}{pieces}{minutes}{day}{who}{until}"
    return Entry(name, date(2026, 10, day), people, lot, step, pieces, ended, minutes)


def learnt(*rows: Entry) -> dict[str, float]:
    return {pace.step: pace.median_minutes_each for pace in paces(WORKLOAD, rows)}


def test_the_pace_is_the_middle_row_and_says_how_many_there_were():
    (pace,) = paces(WORKLOAD, [row("scrape", 10, 70), row("scrape", 10, 90), row("scrape", 10, 80)])
    assert (pace.step, pace.entries, pace.median_minutes_each, pace.planned_minutes_each) == ("scrape", 3, 8.0, 6.0)
    assert (pace.quick, pace.slow) == (7.5, 8.5)
    assert pace.enough
    assert pace.differs


def test_two_rows_are_too_few_to_say():
    (pace,) = paces(WORKLOAD, [row("scrape", 10, 70), row("scrape", 10, 90)])
    assert not pace.enough


def test_two_people_at_work_for_one_each_take_twice_the_minutes_for_a_piece():
    assert learnt(row("scrape", 10, 30, who="Ines + Tove")) == {"scrape": 6.0}


def test_work_for_two_hands_takes_the_minutes_of_both_together():
    assert learnt(row("lift", 10, 30, who="Ines + Tove")) == {"lift": 3.0}


def test_one_person_alone_at_work_for_two_teaches_nothing():
    rows = [row("lift", 10, 30)]
    assert learnt(*rows) == {}
    assert unused(WORKLOAD, rows) == {Unused.TOO_FEW_HANDS: 1}


def test_setting_up_is_taken_off_once_a_day_from_the_first_row():
    # 20 minutes of setting up and 10 coats of 6 minutes; then 10 more, and the paint is still out
    assert learnt(row("coat", 10, 60, until="11:00"), row("coat", 10, 80, until="10:00")) == {"coat": 6.0}


def test_setting_up_is_taken_off_again_the_next_day():
    assert learnt(row("coat", 10, 80, day=5), row("coat", 10, 80, day=6)) == {"coat": 6.0}


def test_setting_up_belongs_to_the_first_row_even_where_that_does_not_tell_its_minutes():
    assert learnt(row("coat", 10, None, until="10:00"), row("coat", 10, 60, until="11:00")) == {"coat": 6.0}


def test_rows_that_tell_no_minutes_or_not_enough_of_them_are_counted_and_not_learnt_from():
    rows = [row("scrape", 10, None), row("coat", 10, 15), row("polish", 5, 10)]
    assert learnt(*rows) == {}
    assert unused(WORKLOAD, rows) == {Unused.NO_MINUTES: 1, Unused.NO_TIME_LEFT: 1, Unused.NOT_KNOWN: 1}


def test_what_was_lost_teaches_nothing_and_is_not_counted_against_the_rows():
    assert learnt(row("scrape", 10, 60), row("scrape", -4, 90, day=7)) == {"scrape": 6.0}


def test_a_row_taken_back_in_full_the_same_day_was_a_slip_of_the_pen():
    rows = [row("scrape", 800, 60), row("scrape", -800, None), row("scrape", 10, 60)]
    assert learnt(*rows) == {"scrape": 6.0}
    assert unused(WORKLOAD, rows) == {Unused.TAKEN_BACK: 1}


def test_a_round_and_a_job_have_a_pace_too():
    rows = [
        row("look at the mice", 1, 30, lot="look at the mice"),
        row("mend the rack", 4, 80, lot="mend the rack"),
    ]
    assert learnt(*rows) == {"mend the rack": 20.0, "look at the mice": 30.0}


@pytest.mark.parametrize(
    ("minutes", "written"), [(7.4321, 7.4), (0.31567, 0.32), (131.26, 131.3), (0.0001, 0.017), (1, 1)]
)
def test_minutes_are_rounded_as_a_keeper_would_write_them(minutes, written):
    assert as_written(minutes) == written


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(4, 9), min_size=3, max_size=30),
    st.data(),
    st.sampled_from([1 / 60, 60]),
)
def test_one_row_in_hours_or_seconds_leaves_the_pace_among_the_honest_rows(each, data, factor):
    typo = data.draw(st.integers(0, len(each) - 1))
    rows = [row("scrape", 10, 10 * m * (factor if n == typo else 1), day=5 + n % 20) for n, m in enumerate(each)]
    honest = [m for n, m in enumerate(each) if n != typo]
    (pace,) = paces(WORKLOAD, rows)
    assert min(honest) - 0.051 <= pace.median_minutes_each <= max(honest) + 0.051
    assert pace.entries == len(each)


def test_pieces_taken_back_are_not_done_and_nothing_is_done_less_than_not_at_all():
    rows = [row("scrape", 10, None), row("scrape", -4, None), row("coat", -3, None)]
    assert done_pieces(rows) == {("boxes", "scrape"): 6, ("boxes", "coat"): 0}


def outlook(rows: list[Entry], first: date, rows_planned: str = "2026-10-05 09:00-12:00 | Ines | scrape 30 of boxes"):
    return likelihood(WORKLOAD, plan(rows_planned), tuple(rows), paces(WORKLOAD, rows), FIRST, first)


def test_the_plan_s_rows_so_far_are_held_against_the_pace_and_the_help_offered():
    rows = [row("scrape", 10, 90), row("scrape", 10, 90), row("scrape", 10, 90)]
    found = outlook(rows, date(2026, 10, 6))
    assert (found.asked, found.took, found.offered) == (3.0, 4.5, 6.0)


def test_of_a_plan_made_anew_only_what_was_planned_since_is_held_against_the_help_since():
    made_anew = replace(
        plan("2026-10-06 09:00-12:00 | Ines | scrape 30 of boxes"), since=datetime.fromisoformat("2026-10-06 07:00")
    )
    done = replace(made_anew.rows[0], day=FIRST, done=True)
    made_anew = replace(made_anew, rows=(done, *made_anew.rows))
    found = likelihood(WORKLOAD, made_anew, (), (), FIRST, date(2026, 10, 7))
    assert (found.asked, found.offered) == (3.0, 6.0)


def test_at_the_pace_planned_the_winter_fits():
    found = outlook([], date(2026, 10, 5))
    assert found.fits
    # 200 boxes of 6 + 5 + 2 x 2 minutes, the rack, and four rounds of 20 minutes, in 45 days of six hours
    assert found.deadlines[-1].hours == pytest.approx(50 + 2 + 4 / 3)
    assert found.deadlines[-1].help_hours == 45 * 6


def test_seven_times_as_slow_it_will_not_fit():
    rows = [row("scrape", 1, 42), row("scrape", 1, 42), row("scrape", 1, 42), row("coat", 1, 55)]
    rows += [row("coat", 1, 35, until="11:00"), row("coat", 1, 35, until="11:30"), row("coat", 1, 35, until="11:40")]
    found = outlook(rows, date(2026, 10, 6))
    assert not found.fits
    assert found.tightest is not None
    assert found.tightest.day == date(2026, 12, 6)
    assert found.tightest.spare_hours == pytest.approx(-4.9)  # 268.9 h of work for 264 h


def test_a_pace_of_two_rows_does_not_change_the_outlook():
    rows = [row("scrape", 1, 600), row("scrape", 1, 600)]
    assert outlook(rows, date(2026, 10, 5)).fits


def test_what_is_done_need_not_be_done_again():
    before = outlook([], date(2026, 10, 5)).deadlines[-1].hours
    after = outlook([row("scrape", 50, None)], date(2026, 10, 5)).deadlines[-1].hours
    assert before - after == pytest.approx(50 * 6 / 60)


def test_a_job_whose_day_is_past_is_late_and_still_counts():
    found = outlook([], date(2026, 10, 19))
    assert found.overdue == pytest.approx(2.0)
    assert found.deadlines[-1].hours == pytest.approx(50 + 2 + 1)


def test_a_round_that_was_missed_is_told_and_one_that_was_done_is_not():
    assert outlook([], date(2026, 10, 19)).missed == ("look at the mice",)
    seen = [row("look at the mice", 1, 20, lot="look at the mice", day=9)]
    assert outlook(seen, date(2026, 10, 19)).missed == ()


TWO_LOTS = YARD.replace(
    "jobs:", "  supers: {piece: langstroth medium box, count: 100, last_painted: never, steps: [scrape]}\njobs:"
)


def of_two_lots(boxes: list[float], supers: list[float]) -> list[Entry]:
    rows = [row("scrape", 10, 10 * m, day=5 + n) for n, m in enumerate(boxes)]
    return rows + [row("scrape", 10, 10 * m, day=5 + n, lot="supers") for n, m in enumerate(supers)]


def test_lots_planned_with_the_same_minutes_are_learnt_from_together():
    (pace,) = paces(build_workload(winter(TWO_LOTS)), of_two_lots([7, 8], [9]))
    assert (pace.name, pace.lot, pace.entries, pace.median_minutes_each) == ("scrape", "", 3, 8.0)


def test_lots_planned_with_other_minutes_are_learnt_from_and_counted_on_each_by_itself():
    workload = build_workload(winter(TWO_LOTS))
    lots = tuple(
        replace(lot, steps=tuple(replace(step, seconds_each=240) for step in lot.steps))
        if lot.name == "supers"
        else lot
        for lot in workload.lots
    )
    workload = replace(workload, lots=lots)
    rows = of_two_lots([12, 12, 12], [2, 2, 2])
    found = paces(workload, rows)
    assert [(p.name, p.planned_minutes_each, p.median_minutes_each) for p in found] == [
        ("scrape, boxes", 6.0, 12.0),
        ("scrape, supers", 4.0, 2.0),
    ]
    assert apart(workload, rows) == ()
    nobody = plan("2026-10-05 09:00-12:00 | Ines | scrape 30 of boxes")
    slow = likelihood(workload, nobody, tuple(rows), found, FIRST, date(2026, 10, 8)).deadlines[-1]
    # 170 boxes at 12 instead of 6 minutes, 70 supers at 2 instead of 4
    assert slow.hours - slow.planned_hours == pytest.approx((170 * 6 - 70 * 2) / 60)


def test_lots_of_one_number_that_take_another_time_each_are_told_with_their_rows():
    workload = build_workload(winter(TWO_LOTS))
    ((quick, slow),) = apart(workload, of_two_lots([8, 9, 9], [4, 5, 5, 4]))
    assert (quick.lot, quick.median_minutes_each, quick.entries) == ("supers", 4.5, 4)
    assert (slow.lot, slow.median_minutes_each, slow.entries) == ("boxes", 9.0, 3)


@pytest.mark.parametrize("supers", [[4, 5], [8, 8, 8], [5, 9, 9]])
def test_lots_with_few_rows_or_much_the_same_pace_are_not_told_apart(supers):
    assert apart(build_workload(winter(TWO_LOTS)), of_two_lots([8, 9, 9], supers)) == ()


COMBS = """
season: {from: 2026-10-05, until: 2026-12-06}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {freezer: {holds: 60 combs, celsius: -18}, loft: {holds: 99 combs}}
tasks:
  freeze: {minutes_each: 2, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear: {combs: {piece: medium comb, count: 60, comb: dry, rests: loft, steps: [freeze, seal]}}
"""


def test_comb_that_should_be_safe_by_now_is_late_until_it_is_frozen_and_sealed():
    workload = build_workload(winter(COMBS))
    nothing = plan("2026-10-05 09:00-09:02 | Ines | freeze 1 of combs")

    def late(*rows: Entry) -> float:
        return likelihood(workload, nothing, rows, (), FIRST, date(2026, 11, 16)).overdue

    frozen, sealed = row("freeze", 60, None, lot="combs"), row("seal", 60, None, lot="combs", day=8)
    assert late() == pytest.approx(60 * 3 / 60)
    assert late(frozen) == pytest.approx(60 / 60)
    assert late(frozen, sealed) == 0
