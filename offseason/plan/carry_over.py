"""Next winter's scenario, out of this winter's and its log, in the keeper's own text with the keeper's comments.

Dates move on by whole years. What the log tells is put in: what was painted, used up, assembled, and what is left.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from offseason.plan.carry_over_lots import carry_lot, undone
from offseason.plan.document import Plan
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.tally import done_pieces
from offseason.plan.supplies import supplies
from offseason.plan.tallied import rows_of_tally
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario
from offseason.scenario.supply import SupplyKind
from offseason.scenario.words import Days
from offseason.scenario.yaml_edit import CannotEditError, Changes, edited
from offseason.scenario.yaml_tree import Path
from offseason.trade.sizes import CATALOGUE
from offseason.weather.needs import needs_of
from offseason.workload.build import build_workload
from offseason.workload.model import Workload

MARK = "# carried over: "
_OURS = re.compile(rf"^[ \t]*{re.escape(MARK)}.*(?:\r\n|\n|\r|\Z)", re.MULTILINE)
_COMB_AGE = re.compile(rf"^[ \t]*{re.escape(MARK)}(.+): combs (\d+) seasons? older than in (\d+)", re.MULTILINE)
_YEARS = re.compile(r"\b((?:19|20|21)\d\d)\b(?:([/–-])(\d\d)\b)?")
_DAYS_A_YEAR = 365.2425
_ABOUT = "lines that begin like this one are written anew the next time; your own comments are kept."


@dataclass(frozen=True)
class CarriedOver:
    """The text of the next winter's scenario, the scenario it reads as, and what stands at its top."""

    text: str
    scenario: Scenario
    said: tuple[str, ...]


@dataclass(frozen=True)
class Shift:
    """From one winter to another: whole ``years`` on, into the season ``first`` to ``last``."""

    years: int
    first: date
    last: date

    def day(self, day: date) -> date:
        """The same day of the later year, 28 February for the 29th where there is none."""
        try:
            return day.replace(year=day.year + self.years)
        except ValueError:
            return day.replace(year=day.year + self.years, day=28)

    def within(self, day: date) -> date:
        """The same day of the later year, or the nearest one in the season."""
        return min(max(self.day(day), self.first), self.last)

    def weeks(self, days: Days) -> Days | None:
        """Days as many whole weeks later as come nearest, so that weekdays stay; None where none is in the season."""
        weeks = timedelta(weeks=round(self.years * _DAYS_A_YEAR / 7))
        first, last = max(days.first + weeks, self.first), min(days.last + weeks, self.last)
        return Days(first, last) if first <= last else None


def carry_over(
    text: str,
    file: str,
    entries: Sequence[Entry],
    *,
    origin: str,
    season_from: date | None = None,
    minutes: Mapping[Path, float] | None = None,
) -> CarriedOver:
    """The scenario of the next winter. ``file``: name of this winter's scenario in messages.

    ``origin``: where it comes from, for its header. ``season_from``: first day of work; else the same day a year on.
    ``minutes``: minutes learnt, by their place in the scenario. Raises CannotEditError, with a sentence, where the
    text cannot be carried over, and ScenarioError where it has mistakes itself.
    """
    ages = {name: (int(seasons), int(year)) for name, seasons, year in _COMB_AGE.findall(text)}
    own = _OURS.sub("", text)
    scenario = parse_scenario(own, file)
    workload = build_workload(scenario)
    shift = _shift(scenario, season_from)
    changes = Changes()
    _dates(changes, scenario, shift)
    _crew(changes, scenario, shift)
    tally = done_pieces(entries)
    left = [said for lot in workload.lots if lot.period is None for said in undone(lot, tally)]
    for lot in workload.lots:
        if lot.name in scenario.gear:
            carry_lot(changes, scenario, lot, tally, ages.get(lot.name), shift.day(scenario.season.from_).year)
    kept = _jobs(changes, scenario, workload, tally)
    _supplies(changes, scenario, tally)
    _prices(changes, scenario)
    weather = _weather(changes, scenario, shift)
    for path, each in (minutes or {}).items():
        changes.values[path] = (f"{each:g}", each)
    top = (
        f"from {origin}, for the winter from {shift.first} to {shift.last}.",
        f"dates are those of last winter, {_count(shift.years, 'year')} later; counts are last winter's: count anew.",
        *weather,
        *([f"done last winter and kept, as it may come every winter: {listed(kept)}."] if kept else []),
        *(["left undone last winter:"] if left else ["nothing was left undone last winter."]),
        *(f"- {one}" for one in left),
    )
    changed = edited(own, changes, mark=MARK, top=(top[0], _ABOUT, *top[1:]))
    try:
        return CarriedOver(changed, parse_scenario(changed, "the next winter's scenario"), top)
    except ScenarioError as error:
        told = "what comes of it is no scenario that can be planned"
        raise CannotEditError(f"{told}: {error.problems[0]}") from None


def _shift(scenario: Scenario, season_from: date | None) -> Shift:
    old = scenario.season
    if season_from is None:
        one = Shift(1, old.from_, old.until)
        return Shift(1, one.day(old.from_), one.day(old.until))
    years = round((season_from - old.from_).days / _DAYS_A_YEAR)
    until = Shift(years, old.from_, old.until).day(old.until) if years >= 1 else old.until
    if years < 1 or until <= season_from:
        raise CannotEditError(
            f"a season from {season_from} is not the next one after that from {old.from_} to {old.until}"
        )
    return Shift(years, season_from, until)


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _iso(day: date) -> tuple[str, Any]:
    return day.isoformat(), day.isoformat()


def _dates(changes: Changes, scenario: Scenario, shift: Shift) -> None:
    season = scenario.season
    changes.values[("season", "from")] = _iso(shift.first)
    changes.values[("season", "until")] = _iso(shift.last)
    name = _YEARS.sub(lambda found: _years_on(found, shift.years), season.name)
    if name != season.name:
        changes.values[("season", "name")] = (_quoted(name), name)
    if scenario.moths is not None:
        changes.values[("moths", "season_starts")] = _iso(shift.day(scenario.moths.season_starts))
        if scenario.moths.season_ends is not None:
            changes.values[("moths", "season_ends")] = _iso(shift.day(scenario.moths.season_ends))
    for path, day in _single_days(scenario):
        changes.values[path] = _iso(shift.within(day))


def _single_days(scenario: Scenario) -> Iterator[tuple[Path, date]]:
    days: list[tuple[Path, date | None]] = []
    for name, lot in scenario.gear.items():
        days += [(("gear", name, "arrives"), lot.arrives), (("gear", name, "ready_by"), lot.ready_by)]
    for name, job in scenario.jobs.items():
        days += [(("jobs", name, "from"), job.from_), (("jobs", name, "by"), job.by)]
    for name, each in scenario.rounds.items():
        days += [(("rounds", name, "from"), each.from_), (("rounds", name, "until"), each.until)]
    yield from ((path, day) for path, day in days if day is not None)


def _years_on(found: re.Match[str], years: int) -> str:
    year = int(found[1]) + years
    return str(year) if found[2] is None else f"{year}{found[2]}{(int(found[3]) + years) % 100:02d}"


def _quoted(name: str) -> str:
    escaped = name.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def _crew(changes: Changes, scenario: Scenario, shift: Shift) -> None:
    """Days away are another winter's. So are extra days, but for those who come on no others."""
    for name, helper in scenario.crew.items():
        if helper.away:
            changes.dropped[("crew", name, "away")] = "last winter"
        if not helper.also:
            continue
        path: Path = ("crew", name, "also")
        if any(helper.works.values()):
            changes.dropped[path] = "last winter"
        else:
            _weeks_on(changes, path, helper.also, shift)
            changes.note(("crew", name), "the days are last winter's, moved by whole weeks: write this winter's")


def _weeks_on(changes: Changes, path: Path, by_days: Mapping[Days, Any], shift: Shift) -> None:
    for days in by_days:
        later = shift.weeks(days)
        if later is None:
            changes.dropped[(*path, str(days))] = "last winter"
        else:
            changes.renamed[(*path, str(days))] = str(later)


def _jobs(changes: Changes, scenario: Scenario, workload: Workload, tally: Mapping[tuple[str, str], int]) -> list[str]:
    """What is left of jobs that were begun, and the names of those done, which are kept."""
    parts = {lot.name: lot.steps[0].pieces for lot in workload.lots if lot.name in scenario.jobs and lot.period is None}
    kept = []
    for name, job in scenario.jobs.items():
        done = min(tally.get((name, name), 0), parts[name])
        if done == parts[name]:
            kept.append(name)
            changes.note(("jobs", name), "done last winter; delete it if it does not come every winter")
        elif done:
            hours = round(job.hours * (1 - done / parts[name]), 4)
            changes.values[("jobs", name, "hours")] = (f"{hours:g}", hours)
            changes.note(("jobs", name), f"{job.hours - hours:g} of {job.hours:g} hours were done last winter")
        for key, names in (("before", job.before), ("after", job.after)):
            for n, other in enumerate(names):
                if ("gear", other) in changes.dropped:
                    changes.dropped[("jobs", name, key, n)] = ""
    return kept


def _supplies(changes: Changes, scenario: Scenario, tally: Mapping[tuple[str, str], int]) -> None:
    """What is in hand, less what the work of the log took; what was bought meanwhile nobody has written down."""
    used = {one.name: one for one in supplies(scenario, _tallied(scenario, tally)) if one.kind is not SupplyKind.GEAR}
    for name, entry in scenario.supplies.items():
        if ("gear", name) in changes.dropped:
            changes.dropped[("supplies", name)] = "last winter"
            continue
        took = used[name].needed if name in used else None
        if not took or not entry.in_hand:
            continue
        left = max(0.0, round(entry.in_hand - took, 1))
        changes.values[("supplies", name, "in_hand")] = (f"{left:.10g}", left)
        changes.note(
            ("supplies", name),
            f"{entry.in_hand:.10g} in hand, less about {round(took, 1):.10g} used last winter; what was bought is not "
            "known: count",
        )


def _prices(changes: Changes, scenario: Scenario) -> None:
    """Prices of lots and of pieces that do not come back next winter go with them; those of the catalogue stay."""
    back = {name: lot for name, lot in scenario.gear.items() if ("gear", name) not in changes.dropped}
    known = {*back, *(lot.piece for lot in back.values()), *CATALOGUE}
    for name in scenario.prices.new:
        if name not in known:
            changes.dropped[("prices", "new", name)] = "last winter"


def _tallied(scenario: Scenario, tally: Mapping[tuple[str, str], int]) -> Plan:
    return rows_of_tally(tally, scenario.season.from_)


def _weather(changes: Changes, scenario: Scenario, shift: Shift) -> list[str]:
    """Hours by hand and forecasts of last winter; kept, moved by weeks, only where nothing else tells."""
    weather, said = scenario.weather, []
    if weather.forecast and weather.history:
        changes.dropped[("weather", "forecast")] = "last winter"
        said.append("the forecast is last winter's and was taken out; put in this winter's when there is one.")
    elif weather.forecast:
        changes.note(("weather", "forecast"), "last winter's; put this winter's in its place")
        said.append(
            "the forecast file is last winter's, kept because nothing else tells the weather: put in a new one."
        )
    if weather.history:
        years = f"{scenario.season.from_.year}/{scenario.season.until.year % 100:02d}"
        if scenario.season.from_.year == scenario.season.until.year:
            years = str(scenario.season.from_.year)
        changes.note(("weather", "history"), f"add the records of the winter of {years} to these")
        said.append("the records of past winters are kept; add last winter's.")
    judged = needs_of(scenario) if weather.history else {}
    for need, windows in weather.windows.items():
        path: Path = ("weather", "windows", need)
        if need in judged:
            changes.dropped[path] = "last winter"
            continue
        _weeks_on(changes, path, windows, shift)
        changes.note(path, "last winter's hours, moved by whole weeks: no forecast; write this winter's in their place")
        said.append(f"the hours for {need} are last winter's, moved by whole weeks, only so that it can be planned.")
    return said
