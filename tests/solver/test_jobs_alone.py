"""Jobs seen as stretches of time alone: how soon they can end is right where that is all, and never too late."""

from __future__ import annotations

from dataclasses import replace

import pytest

from offseason.solver import cpsat
from offseason.solver.clock import WorkClock
from offseason.solver.jobs_alone import JobsFound, jobs_alone
from offseason.solver.model import build
from offseason.workload.model import Lot, Order, Place, Prefer, Stay, Step, Workload
from tests.solver.test_classical import alone, moments
from tests.solver.winters import OPTIONAL

LATEST = 20
AT_PRESS, AT_VAT = (Stay(0, until_taken=False),), (Stay(1, until_taken=False),)
PRESS, VAT = Place("press", holds=1), Place("vat", holds=1)


def job(name: str, *steps: Step, count: int = 1) -> Lot:
    return Lot(name, name, count, steps)


def jobs(*lots: Lot, places: tuple[Place, ...] = (PRESS, VAT), orders: tuple[Order, ...] = ()) -> Workload:
    return Workload(moments(LATEST), (), places, lots, orders, Prefer.SOONEST, LATEST)


def found(workload: Workload, *, known=None, latest: int = LATEST) -> JobsFound:
    return jobs_alone(build(workload).counts, known=known or {}, latest_s=latest, seconds=20, workers=1, seed=0)


WAX, HONEY = job("wax", alone("press wax", 3, AT_PRESS)), job("honey", alone("press honey", 4, AT_PRESS))


@pytest.mark.parametrize(
    ("places", "end"),
    [((PRESS,), 3 + 4), ((replace(PRESS, holds=2),), 4), ((replace(PRESS, holds=None),), 4)],
    ids=["one press", "two presses", "as many as there are"],
)
def test_two_that_want_the_same_press_end_one_after_the_other_and_where_there_is_room_together(places, end):
    workload = jobs(WAX, HONEY, places=places)
    assert found(workload).bound == end
    # a plan that is known, of both or of one alone, is no more than something to set out from
    assert found(workload, known={(0, 0): 0, (1, 0): 3}).bound == found(workload, known={(1, 0): 9}).bound == end


def test_where_they_cannot_end_so_soon_nothing_is_told():
    assert found(jobs(WAX, HONEY), latest=6) == JobsFound(None, None)


def test_boxes_are_no_job_and_what_waits_for_them_is_told_as_if_it_did_not():
    boxes = job("boxes", alone("soak", 9), count=3)
    told = found(jobs(WAX, boxes, orders=(Order((1, 0), (0, 0)),)))
    assert told.bound == 3
    assert told.guide is not None
    assert told.guide[1].min() == 3, "all boxes at once: nothing is known of them"
    assert told.guide[0][0, 0] == 1, "the wax at the first moment"


def test_what_stays_until_it_is_taken_takes_no_room_in_this_view_which_so_never_tells_too_late_an_end():
    kept = tuple(
        replace(one, steps=(replace(one.steps[0], stays=(Stay(0),)), alone("clean up", 1))) for one in (WAX, HONEY)
    )
    assert found(jobs(*kept)).bound == 4 + 1


def test_a_step_that_may_be_left_out_holds_up_nothing():
    with_optional = job("wax", replace(alone("settle", 9), importance=OPTIONAL), alone("press wax", 3, AT_PRESS))
    assert found(jobs(with_optional)).bound == 9, "it still ends, and nothing waits for it"
    assert found(jobs(job("wax", alone("settle", 9), *with_optional.steps[1:]))).bound == 9 + 3


def test_by_the_clock_of_work_the_same_end_is_found_and_the_work_is_charged():
    clock = WorkClock()
    by_work = jobs_alone(
        build(jobs(WAX, HONEY)).counts, known={}, latest_s=LATEST, seconds=20, workers=1, seed=0, clock=clock
    )
    assert by_work.bound == found(jobs(WAX, HONEY)).bound
    assert clock.elapsed_s() > 0


def test_ctrl_c_is_heard(monkeypatch):
    monkeypatch.setattr(cpsat, "_wait_for", lambda search, _: search.join() or True)
    with pytest.raises(KeyboardInterrupt):
        found(jobs(WAX, HONEY))
