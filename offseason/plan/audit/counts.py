"""Numbers and days: no piece too many, no must-work left, nothing before gear is there or after it must be ready."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from offseason.plan.audit.broken import Broken, Promise, broken, declared_text, moment_text, pieces_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.timeline import Stint
from offseason.plan.audit.yard import Lot, Step
from offseason.scenario.words import Days

# Ours: what should have been ready when the winter is planned anew, and was not, is to be ready within so many days.
_OVERDUE_DAYS = 14
_TO_THE_MINUTE = timedelta(minutes=1)


def wrongly_marked_done(case: Case) -> Iterator[Broken]:
    """Only a plan made anew has work marked done, and only work from before the moment it was made anew for."""
    for stint in case.timeline.stints:
        row = stint.row
        if not row.done:
            continue
        if case.since is None:
            said = "it is marked done, and that is only so in a plan made anew; take 'done: true' away and put what was"
            yield broken(Promise.MARKED_DONE, row, f"{said} done in the log: `offseason record` writes it")
        elif datetime.combine(row.day, row.end.replace(fold=0)) > case.since + _TO_THE_MINUTE:
            said = f"it is marked done, and ends after {moment_text(case.since)}, from when on the plan was made anew"
            yield broken(Promise.MARKED_DONE, row, f"{said}; take 'done: true' away")


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
            said = f"there {'is' if most == 1 else 'are'} {pieces_text(most)} to do, and with this row"
            said += f" {done[key]} are done"
            yield broken(Promise.COUNT, stint.row, f"{said}: {over} too many here")


def left_undone(case: Case) -> Iterator[Broken]:
    """Work that must be done is done to every piece but those the plan says it leaves; other work may be left."""
    for lot in case.yard.lots.values():
        if lot.periods is not None:
            continue
        for step in lot.steps:
            left, declared = missing(case, lot, step), case.declared(lot.name, step.name, "undone")
            if step.must and left > declared:
                said = f"{left} of {pieces_text(step.pieces)} are left undone, and this work must be done"
                said += declared_text(declared, "undone")
                yield broken(Promise.DONE, None, said, about=_work(lot, step))


def missing(case: Case, lot: Lot, step: Step) -> int:
    """Pieces of a step that the plan does not do."""
    return step.pieces - len(case.timeline.of(lot, step))


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
    """A round that must be made is made at least once in each of its periods, but for those the plan says it leaves."""
    for lot in case.yard.lots.values():
        if lot.periods is None or not lot.steps[0].must:
            continue
        periods, declared = missed(case, lot), case.declared(lot.name, lot.steps[0].name, "undone")
        for period in periods if len(periods) > declared else ():
            said = f"it is not made in {period}{declared_text(declared, 'undone')}"
            yield broken(Promise.ROUNDS, None, said, about=lot.name)


def missed(case: Case, lot: Lot) -> list[Days]:
    """Periods of a round that are not over when planning begins, and in which the plan does not make it."""
    days = {s.row.day for s in case.timeline.of_step(lot, lot.steps[0]) if s.row.pieces > 0}
    periods = [period for period in lot.periods or () if period.last >= case.begins_day]
    return [period for period in periods if not any(day in period for day in days)]


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"


def _work(lot: Lot, step: Step) -> str:
    return lot.name if step.name == lot.name else f"{lot.name}, {step.name}"
