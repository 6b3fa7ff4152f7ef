"""From the solver's schedule to rows: names, clock times, and stretches that go on joined into one row."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from offseason.plan.document import Aim, LeftOver, Plan
from offseason.plan.make import plan_from
from offseason.workload.model import (
    AimReached,
    Helper,
    Leaving,
    Left,
    Lot,
    Place,
    Schedule,
    Session,
    Step,
    Work,
    Workload,
)

DAY = date(2026, 10, 5)
HOUR = 3_600


def session(starts_h: float, ends_h: float, *, fold: int = 0, shift_h: float = 0) -> Session:
    """A session of the first day; ``shift_h``: by how much the clock is behind the time elapsed."""
    midnight = datetime.combine(DAY, time())
    begins, ends = (midnight + timedelta(hours=h - shift_h) for h in (starts_h, ends_h))
    return Session(DAY, round(starts_h * HOUR), round(ends_h * HOUR), (0, 1), clock=(begins.replace(fold=fold), ends))


WORKLOAD = Workload(
    sessions=(session(9, 12), session(12, 13), session(14, 16)),
    helpers=(Helper("Ines"), Helper("Tomás, the younger")),
    places=(Place("yard"), Place("bench", seats=2)),
    lots=(
        Lot("boxes", "boxes", 100, (Step("scrape", 100, 360, setup_s=900, at=1), Step("lift", 100, 60, hands=2))),
        Lot("look 2026-10-05", "look over comb", 1, (Step("look over comb", 1, 1_200),)),
    ),
)


def made(*work: Work, workload: Workload = WORKLOAD, **schedule: object) -> Plan:
    return plan_from(
        workload,
        replace(Schedule(work, ()), **schedule),
        scenario_file="winter.yaml",
        scenario_sha256="0" * 64,
        made=datetime(2026, 10, 1, tzinfo=UTC),
        made_with="by hand",
    )


def told(plan: Plan) -> list[tuple[str, str, int]]:
    return [(f"{r.start:%H:%M:%S}", f"{r.end:%H:%M:%S}", r.pieces) for r in plan.rows]


def test_work_becomes_a_row_with_names_clock_times_place_and_set_up():
    (row,) = made(Work(0, 9 * HOUR, 9 * HOUR + 900 + 720, (0,), 0, 0, 2, 900)).rows
    assert (row.day, row.start, row.end) == (DAY, time(9), time(9, 27))
    assert (row.who, row.lot, row.step, row.pieces, row.at) == (("Ines",), "boxes", "scrape", 2, "bench")
    assert (row.set_up_minutes, row.line) == (15.0, None)


def test_people_working_together_stand_in_one_row_in_the_order_of_the_crew():
    (row,) = made(Work(0, 9 * HOUR, 9 * HOUR + 120, (1, 0), 0, 1, 2)).rows
    assert row.who == ("Ines", "Tomás, the younger")
    assert row.at is None


def test_a_round_goes_by_the_name_the_keeper_gave_it():
    (row,) = made(Work(2, 14 * HOUR, 14 * HOUR + 1_200, (0,), 1, 0, 1)).rows
    assert (row.lot, row.step) == ("look over comb", "look over comb")


def test_work_that_goes_on_in_the_next_session_becomes_one_row():
    plan = made(Work(0, 11 * HOUR, 12 * HOUR, (0,), 0, 0, 10), Work(1, 12 * HOUR, 12 * HOUR + 720, (0,), 0, 0, 2))
    assert told(plan) == [("11:00:00", "12:12:00", 12)]


@pytest.mark.parametrize(
    "second",
    [
        Work(1, 12 * HOUR + 60, 12 * HOUR + 780, (0,), 0, 0, 2),
        Work(1, 12 * HOUR, 12 * HOUR + 720, (1,), 0, 0, 2),
        Work(1, 12 * HOUR, 12 * HOUR + 1_620, (0,), 0, 0, 2, 900),
        Work(2, 14 * HOUR, 14 * HOUR + 720, (0,), 0, 0, 2),
    ],
    ids=["a gap between", "someone else", "set up anew", "after the break"],
)
def test_work_that_does_not_go_on_stays_two_rows(second):
    assert [pieces for _, _, pieces in told(made(Work(0, 11 * HOUR, 12 * HOUR, (0,), 0, 0, 10), second))] == [10, 2]


def test_work_with_idle_minutes_at_its_end_is_not_joined_so_that_pieces_keep_their_minute():
    plan = made(Work(0, 11 * HOUR, 12 * HOUR, (0,), 0, 0, 9), Work(1, 12 * HOUR, 12 * HOUR + 720, (0,), 0, 0, 2))
    assert told(plan) == [("11:00:00", "12:00:00", 9), ("12:00:00", "12:12:00", 2)]


def test_rows_come_in_order_of_day_start_and_people():
    plan = made(
        Work(2, 14 * HOUR, 14 * HOUR + 360, (0,), 0, 0, 1),
        Work(0, 9 * HOUR, 9 * HOUR + 360, (1,), 0, 0, 1),
        Work(0, 9 * HOUR, 9 * HOUR + 360, (0,), 0, 0, 1),
    )
    assert [(r.start.hour, r.who[0]) for r in plan.rows] == [(9, "Ines"), (9, "Tomás, the younger"), (14, "Ines")]


def test_after_the_clocks_went_back_rows_show_the_clock_and_not_the_hours_elapsed():
    workload = replace(WORKLOAD, sessions=(session(1, 3), session(3, 6, fold=1, shift_h=1)))
    plan = made(
        Work(0, round(2.5 * HOUR), 3 * HOUR, (0,), 0, 0, 5),
        Work(1, 3 * HOUR, round(3.5 * HOUR), (0,), 0, 0, 5),
        Work(1, 5 * HOUR, 6 * HOUR, (0,), 0, 0, 10),
        workload=workload,
    )
    assert told(plan) == [("02:30:00", "03:00:00", 5), ("04:00:00", "05:00:00", 10), ("02:00:00", "02:30:00", 5)]
    assert [(r.start.fold, r.end.fold) for r in plan.rows] == [(0, 0), (0, 0), (1, 1)]


def test_aims_say_what_was_reached_what_is_possible_and_how_far_that_is():
    aims = (AimReached("early", "days", 30.00049, 29.7), AimReached("exposure", "degree-days", 5, 5))
    plan = made(aims=aims, proven=True)
    assert plan.aims == (Aim("early", "days", 30.0, 29.7, 1.002), Aim("exposure", "degree-days", 5, 5, 0))
    assert (plan.proven, plan.scenario_file, plan.made_with) == (True, "winter.yaml", "by hand")


def test_a_session_without_a_clock_is_refused():
    workload = replace(WORKLOAD, sessions=(Session(DAY, 9 * HOUR, 12 * HOUR, (0,)),))
    with pytest.raises(ValueError, match="does not say what the clock shows"):
        made(Work(0, 9 * HOUR, 9 * HOUR + 360, (0,), 0, 0, 1), workload=workload)


def test_what_does_not_fit_stands_in_the_plan_by_the_names_the_keeper_gave():
    plan = made(left=(Left(0, 0, 40, Leaving.UNDONE), Left(0, 0, 3, Leaving.LATE), Left(0, 1, 2, Leaving.OPEN)))
    assert plan.left == (
        LeftOver("boxes", "scrape", 40, "undone"),
        LeftOver("boxes", "scrape", 3, "late"),
        LeftOver("boxes", "lift", 2, "open"),
    )
    assert all(type(one.how) is str for one in plan.left)


def test_rounds_that_are_missed_are_added_up_under_the_name_of_the_round():
    again = replace(WORKLOAD.lots[1], name="look 2026-10-12")
    workload = replace(WORKLOAD, lots=(*WORKLOAD.lots, again))
    plan = made(workload=workload, left=(Left(1, 0, 1, Leaving.UNDONE), Left(2, 0, 1, Leaving.UNDONE)))
    assert plan.left == (LeftOver("look over comb", "look over comb", 2, "undone"),)
