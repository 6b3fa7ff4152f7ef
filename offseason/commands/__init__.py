"""What each command does: asks those who know, and hands back what is to be said."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import date, timedelta

from offseason.commands.outcome import Outcome
from offseason.commands.settled import settled
from offseason.plan.audit import audit
from offseason.plan.document import Plan
from offseason.plan.file import PlanFileError, read_plan
from offseason.plan.origin import changed_since, records_said, scenario_beside
from offseason.plan.progress.log import LogFileError
from offseason.plan.unwritten import cannot_use, cannot_write
from offseason.plan.whole import write_whole
from offseason.remedy.contradiction import contradictions
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import offer
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import read_scenario
from offseason.scenario.starter import starter_text
from offseason.share.command_line import Parser, command_line
from offseason.share.ctrl_c import CtrlC
from offseason.share.exit_codes import AUDIT_FAILED, CANNOT_BE_DONE, DONE, FILE_WRONG
from offseason.share.picture import fit_hours_svg
from offseason.share.shell import for_shell
from offseason.share.target import unfit_for_picture, write_new
from offseason.share.terminal import Selection, check_text, show_text
from offseason.share.terminal.broken import broken_text
from offseason.share.terminal.layout import clean_lines
from offseason.share.terminal.weather import none_or_too_many, weather_text
from offseason.share.weather_shown import shown_of_file
from offseason.weather.records import WeatherFileError
from offseason.workload.balance import balance_of
from offseason.workload.build import build_workload


def run(argv: Sequence[str] | None, ctrl_c: CtrlC) -> Outcome:
    """Runs one command. Ctrl-C is listened to as soon as all is loaded, and no more when a plan is to be saved."""
    outcome = _run(argv, ctrl_c)
    # Names of files are said as they were given, in errors and elsewhere: none may steer the terminal.
    text, kept, complaint = map(clean_lines, (outcome.text, outcome.kept, outcome.complaint))
    return Outcome(outcome.code, text, kept, complaint)


def _run(argv: Sequence[str] | None, ctrl_c: CtrlC) -> Outcome:
    try:
        arguments = parser().parse_args(argv, argparse.Namespace(ctrl_c=ctrl_c))
        outcome: Outcome = arguments.command(arguments)
    except SystemExit as stop:  # argparse has printed the help, the version, or what is wrong
        return Outcome(stop.code if isinstance(stop.code, int) else DONE)
    except (ScenarioError, PlanFileError, LogFileError, WeatherFileError) as error:
        return Outcome(FILE_WRONG, complaint=str(error))
    except OSError as error:
        return Outcome(FILE_WRONG, complaint=cannot_use(error))
    return outcome


def parser() -> Parser:
    """The commands and their options."""
    return command_line(
        {
            "start": _start,
            "check": _check,
            "weather": _weather,
            "plan": _plan,
            "show": _show,
            "audit": _audit,
            "record": _record,
            "replan": _replan,
            "changes": _changes,
            "share": _share,
            "rehearse": _rehearse,
            "pace": _pace,
            "spare": _spare,
            "remedies": _remedies,
            "worth": _worth,
            "carry-over": _carry_over,
        }
    )


def _start(arguments: argparse.Namespace) -> Outcome:
    arguments.ctrl_c.listen()
    try:
        text = starter_text(date(arguments.year, 10, 1))
    except ValueError as error:
        return Outcome(FILE_WRONG, complaint=str(error))
    arguments.ctrl_c.ignore()
    if wrong := write_new(arguments.file, text, option=""):
        return Outcome(FILE_WRONG, complaint=wrong)
    named = for_shell(arguments.file)
    then = f"Change what is different at your place, then:\n  offseason check {named}\n  offseason plan {named}"
    return Outcome(DONE, f"{arguments.file} is written. {then}")


def _check(arguments: argparse.Namespace) -> Outcome:
    arguments.ctrl_c.listen()
    scenario, outlook = settled(read_scenario(arguments.file), arguments.file)
    balance = balance_of(build_workload(scenario, outlook), scenario.season.from_)
    contradicting = contradictions(arguments.file.read_bytes(), scenario, outlook, str(arguments.file))
    return Outcome(DONE, check_text(scenario, balance, outlook, contradicting))


def _weather(arguments: argparse.Namespace) -> Outcome:
    arguments.ctrl_c.listen()
    file, first, last, picture = arguments.file, arguments.first, arguments.last, arguments.picture
    sources = [file, arguments.scenario] if arguments.scenario else [file]
    if wrong := _wrong_way_round(first, last) or (unfit_for_picture(picture, sources) if picture else None):
        return Outcome(FILE_WRONG, complaint=wrong)
    every, said = shown_of_file(file, arguments.scenario, timezone=arguments.timezone, station=arguments.station)
    if unknown := [need for need in arguments.need or () if need not in every.reasons]:
        told = offer(unknown[0], every.reasons, what="kinds of weather known here")
        return Outcome(FILE_WRONG, complaint=f"--need: there is no weather called '{unknown[0][:60]}'; {told}")
    shown = every.only(list(dict.fromkeys(arguments.need or every.reasons))).between(first, last)
    if wrong := none_or_too_many(every, shown, drawn=picture is not None):
        return Outcome(FILE_WRONG, complaint=f"{file}: {wrong}")
    text = weather_text(shown, said, asked=bool(first or last))
    if picture is None:
        return Outcome(DONE, text)
    arguments.ctrl_c.ignore()
    try:
        write_whole(picture, fit_hours_svg(shown).encode())
    except (OSError, ValueError) as error:
        return Outcome(FILE_WRONG, complaint=cannot_write(picture, error))
    return Outcome(DONE, text, f"The picture is in {picture}.")


def _plan(arguments: argparse.Namespace) -> Outcome:
    from offseason.commands.plan import plan  # noqa: PLC0415  loads the solver, which takes a second

    return plan(arguments)


def _remedies(arguments: argparse.Namespace) -> Outcome:
    from offseason.commands.remedies import remedies  # noqa: PLC0415  loads the solver, which takes a second

    return remedies(arguments)


def _show(arguments: argparse.Namespace) -> Outcome:
    arguments.ctrl_c.listen()
    first, last = arguments.first, arguments.last
    if arguments.week is not None:
        if first or last:
            told = "--week already says which days to show; write it alone, or --from and --until without it."
            return Outcome(FILE_WRONG, complaint=told)
        first = arguments.week - timedelta(days=arguments.week.weekday())
        last = first + timedelta(days=6)
    if wrong := _wrong_way_round(first, last):
        return Outcome(FILE_WRONG, complaint=wrong)
    plan = read_plan(arguments.plan)
    scenario, remark = _scenario_of(plan, arguments)
    known = [*dict.fromkeys([*(scenario.crew if scenario else ()), *(name for row in plan.rows for name in row.who)])]
    if arguments.who is not None and arguments.who not in known:
        return Outcome(
            FILE_WRONG, complaint=f"nobody in this plan is called {arguments.who}; {offer(arguments.who, known)}"
        )
    return Outcome(DONE, remark + show_text(scenario, plan, arguments.by, Selection(first, last, arguments.who)))


def _wrong_way_round(first: date | None, last: date | None) -> str | None:
    if first is None or last is None or first <= last:
        return None
    return f"--from {first} lies after --until {last}; no day is both. Perhaps they are the wrong way round."


def _audit(arguments: argparse.Namespace) -> Outcome:
    arguments.ctrl_c.listen()
    plan = read_plan(arguments.plan)
    path = arguments.scenario or scenario_beside(plan, arguments.plan)
    if not path.exists():
        return Outcome(FILE_WRONG, complaint=f"{path}: the scenario of this plan is not there; name it with --scenario")
    scenario, outlook = settled(read_scenario(path), path)
    remark = ""
    if changed_since(plan, path):
        remark = f"{path} has changed since this plan was made. The plan is judged by the scenario as it is now.\n\n"
    if changed := records_said(plan, path.parent):
        remark += f"{changed}; the plan is judged by the weather as it is now.\n\n"
    found = audit(scenario, plan, outlook)
    text = broken_text(found, str(arguments.plan), plan, scenario)
    return Outcome(AUDIT_FAILED if found else CANNOT_BE_DONE if plan.left else DONE, remark + text)


def _record(arguments: argparse.Namespace) -> Outcome:
    from offseason.commands.record import record  # noqa: PLC0415  loaded only where asked for

    return record(arguments)


def _replan(arguments: argparse.Namespace) -> Outcome:
    from offseason.commands.replan import replan  # noqa: PLC0415  loads the solver, which takes a second

    return replan(arguments)


def _changes(arguments: argparse.Namespace) -> Outcome:
    from offseason.commands.changes import changes  # noqa: PLC0415  loaded only where asked for

    return changes(arguments)


def _share(arguments: argparse.Namespace) -> Outcome:
    from offseason.commands.share import share  # noqa: PLC0415  loaded only where asked for

    return share(arguments)


def _rehearse(arguments: argparse.Namespace) -> Outcome:
    from offseason.rehearsal.command import rehearse_file  # noqa: PLC0415  loads the solver, which takes a second

    arguments.ctrl_c.listen()
    return Outcome(*rehearse_file(arguments))


def _pace(arguments: argparse.Namespace) -> Outcome:
    from offseason.commands.pace import pace  # noqa: PLC0415  loaded only where asked for

    return pace(arguments)


def _worth(arguments: argparse.Namespace) -> Outcome:
    from offseason.commands.worth import worth  # noqa: PLC0415  loaded only where asked for

    return worth(arguments)


def _spare(arguments: argparse.Namespace) -> Outcome:
    from offseason.commands.spare import spare  # noqa: PLC0415  loads the solver, which takes a second

    return spare(arguments)


def _carry_over(arguments: argparse.Namespace) -> Outcome:
    from offseason.commands.carry_over import carry_over  # noqa: PLC0415  loaded only where asked for

    return carry_over(arguments)


def _scenario_of(plan: Plan, arguments: argparse.Namespace) -> tuple[Scenario | None, str]:
    """The scenario for the cautions of a shown plan, and what to remark where it is missing, broken or changed."""
    path = arguments.scenario or scenario_beside(plan, arguments.plan)
    try:
        scenario = read_scenario(path)
    except ScenarioError as error:
        return None, f"Without the scenario no cautions are shown beside the work. {error.problems[0]}\n\n"
    changed = [f"{path} has changed since this plan was made"] if changed_since(plan, path) else []
    changed += [said] if (said := records_said(plan, path.parent)) else []
    return scenario, "".join(f"{said}; offseason audit tells what no longer holds.\n\n" for said in changed)
