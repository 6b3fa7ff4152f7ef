"""``offseason spare``: how much room there is in a plan that works, and what one more of anything would be worth."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from itertools import pairwise
from pathlib import Path

from offseason.commands.begun import has_begun
from offseason.commands.outcome import Outcome
from offseason.commands.settled import settled
from offseason.commands.short_winter import replan_words
from offseason.plan.audit import audit
from offseason.plan.document import Plan
from offseason.plan.file import read_plan
from offseason.plan.origin import changed_since, records_said, scenario_beside
from offseason.plan.reading import comb_safety
from offseason.remedy.spare import Spare, StepStart
from offseason.remedy.spare_weeks import weeks_of
from offseason.remedy.spare_worth import Worths, asked_about, worths
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import offer
from offseason.scenario.read import read_scenario
from offseason.share.exit_codes import AUDIT_FAILED, CANNOT_BE_DONE, DONE, FILE_WRONG
from offseason.share.shell import for_shell
from offseason.share.terminal.broken import broken_text
from offseason.share.terminal.layout import paragraph
from offseason.share.terminal.left import left_said_text
from offseason.share.terminal.spare import StageLine, spare_text
from offseason.solver import Progress
from offseason.solver.last_start import LotStep, Starts, last_starts, must_steps
from offseason.weather.outlook import Outlook
from offseason.workload.build import build_workload
from offseason.workload.model import Workload

SMALL_S, LARGE_S = 12.0, 70.0
"""Longest time for the questions of a small winter and of a large one, unless asked for otherwise. Ours."""

LARGE_SESSIONS = 150
"""From so many stretches of work on a winter is large: about what one person's weekends come to twice over. Ours."""

STARTS_SHARE = 0.6
"""Part of the time that the last starts may take; what they leave goes to the other questions."""


def spare(arguments: argparse.Namespace) -> Outcome:
    """The room to spare in the plan; of one that leaves something, or breaks a promise, it is not told."""
    arguments.ctrl_c.listen()
    plan = read_plan(arguments.plan)
    path = arguments.scenario or scenario_beside(plan, arguments.plan)
    if not path.exists():
        return Outcome(FILE_WRONG, complaint=f"{path}: the scenario of this plan is not there; name it with --scenario")
    scenario, outlook = settled(read_scenario(path), path)
    remark = _remark(plan, path)
    if plan.left:
        return _no_room(plan, scenario, path, arguments, remark)
    if broken := audit(scenario, plan, outlook):
        told = paragraph("Room to spare is only told of a plan that keeps every promise; this one does not.")
        return Outcome(AUDIT_FAILED, remark + broken_text(broken, str(arguments.plan), plan, scenario), complaint=told)
    workload = build_workload(scenario, outlook)
    asked = _chosen(workload, arguments)
    if isinstance(asked, str):
        return Outcome(FILE_WRONG, complaint=asked)
    line = StageLine(sys.stderr)
    try:
        found = _found(
            scenario, outlook, workload, plan, asked, arguments, (lambda _: None) if arguments.quiet else line
        )
    finally:
        line.close()
    arguments.ctrl_c.ignore()
    return Outcome(DONE, remark + spare_text(scenario, found))


def _found(
    scenario: Scenario,
    outlook: Outlook | None,
    workload: Workload,
    plan: Plan,
    asked: tuple[LotStep, ...],
    arguments: argparse.Namespace,
    tell: Callable[[Progress], None],
) -> Spare:
    began = time.monotonic()
    seconds = arguments.seconds or (LARGE_S if len(workload.sessions) >= LARGE_SESSIONS else SMALL_S)

    def said(at: Progress) -> None:  # one clock for both parts
        tell(replace(at, seconds=time.monotonic() - began))

    only_starts = arguments.lot is not None or arguments.step is not None
    begun = _begun(workload, plan, asked)
    starts = last_starts(
        workload,
        begun,
        asked,
        seconds=seconds * (1.0 if only_starts else STARTS_SHARE),
        workers=arguments.workers,
        seed=arguments.seed,
        tell=said,
    )
    weeks = weeks_of(workload, plan)
    bought = Worths(())
    if not only_starts and not starts.stopped:
        bought = worths(
            scenario,
            outlook,
            asked_about(scenario, workload, weeks),
            seconds=seconds - (time.monotonic() - began),
            workers=arguments.workers,
            seed=arguments.seed,
            tell=said,
        )
    return Spare(
        starts=_told(workload, begun, starts),
        combs=tuple(one for one in comb_safety(workload, plan) if arguments.lot in (None, one.lot)),
        weeks=() if only_starts else weeks,
        worths=None if only_starts else bought.found,
        edges=any(one.ends_s == two.starts_s for one, two in pairwise(workload.sessions)),
        stopped=starts.stopped or bought.stopped,
        each_s=bought.each_s,
    )


def _chosen(workload: Workload, arguments: argparse.Namespace) -> tuple[LotStep, ...] | str:
    """The steps asked about, or a sentence where there is none of that name."""
    every = must_steps(workload)
    lots = [workload.lots[lot].stated for lot, _ in every]
    steps = [workload.lots[lot].steps[step].task for lot, step in every]
    for option, wanted, known in (("--lot", arguments.lot, lots), ("--step", arguments.step, steps)):
        if wanted is not None and wanted not in known:
            told = offer(wanted, list(dict.fromkeys(known)), what="those with work that must be done are")
            return f"{option}: nothing that must be done is called '{wanted[:60]}'; {told}"
    chosen = tuple(
        key
        for key, lot, step in zip(every, lots, steps, strict=True)
        if arguments.lot in (None, lot) and arguments.step in (None, step)
    )
    if not chosen and every:
        return f"--step: '{arguments.step[:60]}' is no step of '{arguments.lot[:60]}' that must be done"
    return chosen


def _begun(workload: Workload, plan: Plan, asked: tuple[LotStep, ...]) -> dict[LotStep, date]:
    """The first day of each step in the plan, which keeps every promise and so has one."""
    first: dict[tuple[str, str], date] = {}
    for row in plan.rows:
        first[row.lot, row.step] = min(row.day, first.get((row.lot, row.step), row.day))
    return {key: first[workload.lots[key[0]].stated, workload.lots[key[0]].steps[key[1]].task] for key in asked}


def _told(workload: Workload, begun: dict[LotStep, date], starts: Starts) -> tuple[StepStart, ...]:
    found = []
    for one in starts.found:
        lot = workload.lots[one.lot]
        begins = begun[one.lot, one.step]
        found.append(StepStart(lot.stated, lot.steps[one.step].task, begins, one.day, one.not_after))
    return tuple(found)


def _no_room(plan: Plan, scenario: Scenario, path: Path, arguments: argparse.Namespace, remark: str) -> Outcome:
    ask = f"offseason remedies {for_shell(path)}"
    if has_begun(arguments.plan, plan):
        ask = replan_words(arguments.plan, arguments.scenario)
    told = paragraph(f"A plan that leaves something has no room to spare. What is short, and what would mend it: {ask}")
    return Outcome(CANNOT_BE_DONE, remark + left_said_text(plan, scenario), complaint=told)


def _remark(plan: Plan, path: Path) -> str:
    said = [f"{path} has changed since this plan was made"] if changed_since(plan, path) else []
    said += [changed] if (changed := records_said(plan, path.parent)) else []
    return "".join(f"{paragraph(f'{one}; the plan is judged as it is now.')}\n\n" for one in said)
