"""The command ``rehearse``: reads plan, scenario and records, rehearses, and hands back what is to be said."""

from __future__ import annotations

import argparse
import sys
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import NamedTuple

from offseason.plan.document import Plan
from offseason.plan.file import read_plan
from offseason.plan.origin import changed_since, records_said, scenario_beside
from offseason.plan.rehearsed import Rehearsal
from offseason.plan.unwritten import cannot_write
from offseason.plan.whole import write_whole
from offseason.rehearsal.replay import Asked, Stage
from offseason.rehearsal.side_by_side import rehearse
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.read import check_settled, read_scenario
from offseason.share.exit_codes import DONE, FAULT, FILE_WRONG
from offseason.share.picture import WinterShown, spread_svg
from offseason.share.shell import for_shell
from offseason.share.target import is_plan, unfit_for_picture
from offseason.share.terminal.layout import clean, day_text, paragraph
from offseason.share.terminal.rehearsal import BarLine, failed_text, rehearsal_text, winter_name
from offseason.weather.said import left_out_said
from offseason.weather.winter import records_of, settled
from offseason.weather.winters import Winters, winters_of


class Said(NamedTuple):
    """Exit code, what there is to show, where a file was put, and a complaint."""

    code: int
    text: str = ""
    kept: str = ""
    complaint: str = ""


def rehearse_file(arguments: argparse.Namespace) -> Said:
    """Rehearses the plan named, or the one beside the scenario named. Errors: as reading its files has them."""
    found = _plan_and_scenario(arguments.file, arguments.scenario)
    if isinstance(found, str):
        return Said(FILE_WRONG, complaint=found)
    plan_path, path = found
    picture: Path | None = arguments.picture
    if picture is not None and (wrong := unfit_for_picture(picture, (plan_path, path))):
        return Said(FILE_WRONG, complaint=wrong)
    plan, scenario = read_plan(plan_path), read_scenario(path)
    if plan.since is not None:
        begun = f"{plan_path} was planned anew from {day_text(plan.since.date())} on"
        makes = f"offseason plan {for_shell(path)} --to FILE makes one"
        told = f"{begun}; only the plan of a whole winter can be rehearsed. {makes}."
        return Said(FILE_WRONG, complaint=told)
    winters = _winters(scenario, path)
    if isinstance(winters, str):
        return Said(FILE_WRONG, complaint=winters)
    line = BarLine(sys.stderr)
    try:
        rehearsal = rehearse(
            Stage.of(scenario, winters, plan, Asked(arguments.forecast_days, arguments.vary, arguments.seed)),
            workers=arguments.workers,
            on_progress=(lambda _: None) if arguments.quiet else line,
        )
    except BrokenProcessPool:
        told = "A winter was ended from outside before it was over, perhaps for want of memory; try --workers 1."
        return Said(FAULT, complaint=told)
    finally:
        line.close()
    arguments.ctrl_c.ignore()
    text = _remark(plan, path) + _left_out(scenario, winters, plan) + rehearsal_text(scenario, rehearsal)
    if picture is None:
        return Said(DONE, text)
    try:
        write_whole(picture, picture_of(scenario, rehearsal).encode())
    except (OSError, ValueError) as error:
        return Said(FILE_WRONG, text, complaint=cannot_write(picture, error))
    return Said(DONE, text, f"The picture is in {picture}.")


def picture_of(scenario: Scenario, rehearsal: Rehearsal) -> str:
    """The spread over the winters, as the text of an SVG file."""
    season, winters = scenario.season, rehearsal.winters
    rows = [
        WinterShown(winter_name(season, winter.year), winter.finished, winter.comb_safe, failed_text(winter))
        for winter in winters
    ]
    dates = {comb.treat_by for winter in winters for comb in winter.combs}
    treat_by = dates.pop() if len(dates) == 1 else None  # one line cannot show several
    return spread_svg(rows, season.until, treat_by, f"{clean(season.name)}: the plan in past winters")


def _plan_and_scenario(file: Path, scenario: Path | None) -> tuple[Path, Path] | str:
    """Where plan and scenario are; a sentence where one of them is not."""
    if is_plan(file):
        path = scenario or scenario_beside(read_plan(file), file)
        if not path.exists():
            return f"{path}: the scenario of this plan is not there; name it with --scenario"
        return file, path
    if not file.exists():
        return f"{file}: there is no such file; name a plan, such as winter.plan.yaml, or its scenario."
    plan = file.with_suffix(".plan.yaml")
    if not plan.exists():
        return f"{file} has no plan yet ({plan} is not there); make one first: offseason plan {for_shell(file)}"
    return plan, scenario or file


def _winters(scenario: Scenario, path: Path) -> Winters | str:
    """Past winters of the scenario's records; a sentence where there are none."""
    forecast, history, _ = records_of(scenario, path.parent)
    if history is None:
        told = "names no records of past winters, so there is nothing to rehearse in"
        return f"{path} {told}; name a file of them under weather: history:, as in history: records.csv"
    winters = winters_of(scenario, forecast, history)
    if not winters.years:
        first, until = scenario.season.from_, scenario.season.until
        told = f"has no past winter from {first:%d %b} to {until:%d %b} that is whole enough to rehearse in"
        return f"{path}: the records under weather: history: {told}; name more of them"
    check_settled(settled(scenario, winters.outlook()), path)
    return winters


def _left_out(scenario: Scenario, winters: Winters, plan: Plan) -> str:
    """What is not rehearsed: rows of the plan that the scenario knows nothing of, and winters that are not whole."""
    known = {*scenario.gear, *scenario.jobs, *scenario.rounds}
    strange = sorted({clean(row.lot) for row in plan.rows if row.lot not in known})
    told = [f"{listed(strange)}: the plan has work on it and the scenario does not; it is left out."] if strange else []
    if missing := left_out_said(winters.missing, winters.lacking, winters.span):
        told.append(missing)
    return "".join(f"{paragraph(one)}\n\n" for one in told)


def _remark(plan: Plan, path: Path) -> str:
    remark = ""
    if changed_since(plan, path):
        remark = f"{path} has changed since this plan was made; it is rehearsed by the scenario as it is now.\n\n"
    if changed := records_said(plan, path.parent):
        remark += f"{changed}; it is rehearsed by the weather as it is now.\n\n"
    return remark
