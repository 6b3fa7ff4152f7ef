"""The hours of the winter cut into sessions: stretches with the same people present and the same weather fit."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from functools import partial
from itertools import pairwise
from zoneinfo import ZoneInfo

from offseason.scenario.hours import hours_on, season_days
from offseason.scenario.model import Scenario
from offseason.scenario.words import Hours
from offseason.weather.windows import fit_hours
from offseason.workload.model import Session


def zone_of(scenario: Scenario) -> ZoneInfo | None:
    """The time zone of the yard; None: clocks never change."""
    return ZoneInfo(scenario.season.timezone) if scenario.season.timezone else None


def elapsed_s(scenario: Scenario, moment: datetime) -> int:
    """Seconds from 00:00 of the first day of the season to a local wall-clock moment, by true elapsed time."""
    zone = zone_of(scenario)
    start = datetime.combine(scenario.season.from_, datetime.min.time())
    if zone is None:
        return round((moment - start).total_seconds())
    return round(moment.replace(tzinfo=zone).timestamp() - start.replace(tzinfo=zone).timestamp())


def day_starts_s(scenario: Scenario, day: date) -> int:
    """Seconds from the start of the season to 00:00 of the day."""
    return elapsed_s(scenario, datetime.combine(day, datetime.min.time()))


def day_ends_s(scenario: Scenario, day: date) -> int:
    """Seconds from the start of the season to the end of the day."""
    return day_starts_s(scenario, day + timedelta(days=1))


def sessions_of(scenario: Scenario) -> tuple[Session, ...]:
    """All sessions of the winter, in order of time."""
    needs = {t.weather for t in scenario.tasks.values()} | {j.weather for j in scenario.jobs.values()}
    needs |= {r.weather for r in scenario.rounds.values()}
    found: list[Session] = []
    for day in season_days(scenario.season.from_, scenario.season.until):
        present = [tuple(hours_on(helper, day)) for helper in scenario.crew.values()]
        if any(present):
            fit = {need: hours for need, hours in fit_hours(scenario.weather, day).items() if need in needs}
            found.extend(_sessions_on(scenario, day, present, fit))
    return tuple(found)


def _sessions_on(
    scenario: Scenario, day: date, present: list[tuple[Hours, ...]], fit: dict[str, tuple[Hours, ...]]
) -> Iterator[Session]:
    stretches = [h for hours in (*present, *fit.values()) for h in hours]
    edges = sorted({edge for h in stretches for edge in (h.start, h.end)})
    at = partial(datetime.combine, day)
    merged: list[tuple[datetime, datetime, tuple[int, ...], frozenset[str]]] = []
    for start, end in pairwise(edges):
        helpers = tuple(i for i, hours in enumerate(present) if any(h.start <= start and end <= h.end for h in hours))
        needs = frozenset(n for n, hours in fit.items() if any(h.start <= start and end <= h.end for h in hours))
        if helpers:
            if merged and merged[-1][1:] == (at(start), helpers, needs):
                merged[-1] = (merged[-1][0], at(end), helpers, needs)
            else:
                merged.append((at(start), at(end), helpers, needs))
    for begins, ends, helpers, needs in merged:
        for one, two in _split_where_clocks_change(scenario, begins, ends):
            starts_s, ends_s = elapsed_s(scenario, one), elapsed_s(scenario, two)
            if ends_s > starts_s:
                yield Session(day, starts_s, ends_s, helpers, needs, (one, two))


def _split_where_clocks_change(
    scenario: Scenario, begins: datetime, ends: datetime
) -> Iterator[tuple[datetime, datetime]]:
    """Parts of a stretch in each of which the wall clock runs evenly.

    In spring the skipped hour is nobody's. In autumn the hour shown twice is worked twice: the second time has
    ``fold`` 1.
    """
    zone = zone_of(scenario)
    if zone is None or begins.replace(tzinfo=zone).utcoffset() == ends.replace(tzinfo=zone).utcoffset():
        yield begins, ends
        return
    first = begins.replace(tzinfo=zone).astimezone(UTC)
    last = ends.replace(tzinfo=zone).astimezone(UTC)
    change = first
    while change < last and change.astimezone(zone).utcoffset() == first.astimezone(zone).utcoffset():
        change += timedelta(minutes=1)
    shown_until = begins + (change - first)
    if change > first:
        yield begins, shown_until
    if change < last:
        yield change.astimezone(zone).replace(tzinfo=None), ends
