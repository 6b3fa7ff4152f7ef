"""``offseason pace``: what the log tells of how long the work takes here."""

from __future__ import annotations

import argparse
import codecs
import os
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from offseason.commands.outcome import Outcome, no_such_log
from offseason.commands.settled import settled
from offseason.plan.alone import alone_beside
from offseason.plan.document import Plan
from offseason.plan.file import read_plan
from offseason.plan.origin import changed_since, scenario_beside
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.likelihood import likelihood
from offseason.plan.progress.log import Log, LogFileError, log_beside, read_log
from offseason.plan.progress.pace import Pace, apart, paces, unused
from offseason.plan.unwritten import cannot_write
from offseason.plan.whole import write_whole
from offseason.scenario.decode import decoded
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.read import read_scenario
from offseason.scenario.yaml_edit import CannotEditError
from offseason.scenario.yaml_minutes import minutes_path, with_minutes
from offseason.share.exit_codes import DONE, FILE_WRONG
from offseason.share.shell import for_shell
from offseason.share.target import before_of, keep_old, unfit_to_keep
from offseason.share.terminal.layout import count_text, day_text, paragraph
from offseason.share.terminal.pace import likelihood_text, pace_text
from offseason.workload.build import build_workload


def pace(arguments: argparse.Namespace) -> Outcome:
    """The pace of the work so far, whether the winter still fits, and with ``--use`` the paces in the scenario."""
    arguments.ctrl_c.listen()
    plan = read_plan(arguments.plan)
    path = arguments.scenario or scenario_beside(plan, arguments.plan)
    written = read_scenario(path)
    log = log_of(arguments)
    if isinstance(log, Outcome):
        return log
    scenario, outlook = settled(written, path)
    workload = build_workload(scenario, outlook)
    today = arguments.today or datetime.now(UTC).astimezone().date()
    entries = tuple(entry for entry in log.entries if entry.day <= today)
    learnt = paces(workload, entries)
    first = first_to_come(entries, today)
    found = likelihood(workload, plan, entries, learnt, scenario.season.from_, first)
    changed = f"{path} has changed since this plan was made; the pace is held against it as it is now."
    remarks = [*([changed] if changed_since(plan, path) else []), *log.remarks, *_of_days_to_come(log, today)]
    title = paragraph(f"{log_path(arguments)}: {_rows(log)}")
    texts = [
        title,
        pace_text(learnt, unused(workload, entries), tuple(scenario.jobs), remarks, apart(workload, entries)),
        likelihood_text(found, learnt),
    ]
    usable = to_use(scenario, learnt)
    if arguments.use:
        return _used(arguments, path, usable, "\n\n".join(texts))
    if usable:
        texts.append(_offer(arguments, plan, path, usable))
    return Outcome(DONE, "\n\n".join(texts))


def _of_days_to_come(log: Log, today: date) -> Iterator[str]:
    ahead = [entry.day for entry in log.entries if entry.day > today]
    if ahead:
        yield (
            f"{count_text(len(ahead), 'row')} of the log for days after {day_text(today)}, the last for "
            f"{day_text(max(ahead))}: not counted here, and kept in the log. Is the clock of this computer right? "
            "Another day is named with --today."
        )


def log_path(arguments: argparse.Namespace) -> Path:
    """The log that is named, or the one beside the plan."""
    path: Path = arguments.log or log_beside(arguments.plan)
    return path


def log_of(arguments: argparse.Namespace) -> Log | Outcome:
    """The log of the plan, or what to say where there is none or it cannot be read."""
    path = log_path(arguments)
    if not path.exists():
        if arguments.log:
            return no_such_log(path)
        record = f"`offseason record {for_shell(arguments.plan)}`"
        told = f"{path}: there is no log beside this plan yet; {record} writes one."
        return Outcome(FILE_WRONG, complaint=paragraph(told))
    try:
        return read_log(path)
    except LogFileError as error:
        return Outcome(FILE_WRONG, complaint=str(error))


def first_to_come(entries: Sequence[Entry], today: date) -> date:
    """The first day whose work is not yet in the log: today, or tomorrow where a row tells of today already."""
    worked = any(entry.day == today and entry.pieces > 0 for entry in entries)
    return today + timedelta(days=1) if worked else today


def to_use(scenario: Scenario, learnt: Sequence[Pace]) -> tuple[Pace, ...]:
    """The paces worth writing into the scenario: from enough rows, other than planned, not of a single job.

    Nor of a single lot: a scenario has one number of minutes for all lots of a task.
    """
    return tuple(
        p for p in learnt if p.enough and p.differs and not p.lot and minutes_path(scenario, p.step) is not None
    )


def write_minutes(path: Path, usable: Sequence[Pace]) -> Path | None:
    """Writes the paces into the scenario, which is kept as it was beside it; where to.

    Raises CannotEditError where nothing can be written in place, OSError where not at all; nothing is changed then.
    """
    with alone_beside(path):
        source = path.read_bytes()
        mark = codecs.BOM_UTF8 if source.startswith(codecs.BOM_UTF8) else b""
        text = decoded(source, str(path))
        if mark + text.encode() != source:
            raise CannotEditError("it is not saved as UTF-8; save it as UTF-8 first")
        minutes = {p.step: p.median_minutes_each for p in usable}
        changed = mark + with_minutes(text, str(path), minutes).encode()
        if changed == source:  # by another at the same time: what it kept is the old file, and this is not
            return None
        if wrong := unfit_to_keep(path):
            raise CannotEditError(wrong)
        kept = keep_old(path)
        write_whole(path, changed)
    return kept


def _rows(log: Log) -> str:
    if not log.entries:
        return "no rows yet."
    days = [entry.day for entry in log.entries]
    return f"{count_text(len(days), 'row')}, {day_text(min(days))} to {day_text(max(days))}"


def _offer(arguments: argparse.Namespace, plan: Plan, path: Path, usable: Sequence[Pace]) -> str:
    words = f"offseason pace {for_shell(arguments.plan)} --use"
    if path != scenario_beside(plan, arguments.plan):
        words += f" --scenario {for_shell(path)}"
    if arguments.log:
        words += f" --log {for_shell(arguments.log)}"
    names = listed(one.step for one in usable)
    return f"{paragraph(f'Nothing is changed. To plan with these minutes ({names}) from now on:')}\n  {words}"


def _beside(path: Path, plan: Path) -> bool:
    """Whether both lie in the same folder: a plan from somebody else may name any scenario there is."""
    return os.path.realpath(path.parent) == os.path.realpath(plan.parent)


def _used(arguments: argparse.Namespace, path: Path, usable: Sequence[Pace], text: str) -> Outcome:
    if not usable:
        told = f"No pace is known well enough, or none differs; {path} was left as it is."
        return Outcome(DONE, text, paragraph(told))
    if arguments.scenario is None and not _beside(path, arguments.plan):
        told = (
            f"{path}, the scenario of this plan, is in another folder than the plan, so it was left as it is; name it "
        )
        return Outcome(
            FILE_WRONG, text, complaint=paragraph(f"{told}with --scenario to have the minutes written there.")
        )
    arguments.ctrl_c.ignore()
    try:
        kept = write_minutes(path, usable)
    except CannotEditError as error:
        return Outcome(FILE_WRONG, text, complaint=paragraph(f"{path} was left as it is: {error}."))
    except OSError as error:
        return Outcome(FILE_WRONG, text, complaint=cannot_write(path, error, "copy the winter to another folder"))
    told = listed(f"{p.step} {p.planned_minutes_each:g} -> {p.median_minutes_each:g}" for p in usable)
    said = paragraph(f"Written into {path}: {told} minutes. Nothing else in it was changed.")
    beside = paragraph(f"As it was before it is kept in {kept or before_of(path)}. Plan anew for it to count:")
    return Outcome(DONE, text, f"{said}\n{beside}\n  offseason replan {for_shell(arguments.plan)}")
