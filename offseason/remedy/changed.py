"""A scenario with the changes of a remedy made: pure copies, so that each can be tried and thrown away."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, time, timedelta
from itertools import groupby
from typing import Any, TypeVar

from offseason.remedy.lever import QUARTER_MINUTES, Change, Kind, Lever
from offseason.scenario.entry import Entry
from offseason.scenario.model import Importance, Scenario
from offseason.scenario.words import Days, Hours

ANY_HOUR = Hours(time(0, 0), time(23, 59))
"""What a day under a hired roof is written as: work there needs no other weather at any hour."""

_Hours = tuple[Hours, ...]
E = TypeVar("E", bound=Entry)


def changed(scenario: Scenario, changes: Sequence[Change]) -> Scenario:
    """The scenario, as written or settled, with the changes made one after the other.

    Errors: ValueError, with a sentence, where what a change is about is not in the scenario, or it asks for more help
    or days than its lever has. Whether the result is a scenario that can be planned is not looked at here.
    """
    for change in changes:
        scenario = _MADE[change.lever.kind](scenario, change.lever, change.size)
    return scenario


def help_hours(lever: Lever, size: int) -> tuple[tuple[date, Hours], ...]:
    """The first ``size`` quarters of an hour of the lever's stretches, day by day, joined where they touch."""
    taken: list[tuple[date, Hours]] = []
    wanted = size
    for day, free in lever.slots:
        minutes = min(wanted, (free.minutes[1] - free.minutes[0]) // QUARTER_MINUTES) * QUARTER_MINUTES
        if minutes > 0:
            taken.append((day, Hours.of_minutes(free.minutes[0], free.minutes[0] + minutes)))
            wanted -= minutes // QUARTER_MINUTES
    if wanted > 0:
        raise ValueError(f"{lever.about[:60]} has no {size * QUARTER_MINUTES} minutes to spare in these hours")
    by_day = groupby(sorted(taken), key=lambda one: one[0])
    return tuple((day, hours) for day, of_day in by_day for hours in _joined(h for _, h in of_day))


def hired_days(lever: Lever, size: int) -> tuple[date, ...]:
    """The first ``size`` days that would be hired, in order of the calendar."""
    if size > len(lever.days):
        raise ValueError(f"there are only {len(lever.days)} days on which a roof would help '{lever.about[:60]}'")
    return tuple(sorted(lever.days[:size]))


def due_day(scenario: Scenario, lever: Lever) -> date:
    """The day by which the lot or job of a LATER lever has to be ready, or the last of the season."""
    if not lever.about:
        return scenario.season.until
    if lever.job:
        return _of("job", scenario.jobs, lever.about).by or scenario.season.until
    return _of("lot of gear", scenario.gear, lever.about).ready_by or scenario.season.until


def _space(scenario: Scenario, lever: Lever, size: int) -> Scenario:
    holds = _of("place", scenario.places, lever.about).holds
    if holds is None:
        raise ValueError(f"'{lever.about[:60]}' does not hold anything, so it cannot hold more")
    more = type(holds)(holds.spaces + size, holds.unit)
    return _with(scenario, "places", lever.about, holds=more)


def _seats(scenario: Scenario, lever: Lever, size: int) -> Scenario:
    seats = _of("place", scenario.places, lever.about).seats
    if seats is None:
        raise ValueError(f"nobody works at '{lever.about[:60]}', so it cannot have more seats")
    return _with(scenario, "places", lever.about, seats=seats + size)


def _help(scenario: Scenario, lever: Lever, size: int) -> Scenario:
    also: Mapping[Days, _Hours] = _of("person", scenario.crew, lever.about).also
    for day, hours in help_hours(lever, size):
        also = _with_hours(also, day, hours)
    return _with(scenario, "crew", lever.about, also=also)


def _with_hours(also: Mapping[Days, _Hours], day: date, more: Hours) -> dict[Days, _Hours]:
    """The hours besides with more of them on one day; a stretch of days around it is parted, no day told twice."""
    held = next((days for days in also if day in days), None)
    found = {days: hours for days, hours in also.items() if days != held}
    found[Days(day, day)] = _joined([*(also[held] if held else ()), more])
    if held and held.first < day:
        found[Days(held.first, day - timedelta(days=1))] = also[held]
    if held and day < held.last:
        found[Days(day + timedelta(days=1), held.last)] = also[held]
    return found


def _indoors(scenario: Scenario, lever: Lever, size: int) -> Scenario:
    windows = scenario.weather.windows
    hired = {Days(day, day): (ANY_HOUR,) for day in hired_days(lever, size)}
    of_need = {**windows.get(lever.about, {}), **hired}
    weather = scenario.weather.model_copy(update={"windows": {**windows, lever.about: of_need}})
    return scenario.model_copy(update={"weather": weather})


def _earlier(scenario: Scenario, lever: Lever, size: int) -> Scenario:
    arrives = _of("lot of gear", scenario.gear, lever.about).arrives or scenario.season.from_
    return _with(scenario, "gear", lever.about, arrives=arrives - timedelta(days=size))


def _later(scenario: Scenario, lever: Lever, size: int) -> Scenario:
    day = due_day(scenario, lever) + timedelta(days=size)
    if not lever.about:
        return scenario.model_copy(update={"season": scenario.season.model_copy(update={"until": day})})
    if lever.job:
        return _with(scenario, "jobs", lever.about, by=day)
    return _with(scenario, "gear", lever.about, ready_by=day)


def _optional(scenario: Scenario, lever: Lever, _: int) -> Scenario:
    if lever.job:
        _of("job", scenario.jobs, lever.about)
        return _with(scenario, "jobs", lever.about, importance=Importance.SHOULD)
    known = _of("lot of gear", scenario.gear, lever.about).optional
    more = tuple(step for step in lever.steps if step not in known)
    return _with(scenario, "gear", lever.about, optional=(*known, *more))


def _fewer(scenario: Scenario, lever: Lever, size: int) -> Scenario:
    count = _of("lot of gear", scenario.gear, lever.about).count
    return _with(scenario, "gear", lever.about, count=count - size)


_MADE: Mapping[Kind, Callable[[Scenario, Lever, int], Scenario]] = {
    Kind.SPACE: _space,
    Kind.SEATS: _seats,
    Kind.HELP: _help,
    Kind.INDOORS: _indoors,
    Kind.EARLIER: _earlier,
    Kind.LATER: _later,
    Kind.OPTIONAL: _optional,
    Kind.FEWER: _fewer,
}


def _of(what: str, entries: Mapping[str, E], name: str) -> E:
    entry = entries.get(name)
    if entry is None:
        raise ValueError(f"there is no {what} '{name[:60]}' in the scenario")
    return entry


def _with(scenario: Scenario, section: str, name: str, **update: Any) -> Scenario:
    entries = getattr(scenario, section)
    return scenario.model_copy(update={section: {**entries, name: entries[name].model_copy(update=update)}})


def _joined(stretches: Iterable[Hours]) -> _Hours:
    """In order of time, those that touch or overlap as one."""
    joined: list[Hours] = []
    for one in sorted(stretches):
        if joined and one.start <= joined[-1].end:
            joined[-1] = Hours(joined[-1].start, max(joined[-1].end, one.end))
        else:
            joined.append(one)
    return tuple(joined)
