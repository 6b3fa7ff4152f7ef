"""How late a step can begin: winters whose last day is known by hand, and a second opinion on drawn ones."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings

from offseason.plan.audit import audit
from offseason.plan.make import plan_from
from offseason.solver import last_start
from offseason.solver.cpsat import Found as Searched
from offseason.solver.fits import fits
from offseason.solver.last_start import LastStart, last_starts, must_steps
from offseason.solver.relaxation import Relaxed
from offseason.workload.build import build_workload
from offseason.workload.model import Done, Order, Place, Schedule, Work, Workload
from offseason.workload.standing import with_standing
from tests.remedy.milp_last_start import last_day
from tests.solver.drawn import winters
from tests.solver.winters import (
    DAY,
    FIRST,
    HOUR,
    INES,
    NOOR,
    OPTIONAL,
    TOMAS,
    lot,
    mornings,
    session,
    staying,
    step,
    winter,
)

SECONDS = 20


def begun(workload: Workload, work: tuple[Work, ...]) -> dict[tuple[int, int], date]:
    first: dict[tuple[int, int], date] = {}
    for one in work:
        day = workload.sessions[one.session].day
        first[one.lot, one.step] = min(day, first.get((one.lot, one.step), day))
    return first


def latest(workload: Workload, lot: int = 0, step: int = 0) -> int:
    """The proven last day of a step, counted from the first day of the winter; the second opinion says the same."""
    plan = fits(workload, SECONDS)
    assert plan.work is not None
    (found,) = last_starts(workload, begun(workload, plan.work), [(lot, step)], seconds=SECONDS).found
    assert found.proven
    assert found.work is None or begun(workload, found.work)[lot, step] == found.day
    assert found.day == last_day(workload, lot, step)
    return (found.day - FIRST).days


@pytest.mark.parametrize(("boxes", "day"), [(10, 0), (9, 0), (8, 1), (7, 1), (6, 2), (2, 4), (1, 4)])
def test_boxes_of_an_hour_in_days_of_two_hours_are_begun_as_many_days_before_the_end_as_they_fill(boxes, day):
    assert latest(winter(mornings(5, 2), lot("boxes", boxes, step("scrape", boxes, 60)))) == day


def test_what_must_be_done_besides_is_done_before_and_does_not_hurry_it():
    lots = (lot("boxes", 4, step("scrape", 4, 60)), lot("lids", 6, step("oil", 6, 60)))
    assert latest(winter(mornings(5, 2), *lots)) == 3


def test_what_comes_in_late_takes_the_last_hours_and_hurries_it():
    lots = (lot("boxes", 4, step("scrape", 4, 60)), lot("lids", 4, step("oil", 4, 60), arrives_s=3 * DAY))
    assert latest(winter(mornings(5, 2), *lots)) == 1


def test_optional_work_is_given_up_for_it():
    lids = lot("lids", 4, step("oil", 4, 60, importance=OPTIONAL), arrives_s=3 * DAY)
    assert latest(winter(mornings(5, 2), lot("boxes", 4, step("scrape", 4, 60)), lids)) == 3


def test_a_first_coat_is_begun_so_that_the_second_still_finds_a_fine_day():
    coats = (
        step("first coat", 4, 10, need="painting", wait_s=20 * HOUR, stays=staying(0)),
        step("second coat", 4, 10, need="painting", wait_s=20 * HOUR, stays=staying(0)),
    )
    workload = winter(mornings(9, 1, fine=(0, 2, 5, 7)), lot("boxes", 4, *coats), places=(Place("rack", holds=4),))
    assert latest(workload) == 5
    assert latest(workload, step=1) == 7


def test_a_small_freezer_is_begun_a_load_a_day_before_the_last():
    # 7 combs, 3 at a time, a day each: loads on the last three days but one, the last comb sealed on the last
    steps = (
        step("freeze", 7, 1, wait_s=23 * HOUR, stays=staying(0)),
        step("seal", 7, 2, stays=staying(1)),
    )
    places = (Place("freezer", holds=3, whole_loads=True), Place("loft"))
    workload = winter(mornings(10, 0.5), lot("combs", 7, *steps), places=places)
    assert latest(workload) == 6
    assert latest(workload, step=1) == 7


def test_the_rack_is_rebuilt_early_enough_for_what_waits_for_it():
    rack, boxes = lot("rack", 4, step("rebuild the rack", 4, 15)), lot("boxes", 4, step("paint", 4, 60))
    workload = winter(mornings(5, 2), rack, boxes, orders=(Order((0, 0), (1, 0)),))
    # an hour of the rack and an hour of a box on the third day, three boxes after it
    assert latest(workload) == 2


def test_only_the_share_that_is_mended_counts_for_mending():
    steps = (step("scrape", 8, 30), step("mend", 2, 60, needs=(0,)))
    workload = winter(mornings(5, 2), lot("boxes", 8, *steps))
    assert latest(workload, step=1) == 4
    assert latest(workload) == 2  # four hours of scraping and two of mending fill three days


def test_two_people_halve_the_time_it_takes():
    boxes = lot("boxes", 8, step("scrape", 8, 60))
    assert latest(winter(mornings(5, 2, who=(0, 1)), boxes, helpers=(INES, TOMAS))) == 3
    one_seat = winter(
        mornings(5, 2, who=(0, 1)),
        replace(boxes, steps=(step("scrape", 8, 60, at=0),)),
        helpers=(INES, TOMAS),
        places=(Place("bench", seats=1),),
    )
    assert latest(one_seat) == 1


def test_a_long_job_done_in_one_go_is_begun_on_the_last_day_that_is_long_enough():
    sessions = [session(0, 9, 4), session(1, 9, 4), session(2, 9, 2), session(2, 11, 2, who=(0, 1)), session(3, 9, 3)]
    job = lot("press", 1, step("press", 1, 240))
    assert latest(winter(sessions, job, helpers=(INES, TOMAS))) == 2


def test_asked_about_are_steps_of_gear_and_jobs_that_must_be_done():
    optional = step("scrape", 4, 5, importance=OPTIONAL)
    look = replace(lot("look", 1, step("look", 1, 5)), period=(FIRST, FIRST))
    renewal = step("treat", 4, 5, importance=OPTIONAL, worth=0)
    workload = winter(mornings(3), lot("boxes", 4, optional, step("mend", 4, 5), renewal), look)
    assert must_steps(workload) == ((0, 1),)


def test_without_time_nothing_is_claimed_beyond_the_plan_in_hand():
    workload = winter(mornings(5, 2), lot("boxes", 4, step("scrape", 4, 60)))
    (found,) = last_starts(workload, {(0, 0): FIRST}, [(0, 0)], seconds=0).found
    assert found == LastStart(0, 0, FIRST, FIRST + timedelta(days=3))  # four hours have room on the last two days
    assert not found.proven


def test_what_neither_a_plan_nor_a_proof_is_found_for_stays_open_and_is_not_asked_for_ever(monkeypatch):
    lots = (lot("boxes", 4, step("scrape", 4, 60)), lot("lids", 4, step("oil", 4, 60), arrives_s=3 * DAY))
    workload = winter(mornings(5, 2), *lots)
    monkeypatch.setattr(last_start.Relaxation, "minimise", lambda *_: Relaxed(None, None))
    monkeypatch.setattr(last_start.Search, "minimise", lambda *_, **__: Searched(None, None, proven=False))
    (found,) = last_starts(workload, {(0, 0): FIRST}, [(0, 0)], seconds=SECONDS).found
    # on the second day there is a plan without any search, as above; four hours alone have room on the last two
    assert (found.day, found.not_after) == (FIRST + timedelta(days=1), FIRST + timedelta(days=3))
    assert not found.proven


def test_a_day_that_counts_allow_and_nobody_can_put_on_the_clock_stays_open():
    # half an hour in each of three steps, one after the other: not in the one hour of the last day
    boxes = lot("boxes", 1, step("scrape", 1, 30), step("oil", 1, 30), step("put away", 1, 30))
    days = [session(n, hours=hours, who=(0, 1, 2)) for n, hours in enumerate((2, 2, 1))]
    workload = winter(days, boxes, helpers=(INES, TOMAS, NOOR))
    (found,) = last_starts(workload, {(0, 0): FIRST}, [(0, 0)], seconds=SECONDS).found
    assert (found.day, found.not_after) == (FIRST + timedelta(days=1), FIRST + timedelta(days=2))
    assert found.work is not None
    assert begun(workload, found.work)[0, 0] == found.day


def test_a_plan_made_for_one_step_tells_of_the_next_too():
    workload = winter(mornings(5, 2), lot("boxes", 2, step("scrape", 2, 30), step("oil", 2, 30)))
    asked = must_steps(workload)
    found = last_starts(workload, dict.fromkeys(asked, FIRST), asked, seconds=SECONDS).found
    assert [(one.day - FIRST).days for one in found] == [4, 4]
    assert all(one.proven for one in found)
    assert found[0].work is found[1].work


def test_of_what_is_begun_already_no_later_day_is_told():
    workload = winter(mornings(5, 2), lot("boxes", 4, step("scrape", 4, 60)))
    begun_already = with_standing(workload, 4 * DAY, [Done(0, 0, 3, 10 * HOUR)])
    (found,) = last_starts(begun_already, {(0, 0): FIRST}, [(0, 0)], seconds=SECONDS).found
    assert (found.day, found.not_after, found.work) == (FIRST, FIRST, None)


def test_stopped_with_ctrl_c_it_tells_what_it_knew():
    lots = [lot(name, 8, step("scrape", 8, 60), step("oil", 8, 10)) for name in ("boxes", "lids")]
    workload = winter(mornings(12, 2), *lots)
    plan = fits(workload, SECONDS).work
    assert plan is not None
    said = []

    def pressed(at):
        said.append(at.stage)
        if len(said) > 1:
            raise KeyboardInterrupt

    asked = must_steps(workload)
    stopped = last_starts(workload, begun(workload, plan), asked, seconds=SECONDS, tell=pressed)
    whole = last_starts(workload, begun(workload, plan), asked, seconds=SECONDS)
    assert stopped.stopped
    assert not whole.stopped
    for early, late in zip(stopped.found, whole.found, strict=True):
        assert (
            begun(workload, plan)[early.lot, early.step] <= early.day <= late.day <= late.not_after <= early.not_after
        )


# The same winters every time, whatever machine the tests run on.
steady = {
    "derandomize": True,
    "database": None,
    "deadline": None,
    "phases": [Phase.generate],
    "suppress_health_check": list(HealthCheck),
}


@pytest.mark.slow
def test_of_drawn_winters_the_last_day_is_what_a_programme_written_apart_says_and_its_plan_passes_the_audit():
    seen: Counter[str] = Counter()

    @settings(max_examples=50, **steady)
    @given(winters(days=6, most=6, lots=2, helpers=2))
    def each(scenario):
        assume(scenario is not None)
        workload = build_workload(scenario)
        assume(must_steps(workload))
        plan = fits(workload, 3).work
        assume(plan is not None)
        for found in last_starts(workload, begun(workload, plan), must_steps(workload), seconds=5).found:
            opinion = last_day(workload, found.lot, found.step)
            assert opinion is not None
            assert found.day <= opinion <= found.not_after
            seen["proven" if found.proven else "open"] += 1
            if found.work is not None:
                seen["later"] += 1
                assert begun(workload, found.work)[found.lot, found.step] == found.day
                made = plan_from(
                    workload,
                    Schedule(found.work, ()),
                    scenario_file="winter.yaml",
                    scenario_sha256="0" * 64,
                    made=datetime(2026, 10, 1, tzinfo=UTC),
                    made_with="a test",
                )
                assert [broken.text for broken in audit(scenario, made)] == []

    each()
    assert seen["proven"] >= 60, seen
    assert seen["later"] >= 30, seen
    assert seen["open"] <= seen["proven"] // 10, seen
