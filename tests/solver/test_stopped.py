"""Ctrl-C while a search goes on, and questions without any time: what is known is kept, and nothing is claimed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from offseason.solver import cpsat, fits, improve, last_start
from offseason.solver.clock import WorkClock
from offseason.solver.cpsat import Found, Search
from offseason.solver.exprs import Expr
from offseason.solver.hunt import Hunt, Settings
from offseason.solver.model import build, build_with_shortfall
from offseason.solver.search import solve
from offseason.solver.shortfall import what_is_left
from offseason.workload.model import Leaving, Left
from tests.solver.winters import INES, MINUTE, NOOR, TOMAS, lot, mornings, session, step, winter

# A piece takes half an hour in each of three steps, one after the other, and the three people are there for an hour:
# hours enough, and counts do not tell that it goes through no more than two. The day after is too short for any.
CHAIN = winter(
    [session(0, hours=1, who=(0, 1, 2)), session(1, hours=0.25)],
    lot("boxes", 1, step("scrape", 1, 30), step("oil", 1, 30), step("put away", 1, 30)),
    helpers=(INES, TOMAS, NOOR),
)
TWO_IN_AN_HOUR = winter(mornings(2, hours=1), lot("boxes", 3, step("scrape", 3, 30)))

# Work that is set up for, in a few long mornings: how early it can all be done is not told by a relaxation.
SET_UP = winter(
    mornings(5, hours=1.5),
    lot("boxes", 5, step("scrape", 5, 25, setup_s=15 * MINUTE)),
    lot("lids", 4, step("oil", 4, 20, setup_s=20 * MINUTE)),
)


def settings(seconds: float = 20, **how) -> Settings:
    return Settings(seconds, 1, 0, lambda _: None, **how)


def pressed(monkeypatch) -> None:
    """Ctrl-C is pressed during each search, which then tells what it has."""

    def heard(worker, _) -> bool:
        worker.join()
        return True

    monkeypatch.setattr(cpsat, "_wait_for", heard)


# waiting for a search


class Slow:
    """A search that is told to stop and goes on for a while."""

    def __init__(self, joins: int) -> None:
        self.joins, self.told_to_stop = joins, 0

    def is_alive(self) -> bool:
        return self.joins > 0

    def join(self, _: float) -> None:
        self.joins -= 1
        if self.joins == 3:
            raise KeyboardInterrupt

    def stop_search(self) -> None:
        self.told_to_stop += 1


def test_a_search_that_does_not_hear_at_once_is_told_to_stop_again_and_again():
    slow = Slow(joins=5)
    assert cpsat._wait_for(slow, slow)
    assert slow.told_to_stop == 3


def test_a_search_that_ends_by_itself_is_not_told_to_stop():
    slow = Slow(joins=2)
    assert not cpsat._wait_for(slow, slow)
    assert slow.told_to_stop == 0


# Ctrl-C


def test_ctrl_c_while_it_is_searched_whether_a_winter_fits_is_heard(monkeypatch):
    pressed(monkeypatch)
    with pytest.raises(KeyboardInterrupt):
        fits.fits(CHAIN, 20, 1)


def test_ctrl_c_while_last_days_are_searched_keeps_what_is_known(monkeypatch):
    pressed(monkeypatch)
    counts = build(TWO_IN_AN_HOUR, makers=()).counts
    part = last_start._Part(TWO_IN_AN_HOUR, [0])
    with pytest.raises(KeyboardInterrupt):
        part.searched((0, 0), counts.workload.sessions[0].day, settings(), 5)


def test_ctrl_c_while_an_aim_is_improved_gives_the_best_plan_so_far(monkeypatch):
    monkeypatch.setattr(improve, "FEW_UNKNOWNS", 0)
    pressed(monkeypatch)
    boxes = [lot(f"boxes {n}", 4, step("scrape", 4, 25)) for n in range(2)]
    schedule = solve(winter(mornings(8, hours=1), *boxes), seconds=20, workers=1)
    assert schedule.stopped
    assert sum(one.pieces for one in schedule.work) == 8


@pytest.mark.parametrize("has", [None, "the best"])
def test_ctrl_c_while_cp_sat_searches_for_an_aim_keeps_the_plan_there_is(monkeypatch, has):
    """Whether it had found something by then or not."""
    monkeypatch.setattr(improve, "FEW_UNKNOWNS", 0)
    minimise = Search.minimise

    def heard(self, *asked, **how):
        found = minimise(self, *asked, **how)
        return replace(found, interrupted=True, point=found.point if has else None)

    monkeypatch.setattr(Search, "minimise", heard)
    schedule = solve(SET_UP, seconds=20, workers=1)
    assert schedule.stopped
    assert sum(one.pieces for one in schedule.work) == 9


def test_a_search_that_comes_to_nothing_leaves_the_plan_there_is(monkeypatch):
    monkeypatch.setattr(improve, "FEW_UNKNOWNS", 0)
    monkeypatch.setattr(Search, "minimise", lambda *_, **__: Found(None, None, proven=False))
    schedule = solve(SET_UP, seconds=20, workers=1)
    assert not schedule.stopped
    assert sum(one.pieces for one in schedule.work) == 9
    assert not schedule.proven


# without time


def test_without_time_it_is_claimed_neither_that_a_winter_fits_nor_that_it_does_not():
    verdict = fits.fits(CHAIN, 0, 1)
    assert (verdict.yes, verdict.no) == (False, False)


def test_counts_that_nobody_can_put_on_the_clock_are_no_plan_and_no_proof_that_there_is_none(monkeypatch):
    monkeypatch.setattr(improve, "MOST_ROUNDS", 1)  # what leaves least is not what is asked
    verdict = fits.fits(CHAIN, 20, 1)
    assert (verdict.yes, verdict.no) == (False, False)


def test_a_search_without_time_finds_nothing_and_says_nothing():
    counts = build(TWO_IN_AN_HOUR, makers=()).counts
    asked = {"hint": None, "workers": 1, "seed": 0}
    assert Search(counts.rows).minimise(Expr(), seconds=0, **asked) == Found(None, None, proven=False)
    found = Search(counts.rows).minimise(Expr(), seconds=20, **asked)
    assert found.proven
    assert [known[0, -1] for known in counts.values(found.point)] == [3]


def test_of_a_winter_of_which_there_is_no_plan_all_is_told_as_left():
    begun = Hunt(build_with_shortfall(TWO_IN_AN_HOUR), settings())
    assert what_is_left(begun) == (Left(0, 0, 3, Leaving.UNDONE),)


def test_by_the_clock_of_work_the_same_is_found_for_the_same_work():
    counts = build(TWO_IN_AN_HOUR).counts
    asked = {"hint": None, "seconds": 1.0, "workers": cpsat.REPEATABLE_WORKERS, "seed": 0}
    aim = build(TWO_IN_AN_HOUR).aims[-1].expr
    one, other = WorkClock(), WorkClock()
    found = [Search(counts.rows).minimise(aim, clock=clock, **asked) for clock in (one, other)]
    assert np.array_equal(found[0].point, found[1].point)
    assert one.elapsed_s() == other.elapsed_s() > 0
