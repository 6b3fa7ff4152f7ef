"""Planning anew, days on which nothing else changes keep their hours too, where nothing is lost by it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from offseason.solver.course import counts_on, course_of
from offseason.solver.dispatch import Dispatched
from offseason.solver.hours import at_promised_hours
from offseason.solver.hunt import Hunt, Settings
from offseason.solver.keeping import by_session
from offseason.solver.model import build
from offseason.solver.moved import Roster, begins_of, entries_of, moved, promised_on
from offseason.workload.model import Place, Work
from offseason.workload.standing import with_standing
from tests.solver.winters import (
    DAY,
    FIRST,
    HOUR,
    INES,
    MINUTE,
    TOMAS,
    lot,
    mornings,
    session,
    staying,
    step,
    winter,
)

TODAY = 2 * DAY


def does(day: int, at_h: float, pieces: int, *, of: int = 0, step: int = 0, who=(0,), of_session: int = -1) -> Work:
    """Six pieces are an hour."""
    starts_s = round(day * DAY + at_h * HOUR)
    return Work(of_session, starts_s, starts_s + pieces * 10 * MINUTE, who, of, step, pieces)


def put_back(workload, promised, found, done=()):
    """The work after ``found``, a plan made by hand, was put back to promised hours where it can be."""
    begun = with_standing(workload, TODAY, done)
    days = {k: s.day for k, s in enumerate(begun.sessions)}
    kept = by_session(begun, promised)
    every = [one for some in kept.values() for one in some]
    assert sum(one.pieces for one in every) == sum(one.pieces for one in promised)

    def day_of(one):
        return days[one.session]

    makers = (moved(promised_on(every, day_of), FIRST + timedelta(days=2), None),)
    hunt = Hunt(build(begun, makers=makers), Settings(5, 1, 0, lambda _: None))
    roster = Roster(entries_of(every, day_of), day_of, lambda _: 1, begins_of(every, day_of))
    hunt.judge = roster.weight_of_changes
    at = [next(k for k, s in enumerate(begun.sessions) if s.starts_s <= one.starts_s < s.ends_s) for one in found]
    work = tuple(sorted(replace(one, session=k) for one, k in zip(found, at, strict=True)))
    assert hunt.offer(Dispatched(work, tuple(counts_on(begun, course_of(begun, work)))))
    at_promised_hours(hunt, kept, roster)
    return hunt, [(one.starts_s, one.lot, one.helpers, one.pieces) for one in hunt.best.work]


def told(*work):
    return [(one.starts_s, one.lot, one.helpers, one.pieces) for one in work]


BOXES, LIDS = lot("boxes", 6, step("scrape", 6, 10)), lot("lids", 6, step("wash", 6, 10))


def test_work_that_begins_sooner_for_no_reason_is_put_back_to_the_minute():
    _, made = put_back(winter(mornings(6, 3), BOXES), [does(3, 10.5, 6)], [does(3, 9, 6)])
    assert made == told(does(3, 10.5, 6))


def test_two_kinds_of_work_that_changed_places_change_back():
    promised = [does(3, 9, 6), does(3, 10, 6, of=1)]
    _, made = put_back(winter(mornings(6, 3), BOXES, LIDS), promised, [does(3, 9, 6, of=1), does(3, 10, 6)])
    assert made == told(*promised)


def test_two_helpers_at_one_bench_who_changed_turns_change_back():
    boxes = lot("boxes", 12, step("scrape", 12, 10, at=0))
    there = winter(mornings(6, 2, who=(0, 1)), boxes, helpers=(INES, TOMAS), places=(Place("bench", seats=1),))
    promised = [does(3, 9, 6, who=(1,)), does(3, 10, 6, who=(0,))]
    _, made = put_back(there, promised, [does(3, 9, 6, who=(0,)), does(3, 10, 6, who=(1,))])
    assert made == told(*promised)


def test_a_load_that_was_lost_does_not_take_the_hour_of_the_load_promised():
    """Both were frozen in the first free minute; only what had to be caught up with is to be new."""
    steps = (step("freeze", 12, 10, wait_s=20 * HOUR, stays=staying(0)), step("take out", 12, 0, hands=0))
    there = winter(mornings(9, 3), lot("combs", 12, *steps), places=(Place("freezer", holds=6, whole_loads=True),))
    promised = [does(3, 10.5, 6)]
    found = [does(3, 9, 6), does(5, 9, 6)]
    nobody = [does(day, 9, 6, step=1, who=()) for day in (4, 6)]
    nobody = [replace(one, ends_s=one.starts_s) for one in nobody]
    _, made = put_back(there, promised, [*found, *nobody])
    assert [one for one in made if one[2]] == told(does(3, 10.5, 6), does(5, 9, 6))


def test_what_must_be_done_by_that_hour_keeps_it():
    press = lot("press", 1, step("press", 1, 60), ready_by_s=3 * DAY + 10 * HOUR)
    work = Work(-1, 3 * DAY + 9 * HOUR, 3 * DAY + 10 * HOUR, (0,), 1, 0, 1)
    hours = [session(3, 9, 1), session(3, 10, 1, fit="painting"), *mornings(6)[4:]]
    _, made = put_back(winter(hours, BOXES, press), [does(3, 9, 6)], [work, does(3, 10, 6)])
    assert made == told(work, does(3, 10, 6))


def test_new_work_gives_way_to_the_hour_of_promised_work():
    found = [does(3, 9, 6, of=1), does(3, 10, 6)]
    _, made = put_back(winter(mornings(6, 2), BOXES, LIDS), [does(3, 9, 6)], found)
    assert made == told(does(3, 9, 6), does(3, 10, 6, of=1))


def test_stopped_in_the_midst_the_best_plan_is_still_there(monkeypatch):
    def stop(*_):
        raise KeyboardInterrupt

    hunt, made = put_back(winter(mornings(6, 3), BOXES), [does(3, 9, 6)], [does(3, 9, 6)])
    before, kept = hunt.best, hunt.kept
    monkeypatch.setattr(hunt, "dispatch", stop)
    late = {3: [does(3, 10.5, 6, of_session=before.work[0].session)]}
    days = [s.day for s in hunt.model.counts.workload.sessions]
    every = late[3]
    roster = Roster(
        entries_of(every, lambda one: days[one.session]), lambda one: days[one.session], lambda _: 1,
        begins_of(every, lambda one: days[one.session]),
    )  # fmt: skip
    with pytest.raises(KeyboardInterrupt):
        at_promised_hours(hunt, late, roster)
    assert hunt.best is before
    assert hunt.kept is kept
    assert made == told(does(3, 9, 6))
