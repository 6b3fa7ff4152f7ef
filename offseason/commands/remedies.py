"""``offseason remedies``: what would make a winter fit that does not, and the scenario with one of these made."""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from offseason.commands.outcome import Outcome
from offseason.commands.settled import settled
from offseason.plan.audit import audit
from offseason.plan.document import WeatherFile
from offseason.plan.make import plan_from
from offseason.plan.origin import digest_of, records_of
from offseason.remedy.edits import CannotBePlannedError, applied
from offseason.remedy.file import (
    Kept,
    RemediesFileError,
    changed_since,
    read_remedies,
    remedies_path,
    unfit_for_remedies,
    write_remedies,
)
from offseason.remedy.lever import Found, Remedy
from offseason.remedy.search import find_remedies
from offseason.remedy.yard import Yard
from offseason.scenario.decode import decoded
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.read import parse_scenario, read_scenario
from offseason.scenario.yaml_edit import CannotEditError
from offseason.share.exit_codes import AUDIT_FAILED, CANNOT_BE_DONE, DONE, FILE_WRONG
from offseason.share.shell import for_shell
from offseason.share.target import cannot_write
from offseason.share.terminal.broken import broken_text
from offseason.share.terminal.layout import clean, paragraph
from offseason.share.terminal.progress import ProgressLine
from offseason.share.terminal.remedies import change_text, remedies_text
from offseason.share.terminal.shortfall import shortfall_text
from offseason.solver import solve
from offseason.weather.outlook import Outlook
from offseason.workload.build import build_workload
from offseason.workload.model import Schedule, Workload

SHARE_FOR_PLAN = 0.2
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
    written, digest = read_scenario(path), digest_of(path)
    target = remedies_path(path)
    if wrong := unfit_for_remedies(target):
        return Outcome(FILE_WRONG, complaint=wrong)
    scenario, outlook = settled(written, path)
    winter = _Winter(
        path, scenario, outlook, build_workload(scenario, outlook), digest, records_of(scenario, path.parent)
    )
    line = ProgressLine(sys.stderr)
    tell = None if arguments.quiet else line
    began = time.monotonic()
    try:
        how = {"workers": arguments.workers, "seed": arguments.seed}
        schedule = solve(winter.workload, seconds=SHARE_FOR_PLAN * arguments.seconds, on_progress=tell, **how)
        if schedule.stopped:
            raise KeyboardInterrupt  # stopped before any remedy was looked for
        if not schedule.left:
            return winter.fits(schedule)
        left_s = max(arguments.seconds - (time.monotonic() - began), (1 - SHARE_FOR_PLAN) * arguments.seconds)
        found = find_remedies(Yard(scenario, outlook), schedule, seconds=left_s, tell=tell, **how)
    finally:
        line.close()
    arguments.ctrl_c.ignore()
    found = _that_can_be_written(found, decoded(path.read_bytes(), str(path)), written)
    text = f"{shortfall_text(scenario, winter.workload, schedule)}\n\n{remedies_text(scenario, found)}"
    if not found.remedies:
        return Outcome(CANNOT_BE_DONE, text)
    try:
        write_remedies(target, winter.kept(found))
    except (OSError, ValueError) as error:
        return Outcome(CANNOT_BE_DONE, text, complaint=f"{cannot_write(target, error)} So none can be applied.")
    return Outcome(CANNOT_BE_DONE, text, _how_to_apply(path, target, len(found.remedies)))


@dataclass(frozen=True)
class _Winter:
    """The winter that remedies are looked for, and where it is from."""

    path: Path
    scenario: Scenario
    outlook: Outlook | None
    workload: Workload
    digest: str
    records: tuple[WeatherFile, ...]

    def kept(self, found: Found) -> Kept:
        """What is found, to be kept beside the scenario."""
        return Kept(self.path.name, self.digest, _now(), found, self.records)

    def fits(self, schedule: Schedule) -> Outcome:
        """That nothing is needed, once the audit has agreed."""
        plan = plan_from(
            self.workload,
            schedule,
            scenario_file=self.path.name,
            scenario_sha256=self.digest,
            made=_now(),
            made_with="offseason remedies",
        )
        if broken := audit(self.scenario, plan, self.outlook):
            told = "This is a fault of offseason: a plan was found and broke a promise. No file was written."
            return Outcome(AUDIT_FAILED, broken_text(broken, "the plan"), complaint=told)
        name = for_shell(str(self.path))
        told = "This winter fits as it is: a plan was found that keeps every promise, so no remedy is needed."
        return Outcome(
            DONE,
            f"{paragraph(told)}\n  offseason plan {name}    writes such a plan\n"
            f"  offseason spare {name}   says how much room there is to spare",
        )


def _that_can_be_written(found: Found, text: str, scenario: Scenario) -> Found:
    """Without remedies after which the scenario would be refused when it is read, as for a step left out that moves."""

    def can_be(remedy: Remedy) -> bool:
        try:
            applied(text, scenario, remedy.changes)
        except CannotBePlannedError:
            return False
        except CannotEditError:
            return True  # not by us, for how the text is laid out; by the keeper
        return True

    together = found.together if found.together is not None and can_be(found.together) else None
    return replace(found, singles=tuple(filter(can_be, found.singles)), together=together)


def _now() -> datetime:
    return datetime.now(UTC).astimezone().replace(microsecond=0)


def _how_to_apply(path: Path, target: Path, number: int) -> str:
    which = "it" if number == 1 else "the first of them; or write another number"
    told = f"Kept in {target}. To write a new scenario with {which}:"
    return f"{paragraph(clean(told))}\n  offseason remedies {for_shell(str(path))} --apply 1"


def _apply(arguments: argparse.Namespace) -> Outcome:
    arguments.ctrl_c.listen()
    path, number = arguments.file, arguments.apply
    source = _source(path)
    try:
        kept = read_remedies(remedies_path(path))
    except RemediesFileError as error:
        return Outcome(FILE_WRONG, complaint=str(error))
    again = f"run `offseason remedies {for_shell(str(path))}` again"
    if changed := changed_since(kept, path):
        have = "have" if len(changed) > 1 else "has"
        told = f"{listed(changed)} {have} changed since these remedies were found; {again}."
        return Outcome(FILE_WRONG, complaint=told)
    if number > len(kept.found.remedies):
        last = len(kept.found.remedies)
        there = f"{remedies_path(path)} has {'none' if not last else '1 only' if last == 1 else f'1 to {last}'}"
        return Outcome(FILE_WRONG, complaint=f"There is no remedy {number}: {there}.")
    target: Path = arguments.to or path.with_suffix(f".remedy-{number}.yaml")
    text = decoded(source, str(path))
    scenario = parse_scenario(text, str(path))
    changes = kept.found.remedies[number - 1].changes
    try:
        done = applied(text, scenario, changes)
    except CannotEditError as error:
        told = f"Remedy {number} cannot be written into the text of {path}: {error}. {target} was not written."
        return Outcome(FILE_WRONG, complaint=clean(told))
    arguments.ctrl_c.ignore()
    if wrong := _write(target, done):
        return Outcome(FILE_WRONG, complaint=wrong)
    lines = [paragraph(clean(change_text(scenario, change)), 4, "  -") for change in changes]
    return Outcome(DONE, "\n".join([f"Remedy {number}:", *lines]), _then(target, path, scenario))


def _source(path: Path) -> bytes:
    """The bytes of the scenario, once it is known to be one. Raises ScenarioError, OSError."""
    read_scenario(path)
    return path.read_bytes()


def _write(target: Path, text: str) -> str | None:
    """Writes a file that is not there yet; what went wrong, in a sentence."""
    begun = False
    try:
        with target.open("x", encoding="utf-8", newline="") as stream:
            begun = True
            stream.write(text)
    except FileExistsError:
        return f"{target} is there already and was left as it is; name another with --to."
    except (OSError, ValueError) as error:
        if begun:
            target.unlink(missing_ok=True)  # half a scenario is none
        return cannot_write(target, error)
    return None


def _then(target: Path, path: Path, scenario: Scenario) -> str:
    told = f"{target} is written, {path} is as it was; what is different has a remark '# remedy:' above it. Then:"
    files = [*scenario.weather.forecast, *scenario.weather.history]
    moved = target.resolve().parent != path.resolve().parent
    copy = f"{paragraph(clean(f'First copy {listed(files)} beside it.'))}\n" if files and moved else ""
    return f"{paragraph(clean(told))}\n{copy}  offseason plan {for_shell(str(target))}"
