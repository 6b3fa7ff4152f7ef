"""The hours of the winter cut into sessions: stretches with the same people present and the same weather fit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from offseason.scenario.hours import hours_on, season_days
from offseason.scenario.model import Scenario
from offseason.scenario.words import Hours
from offseason.weather.windows import fit_hours
from offseason.workload.model import Session

DAY_S = 86_400

Spans = list[tuple[int, int]]


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


def hours_shown(scenario: Scenario, day: date) -> list[int]:
    """The hour the clock shows in each elapsed hour of the day: 0 to 23, one left out or twice where clocks change."""
    starts_s, ends_s = day_starts_s(scenario, day), day_ends_s(scenario, day)
    if ends_s - starts_s == DAY_S:
        return list(range(24))
    return [_shown(scenario, second).hour for second in range(starts_s, ends_s, 3_600)]


def sessions_of(scenario: Scenario) -> tuple[Session, ...]:
    """All sessions of the winter, in order of time."""
    needs = {t.weather for t in scenario.tasks.values()} | {j.weather for j in scenario.jobs.values()}
    needs |= {r.weather for r in scenario.rounds.values()}
    liked = sorted({t.likes_weather for t in scenario.tasks.values() if t.likes_weather is not None})
    found: list[Session] = []
    for day in season_days(scenario.season.from_, scenario.season.until):
        present = [_spans(scenario, day, hours_on(helper, day)) for helper in scenario.crew.values()]
        if any(present):
            hours_fit = fit_hours(scenario.weather, day)
            fit = {need: _spans(scenario, day, hours) for need, hours in hours_fit.items() if need in needs}
            likes = {need: _spans(scenario, day, hours_fit.get(need, ())) for need in liked}
            found.extend(replace(s, liked=_liked(s, likes)) for s in _sessions_on(scenario, day, present, fit))
    return tuple(found)


def _liked(session: Session, likes: dict[str, Spans]) -> tuple[tuple[str, int], ...]:
    """For each kind of weather that work likes, per mille of the session that have it."""
    found = []
    for need, spans in likes.items():
        inside_s = sum(max(0, min(end, session.ends_s) - max(start, session.starts_s)) for start, end in spans)
        found.append((need, 1000 * inside_s // session.length_s))
    return tuple(found)


def _spans(scenario: Scenario, day: date, hours: Iterable[Hours]) -> Spans:
    """Hours of a day in elapsed seconds. An end that the clock shows twice is meant the second time.

    Hours that lie wholly in the hour left out in spring are nobody's.
    """
    combined = [(datetime.combine(day, h.start), datetime.combine(day, h.end).replace(fold=1)) for h in hours]
    spans = [(elapsed_s(scenario, start), elapsed_s(scenario, end)) for start, end in combined]
    return [(start, end) for start, end in spans if start < end]


def _sessions_on(scenario: Scenario, day: date, present: list[Spans], fit: dict[str, Spans]) -> Iterator[Session]:
    change_s = _clock_change_s(scenario, day)
    edges = {edge for spans in (*present, *fit.values()) for span in spans for edge in span}
    merged: list[tuple[int, int, tuple[int, ...], frozenset[str]]] = []
    for start, end in pairwise(sorted(edges if change_s is None else edges | {change_s})):
        helpers = tuple(i for i, spans in enumerate(present) if _within(start, end, spans))
        needs = frozenset(need for need, spans in fit.items() if _within(start, end, spans))
        if helpers:
            if merged and merged[-1][1:] == (start, helpers, needs) and start != change_s:
                merged[-1] = (merged[-1][0], end, helpers, needs)
            else:
                merged.append((start, end, helpers, needs))
    for start, end, helpers, needs in merged:
        yield Session(day, start, end, helpers, needs, (_shown(scenario, start), _shown(scenario, end)))


def _within(start: int, end: int, spans: Spans) -> bool:
    return any(one <= start and end <= two for one, two in spans)


def _clock_change_s(scenario: Scenario, day: date) -> int | None:
    """When the clocks change on that day: a session ends there, so that the wall clock runs evenly in each."""
    starts_s, ends_s = day_starts_s(scenario, day), day_ends_s(scenario, day)
    if ends_s - starts_s == DAY_S:
        return None
    midnight = _shown(scenario, starts_s)
    uneven = (
        s for s in range(starts_s, ends_s, 60) if _shown(scenario, s) != midnight + timedelta(seconds=s - starts_s)
    )
    return next(uneven, None)


def _shown(scenario: Scenario, seconds: int) -> datetime:
    """What the wall clock shows; ``fold`` 1 where it shows it for the second time."""
    zone = zone_of(scenario)
    start = datetime.combine(scenario.season.from_, datetime.min.time())
    if zone is None:
        return start + timedelta(seconds=seconds)
    moment = start.replace(tzinfo=zone).astimezone(UTC) + timedelta(seconds=seconds)
    return moment.astimezone(zone).replace(tzinfo=None)
