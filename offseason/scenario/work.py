"""Work that cannot be done as written: by whom, where, in what time, with what treatment."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.fit import judged_by_records
from offseason.scenario.hours import Minutes, fit_on, longest_together, presence, season_days
from offseason.scenario.model import HelperEntry, TaskEntry
from offseason.scenario.nearest import listed
from offseason.scenario.times import can_be_planned, ever_there
from offseason.scenario.yaml_tree import Path
from offseason.trade.paint import HIGHEST_HUMIDITY_PERCENT


@dataclass(frozen=True)
class _Demand:
    """One stretch of work that has to be possible: whose, in seconds, by so many together."""

    section: str
    name: str
    seconds: int
    seconds_key: str
    hands: int
    weather: str | None


def work_findings(draft: Draft) -> Iterator[Finding]:
    """Every task, job or round that cannot be done as written."""
    for name, task in draft.tasks.items():
        if draft.sound("tasks", name):
            yield from _task(draft, name, task)
    for name, job in draft.jobs.items():
        minutes = job.hours * 60
        if draft.sound("jobs", name) and job.divisible and abs(minutes - round(minutes)) > 1e-6:
            text = f"{job.hours:g} h is not a whole number of minutes; write it as in 1.5, or add divisible: false"
            yield Finding(("jobs", name, "hours"), text)
    yield from _seats(draft)
    demands = [d for d in _demands(draft) if draft.sound(d.section, d.name)]
    if not any(section == "crew" for section, _ in draft.broken):
        yield from _crew_for(draft, demands)


def _task(draft: Draft, name: str, task: TaskEntry) -> Iterator[Finding]:
    path: Path = ("tasks", name)
    for key, minutes in (("minutes_each", task.minutes_each), ("setup_minutes", task.setup_minutes)):
        if minutes > 0 and round(minutes * 60) == 0:
            text = f"{minutes:g} minutes are less than half a second; count larger pieces, or write 0"
            yield Finding((*path, key), text)
    if task.treatment is not None and not task.authorised:
        text = (
            f"'{task.treatment[:60]}' is not marked as authorised; ask whether it is where you live, "
            "then add authorised: true to this task, or delete it"
        )
        yield Finding((*path, "treatment"), text)
    then = task.then
    if then.in_ is not None and then.on is not None:
        yield Finding((*path, "then", "on"), "a piece rests at one place; keep 'in' or 'on'", on_key=True)
    if then.wait is not None and then.dries is not None:
        yield Finding((*path, "then", "dries"), "'dries' says how long to wait already; keep it or 'wait'", on_key=True)
    place = draft.places.get(then.rests or "")
    humidity = place.humidity_percent if place else None
    if then.dries == "latex" and humidity is not None and humidity > HIGHEST_HUMIDITY_PERCENT:
        text = (
            f"latex paint does not dry in '{then.rests}' at {humidity:g} % humidity; "
            f"choose a place with {HIGHEST_HUMIDITY_PERCENT:.0f} % or less"
        )
        yield Finding((*path, "then", "dries"), text)


def _seats(draft: Draft) -> Iterator[Finding]:
    for section in ("tasks", "jobs", "rounds"):
        for name, entry in getattr(draft, section).items():
            if entry.at is None or not draft.sound("places", entry.at) or not draft.sound(section, name):
                continue
            seats = draft.places[entry.at].seats
            if seats is None:
                text = f"nobody can work at '{entry.at[:60]}', which has no seats; add seats: to that place"
                yield Finding((section, name, "at"), text)
            elif seats < entry.hands:
                text = f"'{name[:60]}' takes {entry.hands} people, and '{entry.at[:60]}' has seats for {seats}"
                yield Finding((section, name, "hands"), text)


def _demands(draft: Draft) -> Iterator[_Demand]:
    used = {step for lot in draft.gear.values() for step in lot.steps}
    for name, task in draft.tasks.items():
        if name in used:
            seconds = round(task.setup_minutes * 60) + round(task.minutes_each * 60)
            yield _Demand("tasks", name, seconds, "minutes_each", task.hands, _by_hand(draft, task.weather))
    for name, job in draft.jobs.items():
        yield _Demand(
            "jobs",
            name,
            60 if job.divisible else round(job.hours * 3600),
            "hours",
            job.hands,
            _by_hand(draft, job.weather),
        )
    for name, inspection in draft.rounds.items():
        yield _Demand(
            "rounds",
            name,
            round(inspection.minutes * 60),
            "minutes",
            inspection.hands,
            _by_hand(draft, inspection.weather),
        )


def _by_hand(draft: Draft, need: str | None) -> str | None:
    """The need where its hours are written by hand; what records leave of the hours is seen once they are read."""
    return None if need is None or judged_by_records(draft.weather, need) else need


def _able(helper: HelperEntry, work: str, known: set[str]) -> bool:
    # Where a name is mistyped, what this person can do is not known: taken as everything.
    can = None if helper.can is None or not known.issuperset(helper.can) else helper.can
    return (can is None or work in can) and work not in helper.cannot


def _crew_for(draft: Draft, demands: list[_Demand]) -> Iterator[Finding]:
    longest: dict[tuple[frozenset[str], int, str | None], int] = {}
    known = {name for section in ("tasks", "jobs", "rounds") for name in draft.names(section)}
    season = draft.season
    plannable = season is not None and can_be_planned(season)
    days = season_days(season.from_, season.until) if season and plannable else []
    there = {name: presence(helper, days) for name, helper in draft.crew.items()}
    fit: dict[str | None, list[list[Minutes]] | None] = {None: None}
    if season and not any(ever_there(helper, season) for helper in draft.crew.values()):
        return
    for demand in demands:
        able = [name for name, helper in draft.crew.items() if _able(helper, demand.name, known)]
        path: Path = (demand.section, demand.name)
        if not able:
            text = f"nobody can do '{demand.name[:60]}'; add it to what someone can do, or take it off their cannot"
            yield Finding(path, text, on_key=True)
            continue
        if len(able) < demand.hands:
            text = f"'{demand.name[:60]}' takes {demand.hands} people together, and only {listed(able)} can do it"
            yield Finding((*path, "hands"), text)
            continue
        if not plannable:
            continue
        windows = draft.weather.windows.get(demand.weather) if demand.weather else None
        if demand.weather and (windows is None or not draft.readable("weather")):
            continue
        key = (frozenset(able), demand.hands, demand.weather)
        if windows is not None and demand.weather not in fit:
            fit[demand.weather] = [[hours.minutes for hours in fit_on(windows, day)] for day in days]
        if key not in longest:
            longest[key] = longest_together([there[name] for name in able], demand.hands, fit[demand.weather])
        if demand.seconds > longest[key] * 60:
            yield _too_long(demand, longest[key])


def _too_long(demand: _Demand, longest: int) -> Finding:
    path: Path = (demand.section, demand.name)
    who = "someone able" if demand.hands == 1 else f"{demand.hands} people able"
    if longest == 0:
        fit = f" in weather fit for '{demand.weather[:60]}'" if demand.weather else ""
        together = "add hours when all of them are there, or strike it out wherever it stands"
        do = "add hours" if demand.hands == 1 else together
        text = f"there is no hour of the season with {who} to do '{demand.name[:60]}'{fit}; {do}"
        return Finding(path, text, on_key=True)
    takes = f"{demand.seconds / 60:g} minutes at a stretch" + (" with setting up" if demand.section == "tasks" else "")
    fit = f" and weather fit for '{demand.weather[:60]}'" if demand.weather else ""
    text = f"'{demand.name[:60]}' takes {takes}, but the longest stretch with {who}{fit} is {longest} minutes"
    return Finding((*path, demand.seconds_key), text)
