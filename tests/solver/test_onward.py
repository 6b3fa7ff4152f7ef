"""Plans led along relaxations, stretch by stretch, and loads turned over as soon as they can be."""

from __future__ import annotations

import numpy as np
import pytest

from offseason.solver.dispatch import dispatch
from offseason.solver.hunt import Hunt, Settings
from offseason.solver.ledger import Snapshot
from offseason.solver.manner import Manner
from offseason.solver.model import build
from offseason.solver.onward import _cuts, _done_by, led_onward
from offseason.solver.relaxation import Relaxation
from offseason.workload.model import Place
from tests.solver.winters import HOUR, INES, TOMAS, lot, mornings, staying, step, winter

FREEZER = (Place("freezer", holds=10, whole_loads=True),)
NEVER_BROKEN_OFF = 600.0


def a_winter_with_a_freezer(days=20):
    """Combs are sorted, frozen ten at a time for a day, and sealed; boxes are scraped and glued beside that."""
    freeze = step("freeze", 60, 1, wait_s=24 * HOUR, stays=staying(0))
    combs = lot("combs", 60, step("sort", 60, 2), freeze, step("seal", 60, 1))
    boxes = lot("boxes", 30, step("scrape", 30, 7), step("glue", 30, 11, setup_s=900))
    return winter(mornings(days, 2, who=(0, 1)), combs, boxes, helpers=(INES, TOMAS), places=FREEZER)


@pytest.fixture(scope="module")
def hunt():
    made = Hunt(build(a_winter_with_a_freezer()), Settings(NEVER_BROKEN_OFF, 1, 0, lambda _: None))
    made.first_plan()
    return made


def relaxed(hunt, at=0):
    """The best the rest of the winter can come to, once its first sessions have gone by as the best plan has them."""
    relaxation = Relaxation(hunt.model.counts.rows)
    counts = tuple(known[:, :at] for known in hunt.model.counts.values(hunt.best.point))
    relaxation.fix(_done_by(hunt.model.counts, Snapshot(at, counts)))
    return relaxation.minimise(hunt.model.aims[-1].expr, NEVER_BROKEN_OFF)


def test_the_more_of_a_plan_is_done_the_less_better_it_can_still_become(hunt):
    bounds = [relaxed(hunt, at).bound for at in range(0, 21, 4)]
    assert bounds == sorted(bounds)
    assert bounds[0] < bounds[-1] <= hunt.value(len(hunt.model.aims) - 1)


def test_a_plan_made_stretch_by_stretch_is_better_than_the_first_one_and_no_better_than_the_bound(hunt):
    aim = len(hunt.model.aims) - 1
    first, whole = hunt.value(aim), relaxed(hunt)
    led_onward(hunt, aim, lambda: Relaxation(hunt.model.counts.rows), whole.point, 0.01, NEVER_BROKEN_OFF)
    assert whole.bound <= hunt.value(aim) < first
    assert not len(hunt.matrix.broken(hunt.best.point))


def test_between_two_relaxations_there_is_about_as_much_work(hunt):
    m = hunt.model.counts
    guide = m.values(hunt.best.point)
    cuts = _cuts(m, guide, 0, 3)
    work_s = sum(
        step.seconds_each * known
        for lot, by_step in zip(m.workload.lots, guide, strict=True)
        for step, known in zip(lot.steps, by_step, strict=True)
    )
    done = [0, *(work_s[k - 1] for k in cuts), work_s[-1]]
    assert len(cuts) == 3
    assert max(np.diff(done)) <= work_s[-1] / 4 + 4 * HOUR  # a session is 2 h of two people


def test_where_loads_come_first_a_load_is_closed_before_what_is_not_in_it_is_sorted():
    m = build(a_winter_with_a_freezer()).counts
    guide = [
        np.repeat([[step.pieces] for step in one.steps], len(m.workload.sessions), axis=1) for one in m.workload.lots
    ]
    made = {first: dispatch(m, Manner(guide=guide, loads_first=first)) for first in (True, False)}
    days = {first: [one.session for one in made[first].work if (one.lot, one.step) == (0, 1)] for first in made}
    assert len(set(days[True])) == 6  # as few loads as sixty combs ask for
    assert max(days[True]) <= max(days[False])


def test_for_a_few_pieces_nothing_is_set_up_before_other_work_where_that_is_asked_for():
    boxes = lot("boxes", 2, step("glue", 2, 5, setup_s=1_800))
    lids = lot("lids", 6, step("scrape", 6, 10))
    m = build(winter(mornings(2, 1), boxes, lids)).counts
    guide = [np.array([[2, 2]]), np.array([[6, 6]])]
    for worth, first in ((0.0, "glue"), (2.0, "scrape")):
        made = dispatch(m, Manner(guide=guide, set_up_worth=worth))
        begun = min(made.work, key=lambda one: one.starts_s)
        assert m.workload.lots[begun.lot].steps[0].task == first
