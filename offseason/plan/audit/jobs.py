"""Jobs before and after other work: all of the first is through, and has waited, before any of the second begins."""

from __future__ import annotations

import math
from collections.abc import Iterator

from offseason.plan.audit.broken import Broken, Promise, broken, length_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.yard import Lot, Step

Work = tuple[Lot, Step]


def job_order(case: Case) -> Iterator[Broken]:
    """What a job comes before or after does not overlap with it, and is not begun while the first is unfinished."""
    for name, job in case.scenario.jobs.items():
        lot = case.yard.lots[name]
        itself = (lot, lot.steps[0])
        for other in dict.fromkeys(job.before):
            for then in _work_called(case, other):
                yield from _one_after_other(case, itself, then)
        for other in dict.fromkeys(job.after):
            for first in _first_of(case, other):
                yield from _one_after_other(case, first, itself)


def _work_called(case: Case, name: str) -> list[Work]:
    """The step of every lot where ``name`` is a task; else the steps of the lot or the job itself."""
    lots = [lot for lot in case.yard.lots.values() if lot.gear is not None]
    if name in case.scenario.tasks:
        return [(lot, step) for lot in lots for step in lot.steps if step.name == name]
    lot = case.yard.lots.get(name)
    return [(lot, step) for step in lot.steps] if lot is not None and lot.periods is None else []


def _first_of(case: Case, name: str) -> list[Work]:
    """Work that a job comes after: of a lot the steps that must be done, where there are any; else all of it."""
    works = _work_called(case, name)
    if name in case.scenario.tasks:
        return works
    return [(lot, step) for lot, step in works if step.must] or works


def _one_after_other(case: Case, first: Work, then: Work) -> Iterator[Broken]:
    earlier, later = case.timeline.of(*first), case.timeline.of(*then)
    if not len(later):
        return
    missing = first[1].pieces - len(earlier)
    last = int(earlier.finishes[-1]) if len(earlier) else 0
    through = first[1].wait.ready_of(last)
    for stint in case.timeline.of_step(*then):
        if stint.row.pieces < 1:
            continue
        if missing > 0:
            said = f"all of {_called(first)} comes before this, and {missing} of {first[1].pieces} are never done"
            yield broken(Promise.BEFORE_AND_AFTER, stint.row, said)
        elif math.isinf(through):
            said = f"{_called(first)} comes before this, and {first[1].wait.needs(last, '')}"
            yield broken(Promise.BEFORE_AND_AFTER, stint.row, said)
        elif stint.first_piece + 1 < through:
            early = length_text(through - stint.first_piece)
            said = f"{_called(first)} comes before this and is through at {case.when(through)}: {early} too early"
            yield broken(Promise.BEFORE_AND_AFTER, stint.row, said)


def _called(work: Work) -> str:
    lot, step = work
    return lot.name if lot.name == step.name else f"{step.name} of {lot.name}"
