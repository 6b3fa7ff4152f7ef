"""Past winters lived several at a time, stopped half-way, with weeks in which nobody is there and combs treated again.

Processes of their own are slow to start: here the winters are handed out as they are to these, and lived in this one.
"""

from __future__ import annotations

import signal
from concurrent.futures import Future
from datetime import date
from typing import Self

import pytest

from offseason.plan.rehearsed import WinterLived
from offseason.rehearsal import Progress, rehearse, side_by_side
from offseason.rehearsal.replay import Stage, live
from tests.plan.winters import winter
from tests.rehearsed import MadeUp, stage_of

AWAY = "2026-10-12..2026-10-18"
YARD = f"""
season: {{name: Winter at Farrow Weir, from: 2026-10-05, until: 2026-11-08}}
moths: {{season_starts: 2026-10-27, season_ends: 2026-10-01}}
crew:
  Ines: {{works: {{mon-fri: 09:00-12:00}}, away: [{AWAY}]}}
places:
  rack: {{holds: 30, celsius: 20, humidity_percent: 50}}
  loft: {{}}
tasks:
  coat: {{minutes_each: 6, weather: painting, paint: latex, then: {{dries: latex, on: rack}}}}
  treat: {{minutes_each: 2, protects: 20 d, treatment: acetic acid 80 %, authorised: true}}
gear:
  boxes: {{piece: langstroth deep box, count: 24, last_painted: never, steps: [coat]}}
  combs: {{piece: medium comb, count: 20, comb: brood, rests: loft, steps: [treat]}}
"""
FIT = tuple(date(2026, 10, d) for d in (7, 8, 20, 21))
LATE = (date(2026, 10, 28), date(2026, 10, 29))


@pytest.fixture(scope="module")
def stage() -> Stage:
    return stage_of(MadeUp(winter(YARD), FIT, {2019: FIT, 2020: LATE, 2021: ()}))


@pytest.fixture(scope="module")
def one_after_another(stage):
    return rehearse(stage, workers=1)


def deaf() -> bool:
    """Whether Ctrl-C is put off until later, where the system can do that."""
    return hasattr(signal, "pthread_sigmask") and signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, ())


class Handed:
    """Takes the place of a pool of processes: what was handed in is done one by one, each time somebody looks."""

    def __init__(self, _workers, _context, enter, words) -> None:
        enter(*words)
        self.work: dict[Future[WinterLived | None], tuple] = {}
        self.deaf: set[bool] = set()
        self.looked = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_) -> None:
        pass

    def submit(self, task, *words) -> Future[WinterLived | None]:
        self.deaf.add(deaf())
        self.work[made := Future()] = (task, words)
        return made

    def look(self, waiting, *_) -> tuple[set, set]:
        self.looked += 1
        if self.looked == 1:
            return set(), set(waiting)
        first = next(iter(waiting))
        self.finish(first)
        return {first}, set(waiting) - {first}

    def finish(self, one: Future[WinterLived | None]) -> WinterLived | None:
        task, words = self.work[one]
        one.set_result(task(*words))
        return one.result()

    def shutdown(self, **_) -> None:
        self.shut = True


@pytest.fixture
def pool(monkeypatch):
    """The pool that the next rehearsal begins."""
    begun: list[Handed] = []

    def begin(*words) -> Handed:
        begun.append(Handed(*words))
        monkeypatch.setattr(side_by_side, "wait", begun[0].look)
        return begun[0]

    monkeypatch.setattr(side_by_side, "ProcessPoolExecutor", begin)
    before = signal.getsignal(signal.SIGINT)
    yield begun
    signal.signal(signal.SIGINT, before)


def test_several_at_a_time_they_come_to_the_same_as_one_after_another(stage, one_after_another, pool):
    told: list[Progress] = []
    assert rehearse(stage, workers=2, on_progress=told.append) == one_after_another
    assert [one.winters for one in told] == [0, 1, 2, 3]
    assert [one.share for one in told] == [0, 1 / 3, 2 / 3, 1]
    assert pool[0].shut


def test_ctrl_c_is_left_to_the_process_that_began_the_others(stage, pool):
    with pytest.raises(KeyboardInterrupt):
        rehearse(stage, workers=2, on_progress=stopping_at(0))
    assert pool[0].deaf == {True}
    assert signal.getsignal(signal.SIGINT) == signal.SIG_IGN, "in each of the processes"
    assert not deaf()


def test_where_a_system_cannot_be_deaf_for_a_while_they_are_lived_all_the_same(
    stage, one_after_another, pool, monkeypatch
):
    monkeypatch.delattr(signal, "pthread_sigmask")
    found = rehearse(stage, workers=2, on_progress=stopping_at(1))
    assert found.winters == one_after_another.winters[:1]
    assert pool[0].deaf == {False}


def stopping_at(winters: int):
    def stop(at: Progress) -> None:
        if at.winters == winters:
            raise KeyboardInterrupt

    return stop


def test_stopped_after_two_it_tells_of_these_and_the_third_is_given_up(stage, one_after_another, pool):
    found = rehearse(stage, workers=2, on_progress=stopping_at(2))
    assert found.winters == one_after_another.winters[:2]
    assert found.asked == 3
    (third,) = [one for one in pool[0].work if not one.done()]
    assert pool[0].finish(third) is None


def test_stopped_before_the_first_is_over_there_is_nothing_to_tell(stage, pool):
    with pytest.raises(KeyboardInterrupt):
        rehearse(stage, workers=2, on_progress=stopping_at(0))
    assert pool[0].shut


def test_a_winter_that_is_given_up_has_no_end_to_tell(stage):
    weeks = iter([True, True, False])
    assert live(stage, 2019, lambda: next(weeks)) is None


def test_in_a_week_in_which_nobody_is_there_nothing_is_done_and_the_rest_goes_on_as_planned(one_after_another):
    own = one_after_another.winters[0]
    assert own.all_in_time
    assert {one.days_later for one in own.works} == {0}
    assert own.finished == one_after_another.planned


def test_combs_treated_again_where_that_falls_due_are_not_told_as_planned_work(stage, one_after_another):
    renewals = [step for lot in stage.planned.lots for step in lot.steps if step.worth == 0]
    assert renewals
    for lived in one_after_another.winters:
        (treated,) = [one for one in lived.works if one.step == "treat"]
        assert (treated.wanted, treated.done) == (20, 20)
        assert lived.comb_in_time
