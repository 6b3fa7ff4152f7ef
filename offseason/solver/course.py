"""When each piece of the work is through, apart from the sessions of any one winter.

So a plan can be followed in another: with other weather the sessions are cut otherwise, and there may be more or
fewer rounds and renewals.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from offseason.solver.ledger import Snapshot
from offseason.workload.model import Importance, Lot, Work, Workload

Moments = NDArray[np.int64]
Course = Mapping[tuple[str, str], Moments]
"""(lot as the keeper calls it, kind of work) -> when each piece of it is through, in order, seconds of the season."""

LotKey = tuple[str, date | None]

DAY_S = 86_400


def moments_of(workload: Workload, work: Iterable[Work]) -> list[list[Moments]]:
    """Per lot and step: when each piece is through, in order of time."""
    found: list[list[list[Moments]]] = [[[] for _ in lot.steps] for lot in workload.lots]
    for one in work:
        each_s = (one.ends_s - one.starts_s - one.setup_s) // one.pieces
        found[one.lot][one.step].append(one.ends_s - each_s * np.arange(one.pieces))
    return [[_in_order(parts) for parts in by_step] for by_step in found]


def course_of(workload: Workload, work: Iterable[Work]) -> Course:
    """The course of work on the clock."""
    parts: dict[tuple[str, str], list[Moments]] = {}
    for lot, by_step in zip(workload.lots, moments_of(workload, work), strict=True):
        for step, moments in zip(lot.steps, by_step, strict=True):
            parts.setdefault((lot.stated, step.task), []).append(moments)
    return {key: _in_order(moments) for key, moments in parts.items()}


def joined(first: Course, then: Course) -> Course:
    """One course after another."""
    none = np.empty(0, np.int64)
    return {key: _in_order([first.get(key, none), then.get(key, none)]) for key in {**first, **then}}


def moments_on(workload: Workload, course: Course) -> list[list[Moments]]:
    """Per lot and step of a workload: when the course has each piece through. Rounds: the one in their period.

    A kind of work that a lot has more than once (a treatment and its renewals) comes in the order of its steps.
    """
    none = np.empty(0, np.int64)
    found = []
    for lot in workload.lots:
        begun: dict[str, int] = {}
        row = []
        for step in lot.steps:
            moments = course.get((lot.stated, step.task), none)
            if lot.period is not None:
                moments = moments[(moments > lot.arrives_s) & (moments <= _ends_s(workload, lot))]
            at = begun.get(step.task, 0)
            begun[step.task] = at + step.pieces
            row.append(moments[at : at + step.pieces])
        found.append(row)
    return found


def counts_on(workload: Workload, course: Course) -> list[NDArray[np.int64]]:
    """The course as counts per lot (steps, sessions): pieces that it has through by the end of each session.

    A round that must be done and that the course does not have in its period is wanted from the first day of it.
    """
    ends = np.array([session.ends_s for session in workload.sessions], np.int64)
    found = []
    for lot, by_step in zip(workload.lots, moments_on(workload, course), strict=True):
        counts = np.zeros((len(lot.steps), len(ends)), np.int64)
        for s, moments in enumerate(by_step):
            counts[s] = np.searchsorted(moments, ends, side="right")
            if lot.period is not None and not len(moments) and lot.steps[s].importance is Importance.MUST:
                counts[s] = np.where(ends > lot.arrives_s, lot.steps[s].pieces, 0)
        found.append(counts)
    return found


def carried_over(at: Snapshot, old: Workload, new: Workload) -> Snapshot:
    """How things stand, told in the lots and steps of another workload of the same season.

    ValueError where the sessions gone by are not the same. What has no counterpart there is left out.
    """
    gone = at.sessions
    if [(s.starts_s, s.ends_s) for s in old.sessions[:gone]] != [(s.starts_s, s.ends_s) for s in new.sessions[:gone]]:
        raise ValueError("the sessions gone by are not the same in these two winters")
    to = _same_steps(old, new)
    counts = [np.zeros((len(lot.steps), gone), np.int64) for lot in new.lots]
    for (lot, step), (there, then) in to.items():
        counts[there][then] = at.counts[lot][step]
    known = [block for block in at.carried if (block.lot, block.step) in to]
    carried = [replace(block, lot=to[block.lot, block.step][0], step=to[block.lot, block.step][1]) for block in known]
    return replace(
        at,
        counts=tuple(counts),
        ends={to[key]: done for key, done in at.ends.items() if key in to},
        carried=carried,
    )


def work_over(work: Iterable[Work], old: Workload, new: Workload) -> tuple[Work, ...]:
    """Work told in the lots and steps of another workload of the same season; without what has no counterpart."""
    to = _same_steps(old, new)
    return tuple(
        replace(one, lot=to[one.lot, one.step][0], step=to[one.lot, one.step][1])
        for one in work
        if (one.lot, one.step) in to
    )


def _same_steps(old: Workload, new: Workload) -> dict[tuple[int, int], tuple[int, int]]:
    there = {_key(lot): n for n, lot in enumerate(new.lots)}
    return {
        (n, s): (there[_key(lot)], s)
        for n, lot in enumerate(old.lots)
        if _key(lot) in there
        for s, step in enumerate(lot.steps)
        if s < len(new.lots[there[_key(lot)]].steps) and new.lots[there[_key(lot)]].steps[s].task == step.task
    }


def _key(lot: Lot) -> LotKey:
    return lot.stated, None if lot.period is None else lot.period[0]


def _ends_s(workload: Workload, lot: Lot) -> int:
    return workload.until_s if lot.ready_by_s is None else lot.ready_by_s


def _in_order(parts: Sequence[Moments]) -> Moments:
    return np.sort(np.concatenate(parts)).astype(np.int64) if parts else np.empty(0, np.int64)
