"""The winter for which remedies are looked for: as it is settled and begun, and as it would be with changes made."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime

from offseason.plan.document import Plan
from offseason.plan.make import plan_from
from offseason.remedy.changed import changed
from offseason.remedy.lever import Change
from offseason.scenario.model import Scenario
from offseason.weather.outlook import Outlook
from offseason.workload.build import build_workload
from offseason.workload.model import Schedule, Work, Workload


def _any(_: Sequence[Change]) -> bool:
    return True


def _not_begun(workload: Workload) -> Workload:
    return workload


def _nothing_done(_: Workload, plan: Plan) -> Plan:
    return plan


@dataclass(frozen=True)
class Yard:
    """A settled scenario and what its records tell beyond it.

    ``begun``: what makes a workload one of a winter that has begun; ``today``: then nothing before it can be changed;
    ``after_done``: puts what is done of a workload that has not begun before the plan of the rest of it.
    ``allowed``: whether a scenario with these changes is one that can be read.
    """

    scenario: Scenario
    outlook: Outlook | None = None
    begun: Callable[[Workload], Workload] = _not_begun
    today: date | None = None
    allowed: Callable[[Sequence[Change]], bool] = _any
    after_done: Callable[[Workload, Plan], Plan] = _nothing_done

    def workload(self, changes: Sequence[Change] = ()) -> Workload:
        """The winter with these changes made."""
        return self.begun(self._whole(changes))

    def plan(self, work: Sequence[Work], changes: Sequence[Change] = ()) -> Plan:
        """A plan of this work in the winter with these changes made, as the audit needs it: what is done is in it."""
        whole = self._whole(changes)
        schedule = Schedule(tuple(work), aims=())
        made = datetime.now(UTC)
        planned = plan_from(self.begun(whole), schedule, scenario_file="", scenario_sha256="", made=made, made_with="")
        return self.after_done(whole, planned)

    def _whole(self, changes: Sequence[Change]) -> Workload:
        return build_workload(self.with_changes(changes), self.outlook)

    def with_changes(self, changes: Sequence[Change]) -> Scenario:
        """The scenario with these changes made."""
        return changed(self.scenario, changes) if changes else self.scenario

    @property
    def first_day(self) -> date:
        """The first day on which anything can be different."""
        return self.today or self.scenario.season.from_
