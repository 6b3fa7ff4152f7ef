"""A keeper who follows a plan through a winter other than the one it was made for, and re-plans on the way.

Re-planned is by quick dispatches from where things stand, without the long search: the keeper keeps to the plan where
nothing gets late by it, and otherwise takes the best of a few ways to catch up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from offseason.solver.counts import Counts
from offseason.solver.course import Course, counts_on, course_of, joined
from offseason.solver.dispatch import Dispatched, dispatch, dispatch_until
from offseason.solver.in_time import too_late
from offseason.solver.ledger import Snapshot
from offseason.solver.manner import Manner
from offseason.solver.windows import Timeline, at_once
from offseason.workload.flow import stages
from offseason.workload.model import Importance, Lot, Prefer, Step, Work, Workload
from offseason.workload.standing import OVERDUE_S

Score = tuple[int, int, int, int, int]
"""What a way of going on leaves: must-work in seconds, comb-days open to moths, pieces followed or renewed too late,
and how far must-work and all work fall behind the plan (seconds of work times days). Smaller is better."""

NOTHING_LOST: Score = (0, 0, 0, 0, 0)


@dataclass(frozen=True)
class Intention:
    """What the keeper means to do from now on. ``fill``: work ahead where there is time left."""

    course: Course
    fill: bool


def nothing_done(workload: Workload) -> Snapshot:
    """How things stand on the first morning."""
    return Snapshot(0, tuple(np.zeros((len(lot.steps), 0), np.int64) for lot in workload.lots))


def intention(workload: Workload, at: Snapshot, done: tuple[Work, ...], plan: Course) -> Intention:
    """Re-plan a winter as far as it is known, from where things stand after the work ``done``.

    Kept to the plan, if nothing falls behind it; else the best of: caught up with as soon as there is time for it,
    worked ahead too, and (where must-work would be left, or comb open) must-work only, by what presses most. Whoever
    prefers few days or even weeks does not work ahead unless it must be.
    """
    m = Counts.of(workload, may_leave=True)
    guide = counts_on(workload, plan)
    tried = [_tried(m, Manner(guide=guide, fill=False, exact=True), at, done, guide)]
    unhurried = workload.prefer in (Prefer.FEW_DAYS, Prefer.EVEN_WEEKS)
    if tried[0][0] != NOTHING_LOST and not (unhurried and _sound(tried[0][0])):
        tried.append(_tried(m, Manner(guide=guide, fill=True), at, done, guide))
    if not any(_sound(score) for score, _, _ in tried):
        tried.append(_tried(m, Manner(optional=Importance.MUST), at, done, guide))
    _, manner, made = min(tried, key=lambda one: one[0])
    return Intention(joined(course_of(workload, done), course_of(workload, made.work)), manner.fill)


def lived(
    workload: Workload, at: Snapshot, until: int, meant: Intention, plan: Course
) -> tuple[tuple[Work, ...], Snapshot]:
    """The sessions from where things stand to before session ``until``, as they come: what was meant, where it can be.

    What the plan itself has for these sessions is done too where it can be after all. What something else must soon
    follow is never run ahead of: whether that can follow is not known.
    """
    m = Counts.of(workload, may_leave=True)
    guide = counts_on(workload, meant.course)
    bound = {
        (lot, step.within_of): guide[lot][step.within_of]
        for lot, entry in enumerate(workload.lots)
        for step in entry.steps
        if step.within_s is not None and step.within_of is not None
    }
    planned = counts_on(workload, plan)
    for lot, known in enumerate(guide):
        for s in range(len(known)):
            if (lot, s) not in bound:
                known[s] = np.maximum(known[s], planned[lot][s])
    made, after = dispatch_until(m, Manner(guide=guide, fill=meant.fill, exact=True), at, until, bound)
    return made.work, after


def with_overdue(workload: Workload, at: Snapshot, now_s: int) -> Workload:
    """The workload with must-work of gear and jobs that should have been ready, and is not, to be done soon."""
    soon_s = min(now_s + OVERDUE_S, workload.until_s)
    lots = tuple(
        replace(lot, ready_by_s=soon_s) if _overdue(lot, known, now_s) else lot
        for lot, known in zip(workload.lots, at.counts, strict=True)
    )
    return replace(workload, lots=lots)


def _overdue(lot: Lot, known: NDArray[np.int64], now_s: int) -> bool:
    if lot.period is not None or lot.ready_by_s is None or lot.ready_by_s > now_s:
        return False
    return _unfinished(lot, known)


def _unfinished(lot: Lot, known: NDArray[np.int64]) -> bool:
    done = known[:, -1] if known.shape[1] else np.zeros(len(lot.steps), np.int64)
    return any(
        step.importance is Importance.MUST and here < step.pieces for step, here in zip(lot.steps, done, strict=True)
    )


def varied(workload: Workload, factors: Mapping[str, float]) -> Workload:
    """The workload with the minutes of each kind of work, and of setting up for it, longer or shorter by a factor.

    Whole seconds, at least 1. A piece that fits into some session still does: somebody stays to finish it.
    """
    lots = tuple(
        replace(lot, steps=tuple(_varied(workload, step, factors.get(step.task, 1.0)) for step in lot.steps))
        for lot in workload.lots
    )
    return replace(workload, lots=lots)


def _varied(workload: Workload, step: Step, factor: float) -> Step:
    if step.seconds_each == 0 or factor == 1.0:
        return step
    setup_s = round(step.setup_s * factor)
    longest_s = max(
        (
            session.length_s
            for session in workload.sessions
            if (step.need is None or step.need in session.fit) and at_once(workload, session, step)
        ),
        default=0,
    )
    each_s = max(1, round(step.seconds_each * factor))
    if step.setup_s + step.seconds_each <= longest_s < setup_s + each_s:
        setup_s, each_s = step.setup_s, longest_s - step.setup_s
    elif step.setup_s + step.seconds_each > longest_s:
        return step  # a piece longer than any session is left as it is: it must fit a run of them
    return replace(step, seconds_each=each_s, setup_s=setup_s)


def comb_open(workload: Workload, lot: int, counts: NDArray[np.int64]) -> NDArray[np.int64]:
    """Combs of a lot at rest where moths reach them, by the end of each session; before it arrives: none."""
    entry = workload.lots[lot]
    ends = np.array([session.ends_s for session in workload.sessions], np.int64)
    here = np.where(ends >= entry.arrives_s, entry.count, 0)
    found = np.zeros(len(ends), np.int64)
    way = stages(entry)
    for stage, following in zip(way, [*way[1:], None], strict=True):
        if not (entry.protected if stage < 0 else entry.steps[stage].protected):
            resting = here if stage < 0 else counts[stage]
            found += resting - (counts[following] if following is not None else 0)
    return found


def evenings_asked(timeline: Timeline, entry: Lot) -> list[int]:
    """Last sessions of the days at the end of which every comb of the lot must be protected; none: no comb.

    Where the moths come only after the season, its last evening: what is open then is open when they come.
    """
    if entry.treat_by_s is None or entry.protect_until_s is None:
        return []
    last = timeline.last_ending_by(entry.protect_until_s)
    first = min(timeline.last_ending_by(entry.treat_by_s), last)
    return [k for k in sorted(set(timeline.last_of_day)) if first <= k <= last]


def _tried(
    m: Counts, manner: Manner, at: Snapshot, done: tuple[Work, ...], plan: list[NDArray[np.int64]]
) -> tuple[Score, Manner, Dispatched]:
    made = dispatch(m, manner, at)
    return _score(m, made, at, done, plan), manner, made


def _sound(score: Score) -> bool:
    return score[:3] == NOTHING_LOST[:3]


def _score(m: Counts, made: Dispatched, at: Snapshot, done: tuple[Work, ...], plan: list[NDArray[np.int64]]) -> Score:
    """Only what can still be changed counts: what was missed before is missed whatever is done now."""
    workload = m.workload
    now_s = workload.sessions[at.sessions].starts_s if at.sessions < len(workload.sessions) else workload.until_s
    evenings = [k for k in sorted(set(m.timeline.last_of_day)) if k >= at.sessions]
    left_s = open_days = 0
    behind = {True: 0, False: 0}
    for lot, entry in enumerate(workload.lots):
        known = made.counts[lot]
        if entry.ready_by_s is None or entry.ready_by_s > now_s:
            for s, step in enumerate(entry.steps):
                must = step.importance is Importance.MUST
                seconds = step.seconds_each * max(step.hands, 1)
                left_s += seconds * int(step.pieces - known[s, -1]) if must else 0
                behind[must] += seconds * int(np.maximum(plan[lot][s] - known[s], 0)[evenings].sum())
        asked = [k for k in evenings_asked(m.timeline, entry) if k >= at.sessions]
        open_days += int(comb_open(workload, lot, known)[asked].sum()) if asked else 0
    late_before = sum(map(sum, too_late(workload, done, so_far=True)))
    late = sum(map(sum, too_late(workload, (*done, *made.work)))) - late_before
    return left_s, open_days, late, behind[True], behind[True] + behind[False]
