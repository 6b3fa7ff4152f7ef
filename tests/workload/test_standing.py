"""A winter that has begun: when somebody can first be at work again, and what is late is due soon."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from offseason.workload.model import Done, Helper, Leaving, Left, Lot, Schedule, Session, Step, Workload
from offseason.workload.standing import OVERDUE_S, begins_s, with_standing

DAY_S, HOUR_S = 86_400, 3_600
FIRST = date(2026, 10, 5)
BOXES = Lot("boxes", "boxes", 10, (Step("scrape", 10, 360),), ready_by_s=3 * DAY_S)


def session(day: int) -> Session:
    starts_s = day * DAY_S + 9 * HOUR_S
    return Session(FIRST + timedelta(days=day), starts_s, starts_s + 4 * HOUR_S, (0,))


WINTER = Workload(tuple(session(day) for day in (1, 8, 15)), (Helper("Ines"),), (), (BOXES,), until_s=60 * DAY_S)


def test_a_winter_that_is_planned_whole_begins_with_its_first_second_and_one_under_way_when_somebody_comes():
    assert begins_s(WINTER) == 0
    assert begins_s(with_standing(WINTER, 5 * DAY_S, ())) == 8 * DAY_S + 9 * HOUR_S


def test_gear_that_should_be_ready_by_now_and_is_not_is_due_within_two_weeks():
    (late,) = with_standing(WINTER, 5 * DAY_S, ()).lots
    assert late.ready_by_s == 6 * DAY_S + OVERDUE_S
    (done,) = with_standing(WINTER, 5 * DAY_S, [Done(0, 0, 10, 2 * DAY_S)]).lots
    assert done.ready_by_s == BOXES.ready_by_s
    (in_time,) = with_standing(WINTER, DAY_S, ()).lots
    assert in_time.ready_by_s == BOXES.ready_by_s


def test_where_nobody_ever_comes_there_is_nothing_to_cut():
    deserted = replace(WINTER, sessions=())
    assert with_standing(deserted, 5 * DAY_S, ()).sessions == ()
    assert begins_s(with_standing(deserted, 5 * DAY_S, ())) == 5 * DAY_S


def test_combs_that_stay_open_are_told_only_where_no_work_on_them_is_left():
    open_, freeze = Left(0, 1, 20, Leaving.OPEN), Left(0, 0, 12, Leaving.UNDONE)
    assert Schedule((), (), left=(open_, freeze)).left_undone == ((0, 0, 12),)
    assert Schedule((), (), left=(open_,)).left_undone == ((0, 1, 20),)
    elsewhere = replace(open_, lot=1)
    assert Schedule((), (), left=(elsewhere, freeze)).left_undone == ((0, 0, 12), (1, 1, 20))
