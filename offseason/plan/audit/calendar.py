"""Who is there when, and when the weather is fit: read from the scenario alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from offseason.plan.audit.clock import Clock, Span, merged
from offseason.scenario.model import HelperEntry, Scenario
from offseason.scenario.words import Days, Hours


@dataclass(frozen=True)
class Calendar:
    """Hours of each helper on each day of the season in elapsed seconds, and the stretches when anyone is there.

    ``single``, ``around``: hours fit for a need as written for one day, and for spans of days.
    """

    clock: Clock
    hours: Mapping[tuple[str, date], tuple[Span, ...]]
    stretches: Mapping[date, tuple[Span, ...]]
    single: Mapping[tuple[str, date], tuple[Hours, ...]]
    around: Mapping[str, tuple[tuple[Days, tuple[Hours, ...]], ...]]

    def of(self, helper: str, day: date) -> tuple[Span, ...]:
        """When this helper is there; nothing outside the season."""
        return self.hours.get((helper, day), ())

    def fit(self, need: str, day: date) -> tuple[Span, ...]:
        """When the weather is fit for this need: what is written for the day itself, else for spans around it."""
        written = self.single.get((need, day))
        if written is None:
            written = tuple(h for days, hours in self.around.get(need, ()) if day in days for h in hours)
        return merged(on_clock(self.clock, day, h) for h in written)


def calendar_of(scenario: Scenario, clock: Clock) -> Calendar:
    """The calendar of a season."""
    hours: dict[tuple[str, date], tuple[Span, ...]] = {}
    stretches: dict[date, tuple[Span, ...]] = {}
    for day in Days(scenario.season.from_, scenario.season.until).each():
        for name, helper in scenario.crew.items():
            hours[name, day] = merged(on_clock(clock, day, h) for h in written_hours(helper, day))
        stretches[day] = merged(span for name in scenario.crew for span in hours[name, day])
    windows = scenario.weather.windows
    single = {(need, on.first): fit for need, days in windows.items() for on, fit in days.items() if _is_one(on)}
    around = {need: tuple((on, fit) for on, fit in days.items() if not _is_one(on)) for need, days in windows.items()}
    return Calendar(clock, hours, stretches, single, around)


def _is_one(days: Days) -> bool:
    return days.first == days.last


def written_hours(helper: HelperEntry, day: date) -> list[Hours]:
    """Weekly hours and those added for the day; none where the helper is away."""
    if is_away(helper, day):
        return []
    weekly = [h for weekdays, hours in helper.works.items() if day.weekday() in weekdays for h in hours]
    return weekly + [h for days, hours in helper.also.items() if day in days for h in hours]


def is_away(helper: HelperEntry, day: date) -> bool:
    """Whether the day lies in an absence."""
    return any(day in days for days in helper.away)


def on_clock(clock: Clock, day: date, hours: Hours) -> Span:
    """Hours of a day in elapsed seconds; an end that the clock shows twice is meant the second time."""
    return clock.at(day, hours.start), clock.at(day, hours.end.replace(fold=1))
