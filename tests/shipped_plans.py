"""The scenarios that come with the program, each planned once for all tests that want a plan of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from offseason.plan.document import Plan
from offseason.scenario.model import Scenario
from offseason.scenario.read import read_scenario
from offseason.solver import solve
from offseason.weather.outlook import Outlook
from offseason.weather.winter import settle
from offseason.workload.build import build_workload
from offseason.workload.model import Schedule, Workload
from tests.begun import as_plan

SCENARIOS = Path(__file__).parents[1] / "scenarios"
EFFORT = 3  # so that it is the same plan on every machine


@dataclass(frozen=True)
class Shipped:
    """A winter as it is shipped, its schedule, and the plan made from it."""

    scenario: Scenario
    outlook: Outlook | None
    workload: Workload
    schedule: Schedule
    plan: Plan


@cache
def shipped(name: str) -> Shipped:
    """The scenario of this name, ``hobby`` for one."""
    scenario, outlook = settle(read_scenario(SCENARIOS / f"{name}.yaml"), SCENARIOS)
    workload = build_workload(scenario, outlook)
    schedule = solve(workload, effort=EFFORT)
    return Shipped(scenario, outlook, workload, schedule, as_plan(workload, schedule, outlook))
