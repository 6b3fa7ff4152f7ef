"""What a scenario states about time and order, line by line, and the scenario with some of it left out."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import timedelta
from typing import Any, TypeVar

from offseason.scenario.entry import Entry
from offseason.scenario.model import GearEntry, Scenario, TaskEntry
from offseason.scenario.yaml_tree import Path

E = TypeVar("E", bound=Entry)

SEASON_FROM: Path = ("season", "from")
SEASON_UNTIL: Path = ("season", "until")
MOTHS: Path = ("moths", "season_starts")

_LONG_AFTER_DAYS = 800
_WRITTEN_AS = {"from_": "from"}


def statements_of(scenario: Scenario, names: Collection[str]) -> list[Path]:
    """Every line that says when work on these lots and jobs can or must be, least worth telling first.

    The first day of the season is not among them: it stands, whatever is left out.
    """
    gear = {name: lot for name, lot in scenario.gear.items() if name in names}
    tasks = list(dict.fromkeys(step for lot in gear.values() for step in lot.steps))
    jobs = [name for name in scenario.jobs if name in names]
    return [
        *(("tasks", task, "minutes_each") for task in tasks),
        *(("jobs", job, "hours") for job in jobs),
        *(("jobs", job, "divisible") for job in jobs),
        *(("places", place, "celsius") for place in dict.fromkeys(lot.rests for lot in gear.values()) if place),
        *(("gear", name, "comb") for name in gear),
        *(("gear", name, "webbing_seen") for name in gear),
        *(("tasks", task, "needs", n) for task in tasks for n in range(len(scenario.tasks[task].needs))),
        SEASON_UNTIL,
        ("moths", "season_ends"),
        MOTHS,
        *(("gear", name, "steps", n) for name, lot in gear.items() for n in range(len(lot.steps))),
        *(("tasks", task, "then", key) for task in tasks for key in ("dries", "wait")),
        *(("tasks", task, "within") for task in tasks),
        *(("jobs", job, "before", n) for job in jobs for n in range(len(scenario.jobs[job].before))),
        *(("jobs", job, "after", n) for job in jobs for n in range(len(scenario.jobs[job].after))),
        *(("gear", name, "arrives") for name in gear),
        *(("jobs", job, "from") for job in jobs),
        *(("gear", name, "ready_by") for name in gear),
        *(("jobs", job, "by") for job in jobs),
    ]


def without(scenario: Scenario, left_out: Collection[Path]) -> Scenario:
    """The scenario as if these lines were not there, their defaults in force.

    Moths then fly only long after the season. What else must be there (minutes, hours, the ends of the season) is kept
    as it is; ``offseason.remedy.timed`` lets it go.
    """
    of = {section: [p for p in left_out if p[0] == section] for section in ("tasks", "gear", "jobs", "places")}
    moths = scenario.moths
    if moths is not None and MOTHS in left_out:
        moths = moths.model_copy(update={"season_starts": scenario.season.until + timedelta(days=_LONG_AFTER_DAYS)})
    if moths is not None and ("moths", "season_ends") in left_out:
        moths = moths.model_copy(update={"season_ends": None})
    return scenario.model_copy(
        update={
            "moths": moths,
            "tasks": _thinned(scenario.tasks, of["tasks"], _task),
            "gear": _thinned(scenario.gear, of["gear"], _lot),
            "jobs": _thinned(scenario.jobs, of["jobs"], _plain),
            "places": _thinned(scenario.places, of["places"], _plain),
        }
    )


def _thinned(entries: Mapping[str, E], paths: list[Path], thin: Any) -> dict[str, E]:
    found = dict(entries)
    for name in dict.fromkeys(path[1] for path in paths):
        if name in found:
            found[str(name)] = thin(found[str(name)], [path[2:] for path in paths if path[1] == name])
    return found


def _task(task: TaskEntry, keys: list[Path]) -> TaskEntry:
    then = task.then.model_copy(update={str(key[1]): None for key in keys if key[0] == "then"})
    return _plain(task, [key for key in keys if key[0] != "then"]).model_copy(update={"then": then})


def _lot(lot: GearEntry, keys: list[Path]) -> GearEntry:
    thinner = _plain(lot, keys)
    return thinner.model_copy(update={"optional": tuple(step for step in lot.optional if step in thinner.steps)})


def _plain(entry: E, keys: list[Path]) -> E:
    """The entry with items taken out of its lists, and other values as they are where nothing is written."""
    fields = type(entry).model_fields
    update: dict[str, object] = {}
    for field in fields:
        key = _WRITTEN_AS.get(field, field)
        gone = {path[1] for path in keys if path[0] == key and len(path) > 1}
        if gone:
            update[field] = tuple(item for n, item in enumerate(getattr(entry, field)) if n not in gone)
        elif (key,) in keys and not fields[field].is_required():
            update[field] = fields[field].get_default()
    return entry.model_copy(update=update)


def owner_of(path: Path) -> str:
    """Whose line it is: the name of the task, lot, job or place, or the word ``season`` or ``moths``."""
    return str(path[1] if path[0] in ("tasks", "gear", "jobs", "places") else path[0])


def dates_of_its_own(paths: Collection[Path]) -> Iterator[Path]:
    """Those of the lines that belong to one lot or job alone and date it or put it in order."""
    yield from (path for path in paths if path[0] in ("gear", "jobs") and path[2] != "steps")
