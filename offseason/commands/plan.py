"""``offseason plan``: the best plan found, audited and written; of a winter that does not fit, what would mend it."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from offseason import __version__
from offseason.commands.begun import has_begun
from offseason.commands.outcome import Outcome, not_touched, nothing_found
from offseason.commands.short_winter import (
    SHARE_IF_SHORT,
    Effort,
    Winter,
    keep,
    now,
    remedies_for,
    seconds_if_short,
    what_fails,
    winter_of,
)
from offseason.plan.alone import print_of
from offseason.plan.audit import audit
from offseason.plan.document import Plan
from offseason.plan.file import PlanFileError, read_plan, write_plan
from offseason.plan.make import plan_from
from offseason.plan.origin import name_beside
from offseason.plan.unwritten import shown
from offseason.scenario.read import read_scenario
from offseason.share.exit_codes import AUDIT_FAILED, CANNOT_BE_DONE, DONE, FILE_WRONG
from offseason.share.shell import for_shell
from offseason.share.target import of_another_scenario, put_plan, unfit_for_plan
from offseason.share.terminal import summary
from offseason.share.terminal.broken import broken_text
from offseason.share.terminal.layout import count_text, paragraph
from offseason.share.terminal.progress import ProgressLine
from offseason.solver import solve
from offseason.workload.model import Schedule


def plan(arguments: argparse.Namespace) -> Outcome:
    """Plans the winter; where not all that must be done fits, says what fails and what would be enough, too."""
    arguments.ctrl_c.listen()
    season = read_scenario(arguments.file).season
    target: Path = arguments.to or arguments.file.with_suffix(".plan.yaml")
    if wrong := unfit_for_plan(target, arguments.file) or _not_to_be_planned_over(target, arguments.file, season.from_):
        return Outcome(FILE_WRONG, complaint=wrong)
    seen = print_of(target)
    winter = winter_of(arguments.file)
    line = ProgressLine(sys.stderr)
    effort = Effort(
        float(arguments.effort or arguments.seconds),
        arguments.workers,
        arguments.seed,
        None if arguments.quiet else line,
    )
    try:
        schedule = solve(
            winter.workload,
            seconds=effort.seconds,
            effort=arguments.effort,
            seconds_if_short=seconds_if_short(winter, effort),
            workers=effort.workers,
            seed=effort.seed,
            on_progress=effort.tell,
        )
        found = None
        if schedule.left and not schedule.stopped:
            found = remedies_for(winter, schedule, _of_the_wall(effort, schedule) if arguments.effort else effort)
    finally:
        line.close()
    arguments.ctrl_c.ignore()
    made = plan_from(
        winter.workload,
        schedule,
        scenario_file=name_beside(arguments.file, target),
        scenario_sha256=winter.digest,
        made=now(),
        made_with=_made_with(arguments),
        weather=winter.outlook.said if winter.outlook else (),
        records=winter.records,
    )
    fails = what_fails(winter, schedule, found) if schedule.left else ""
    if audit(winter.scenario, made, winter.outlook):
        return not_touched(target, fails) if nothing_found(schedule) else _rejected(winter, made, target)
    text = summary(winter.scenario, winter.workload, made)
    old = put_plan(target, made, seen)
    stopped = "The search was stopped; this is the best plan so far. " if schedule.stopped else ""
    old_kept = f"\nThe plan that was there before is kept in {old}." if old else ""
    if not schedule.left:
        kept = f"{stopped}The plan is in {target}; it keeps every promise.{old_kept}{_days_gone_by(made)}"
        return Outcome(DONE, text, kept)
    said = f"{stopped}The best plan found is in {target}; it leaves what is named below.{old_kept}"
    kept, complaint = keep(winter, found) if found is not None else ("", "")
    return Outcome(CANNOT_BE_DONE, text, said, "\n\n".join(part for part in (fails, kept, complaint) if part))


def _days_gone_by(made: Plan) -> str:
    """Where there is work on days that are over: that it is planned as if they were still to come."""
    today = made.made.astimezone().date()
    over = {row.day for row in made.rows if row.day < today}
    if not over:
        return ""
    told = (
        f"{count_text(len(over), 'day')} of this work {'is' if len(over) == 1 else 'are'} over already. If nothing is "
    )
    told += (
        f"done yet, write from: {today + timedelta(days=1)} under season: (and days from then on under arrives:), then "
    )
    return f"\n{paragraph(told + 'plan again.')}"


def _of_the_wall(effort: Effort, schedule: Schedule) -> Effort:
    """For remedies, which go by the clock on the wall: their part of it, whatever time the plan took."""
    return replace(effort, seconds=schedule.seconds + (1 - SHARE_IF_SHORT) * effort.seconds)


def _made_with(arguments: argparse.Namespace) -> str:
    """By what the plan was made; what it does not hang on is left out."""
    if arguments.effort:
        return f"offseason {__version__}, effort {arguments.effort}, seed {arguments.seed}"
    limit = f"{arguments.seconds:g} s at most, workers {arguments.workers}"
    return f"offseason {__version__}, {limit}, seed {arguments.seed}"


def _rejected(winter: Winter, made: Plan, target: Path) -> Outcome:
    """The plan goes beside the place it was meant for; read back, its broken promises have lines."""
    aside = target.with_suffix(".rejected.yaml")
    write_plan(aside, made)
    told = f"This is a fault of offseason. {target} was not touched; the plan that failed is in {aside}."
    broken = audit(winter.scenario, read_plan(aside), winter.outlook)
    return Outcome(AUDIT_FAILED, broken_text(broken, str(aside)), complaint=told)


def _not_to_be_planned_over(target: Path, scenario: Path, first: date) -> str | None:
    """That the plan there is of another scenario, or of a winter that has begun, of which a new one knows nothing.

    ``first``: the first day of this winter; the plan of a winter before may go.
    """
    if told := of_another_scenario(target, scenario):
        return f"{told}; it was left as it is. Move it elsewhere, or name another file with --to."
    try:
        there = read_plan(target)
    except PlanFileError:
        return None
    if has_begun(target, there) and any(row.day >= first for row in there.rows):
        named = shown(target)
        told = f"The winter of {named} has begun: it was planned anew, or its log has rows. It was left as it is."
        again = f"`offseason replan {for_shell(target)}` plans what is left"
        return f"{told} {again}; to plan the whole winter from its start, name another file with --to."
    return None
