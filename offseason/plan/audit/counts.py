"""Numbers and days: no piece too many, no must-work left, nothing before gear is there or after it must be ready."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from offseason.plan.audit.broken import Broken, Promise, broken, pieces_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.timeline import Stint
from offseason.plan.audit.yard import Lot, Step

# Ours: what should have been ready when the winter is planned anew, and was not, is to be ready within so many days.
_OVERDUE_DAYS = 14


def too_many(case: Case) -> Iterator[Broken]:
    """No step is done to more pieces than there are; the row named is the one that goes over."""
    done: dict[tuple[str, int], int] = {}
    for stint in case.timeline.stints:
        if stint.lot is None or stint.step is None or stint.lot.periods is not None:
            continue
        key = (stint.lot.name, stint.step.index)
        before = done.get(key, 0)
        done[key] = before + stint.row.pieces
        most = stint.step.pieces * (1 + stint.step.renewals)
        over = done[key] - max(before, most)
        if over > 0:
            said = f"there are {pieces_text(most)} to do, and with this row {done[key]} are done"
            yield broken(Promise.COUNT, stint.row, f"{said}: {over} too many here")


def left_undone(case: Case) -> Iterator[Broken]:
    """Work that must be done is done to every piece; work that only should or could be done may be left."""
    done: dict[tuple[str, int], int] = {}
    for stint in case.timeline.stints:
        if stint.lot is not None and stint.step is not None:
            key = (stint.lot.name, stint.step.index)
            done[key] = done.get(key, 0) + stint.row.pieces
    for lot in case.yard.lots.values():
        if lot.periods is not None:
            continue
        for step in lot.steps:
            left = step.pieces - done.get((lot.name, step.index), 0)
            if step.must and left > 0:
                said = f"{left} of {pieces_text(step.pieces)} are left undone, and this work must be done"
                yield broken(Promise.DONE, None, said, about=_work(lot, step))


def too_early_or_late(case: Case) -> Iterator[Broken]:
    """Nothing before gear arrives or a job may begin; jobs, and must-work on gear, by the last day they may take."""
    for stint in case.timeline.stints:
        if stint.lot is not None and stint.step is not None:
            yield from _days_of(case, stint, stint.lot, stint.step)


def _days_of(case: Case, stint: Stint, lot: Lot, step: Step) -> Iterator[Broken]:
    row = stint.row
    overdue = case.since is not None and lot.closes < case.begins_day and lot.periods is None
    closes = max(case.since_day + timedelta(days=_OVERDUE_DAYS), case.begins_day) if overdue else lot.closes
    early, late = (lot.opens - row.day).days, (row.day - closes).days
    if lot.gear is not None:
        if early > 0:
            yield broken(Promise.ARRIVAL, row, f"{lot.name} arrive on {lot.opens}, {_days(early)} later")
        if late > 0 and step.must:
            yield broken(Promise.READY_BY, row, f"{lot.name} must be ready by {lot.closes}: {_days(late)} too late")
    elif early > 0 or late > 0:
        promise = Promise.JOB_DAYS if lot.job is not None else Promise.ROUNDS
        amount = f"{_days(early)} too early" if early > 0 else f"{_days(late)} too late"
        yield broken(promise, row, f"this is to be done from {lot.opens} to {lot.closes}: {amount}")


def missed_rounds(case: Case) -> Iterator[Broken]:
    """A round that must be made is made at least once in each of its periods."""
    for lot in case.yard.lots.values():
        if lot.periods is None or not lot.steps[0].must:
            continue
        days = {s.row.day for s in case.timeline.of_step(lot, lot.steps[0]) if s.row.pieces > 0}
        for period in lot.periods:
            if period.last >= case.begins_day and not any(day in period for day in days):
                yield broken(Promise.ROUNDS, None, f"it is not made in {period}", about=lot.name)


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"


def _work(lot: Lot, step: Step) -> str:
    return lot.name if step.name == lot.name else f"{lot.name}, {step.name}"
