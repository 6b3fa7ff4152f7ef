"""``offseason replan``: the rest of a winter planned anew, from what is done, moving as little as can be."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from pathlib import Path

from offseason import __version__
from offseason.commands.outcome import Outcome, not_touched, nothing_found
from offseason.commands.settled import settled
from offseason.plan.audit import Broken, audit
from offseason.plan.audit.left import left_by_now
from offseason.plan.changes import Side, changed_entries, changes
from offseason.plan.document import LeftOver, Plan, Row
from offseason.plan.file import read_plan, write_plan
from offseason.plan.make import plan_from
from offseason.plan.origin import changed_since, digest_of, name_beside, records_of, records_said, scenario_beside
from offseason.plan.progress.believed import believed
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.log import log_beside, read_log
from offseason.plan.progress.standing import done_of, done_rows, followed, kept, planned_from
from offseason.plan.promised import missed_by, promised, wanted_by
from offseason.plan.renamed import in_new_names, renamed, said_of_renamed
from offseason.scenario.model import Scenario
from offseason.scenario.read import read_scenario
from offseason.share.exit_codes import AUDIT_FAILED, CANNOT_BE_DONE, DONE, FILE_WRONG
from offseason.share.target import before_of, cannot_write, keep_old, unfit_for_plan
from offseason.share.terminal import summary
from offseason.share.terminal.broken import broken_text
from offseason.share.terminal.changes import changes_text
from offseason.share.terminal.layout import clean, day_text, paragraph
from offseason.share.terminal.left import left_changed, left_no_more, left_said_text
from offseason.share.terminal.progress import ProgressLine
from offseason.share.terminal.shortfall import own_dates_text, shortfall_text
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

    ``said``: sentences on what of the log could not be counted. ``was_left``: what the old plan said it leaves, as far
    as it was still so.
    """

    plan: Plan
    workload: Workload
    schedule: Schedule | None
    faults: tuple[Broken, ...] = ()
    said: tuple[str, ...] = ()
    was_left: tuple[LeftOver, ...] = ()


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
    unchanged = replace(old, rows=_in_order((*done, *ahead)), since=now, weather=outlook.said if outlook else ())
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
    plan = replace(made, rows=_in_order((*done, *made.rows)), since=now)
    faults = audit(scenario, plan, outlook)
    less = _weight(plan.left) - _weight(unchanged.left)
    if keeps and (nothing_found(schedule) or less > 0 or (not worth_trying and (faults or less == 0))):
        return as_it_was
    return Anew(plan, workload, schedule, faults, said, unchanged.left)


def _weight(left: Sequence[LeftOver]) -> int:
    # as the solver weighs them
    weighs = {"open": COMB_OUTWEIGHS, "overfull": SPACE_OUTWEIGHS}
    return sum(one.pieces * weighs.get(one.how, 1) for one in left)


def _begins(row: Row) -> datetime:
    return datetime.combine(row.day, row.start.replace(fold=0))


def _in_order(rows: Sequence[Row]) -> tuple[Row, ...]:
    return tuple(sorted(rows, key=lambda r: (r.day, r.start.fold, r.start, r.who, r.end, r.lot, r.step)))


def replan(arguments: argparse.Namespace) -> Outcome:
    """Plans the rest of a winter anew."""
    arguments.ctrl_c.listen()
    plan_path: Path = arguments.plan
    old = read_plan(plan_path)
    path = arguments.scenario or scenario_beside(old, plan_path)
    if not path.exists():
        told = f"{path}: the scenario of this plan is not there; name it with --scenario"
        return Outcome(FILE_WRONG, complaint=paragraph(told))
    target = arguments.to or plan_path
    if wrong := unfit_for_plan(target, path):
        return Outcome(FILE_WRONG, complaint=wrong)
    scenario, outlook = settled(read_scenario(path), path)
    today: date = arguments.today or datetime.now().astimezone().date()
    so_far = _done_so_far(old, arguments.log or log_beside(plan_path), today)
    now = planned_from(scenario, so_far.logged, today)
    if wrong := _not_a_day_to_plan_from(scenario, old, now):
        return Outcome(FILE_WRONG, complaint=wrong)
    names = renamed(old.rows, scenario)
    old = replace(old, rows=in_new_names(old.rows, names))
    said = [*so_far.said, *map(clean, said_of_renamed(names))]
    line = ProgressLine(sys.stderr)
    try:
        anew = plan_anew(
            scenario,
            outlook,
            old,
            so_far.net,
            now,
            settled_before=arguments.settle,
            something_changed=changed_since(old, path) or records_said(old, path.parent) is not None,
            seconds=arguments.seconds,
            workers=arguments.workers,
            seed=arguments.seed,
            on_progress=None if arguments.quiet else line,
        )
    finally:
        line.close()
    arguments.ctrl_c.ignore()
    plan = replace(
        anew.plan,
        scenario_file=name_beside(path, target),
        scenario_sha256=digest_of(path),
        records=records_of(scenario, path.parent),
        made=datetime.now(UTC).astimezone().replace(microsecond=0),
        made_with=f"offseason {__version__}, planned anew, {arguments.seconds:g} s at most, seed {arguments.seed}",
    )
    if anew.faults:
        return _rejected(scenario, anew, plan, target)
    whole = build_workload(scenario, outlook)
    new = Side(plan, scenario, outlook, whole)
    moved = _settled_and_changed(old, plan, arguments.settle)
    by_now = replace(old, left=anew.was_left)
    said += [*anew.said, *moved, *left_no_more(old, by_now, scenario), *left_changed(by_now, plan, scenario)]
    text = _text(Side(old), new, scenario, anew, so_far.logged, said)
    try:
        kept_old = None if anew.schedule is None and not names and target == plan_path else keep_old(target)
    except OSError as error:
        return Outcome(FILE_WRONG, complaint=cannot_write(before_of(target), error))
    write_plan(target, plan)
    where = f"\nThe plan that was there before is kept in {kept_old}." if kept_old else ""
    if not plan.left:
        return Outcome(DONE, text, f"The plan is in {target}; it keeps every promise.{where}")
    told = f"{target}; it leaves what is named below, and keeps every other promise."
    if anew.schedule is None:
        left = f"{left_said_text(plan, scenario)}\n{paragraph('No plan that leaves less was found, so it is kept.')}"
        return Outcome(CANNOT_BE_DONE, text, f"{paragraph(f'The plan is in {told}')}{where}", left)
    short = shortfall_text(scenario, anew.workload, anew.schedule)
    own_dates = own_dates_text(whole, anew.workload, anew.schedule.left)
    left = "\n".join(one for one in (short, own_dates) if one)
    return Outcome(CANNOT_BE_DONE, text, f"{paragraph(f'The best plan found is in {told}')}{where}", left)


def _rejected(scenario: Scenario, anew: Anew, plan: Plan, target: Path) -> Outcome:
    if anew.schedule is not None and nothing_found(anew.schedule):
        return not_touched(target, shortfall_text(scenario, anew.workload, anew.schedule))
    aside = target.with_suffix(".rejected.yaml")
    write_plan(aside, plan)
    told = f"This is a fault of offseason. {target} was not touched; the plan that failed is in {aside}."
    return Outcome(AUDIT_FAILED, broken_text(anew.faults, str(aside)), complaint=told)


@dataclass(frozen=True)
class _SoFar:
    """What is done, as logged and net of what was taken back; and what is to be said of where it is known from."""

    logged: tuple[Entry, ...]
    net: tuple[Entry, ...]
    said: tuple[str, ...]


def _done_so_far(old: Plan, log_path: Path, today: date) -> _SoFar:
    """Up to and with today, by the log; before its first row, and where there is none, by the plan."""
    midnight = datetime.combine(today, time())
    log = read_log(log_path)
    logged = tuple(entry for entry in log.entries if entry.day <= today)
    if not logged:
        planned = followed(old, midnight)
        told = f"There is no log ({log_path}), or no row in it, so all that was planned until now is taken as done."
        told += " `offseason record` writes what was really done."
        return _SoFar(planned, planned, (*log.remarks, *([told] if planned else [])))
    first = min(entry.day for entry in logged)
    before = followed(old, datetime.combine(first, time()))
    told = f"Before {day_text(first)}, the first day of the log, all that was planned is taken as done."
    ahead = [entry.day for entry in log.entries if entry.day > today]
    said = (*log.remarks, *([told] if before else []), *_said_of_days_to_come(ahead, today))
    return _SoFar((*before, *logged), kept((*before, *logged)), said)


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


def _said_of_days_to_come(ahead: Sequence[date], today: date) -> Iterator[str]:
    if ahead:
        number = "1 entry" if len(ahead) == 1 else f"{len(ahead):,} entries"
        last = f"the last for {day_text(max(ahead))}"
        yield (
            f"The log has {number} for days after {day_text(today)}, {last}: not counted here, and kept in the log. "
            "Is the clock of this computer right? Another day is named with --today."
        )


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
