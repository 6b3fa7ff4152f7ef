"""Plans by effort: the same winter and effort give the same plan, however fast or busy the machine is."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from itertools import count
from pathlib import Path

import pytest

import offseason.solver
from offseason.cli import main
from offseason.scenario.read import read_scenario
from offseason.solver import clock, solve
from offseason.solver.clock import WallClock, WorkClock
from offseason.solver.cpsat import REPEATABLE_WORKERS, Search
from offseason.solver.hunt import Hunt, Settings
from offseason.solver.model import build
from offseason.solver.relaxation import ITERATION_S, Relaxation
from offseason.weather.winter import settle
from offseason.workload.build import build_workload
from offseason.workload.model import Place, Schedule
from tests.solver.winters import lot, mornings, staying, step, winter

HOBBY = Path(__file__).parents[2] / "scenarios" / "hobby.yaml"
LITTLE, MORE = 0.4, 1.2
"""So little effort that the search for the plan of a hobby yard is cut off, and three times as much."""

IN_A_PROCESS_OF_ITS_OWN = """
from tests.solver.test_effort import LITTLE, hobby_yard, told
from offseason.solver import solve
print(told(solve(hobby_yard(), effort=LITTLE)))
"""
BUSY = "while True: pass"


def hobby_yard():
    return build_workload(*settle(read_scenario(HOBBY), HOBBY.parent))


def told(schedule: Schedule) -> str:
    """All that a schedule says of a winter, without the time that finding it took."""
    return repr(replace(schedule, seconds=0.0, log=()))


@pytest.fixture(scope="module")
def hobby():
    return hobby_yard()


@pytest.fixture(scope="module")
def once(hobby):
    return solve(hobby, effort=LITTLE)


def elsewhere(hash_seed: int) -> str:
    """The plan of the hobby yard as another process makes it."""
    done = subprocess.run(
        [sys.executable, "-c", IN_A_PROCESS_OF_ITS_OWN],
        env={"PYTHONHASHSEED": str(hash_seed), "PYTHONPATH": str(HOBBY.parents[1]), "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return done.stdout.strip()


# the same plan again


@pytest.mark.slow
def test_the_search_that_is_repeated_here_is_cut_off_by_its_effort(once):
    assert once.work
    assert not once.proven


@pytest.mark.slow
def test_on_a_machine_with_another_clock_and_more_workers_to_give_the_plan_is_the_same(hobby, once, monkeypatch):
    wild = count(0, 1_000_000)
    monkeypatch.setattr(clock.time, "monotonic", lambda: float(next(wild)))
    assert told(solve(hobby, effort=LITTLE, workers=7, seconds=0.001)) == told(once)


@pytest.mark.slow
@pytest.mark.parametrize("hash_seed", [1, 2])
def test_the_plan_does_not_hang_on_the_order_in_which_python_keeps_names(once, hash_seed):
    assert elsewhere(hash_seed) == told(once)


@pytest.mark.slow
def test_beside_two_programs_that_take_all_they_can_get_the_plan_is_the_same(once):
    busy = [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(2)]
    try:
        assert elsewhere(0) == told(once)
        assert all(one.poll() is None for one in busy)
    finally:
        for one in busy:
            one.kill()
            one.wait()


@pytest.mark.slow
def test_of_a_winter_that_does_not_fit_the_same_is_left():
    boxes = [lot(f"boxes {n}", 5 + n, step("scrape", 5 + n, 17 + n), step("paint", 5 + n, 23)) for n in range(3)]
    short = winter(mornings(6, hours=1.5), *boxes)
    one, other = (solve(short, effort=2, seconds_if_short=1) for _ in range(2))
    assert one.left
    assert one.certain
    assert told(one) == told(other)


# what effort buys


@pytest.mark.slow
def test_more_effort_is_never_worse_for_a_small_yard(hobby, once):
    better = solve(hobby, effort=MORE)
    assert [aim.reached for aim in better.aims] <= [aim.reached for aim in once.aims]
    assert all(more.gap <= less.gap for more, less in zip(better.aims, once.aims, strict=True))


def test_no_effort_at_all_still_gives_a_plan_that_keeps_every_promise():
    shelf = Place("shelf", holds=2)
    boxes = lot("boxes", 6, step("scrape", 6, 20, stays=staying(0)), step("wax", 6, 5))
    schedule = solve(winter(mornings(8), boxes, places=(shelf,)), effort=0)
    assert schedule.work
    assert not schedule.left


# the clock of work


def test_the_clock_of_work_stands_still_until_work_is_charged():
    work = WorkClock()
    before = work.elapsed_s()
    work.charge(2.5)
    work.charge(-1.0)  # time never goes back
    assert (before, work.elapsed_s()) == (0.0, 2.5)


def test_the_clock_on_the_wall_goes_by_itself_and_knows_no_work(monkeypatch):
    ticks = count(100)
    monkeypatch.setattr(clock.time, "monotonic", lambda: float(next(ticks)))
    wall = WallClock(began=99.0)
    wall.charge(1_000.0)
    assert (wall.elapsed_s(), wall.elapsed_s(), wall.told_s()) == (1.0, 2.0, 3.0)


def test_people_are_told_the_time_on_the_wall_by_either_clock(monkeypatch):
    ticks = count(100)
    monkeypatch.setattr(clock.time, "monotonic", lambda: float(next(ticks)))
    assert WorkClock(began=99.0).told_s() == 1.0


@pytest.mark.slow
def test_every_kind_of_work_is_charged(hobby):
    model, work = build(hobby), WorkClock()
    hunt, aim = Hunt(model, Settings(60, REPEATABLE_WORKERS, 0, lambda _: None, work)), model.aims[-1].expr
    moments = [work.elapsed_s()]
    hunt.first_plan()
    moments.append(work.elapsed_s())
    Relaxation(model.counts.rows).minimise(aim, 60, work)
    moments.append(work.elapsed_s())
    Search(model.counts.rows).minimise(aim, hint=None, seconds=0.3, workers=REPEATABLE_WORKERS, seed=0, clock=work)
    moments.append(work.elapsed_s())
    assert sorted(set(moments)) == moments
    assert moments[-1] < 5  # the search kept to about what it was given, and did not take all there is
    assert hunt.slowest_dispatch_s == pytest.approx(moments[1])


def test_a_relaxation_by_work_is_cut_off_at_a_number_of_steps_and_charged_in_full(hobby):
    model, work = build(hobby), WorkClock()
    terms = sum(map(len, model.counts.rows.row_vars))
    seconds = ITERATION_S * terms * 20
    found = Relaxation(model.counts.rows).minimise(model.aims[-1].expr, seconds, work)
    assert (found.bound, found.point) == (None, None)
    assert work.elapsed_s() == seconds
    assert Relaxation(model.counts.rows).minimise(model.aims[-1].expr, 100 * seconds, work).bound is not None


def test_nothing_in_the_solver_looks_at_the_wall_but_its_clock():
    folder = Path(offseason.solver.__file__).parent
    looking = {
        file.name
        for file in folder.glob("*.py")
        if re.search(r"^\s*(import|from) time\b", file.read_text("utf-8"), re.MULTILINE)
    }
    assert looking == {"clock.py"}


# the command

YARD = """season: {from: 2026-10-05, until: 2026-10-17}
crew:
  Ines: {works: {mon-fri: [09:00-12:00]}}
places:
  bench: {seats: 1}
tasks:
  scrape: {minutes_each: 6, at: bench}
gear:
  brood boxes: {piece: langstroth deep box, count: 20, steps: [scrape]}
"""


@pytest.fixture
def yard(tmp_path):
    file = tmp_path / "winter.yaml"
    file.write_text(YARD, "utf-8")
    return file


def test_plans_by_effort_are_the_same_to_the_byte_but_for_the_day_they_were_made(yard):
    plans = []
    for name, *words in (["one"], ["other", "--workers", "1"]):
        target = yard.with_name(f"{name}.plan.yaml")
        assert main(["plan", str(yard), "--effort", "3", "--quiet", "--to", str(target), *words]) == 0
        plans.append(re.sub(rb"(?m)^made: .*$", b"", target.read_bytes()))
    assert plans[0] == plans[1]


def test_a_plan_says_by_what_it_was_made(yard):
    for words, said in (
        (["--effort", "3", "--seed", "4"], "effort 3, seed 4"),
        (["--seconds", "2", "--workers", "1"], "2 s at most, workers 1, seed 0"),
    ):
        assert main(["plan", str(yard), "--quiet", *words]) == 0
        (line,) = re.findall("(?m)^made_with: .*$", yard.with_suffix(".plan.yaml").read_text("utf-8"))
        assert line.rstrip("'\"").endswith(said)


@pytest.mark.parametrize("words", [["--effort", "9", "--seconds", "60"], ["--seconds", "60", "--effort", "9"]])
def test_effort_and_seconds_together_are_refused_in_a_sentence(words, capsys):
    assert main(["plan", "x.yaml", *words]) == 2
    assert "--effort and --seconds both say when to stop; write one of them." in capsys.readouterr().err


@pytest.mark.parametrize("wrong", ["0", "1.5", "much"])
def test_an_effort_is_a_whole_number(wrong, capsys):
    assert main(["plan", "x.yaml", "--effort", wrong]) == 2
    assert f"--effort: '{wrong}' is not a whole number from 1 up" in capsys.readouterr().err


def test_the_help_says_which_of_the_two_is_repeatable(capsys):
    assert main(["plan", "--help"]) == 0
    help_ = " ".join(capsys.readouterr().out.split())
    assert "How far that gets hangs on the computer, so another time the plan may be another" in help_
    assert "the same scenario, N and version of offseason give the same plan on any computer, however busy" in help_
