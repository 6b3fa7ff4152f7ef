"""What every check of the audit looks at: the scenario, what follows from it, and the plan on the true clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from offseason.plan.audit.broken import moment_text
from offseason.plan.audit.calendar import Calendar, calendar_of
from offseason.plan.audit.clock import Clock
from offseason.plan.audit.timeline import Timeline, timeline_of
from offseason.plan.audit.yard import Yard, yard_of
from offseason.plan.document import How, LeftOver, Plan
from offseason.scenario.model import Scenario
from offseason.weather.outlook import Outlook


@dataclass(frozen=True)
class Case:
    """One scenario and one plan, read for the audit."""

    scenario: Scenario
    yard: Yard
    calendar: Calendar
    timeline: Timeline
    since: datetime | None = None
    left: tuple[LeftOver, ...] = ()

    @property
    def since_s(self) -> int:
        """The moment from which the winter was planned anew; 0: a plan of the whole winter."""
        return 0 if self.since is None else self.clock.at(self.since.date(), self.since.time())

    @property
    def begins_s(self) -> int:
        """When somebody can first be at work from then on: what is due before cannot be helped any more."""
        stretches = (span for spans in self.calendar.stretches.values() for span in spans)
        moments = (max(first, self.since_s) for first, last in stretches if last > self.since_s)
        return min(moments, default=self.since_s)

    @property
    def begins_day(self) -> date:
        """The day on which somebody can first be at work from then on."""
        if self.since is None:
            return self.scenario.season.from_
        spans = self.calendar.stretches.items()
        return min((day for day, some in spans if any(last > self.since_s for _, last in some)), default=self.since_day)

    @property
    def since_day(self) -> date:
        """The day from which the winter was planned anew."""
        return self.scenario.season.from_ if self.since is None else self.since.date()

    @property
    def clock(self) -> Clock:
        """The clock of the season."""
        return self.timeline.clock

    def declared(self, lot: str, step: str, how: How) -> int:
        """Pieces of a step that the plan says it leaves so."""
        return sum(one.pieces for one in self.left if (one.lot, one.step, one.how) == (lot, step, how))

    def declared_open(self, lot: str) -> int:
        """Combs that the plan says it leaves open: whatever the step that makes them safe, they are the same combs."""
        return max((one.pieces for one in self.left if (one.lot, one.how) == (lot, "open")), default=0)

    def declared_too_few(self, place: str) -> tuple[int, int]:
        """Spaces that the plan says a place has too few, and the moment from which on; 0 where it says nothing."""
        said = [one for one in self.left if one.how == "overfull" and one.place == place and one.since is not None]
        if not said:
            return 0, 0
        first = min(one.since for one in said if one.since is not None)
        return sum(one.pieces for one in said), self.clock.midnight_before(first)

    def when(self, elapsed_s: float) -> str:
        """A moment as the wall clock shows it."""
        return moment_text(self.clock.shows(elapsed_s))


def case_of(scenario: Scenario, plan: Plan, outlook: Outlook | None) -> Case:
    """Reads a scenario and a plan for the audit, in the weather to be expected (None: not known)."""
    zone = scenario.season.timezone
    clock = Clock(scenario.season.from_, ZoneInfo(zone) if zone else None)
    yard = yard_of(scenario, clock, outlook)
    return Case(scenario, yard, calendar_of(scenario, clock), timeline_of(plan, yard, clock), plan.since, plan.left)
