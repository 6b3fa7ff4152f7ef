"""``offseason changes``: what is different between two plans of one winter, for whom, and why."""

from __future__ import annotations

import argparse
import os
from dataclasses import replace
from pathlib import Path

from offseason.commands.outcome import Outcome
from offseason.commands.settled import settled
from offseason.plan.changes import Side, of_two_winters
from offseason.plan.changes import changes as compared
from offseason.plan.document import Plan
from offseason.plan.file import read_plan
from offseason.plan.origin import changed_since, records_changed_since, records_said, scenario_beside
from offseason.plan.progress.log import Log, LogFileError, log_beside, read_log
from offseason.plan.renamed import in_new_names, renamed, said_of_renamed
from offseason.scenario.nearest import offer
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import read_scenario
from offseason.share.exit_codes import DONE, FILE_WRONG
from offseason.share.target import before_of
from offseason.share.terminal.changes import changes_text
from offseason.share.terminal.layout import clean, paragraph
from offseason.share.terminal.left import left_changed
from offseason.share.terminal.show import Selection
from offseason.weather.records import WeatherFileError
from offseason.workload.build import build_workload


def changes(arguments: argparse.Namespace) -> Outcome:
    """Compares two plan files; one alone is compared with the one kept beside it when it was planned."""
    arguments.ctrl_c.listen()
    old_path, new_path = _paths(arguments)
    first, last, who = arguments.first, arguments.last, arguments.who
    if first and last and first > last:
        told = f"--from {first} lies after --until {last}; no day is both. Perhaps they are the wrong way round."
        return Outcome(FILE_WRONG, complaint=paragraph(told))
    if arguments.new is None and new_path.exists() and not old_path.exists():
        told = (
            f"{old_path} is not there: no plan was kept when this one was made. Write both: the old one, then the new."
        )
        return Outcome(FILE_WRONG, complaint=paragraph(told))
    old_plan, new_plan = read_plan(old_path), read_plan(new_path)
    if old_path.samefile(new_path):
        told = f"{old_path} is written twice, and a plan is no other than itself; write the old one, then the new one."
        return Outcome(FILE_WRONG, complaint=paragraph(told))
    known = sorted({name for plan in (old_plan, new_plan) for row in plan.rows for name in row.who})
    if who is not None and who not in known:
        told = f"nobody in these plans is called {who}; {offer(who, known)}"
        return Outcome(FILE_WRONG, complaint=paragraph(clean(told)))
    if of_two_winters(Side(old_plan), Side(new_plan)):
        told = f"{old_path} ({_days(old_plan)}) and {new_path} ({_days(new_plan)}) are plans of two different winters"
        return Outcome(FILE_WRONG, complaint=paragraph(f"{told}: they cannot be compared."))
    remarks = [*_of_two_scenarios(old_plan, old_path, new_plan, new_path), *_wrong_way_round(old_plan, new_plan)]
    new, said = _side(new_plan, new_path, arguments.scenario)
    names = renamed(old_plan.rows, new.scenario) if new.scenario is not None else {}
    remarks += [*said, *map(clean, said_of_renamed(names)), *left_changed(old_plan, new_plan, new.scenario)]
    old_plan = replace(old_plan, rows=in_new_names(old_plan.rows, names))
    old = old_side(old_plan, old_path, new, arguments.scenario or scenario_beside(new_plan, new_path))
    log, said = log_of(new_path)
    found = compared(old, new, log.entries)
    text = changes_text(found, Selection(first, last, names.get(who, who)))
    return Outcome(DONE, "\n\n".join([*map(paragraph, [*remarks, *said]), text]))


def _paths(arguments: argparse.Namespace) -> tuple[Path, Path]:
    if arguments.new is None:
        return before_of(arguments.old), arguments.old
    return arguments.old, arguments.new


def _days(plan: Plan) -> str:
    days = [row.day for row in plan.rows]
    return f"{min(days)} to {max(days)}"


def _of_two_scenarios(old: Plan, old_path: Path, new: Plan, new_path: Path) -> list[str]:
    """That the plans are of two different files. One file that was edited in between, moved or copied is no other."""
    paths = [scenario_beside(old, old_path), scenario_beside(new, new_path)]
    if old.scenario_sha256 == new.scenario_sha256 or os.path.realpath(paths[0]) == os.path.realpath(paths[1]):
        return []
    if paths[0].name == paths[1].name and not all(path.exists() for path in paths):
        return []
    told = f"These are plans of two different scenarios: {old_path} is of {paths[0]}, {new_path} of {paths[1]}."
    return [f"{told} What is different between these is told here as if it had changed."]


def _wrong_way_round(old: Plan, new: Plan) -> list[str]:
    if old.since is not None and (new.since is None or new.since < old.since):
        return ["The first plan was planned anew later than the second: perhaps they are the wrong way round."]
    if old.since == new.since and old.made > new.made:
        return ["The first plan was made after the second: perhaps they are the wrong way round."]
    return []


def _side(plan: Plan, plan_path: Path, named: Path | None) -> tuple[Side, list[str]]:
    """The new plan with its scenario as it is now, and what to remark of it."""
    path = named or scenario_beside(plan, plan_path)
    try:
        side = _settled(plan, path)
        changed = changed_since(plan, path)
    except (ScenarioError, WeatherFileError) as error:
        why = str(error.problems[0]) if isinstance(error, ScenarioError) else str(error)
        return Side(plan), [f"Without the scenario most reasons cannot be told. {why}"]
    remarks = [f"{path} has changed since {plan_path} was made; the reasons are by the scenario as it is now."]
    weather = records_said(plan, path.parent)
    more = [f"{weather}; the reasons are by the weather as it is now."] if weather else []
    return side, [*(remarks if changed else []), *more]


def old_side(plan: Plan, plan_path: Path, new: Side, new_scenario: Path) -> Side:
    """The old plan, with its scenario where that is still the one it was made from."""
    path = scenario_beside(plan, plan_path)
    try:
        if changed_since(plan, path) or records_changed_since(plan, path.parent):
            return Side(plan)
        if new.scenario is not None and path.samefile(new_scenario):
            return Side(plan, new.scenario, new.outlook, new.workload)
        return _settled(plan, path)
    except (ScenarioError, WeatherFileError, OSError):
        return Side(plan)


def _settled(plan: Plan, path: Path) -> Side:
    scenario, outlook = settled(read_scenario(path), path)
    return Side(plan, scenario, outlook, build_workload(scenario, outlook))


def log_of(plan_path: Path) -> tuple[Log, list[str]]:
    """The log beside the new plan; one that cannot be read only takes away reasons."""
    path = log_beside(plan_path)
    try:
        return read_log(path), []
    except LogFileError as error:
        return Log(), [f"The log is left out of the reasons. {error.problems[0]}"]
