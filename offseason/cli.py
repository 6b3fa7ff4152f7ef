"""The command line: reads what is asked, calls those who know, prints what they say."""

from __future__ import annotations

import argparse
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from io import TextIOWrapper
from pathlib import Path
from typing import TextIO

from offseason import __version__
from offseason.plan.audit import audit
from offseason.plan.document import Plan
from offseason.plan.file import PlanFileError, read_plan, write_plan
from offseason.plan.make import plan_from
from offseason.plan.origin import changed_since, digest_of, name_beside, scenario_beside
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import offer
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import read_scenario
from offseason.scenario.starter import starter_text
from offseason.scenario.words import parse_date
from offseason.share.terminal import Selection, check_text, show_text, summary
from offseason.share.terminal.broken import broken_text
from offseason.share.terminal.progress import ProgressLine
from offseason.share.terminal.shortfall import shortfall_text
from offseason.workload.balance import balance_of
from offseason.workload.build import build_workload

DONE, FILE_WRONG, CANNOT_BE_DONE, AUDIT_FAILED, FAULT, STOPPED = 0, 2, 3, 4, 70, 130

EXIT_CODES = """\
exit codes:
  0    done
  2    the file is wrong, or the command line
  3    cannot be done: what must be done does not fit into this winter
  4    the audit found broken promises
  70   a fault of this program; OFFSEASON_DEBUG=1 shows where
  130  stopped with Ctrl-C before there was a plan"""


@dataclass(frozen=True)
class Outcome:
    """What a command ends with: exit code, what it has to show, and what it has to complain of."""

    code: int
    text: str = ""
    complaint: str = ""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; no exception gets out."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):  # a terminal that has no sign for °C shows a question mark instead
            stream.reconfigure(errors="replace")
    try:
        arguments = parser().parse_args(argv)
        return _tell(arguments.command(arguments))
    except SystemExit as stop:  # argparse has printed the help, the version, or what is wrong
        return _tell(Outcome(stop.code if isinstance(stop.code, int) else DONE))
    except (ScenarioError, PlanFileError) as error:
        return _tell(Outcome(FILE_WRONG, complaint=str(error)))
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        return _tell(Outcome(FILE_WRONG, complaint=f"{where}{error.strerror or error}"))
    except KeyboardInterrupt:
        return _tell(Outcome(STOPPED, complaint="Stopped. No file was written or changed."))
    except Exception as error:  # noqa: BLE001  the last guard: a keeper must never meet a traceback
        if os.environ.get("OFFSEASON_DEBUG") == "1":
            traceback.print_exc()
        told = f"This is a fault of offseason, not of your file ({type(error).__name__}); no plan was changed."
        return _tell(Outcome(FAULT, complaint=f"{told} With OFFSEASON_DEBUG=1 it shows where; please report that."))


def _tell(outcome: Outcome) -> int:
    try:
        _print(outcome.text, sys.stdout)
        _print(outcome.complaint, sys.stderr)
    except KeyboardInterrupt:
        return STOPPED
    return outcome.code


def _print(text: str, stream: TextIO) -> None:
    try:
        print(text, end="\n" if text else "", file=stream, flush=True)
    except BrokenPipeError:  # whoever reads along (head, less) has seen enough; Python must not try again at the end
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _start(arguments: argparse.Namespace) -> Outcome:
    try:
        text = starter_text(date(arguments.year, 10, 1))
    except ValueError as error:
        return Outcome(FILE_WRONG, complaint=str(error))
    try:
        with arguments.file.open("x", encoding="utf-8") as stream:
            stream.write(text)
    except FileExistsError:
        return Outcome(FILE_WRONG, complaint=f"{arguments.file} is there already and was left as it is; name another.")
    then = f"Change what is different at your place, then:\n  offseason check {arguments.file}\n"
    return Outcome(DONE, f"{arguments.file} is written. {then}  offseason plan {arguments.file}")


def _check(arguments: argparse.Namespace) -> Outcome:
    scenario = read_scenario(arguments.file)
    return Outcome(DONE, check_text(scenario, balance_of(build_workload(scenario), scenario.season.from_)))


def _plan(arguments: argparse.Namespace) -> Outcome:
    from offseason.solver import solve  # noqa: PLC0415  the solver takes a second to load; only this command needs it

    scenario, digest = read_scenario(arguments.file), digest_of(arguments.file)
    target = arguments.to or arguments.file.with_suffix(".plan.yaml")
    if wrong := _unfit_target(target, arguments.file):
        return Outcome(FILE_WRONG, complaint=wrong)
    workload = build_workload(scenario)
    line = ProgressLine(sys.stderr)
    try:
        schedule = solve(
            workload,
            seconds=arguments.seconds,
            workers=arguments.workers,
            seed=arguments.seed,
            on_progress=None if arguments.quiet else line,
        )
    finally:
        line.close()
    if schedule.left_undone:
        return Outcome(CANNOT_BE_DONE, complaint=shortfall_text(scenario, workload, schedule))
    plan = plan_from(
        workload,
        schedule,
        scenario_file=name_beside(arguments.file, target),
        scenario_sha256=digest,
        made=datetime.now(UTC).astimezone().replace(microsecond=0),
        made_with=_made_with(arguments),
    )
    if audit(scenario, plan):
        return _rejected(scenario, plan, target)
    text = summary(scenario, workload, plan)
    write_plan(target, plan)
    stopped = "The search was stopped; this is the best plan so far. " if schedule.stopped else ""
    return Outcome(DONE, f"{text}\n\n{stopped}The plan is in {target}; it keeps every promise.")


def _made_with(arguments: argparse.Namespace) -> str:
    effort = f"{arguments.seconds:g} s at most, workers {arguments.workers}, seed {arguments.seed}"
    return f"offseason {__version__}, {effort}"


def _unfit_target(target: Path, scenario_path: Path) -> str | None:
    """Why no plan can be written there, known before a minute of search rather than after."""
    if target.exists() and target.samefile(scenario_path):
        return f"{target} is the scenario itself; name another file for the plan."
    if target.is_dir() or not target.parent.is_dir():
        return f"{target}: there is no such folder to write the plan into, or it is itself a folder."
    return None


def _rejected(scenario: Scenario, plan: Plan, target: Path) -> Outcome:
    """The plan goes beside the place it was meant for; read back, its broken promises have lines."""
    aside = target.with_suffix(".rejected.yaml")
    write_plan(aside, plan)
    told = f"This is a fault of offseason. {target} was not touched; the plan that failed is in {aside}."
    return Outcome(AUDIT_FAILED, broken_text(audit(scenario, read_plan(aside)), str(aside)), told)


def _show(arguments: argparse.Namespace) -> Outcome:
    plan = read_plan(arguments.plan)
    scenario, remark = _scenario_of(plan, arguments)
    known = [*dict.fromkeys([*(scenario.crew if scenario else ()), *(name for row in plan.rows for name in row.who)])]
    if arguments.who is not None and arguments.who not in known:
        return Outcome(
            FILE_WRONG, complaint=f"nobody in this plan is called {arguments.who}; {offer(arguments.who, known)}"
        )
    first, last = arguments.first, arguments.last
    if arguments.week is not None:
        first = arguments.week - timedelta(days=arguments.week.weekday())
        last = first + timedelta(days=6)
    return Outcome(DONE, remark + show_text(scenario, plan, arguments.by, Selection(first, last, arguments.who)))


def _audit(arguments: argparse.Namespace) -> Outcome:
    plan = read_plan(arguments.plan)
    path = arguments.scenario or scenario_beside(plan, arguments.plan)
    if not path.exists():
        return Outcome(FILE_WRONG, complaint=f"{path}: the scenario of this plan is not there; name it with --scenario")
    scenario = read_scenario(path)
    remark = f"{path} has changed since this plan was made. The plan is judged by the scenario as it is now.\n\n"
    found = audit(scenario, plan)
    text = broken_text(found, str(arguments.plan))
    return Outcome(AUDIT_FAILED if found else DONE, (remark if changed_since(plan, path) else "") + text)


def _scenario_of(plan: Plan, arguments: argparse.Namespace) -> tuple[Scenario | None, str]:
    """The scenario for the cautions of a shown plan, and what to remark where it is missing, broken or changed."""
    path = arguments.scenario or scenario_beside(plan, arguments.plan)
    try:
        scenario = read_scenario(path)
    except ScenarioError as error:
        return None, f"Without the scenario no cautions are shown beside the work. {error.problems[0]}\n\n"
    changed = f"{path} has changed since this plan was made; offseason audit tells what no longer holds.\n\n"
    return scenario, changed if changed_since(plan, path) else ""


def parser() -> argparse.ArgumentParser:
    """The commands and their options."""
    top = argparse.ArgumentParser(
        prog="offseason",
        description="Plans a beekeeper's winter of workshop work, day by day, so that every promise is kept.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"offseason {__version__}")
    commands = top.add_subparsers(title="commands", metavar="COMMAND", required=True)

    def command(name: str, run: Callable[[argparse.Namespace], Outcome], help_: str) -> argparse.ArgumentParser:
        sub = commands.add_parser(
            name,
            help=help_,
            description=help_[0].upper() + help_[1:] + ".",
            epilog=EXIT_CODES,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        sub.set_defaults(command=run)
        return sub

    start = command("start", _start, "write a commented scenario to begin with")
    start.add_argument("file", metavar="FILE", type=Path, nargs="?", default=Path("winter.yaml"), help="winter.yaml")
    start.add_argument("--year", type=_year, default=_this_year(), help="year in which the winter begins (this year)")

    check = command("check", _check, "hold hours of work against hours of help, before any planning")
    check.add_argument("file", metavar="FILE", type=Path, help="a scenario, such as winter.yaml")

    plan = command("plan", _plan, "plan the winter, audit the plan, write it, and say what it comes to")
    plan.add_argument("file", metavar="FILE", type=Path, help="a scenario, such as winter.yaml")
    plan.add_argument(
        "--to", metavar="PLAN", type=Path, help="where the plan goes (winter.plan.yaml beside the scenario)"
    )
    plan.add_argument("--seconds", type=_seconds, default=60.0, help="longest time to search (60)")
    plan.add_argument("--workers", type=_at_least(1), default=2, help="searches side by side (2); 1 is repeatable")
    plan.add_argument("--seed", type=_at_least(0), default=0, help="another number searches in another order (0)")
    plan.add_argument("--quiet", action="store_true", help="do not show how the search is going")

    show = command("show", _show, "print a plan by day, by person or by lot")
    show.add_argument("plan", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml")
    show.add_argument("--by", choices=("day", "person", "lot"), default="day", help="how to order the work (day)")
    show.add_argument("--from", dest="first", metavar="DATE", type=_date, help="first day to show, as in 2026-10-17")
    show.add_argument("--until", dest="last", metavar="DATE", type=_date, help="last day to show")
    show.add_argument("--week", metavar="DATE", type=_date, help="show the week, Monday to Sunday, around this day")
    show.add_argument("--who", metavar="NAME", help="show the work of this person only")
    show.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")

    judge = command("audit", _audit, "name every promise a plan breaks, also one changed by hand")
    judge.add_argument("plan", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml")
    judge.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")
    return top


def _this_year() -> int:
    return datetime.now(UTC).astimezone().year


def _date(text: str) -> date:
    try:
        return parse_date(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _year(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1900 <= int(text) <= 9000):
        raise argparse.ArgumentTypeError(f"'{text}' is not a year; write four digits, as in 2026")
    return int(text)


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not 0 < seconds < float("inf"):
        raise argparse.ArgumentTypeError(f"'{text}' is not a number of seconds above 0")
    return seconds


def _at_least(least: int) -> Callable[[str], int]:
    def parse(text: str) -> int:
        if not (text.isascii() and text.isdigit() and least <= int(text) <= 2**31 - 1):
            raise argparse.ArgumentTypeError(f"'{text}' is not a whole number from {least} up")
        return int(text)

    return parse
