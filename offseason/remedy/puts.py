"""What has to be written where, so that a scenario as it was becomes the one with a remedy made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from offseason.plan.layout import name_text
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.words import Days, Holds, Hours
from offseason.scenario.yaml_tree import Path

_ByDays = Mapping[Days, tuple[Hours, ...]]


@dataclass(frozen=True)
class Put:
    """A value that is to stand at ``path``, as text and as plain data, and the comment about it ("": none).

    ``instead_of``: the days it was written under before, where those are parted.
    """

    path: Path
    text: str
    data: Any
    note: str
    instead_of: Days | None = None


def puts_of(before: Scenario, after: Scenario) -> Iterator[Put]:
    """What has to be written, in the order of the scenario."""
    if after.season.until != before.season.until:
        days = (after.season.until - before.season.until).days
        yield _day(("season", "until"), after.season.until, f"{_days(days)} more; until was {before.season.until}")
    for name, helper in after.crew.items():
        yield from _also(name, before.crew[name].also, helper.also)
    for name, place in after.places.items():
        yield from _place(("places", name), before.places[name].holds, place.holds)
        old, new = before.places[name].seats, place.seats
        if old is not None and new is not None and new != old:
            yield _number(("places", name, "seats"), new, f"{name}: {new - old} more; seats was {old}")
    for name in after.gear:
        yield from _gear(name, before, after)
    for name in after.jobs:
        yield from _job(name, before, after)
    for need, windows in after.weather.windows.items():
        yield from _roof(need, before.weather.windows.get(need, {}), windows)


def _place(path: Path, old: Holds | None, new: Holds | None) -> Iterator[Put]:
    if old is None or new is None or old == new:
        return
    of = "" if new.unit == "pieces" else f" {new.unit}"
    note = f"{path[-1]}: room for {new.spaces - old.spaces:,} more; holds was {old.spaces}{of}"
    data: Any = f"{new.spaces}{of}" if of else new.spaces
    yield Put((*path, "holds"), f"{new.spaces}{of}", data, note)


def _gear(name: str, before: Scenario, after: Scenario) -> Iterator[Put]:
    old, new, path = before.gear[name], after.gear[name], ("gear", name)
    if new.arrives is not None and new.arrives != old.arrives:
        earlier = _days(((old.arrives or before.season.from_) - new.arrives).days)
        note = f"{name}: {earlier} earlier; arrives {_was(old.arrives)}"
        yield _day((*path, "arrives"), new.arrives, note)
    if new.ready_by is not None and new.ready_by != old.ready_by:
        later = _days((new.ready_by - (old.ready_by or before.season.until)).days)
        yield _day((*path, "ready_by"), new.ready_by, f"{name}: {later} later; ready_by {_was(old.ready_by)}")
    if new.count != old.count:
        note = f"{name}: {old.count - new.count:,} fewer; count was {old.count}"
        yield _number((*path, "count"), new.count, note)
    if new.optional != old.optional:
        more = ", ".join(step for step in new.optional if step not in old.optional)
        was = f"was [{', '.join(old.optional)}]" if old.optional else "was not written"
        text = f"[{', '.join(map(name_text, new.optional))}]"
        yield Put((*path, "optional"), text, list(new.optional), f"{name}: {more} may be left out; optional {was}")


def _job(name: str, before: Scenario, after: Scenario) -> Iterator[Put]:
    old, new = before.jobs[name], after.jobs[name]
    if new.by is not None and new.by != old.by:
        later = _days((new.by - (old.by or before.season.until)).days)
        yield _day(("jobs", name, "by"), new.by, f"{name}: {later} later; by {_was(old.by)}")
    if new.importance != old.importance:
        word = new.importance.value
        was = f"was {old.importance.value}" if "importance" in old.model_fields_set else "was not written"
        note = f"{name}: may be left out; importance {was}"
        yield Put(("jobs", name, "importance"), word, word, note)


def _also(name: str, old: _ByDays, new: _ByDays) -> Iterator[Put]:
    fresh = [days for days in sorted(new) if not any(days.first in held for held in old)]
    for days in sorted(new):
        if days in old and new[days] == old[days]:
            continue
        parted = next((held for held in old if held not in new and days.first in held), None)
        was = old.get(days) or (old[parted] if parted else ())
        if days in fresh:
            note = f"{name}, also: more help on {_each(fresh)}, not written before" if days == fresh[0] else ""
        elif parted and new[days] == was:
            told = f"{name}, also: {parted} is parted, for more help on a day in it"
            note = told if days.first == parted.first else ""
        else:
            note = f"{name}, also: more help on {days}: {_told_hours(new[days])}; before: {_told_hours(was)}"
        yield _hours(("crew", name, "also"), days, new[days], note, parted)


def _roof(need: str, old: _ByDays, new: _ByDays) -> Iterator[Put]:
    fresh = [days for days in sorted(new) if not any(days.first in held for held in old)]
    for days in sorted(new):
        if days in old and new[days] == old[days]:
            continue
        if days in fresh:
            told = f"{need}: a hired roof, fit at any hour, on {_each(fresh)}, not written before"
            note = told if days == fresh[0] else ""
        else:
            around = next((hours for held, hours in old.items() if days.first in held), ())
            note = f"{need}: a hired roof on {days}, fit at any hour; before: {_told_hours(old.get(days, around))}"
        yield _hours(("weather", "windows", need), days, new[days], note)


def _each(fresh: Sequence[Days]) -> str:
    return listed(map(str, fresh))


def _day(path: Path, day: date, note: str) -> Put:
    return Put(path, day.isoformat(), day.isoformat(), note)


def _number(path: Path, number: int, note: str) -> Put:
    return Put(path, str(number), number, note)


def _hours(path: Path, days: Days, hours: Sequence[Hours], note: str, instead_of: Days | None = None) -> Put:
    each = [str(one) for one in hours]
    text, data = (each[0], each[0]) if len(each) == 1 else (f"[{', '.join(each)}]", each)
    return Put((*path, str(days)), text, data, note, instead_of)


def _told_hours(hours: Sequence[Hours]) -> str:
    return ", ".join(map(str, hours)) or "none"


def _was(day: date | None) -> str:
    return f"was {day}" if day else "was not written"


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"
