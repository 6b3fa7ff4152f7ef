"""``offseason remedies``: what would make a winter fit that does not, and the scenario with one of these made."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from offseason.commands.begun import has_begun
from offseason.commands.outcome import Outcome
from offseason.commands.short_winter import (
    Effort,
    Winter,
    keep,
    now,
    remedied_path,
    remedies_for,
    replan_words,
    what_fails,
    winter_of,
)
from offseason.plan.audit import audit
from offseason.plan.make import plan_from
from offseason.remedy.edits import applied
from offseason.remedy.file import RemediesFileError, changed_since, read_remedies, remedies_path, unfit_for_remedies
from offseason.scenario.decode import decoded
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.read import WRITTEN_BY_US, parse_scenario, read_scenario
from offseason.scenario.yaml_edit import CannotEditError
from offseason.share.exit_codes import AUDIT_FAILED, CANNOT_BE_DONE, DONE, FILE_WRONG
from offseason.share.shell import for_shell
from offseason.share.target import of_another_scenario, write_new
from offseason.share.terminal.broken import broken_text
from offseason.share.terminal.layout import clean, paragraph
from offseason.share.terminal.progress import ProgressLine
from offseason.share.terminal.remedies import change_text
from offseason.solver import solve
from offseason.workload.model import Schedule

SHARE_FOR_PLAN = 0.3
"""Part of the time in which the best plan of the winter as it is is looked for. Ours."""


def remedies(arguments: argparse.Namespace) -> Outcome:
    """Looks for remedies and keeps them beside the scenario; or writes the scenario with one of those kept."""
    if arguments.apply is not None:
        return _apply(arguments)
    if arguments.to is not None:
        told = "--to names the file for a remedy that is applied; write it with --apply and the number of one."
        return Outcome(FILE_WRONG, complaint=told)
    arguments.ctrl_c.listen()
    path: Path = arguments.file
    read_scenario(path)
    if wrong := unfit_for_remedies(remedies_path(path)):
        return Outcome(FILE_WRONG, complaint=wrong)
    winter = winter_of(path)
    line = ProgressLine(sys.stderr)
    effort = Effort(arguments.seconds, arguments.workers, arguments.seed, None if arguments.quiet else line)
    try:
        schedule = solve(
            winter.workload,
            seconds=SHARE_FOR_PLAN * effort.seconds,
            seconds_if_short=SHARE_FOR_PLAN * effort.seconds,
            workers=effort.workers,
            seed=effort.seed,
            on_progress=effort.tell,
        )
        if schedule.stopped:
            raise KeyboardInterrupt  # stopped before any remedy was looked for
        if not schedule.left:
            return _fits(winter, schedule)
        found = remedies_for(winter, schedule, effort)
    finally:
        line.close()
    arguments.ctrl_c.ignore()
    kept, complaint = keep(winter, found)
    begun = _said_of_begun(path)
    fails = what_fails(winter, schedule, found)
    return Outcome(CANNOT_BE_DONE, f"{begun}\n\n{fails}" if begun else fails, kept, complaint)


def _plan_of(path: Path) -> Path:
    return path.with_suffix(".plan.yaml")


def _begun(path: Path) -> bool:
    """Whether there is a plan of this winter, and work of it is done."""
    return has_begun(_plan_of(path)) and not of_another_scenario(_plan_of(path), path)


def _said_of_begun(path: Path) -> str:
    """Of a winter that has begun, that this is not about what is left of it, and what is; else nothing."""
    if not _begun(path):
        return ""
    told = (
        "This looks at the winter from its beginning, as if nothing of it were done; what is left of it, and what "
        "would mend that, is told by:"
    )
    return f"{paragraph(told)}\n  {replan_words(_plan_of(path))}"


def _fits(winter: Winter, schedule: Schedule) -> Outcome:
    """That nothing is needed, once the audit has agreed."""
    plan = plan_from(
        winter.workload,
        schedule,
        scenario_file=winter.path.name,
        scenario_sha256=winter.digest,
        made=now(),
        made_with="offseason remedies",
    )
    if broken := audit(winter.scenario, plan, winter.outlook):
        told = "This is a fault of offseason: a plan was found and broke a promise. No file was written."
        return Outcome(AUDIT_FAILED, broken_text(broken, "the plan"), complaint=told)
    told = "This winter fits as it is: a plan was found that keeps every promise, so no remedy is needed."
    if begun := _said_of_begun(winter.path):
        return Outcome(DONE, f"{begun}\n\n{paragraph(told.replace('fits as it is', 'fits from its beginning'))}")
    name = for_shell(winter.path)
    plan_name = for_shell(_plan_of(winter.path))
    return Outcome(
        DONE,
        f"{paragraph(told)}\n  offseason plan {name}\n      writes such a plan\n"
        f"  offseason spare {plan_name}\n      then says how much room there is to spare",
    )


def _apply(arguments: argparse.Namespace) -> Outcome:
    arguments.ctrl_c.listen()
    path, number = arguments.file, arguments.apply
    source = _source(path)
    try:
        kept = read_remedies(remedies_path(path))
    except RemediesFileError as error:
        return Outcome(FILE_WRONG, complaint=str(error))
    again = f"run `offseason remedies {for_shell(path)}` again"
    if kept.scenario_file != path.name:
        told = f"{remedies_path(path)} holds the remedies of {kept.scenario_file}, not of {path.name}; {again}."
        return Outcome(FILE_WRONG, complaint=clean(told))
    if changed := changed_since(kept, path):
        have = "have" if len(changed) > 1 else "has"
        told = f"{listed(changed)} {have} changed since these remedies were found; {again}."
        return Outcome(FILE_WRONG, complaint=told)
    if number > len(kept.found.remedies):
        last = len(kept.found.remedies)
        there = f"{remedies_path(path)} has {'none' if not last else '1 only' if last == 1 else f'1 to {last}'}"
        return Outcome(FILE_WRONG, complaint=f"There is no remedy {number}: {there}.")
    target: Path = arguments.to or remedied_path(path, number)
    if target.name.endswith(WRITTEN_BY_US) and not target.exists():
        told = f"{target} has the name of a file that offseason writes itself; give the new scenario another with --to."
        return Outcome(FILE_WRONG, complaint=told)
    text = decoded(source, str(path))
    scenario = parse_scenario(text, str(path))
    changes = kept.found.remedies[number - 1].changes
    try:
        done = applied(text, scenario, changes)
    except CannotEditError as error:
        told = f"Remedy {number} cannot be written into the text of {path}: {error}. {target} was not written."
        return Outcome(FILE_WRONG, complaint=clean(told))
    arguments.ctrl_c.ignore()
    if wrong := write_new(target, done):
        return Outcome(FILE_WRONG, complaint=wrong)
    lines = [paragraph(clean(change_text(scenario, change)), 4, "  -") for change in changes]
    return Outcome(DONE, "\n".join([f"Remedy {number}:", *lines]), _then(target, path, scenario))


def _source(path: Path) -> bytes:
    """The bytes of the scenario, once it is known to be one. Raises ScenarioError, OSError."""
    read_scenario(path)
    return path.read_bytes()


def _then(target: Path, path: Path, scenario: Scenario) -> str:
    told = f"{target} is written, {path} is as it was; what is different has a remark '# remedy:' above it. Then:"
    files = [*scenario.weather.forecast, *scenario.weather.history]
    moved = target.resolve().parent != path.resolve().parent
    copy = f"{paragraph(clean(f'First copy {listed(files)} beside it.'))}\n" if files and moved else ""
    then = f"offseason plan {for_shell(target)}"
    if _begun(path):
        then = replan_words(_plan_of(path), target)
    return f"{paragraph(clean(told))}\n{copy}  {then}"
