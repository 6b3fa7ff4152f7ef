"""What came of a winter: the work done in it held against what was planned and what that winter asked for."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from offseason.plan.document import Plan
from offseason.plan.elapsed import elapsed
from offseason.plan.rehearsed import CombLived, WinterLived, WorkLived
from offseason.solver.course import Course, Moments, moments_of, moments_on
from offseason.solver.follow import comb_open, evenings_asked
from offseason.solver.in_time import too_late
from offseason.solver.windows import Timeline
from offseason.workload.model import Importance, Lot, Work, Workload

Kind = tuple[str, str]
"""(lot as the keeper calls it, kind of work)."""


@dataclass(frozen=True)
class Planned:
    """How many pieces the plan does of a kind of work on a lot, and the day of the last; None: it does none."""

    pieces: int
    last: date | None


def course_of_plan(workload: Workload, plan: Plan) -> Course:
    """When the rows of a plan have each piece through, by the clock of the workload it was made for."""
    clock = elapsed(workload)
    seconds = {(lot.stated, step.task): step.seconds_each for lot in workload.lots for step in lot.steps}
    parts: dict[Kind, list[Moments]] = {}
    for row in plan.rows:
        each_s = seconds.get((row.lot, row.step), 0)
        begins_s = clock.span_s(row)[0] + round(row.set_up_minutes * 60)
        parts.setdefault((row.lot, row.step), []).append(begins_s + each_s * np.arange(1, row.pieces + 1))
    return {kind: np.sort(np.concatenate(moments)).astype(np.int64) for kind, moments in parts.items()}


def planned_works(workload: Workload, course: Course) -> Mapping[Kind, Planned]:
    """What the plan has of each kind of work."""
    ends = [session.ends_s for session in workload.sessions]
    found: dict[Kind, Planned] = {}
    for lot, by_step in zip(workload.lots, moments_on(workload, course), strict=True):
        for step, moments in zip(lot.steps, by_step, strict=True):
            if step.worth == 0:
                continue  # a renewal: done only where it falls due
            kind = (lot.stated, step.task)
            day = _day(workload, ends, moments)
            before = found.get(kind, Planned(0, None))
            found[kind] = Planned(before.pieces + len(moments), _later(before.last, day))
    return found


def planned_finish(workload: Workload, course: Course) -> date | None:
    """The day on which the plan has the last must-work on gear and jobs done; rounds come back all winter."""
    once = [lot for lot in workload.lots if lot.period is None]
    must = {(lot.stated, s.task) for lot in once for s in lot.steps if s.importance is Importance.MUST}
    works = planned_works(workload, course)
    return max((day for kind in must if kind in works and (day := works[kind].last)), default=None)


def lived_winter(year: int, real: Workload, work: tuple[Work, ...], planned: Mapping[Kind, Planned]) -> WinterLived:
    """A winter as it ended; ``real``: its own workload, with its weather, moths and dates."""
    moments = moments_of(real, work)
    late = too_late(real, work)
    ends = [session.ends_s for session in real.sessions]
    works: dict[Kind, WorkLived] = {}
    for lot, entry in enumerate(real.lots):
        for s, step in enumerate(entry.steps):
            if step.worth == 0:
                continue
            kind = (entry.stated, step.task)
            plan = planned.get(kind, Planned(0, None))
            before = works.get(kind) or WorkLived(
                *kind, step.importance, 0, 0, 0, plan.last, None, comes_back=entry.period is not None
            )
            done = moments[lot][s]
            works[kind] = replace(
                before,
                wanted=before.wanted + step.pieces,
                done=before.done + len(done),
                late=before.late + _late(entry, done) + (late[lot][s] if step.within_s is not None else 0),
                ended=_later(before.ended, _day(real, ends, done)),
            )
    wanted = (
        one if one.importance is Importance.MUST else replace(one, wanted=min(one.wanted, planned[kind].pieces))
        for kind, one in works.items()
        if one.importance is Importance.MUST or (kind in planned and planned[kind].pieces)
    )
    return WinterLived(year, tuple(wanted), tuple(_combs(real, moments, late)))


def _late(entry: Lot, done: Moments) -> int:
    return 0 if entry.ready_by_s is None else int(np.count_nonzero(done > entry.ready_by_s))


def _combs(real: Workload, moments: list[list[Moments]], late: list[list[int]]) -> Iterable[CombLived]:
    timeline, clock = Timeline(real.sessions), elapsed(real)
    ends = np.array([session.ends_s for session in real.sessions], np.int64)
    evenings = sorted(set(timeline.last_of_day))
    for lot, entry in enumerate(real.lots):
        asked = evenings_asked(timeline, entry)
        if entry.treat_by_s is None or not asked:
            continue
        counts = np.array([np.searchsorted(done, ends, side="right") for done in moments[lot]], np.int64)
        at_risk = comb_open(real, lot, counts.reshape(len(entry.steps), len(ends)))
        lapsed = any(late[lot][s] for s, step in enumerate(entry.steps) if step.lasts_s is not None)
        risky = [n for n, k in enumerate(evenings) if at_risk[k] and k <= asked[-1]]
        since = real.sessions[evenings[risky[-1] + 1]].day if risky and evenings[risky[-1]] < asked[-1] else None
        yield CombLived(
            lot=entry.stated,
            in_time=not lapsed and not any(at_risk[k] for k in asked),
            safe_since=since,
            treat_by=clock.last_day(entry.treat_by_s),
        )


def _day(workload: Workload, ends: list[int], moments: Moments) -> date | None:
    """The day on which the last of these moments lies."""
    if not len(moments) or not ends:
        return None
    return workload.sessions[min(bisect_left(ends, int(moments[-1])), len(ends) - 1)].day


def _later(one: date | None, other: date | None) -> date | None:
    return max((day for day in (one, other) if day is not None), default=None)
