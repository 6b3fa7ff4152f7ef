"""Whatever a keeper writes: it is planned and the plan keeps every promise, or it is said that it does not fit."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings

from offseason.plan.audit import audit
from offseason.plan.make import plan_from
from offseason.scenario.model import Scenario
from offseason.scenario.read import read_scenario
from offseason.scenario.starter import starter_text
from offseason.solver import solve
from offseason.workload.build import build_workload
from offseason.workload.model import Schedule
from tests.shipped_plans import SCENARIOS, shipped
from tests.solver.brute import can_be_done, ways_at_most
from tests.solver.drawn import winters
from tests.solver.milp import possible, second_opinion

QUICK = {"hobby.yaml"}

# The same winters every time, whatever machine the tests run on.
steady = {
    "derandomize": True,
    "database": None,
    "deadline": None,
    "phases": [Phase.generate],
    "suppress_health_check": list(HealthCheck),
}


def promises_broken(scenario: Scenario, schedule: Schedule) -> list[str]:
    plan = plan_from(
        build_workload(scenario),
        schedule,
        scenario_file="winter.yaml",
        scenario_sha256="0" * 64,
        made=datetime(2026, 10, 1, tzinfo=UTC),
        made_with="a test",
    )
    return [broken.text for broken in audit(scenario, plan)]


@pytest.mark.slow
def test_a_winter_is_planned_with_every_promise_kept_or_said_not_to_fit():
    seen = Counter()

    @settings(max_examples=40, **steady)
    @given(winters())
    def each(scenario):
        assume(scenario is not None)
        schedule = solve(build_workload(scenario), seconds=2)
        seen["left"] += bool(schedule.left)
        if schedule.work or not schedule.left:  # else no plan keeps even the promises that have no price
            assert promises_broken(scenario, schedule) == []
            seen["planned"] += 1

    each()
    assert min(seen["left"], seen["planned"]) >= 10, seen


@pytest.mark.slow
def test_of_tiny_winters_it_is_said_truly_whether_they_can_be_done():
    seen = Counter()

    @settings(max_examples=40, **steady)
    @given(winters(days=4, most=3, lots=2, helpers=2, tiny=True))
    def each(scenario):
        assume(scenario is not None)
        workload = build_workload(scenario)
        assume(1 <= len(workload.sessions) <= 4 and ways_at_most(workload) <= 20_000)
        schedule = solve(workload, seconds=2)
        done = can_be_done(workload)
        assert possible(workload) == done
        assert done or schedule.left
        if schedule.work or done:
            assert promises_broken(scenario, schedule) == []
        assert not (schedule.left and schedule.certain and done), "said proven impossible, and it is not"
        seen[done, schedule.certain if schedule.left else schedule.proven] += 1

    each()
    assert min(seen[True, True], seen[False, True]) >= 10, seen


@pytest.mark.slow
def test_of_small_winters_what_is_proven_best_is_the_best_by_a_second_opinion():
    seen = Counter()

    @settings(max_examples=40, **steady)
    @given(winters(days=6, most=8, lots=2))
    def each(scenario):
        assume(scenario is not None)
        workload = build_workload(scenario)
        assume(1 <= len(workload.sessions) <= 12)
        schedule = solve(workload, seconds=2)
        opinion = second_opinion(workload)
        seen[schedule.certain if schedule.left else schedule.proven, opinion is not None] += 1
        assert not (schedule.left and schedule.certain and opinion), "said proven impossible, and it is not"
        if opinion is None:
            assert schedule.left
        elif schedule.proven and not schedule.left:
            assert schedule.left == ()
            assert [aim.reached for aim in schedule.aims[1:]] == pytest.approx(opinion.aims, rel=1e-9, abs=1e-6)
        elif not schedule.left:
            at_bound = True  # what is said of a later aim is said of plans as good in the aims before
            for aim, best in zip(_aims(schedule, opinion), opinion.aims, strict=True):
                assert not at_bound or aim.bound <= best * (1 + 1e-9) + 1e-6, f"{aim}: the second opinion has {best}"
                at_bound = at_bound and aim.reached <= aim.bound

    each()
    assert seen[True, True] >= 12, seen


def _aims(schedule, opinion):
    """The aims after what is left: a winter for which no plan was found at first, and one after all, has one more."""
    return schedule.aims[-len(opinion.aims) :]


def scenario_files():
    files = sorted(SCENARIOS.glob("*.yaml"))
    assert files, f"there are no scenarios in {SCENARIOS}"
    return [pytest.param(f, marks=() if f.name in QUICK else pytest.mark.slow, id=f.stem) for f in files]


@pytest.mark.parametrize("path", scenario_files())
def test_every_solve_is_audited(path):
    winter = shipped(path.stem)
    assert winter.schedule.left == ()
    assert [broken.text for broken in audit(winter.scenario, winter.plan, winter.outlook)] == []


@pytest.mark.slow
def test_the_starter_scenario_plans_as_it_is(tmp_path):
    path = tmp_path / "winter.yaml"
    path.write_text(starter_text(datetime(2026, 10, 1, tzinfo=UTC).date()), encoding="utf-8")
    scenario = read_scenario(path)
    schedule = solve(build_workload(scenario), seconds=8)
    assert schedule.left == ()
    assert promises_broken(scenario, schedule) == []
