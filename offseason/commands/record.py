"""``offseason record``: what was done goes into the log beside the plan."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time
from pathlib import Path

from offseason.commands.outcome import Outcome
from offseason.plan.file import read_plan
from offseason.plan.origin import scenario_beside
from offseason.plan.progress.append import CannotAppendError, held
from offseason.plan.progress.known import Known, known
from offseason.plan.progress.log import TAKEN_BY_DAY, Log, LogFileError, log_beside, parse_log, read_log
from offseason.plan.progress.short_line import asked_of_line, corrected, said, words_said
from offseason.plan.progress.taking import Offered, Taken, take, with_more
from offseason.plan.progress.words import parts_of_line
from offseason.scenario.decode import MAX_BYTES, decoded
from offseason.scenario.model import Scenario
from offseason.scenario.problems import MOST_TOLD, ScenarioError
from offseason.scenario.read import check_settled, read_scenario
from offseason.share.exit_codes import DONE, FILE_WRONG
from offseason.share.shell import for_shell
from offseason.share.terminal.progress_log import recorded_text
from offseason.weather.winter import settle
from offseason.workload.build import build_workload
from offseason.workload.model import Workload
from offseason.workload.sessions import zone_of

EXAMPLE = "offseason record winter.plan.yaml Maren freeze 80 super combs 25 min"
MOST_LINES = 5_000
"""Lines of notes that are taken at once: more than the entries of the largest winter that comes with the program."""
_ROW_OF_A_LOG = re.compile(rb"-[ \t]*\{|-[ \t]+(id|date)[ \t]*:")


def record(arguments: argparse.Namespace) -> Outcome:
    """Records a line, or the lines of files; nothing at all where one is wrong, unless the good ones are to be kept."""
    arguments.ctrl_c.listen()
    if wrong := _asked_wrongly(arguments):
        return Outcome(FILE_WRONG, complaint=wrong)
    plan = read_plan(arguments.plan)
    path = arguments.scenario or scenario_beside(plan, arguments.plan)
    scenario, workload = _winter(path)
    now = _now(arguments, scenario)
    today = now.date()
    try:
        offered, remarks = _offered(arguments, known(scenario, workload), today)
        return _recorded(arguments, offered, remarks, scenario, workload, now)
    except (LogFileError, CannotAppendError) as error:
        return Outcome(FILE_WRONG, complaint=str(error))


def _now(arguments: argparse.Namespace, scenario: Scenario) -> datetime:
    """What the clocks of the yard show; of another day that was named, its end."""
    now = datetime.now(UTC).astimezone(zone_of(scenario)).replace(tzinfo=None)
    if arguments.today is None or arguments.today == now.date():
        return now
    return datetime.combine(arguments.today, time.max)


def _asked_wrongly(arguments: argparse.Namespace) -> str | None:
    if arguments.words and arguments.from_:
        return "write the words of one line, or --from with the file that has them, not both."
    if not arguments.words and not arguments.from_:
        return f"what was done is missing; write it as in '{EXAMPLE}', or --from FILE."
    return None


def _winter(path: Path) -> tuple[Scenario, Workload]:
    written = read_scenario(path)
    scenario, outlook = settle(written, path.parent)
    if outlook is not None:
        check_settled(scenario, path)
    return scenario, build_workload(scenario, outlook)


def _recorded(
    arguments: argparse.Namespace,
    offered: list[Offered],
    remarks: tuple[str, ...],
    scenario: Scenario,
    workload: Workload,
    now: datetime,
) -> Outcome:
    path = log_beside(arguments.plan)
    # where there is no log yet, none is made for lines that are wrong
    log = read_log(path)
    taken = take(offered, workload, scenario, log, now)
    if _to_write(taken, arguments):
        with held(path) as file:
            log = file.read()
            taken = take(offered, workload, scenario, log, now)  # others may have written meanwhile
            if _to_write(taken, arguments):
                arguments.ctrl_c.ignore()
                file.append(taken.entries)
    if taken.problems and not arguments.keep_good:
        told = "Nothing was recorded."
        if len(offered) > 1:
            told += " Put these right, or write --keep-good to record the other lines as they are."
        return Outcome(FILE_WRONG, complaint="\n".join([*_first(taken.problems), told]))
    # recording late is no fault that has to be told each time
    told_of_logs = tuple(remark for remark in (*log.remarks, *remarks) if not remark.endswith(TAKEN_BY_DAY))
    after = with_more(Log(log.entries, told_of_logs), taken.entries)
    text = recorded_text(workload, after, taken, now.date(), str(path))
    complaint = "\n".join([*_first(taken.problems), "These were not recorded."]) if taken.problems else ""
    return Outcome(FILE_WRONG if taken.problems else DONE, text, complaint=complaint)


def _first(problems: Sequence[str]) -> list[str]:
    """What is wrong, as far as anybody reads it."""
    more = len(problems) - MOST_TOLD
    return [*problems[:MOST_TOLD], *([f"So are {more:,} more."] if more > 0 else [])]


def _to_write(taken: Taken, arguments: argparse.Namespace) -> bool:
    return bool(taken.entries) and (not taken.problems or arguments.keep_good)


def _offered(arguments: argparse.Namespace, names: Known, today: date) -> tuple[list[Offered], tuple[str, ...]]:
    """What the words or files offer, and what is to be remarked of other logs."""
    if arguments.words:
        words = arguments.words
        if len(words) == 1 and len(words[0].split()) > 1:  # the whole line was put in quotes
            words = parts_of_line(words[0])
        return [_line("", words, names, today, before=("offseason", "record", str(arguments.plan)))], ()
    offered: list[Offered] = []
    remarks: list[str] = []
    for path in arguments.from_:
        file = "what was typed in" if str(path) == "-" else str(path)
        source = _read(path, file)
        if any(_ROW_OF_A_LOG.match(line) for line in source.splitlines()):
            log = parse_log(source, file)
            remarks += log.remarks
            offered += [Offered(f"{file}:{entry.line}", entry) for entry in log.entries]
        else:
            offered += _of_lines(source, file, names, today)
    return offered, tuple(remarks)


def _read(path: Path, file: str) -> bytes:
    if str(path) != "-":
        if not path.is_file() and path.exists():
            raise CannotAppendError(f"{file}: this is not a file; name a file with lines of what was done.")
        with path.open("rb") as stream:
            return stream.read(MAX_BYTES + 1)
    if sys.stdin is None:
        raise CannotAppendError("--from -: there is nothing to read from; name a file instead.")
    return sys.stdin.buffer.read(MAX_BYTES + 1)


def _of_lines(source: bytes, file: str, names: Known, today: date) -> Iterator[Offered]:
    try:
        text = decoded(source, file)
    except ScenarioError as error:
        told = "\n".join(str(problem) for problem in error.problems)
        raise CannotAppendError(told.replace("a scenario is a few hundred lines", "notes are some lines")) from None
    lines = text.splitlines()
    if len(lines) > MOST_LINES:
        told = f"{file}: it has {len(lines):,} lines, and {MOST_LINES:,} are the most that are taken at once; "
        raise CannotAppendError(f"{told}is it the right file? If so, split it.")
    for number, line in enumerate(lines, 1):
        where = f"{file}:{number}"
        stripped = line.strip()
        plain = stripped[2:] if stripped.startswith(("- ", "* ")) else stripped
        if not plain or plain.startswith("#"):
            continue
        try:
            parts = parts_of_line(plain)
        except ValueError as error:
            yield Offered(where, str(error))
            continue
        if parts:
            yield _line(where, parts, names, today)


def _line(where: str, parts: Sequence[str], names: Known, today: date, *, before: Sequence[str] = ()) -> Offered:
    asked = asked_of_line(parts, names, today)
    meant = corrected(parts, names, today) if isinstance(asked, str) else None
    if meant is None:
        return Offered(where, asked)
    if not before:
        return Offered(where, asked, said(meant))
    command = [*before, *words_said(meant), *([meant.note] if meant.note else [])]
    # a note of one word is told from a name by the word before it
    noted = [*command[:-1], "note", meant.note] if meant.note and " " not in meant.note else command
    return Offered(where, asked, " ".join(map(for_shell, noted)))
