"""Past winters made up for rehearsals: on which days of the season painting was possible."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

import numpy as np

from offseason.plan.document import Plan
from offseason.plan.make import plan_from
from offseason.rehearsal import Asked, Stage
from offseason.scenario.model import Scenario
from offseason.scenario.words import Hours
from offseason.solver import solve
from offseason.weather.outlook import Air, Outlook
from offseason.weather.winter import settled
from offseason.workload.build import build_workload
from offseason.workload.model import Workload

DAY = timedelta(days=1)


@dataclass(frozen=True)
class MadeUp:
    """Winters by year, each the days on which it is fit for painting from nine to noon; ``plan``: those planned with.

    ``beyond``: the days counted on beyond the forecast; where it is None, those of the plan.
    """

    scenario: Scenario
    plan: tuple[date, ...]
    past: dict[int, tuple[date, ...]]
    beyond: tuple[date, ...] | None = None

    @property
    def years(self) -> tuple[int, ...]:
        return tuple(self.past)

    def outlook(self) -> Outlook:
        return self._fit_on(self.plan)

    def as_it_was(self, year: int) -> Outlook:
        return self._fit_on(self.past[year])

    def as_known(self, year: int, day: date, forecast_days: int) -> Outlook:
        last = day + forecast_days * DAY
        known = [d for d in self.past[year] if d <= last]
        beyond = self.plan if self.beyond is None else self.beyond
        return self._fit_on((*known, *(d for d in beyond if d > last)))

    def _fit_on(self, days: tuple[date, ...]) -> Outlook:
        season = self.scenario.season
        number = (season.until - season.from_).days + 1
        every = [season.from_ + n * DAY for n in range(number)]
        windows = {"painting": {d: (Hours(time(9), time(12)),) if d in days else () for d in every}}
        unknown = np.full((number, 24), np.nan)
        return Outlook(windows, Air(season.from_, unknown, unknown, np.full(number, np.nan)), None, ())


def workload_of(winters: MadeUp, outlook: Outlook) -> Workload:
    return build_workload(settled(winters.scenario, outlook), outlook)


def planned(winters: MadeUp) -> Plan:
    workload = workload_of(winters, winters.outlook())
    return as_plan(workload, solve(workload, effort=2))


def as_plan(workload: Workload, schedule) -> Plan:
    return plan_from(
        workload,
        schedule,
        scenario_file="winter.yaml",
        scenario_sha256="0" * 64,
        made=datetime(2026, 10, 1, tzinfo=UTC),
        made_with="by test",
    )


def stage_of(winters: MadeUp) -> Stage:
    return Stage.of(winters.scenario, winters, planned(winters), Asked())
