"""``offseason replan``: the rest of a winter planned anew, from what is done, moving as little as can be."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from offseason import __version__
from offseason.commands.begun import Begun, done_so_far, in_order
from offseason.commands.outcome import Outcome, no_such_log, not_touched, nothing_found
from offseason.commands.short_winter import (
    Effort,
    Then,
    keep,
    remedies_for_rest,
    what_is_left_now,
    winter_of,
)
from offseason.commands.short_winter import now as by_the_clock
from offseason.plan.alone import print_of
from offseason.plan.audit import Broken, audit
from offseason.plan.audit.left import left_by_now
from offseason.plan.changes import Side, changed_entries, changes
from offseason.plan.document import LeftOver, Plan, Row
from offseason.plan.file import plan_text, read_plan, write_plan
from offseason.plan.make import plan_from
from offseason.plan.origin import changed_since, name_beside, records_said, scenario_beside
from offseason.plan.progress.believed import believed
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.log import log_beside
from offseason.plan.progress.standing import done_of, done_rows, planned_from
from offseason.plan.promised import missed_by, promised, wanted_by
from offseason.plan.renamed import in_new_names, renamed, said_of_renamed
from offseason.scenario.model import Scenario
from offseason.scenario.read import read_scenario
from offseason.share.exit_codes import AUDIT_FAILED, CANNOT_BE_DONE, DONE, FILE_WRONG
from offseason.share.target import put_plan, unfit_for_plan
from offseason.share.terminal import summary
from offseason.share.terminal.broken import broken_text
from offseason.share.terminal.changes import changes_text
from offseason.share.terminal.layout import clean, day_text, paragraph
from offseason.share.terminal.left import left_changed, left_no_more
from offseason.share.terminal.progress import ProgressLine
from offseason.solver import Progress
from offseason.solver.model import COMB_OUTWEIGHS, SPACE_OUTWEIGHS
from offseason.solver.replan import replan as solve_anew
from offseason.weather.outlook import Outlook
from offseason.workload.build import build_workload
from offseason.workload.model import Schedule, Workload
from offseason.workload.sessions import elapsed_s
from offseason.workload.standing import with_standing


@dataclass(frozen=True)
class Anew:
    """A winter planned anew. ``schedule`` None: the old plan is kept as it is. ``faults``: what the audit found.

    ``tried``: the best that was found, taken or not; None: the old plan keeps all, so nothing was looked for.
    ``said``: sentences on what of the log could not be counted. ``was_left``: what the old plan said it leaves, as far
    as it was still so.
    """

    plan: Plan
    workload: Workload
    schedule: Schedule | None
    faults: tuple[Broken, ...] = ()
    said: tuple[str, ...] = ()
    was_left: tuple[LeftOver, ...] = ()
    tried: Schedule | None = None


def plan_anew(
    scenario: Scenario,
    outlook: Outlook | None,
    old: Plan,
    entries: Sequence[Entry],
    now: datetime,
    *,
    settled_before: date | None = None,
    something_changed: bool = False,
    seconds: float = 20,
    workers: int = 2,
    seed: int = 0,
    on_progress: Callable[[Progress], None] | None = None,
) -> Anew:
    """Plan a settled scenario anew from ``now`` (by the clock on the wall) on, after what the ``entries`` say is done.

    Where the old plan keeps its promises as it is, it is kept to the minute; unless optional work it had was not done
    in its time, or scenario or weather have changed and there is gear it does not know. Where it leaves something, it
    is kept unless a plan is found that leaves less.
    """
    whole = build_workload(scenario, outlook)
    entries, said = believed(whole, entries)
    done = done_rows(scenario, whole, entries, now)
    ahead = tuple(row for row in old.rows if not row.done and _begins(row) >= now)
    unchanged = replace(old, rows=in_order((*done, *ahead)), since=now, weather=outlook.said if outlook else ())
    now_s = elapsed_s(scenario, now)
    workload = with_standing(whole, now_s, done_of(scenario, whole, entries, now))
    unknown = {lot.stated for lot in whole.lots if lot.steps and lot.period is None} - {row.lot for row in old.rows}
    wanted = wanted_by(workload, old.rows)
    missed = missed_by(workload, wanted, unchanged.rows)
    unchanged = replace(unchanged, left=left_by_now(scenario, unchanged, outlook))
    worth_trying = missed or (something_changed and bool(unknown))
    keeps = not audit(scenario, unchanged, outlook)
    as_it_was = Anew(unchanged, workload, None, said=said, was_left=unchanged.left)
    if keeps and not worth_trying and not unchanged.left:
        return as_it_was
    schedule = solve_anew(
        workload,
        promised(scenario, workload, ahead),
        wanted=wanted,
        settled_before=settled_before,
        seconds=seconds,
        workers=workers,
        seed=seed,
        on_progress=on_progress,
    )
    made = plan_from(
        workload,
        schedule,
        scenario_file=old.scenario_file,
        scenario_sha256=old.scenario_sha256,
        made=old.made,
        made_with=old.made_with,
        weather=unchanged.weather,
    )
    plan = replace(made, rows=in_order((*done, *made.rows)), since=now)
    faults = audit(scenario, plan, outlook)
    less = _weight(plan.left) - _weight(unchanged.left)
    if keeps and (nothing_found(schedule) or less > 0 or (not worth_trying and (faults or less == 0))):
        return replace(as_it_was, tried=schedule)
    return Anew(plan, workload, schedule, faults, said, unchanged.left, schedule)


def _weight(left: Sequence[LeftOver]) -> int:
    # as the solver weighs them
    weighs = {"open": COMB_OUTWEIGHS, "overfull": SPACE_OUTWEIGHS}
    return sum(one.pieces * weighs.get(one.how, 1) for one in left)


def _begins(row: Row) -> datetime:
    return datetime.combine(row.day, row.start.replace(fold=0))


def replan(arguments: argparse.Namespace) -> Outcome:
    """Plans the rest of a winter anew."""
    arguments.ctrl_c.listen()
    plan_path: Path = arguments.plan
    target = arguments.to or plan_path
    seen = print_of(target)
    old = as_read = read_plan(plan_path)
    path = arguments.scenario or scenario_beside(old, plan_path)
    if not path.exists():
        told = f"{path}: the scenario of this plan is not there; name it with --scenario"
        return Outcome(FILE_WRONG, complaint=paragraph(told))
    if wrong := unfit_for_plan(target, path):
        return Outcome(FILE_WRONG, complaint=wrong)
    if arguments.log and not arguments.log.exists():
        return no_such_log(arguments.log)
    read_scenario(path)
    winter = winter_of(path)
    scenario, outlook = winter.scenario, winter.outlook
    today: date = arguments.today or datetime.now().astimezone().date()
    so_far = done_so_far(old, arguments.log or log_beside(plan_path), today, scenario.season.from_)
    now = planned_from(scenario, so_far.logged, today)
    if wrong := _not_a_day_to_plan_from(scenario, old, now):
        return Outcome(FILE_WRONG, complaint=wrong)
    names = renamed(old.rows, scenario)
    old = replace(old, rows=in_new_names(old.rows, names))
    said = [*so_far.said, *map(clean, said_of_renamed(names))]
    line = ProgressLine(sys.stderr)
    effort = Effort(arguments.seconds, arguments.workers, arguments.seed, None if arguments.quiet else line)
    found = None
    try:
        anew = plan_anew(
            scenario,
            outlook,
            old,
            so_far.net,
            now,
            settled_before=arguments.settle,
            something_changed=changed_since(old, path) or records_said(old, path.parent) is not None,
            seconds=effort.seconds,
            workers=effort.workers,
            seed=effort.seed,
            on_progress=effort.tell,
        )
        if _is_short(anew) and (tried := anew.tried) is not None and not tried.stopped:
            found = remedies_for_rest(winter, Begun(scenario, so_far.net, now), tried, effort)
    finally:
        line.close()
    arguments.ctrl_c.ignore()
    plan = replace(
        anew.plan,
        scenario_file=name_beside(path, target),
        scenario_sha256=winter.digest,
        records=winter.records,
        made=by_the_clock(),
        made_with=f"offseason {__version__}, planned anew, {arguments.seconds:g} s at most, seed {arguments.seed}",
    )
    short = what_is_left_now(winter, anew.workload, anew.schedule, plan, found) if plan.left else ""
    if anew.faults:
        return _rejected(anew, plan, target, short)
    new = Side(plan, scenario, outlook, winter.workload)
    moved = _settled_and_changed(old, plan, arguments.settle)
    by_now = replace(old, left=anew.was_left)
    said += [*anew.said, *moved, *left_no_more(old, by_now, scenario), *left_changed(by_now, plan, scenario)]
    text = _text(Side(old), new, scenario, anew, so_far.logged, said)
    same = anew.schedule is None and not names and target == plan_path
    # what a keeper wrote into the plan by hand would go with it
    kept_old = put_plan(target, plan, seen, keep=not same or plan_text(as_read).encode() != plan_path.read_bytes())
    where = f"\nThe plan that was there before is kept in {kept_old}." if kept_old else ""
    if not plan.left:
        return Outcome(DONE, text, f"The plan is in {target}; it keeps every promise.{where}")
    told = f"{target}; it leaves what is named below, and keeps every other promise."
    which = "plan" if anew.schedule is None else "best plan found"
    kept = keep(winter, found, _then(arguments)) if found is not None else ()
    left = "\n\n".join(part for part in (short, *kept) if part)
    return Outcome(CANNOT_BE_DONE, text, f"{paragraph(f'The {which} is in {told}')}{where}", left)


def _is_short(anew: Anew) -> bool:
    """Whether something is left, and not for a fault of ours."""
    return bool(anew.plan.left) and (not anew.faults or nothing_found(anew.schedule))


def _then(arguments: argparse.Namespace) -> Then:
    """The same command for another scenario."""
    named = ("log", "today", "settle", "to")
    return Then(arguments.plan, tuple(f"--{one}" for one in named if getattr(arguments, one) is not None))


def _rejected(anew: Anew, plan: Plan, target: Path, short: str) -> Outcome:
    if nothing_found(anew.schedule):
        return not_touched(target, short)
    aside = target.with_suffix(".rejected.yaml")
    write_plan(aside, plan)
    told = f"This is a fault of offseason. {target} was not touched; the plan that failed is in {aside}."
    return Outcome(AUDIT_FAILED, broken_text(anew.faults, str(aside)), complaint=told)


def _not_a_day_to_plan_from(scenario: Scenario, old: Plan, now: datetime) -> str | None:
    if not scenario.season.from_ <= now.date() <= scenario.season.until:
        season = f"{day_text(scenario.season.from_)} to {day_text(scenario.season.until)}"
        return f"{day_text(now.date())} is not in this winter ({season}); name a day of it with --today."
    if old.since is not None and now < old.since:
        since = f"{day_text(old.since.date())} {old.since:%H:%M}"
        return f"This plan was planned anew from {since} on, and --today lies before that; name a later day."
    return None


def _settled_and_changed(old: Plan, new: Plan, settled_before: date | None) -> list[str]:
    """That days which were settled had to change after all."""
    if settled_before is None:
        return []
    days = sorted({key.day for key in changed_entries(old, new) if key.day < settled_before})
    if not days:
        return []
    named = ", ".join(day_text(day) for day in days)
    return [f"Days before {day_text(settled_before)} are settled, and these had to change all the same: {named}."]


def _text(old: Side, new: Side, scenario: Scenario, anew: Anew, entries: Sequence[Entry], said: list[str]) -> str:
    """What is to be said of the log, what changes for whom and why, and what the plan comes to."""
    parts = [paragraph(one) for one in said]
    if anew.schedule is None:
        every = "every other promise" if new.plan.left else "every promise"
        parts.append(paragraph(f"Nothing changes: what is planned from now on keeps {every} as it is."))
    else:
        parts.append(changes_text(changes(old, new, tuple(entries))))
    parts.append(summary(scenario, anew.workload, new.plan))
    return "\n\n".join(parts)
