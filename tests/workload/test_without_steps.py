"""Gear that nothing is done to: it stays where it is, and what is planned or left beside it is told all the same."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from offseason.plan.audit import audit
from offseason.plan.make import plan_from
from offseason.scenario.read import parse_scenario
from offseason.solver import solve
from offseason.workload.build import build_workload

WINTER = """
season: {from: 2026-10-05, until: 2026-11-02}
moths: {season_starts: 2027-04-20}
crew: {Ines: {works: {mon: 09:00-12:00}}}
"""

FOULBROOD = """
places: {locked box: {holds: 20}}
gear: {sick combs: {piece: deep comb, count: 10, foulbrood: suspected, rests: locked box}}
"""

COLD_STORE = """
places: {cellar: {holds: 20, celsius: 8}}
gear: {combs: {piece: deep comb, comb: dry, count: 10, rests: cellar}}
rounds: {look over comb: {every: 30 d, minutes: 10, looks_at: cellar}}
"""

JOB = "jobs: {mend the fence: {hours: %d}}\n"


@pytest.mark.parametrize("gear", [FOULBROOD, COLD_STORE], ids=["foulbrood", "comb in the cold"])
def test_gear_without_steps_is_left_alone_and_a_job_beside_it_is_planned(gear):
    scenario = parse_scenario(WINTER + gear + JOB % 3, "winter.yaml")
    workload = build_workload(scenario)
    assert workload.lots[0].steps == ()
    schedule = solve(workload, seconds=5)
    assert schedule.left_undone == ()
    plan = plan_from(
        workload,
        schedule,
        scenario_file="winter.yaml",
        scenario_sha256="",
        made=datetime(2026, 10, 1, tzinfo=UTC),
        made_with="test",
    )
    assert audit(scenario, plan) == ()
    assert {row.lot for row in plan.rows} - {"look over comb"} == {"mend the fence"}


@pytest.mark.parametrize(("gear", "quarters"), [(FOULBROOD, 60), (COLD_STORE, 61)], ids=["foulbrood", "cold comb"])
def test_of_a_job_too_long_for_the_winter_it_is_told_what_is_left_beside_gear_without_steps(gear, quarters):
    # five Mondays of three hours are 60 quarters of an hour, less the look at the comb; thirty hours are 120
    schedule = solve(build_workload(parse_scenario(WINTER + gear + JOB % 30, "winter.yaml")), seconds=5)
    assert schedule.certain
    assert schedule.aims[0].reached == sum(pieces for _, _, pieces in schedule.left_undone) == quarters


def test_comb_that_nothing_is_done_to_and_nothing_protects_is_told_as_at_risk():
    # no file says so (the checks name it first); the numbers behind it are priced, and nothing breaks
    workload = build_workload(parse_scenario(WINTER + COLD_STORE + JOB % 3, "winter.yaml"))
    comb = replace(workload.lots[0], protected=False)
    schedule = solve(replace(workload, lots=(comb, *workload.lots[1:])), seconds=5)
    assert schedule.certain
    assert schedule.aims[0].reached == 10 * 1_000  # a comb left open weighs as much as a thousand pieces of work
