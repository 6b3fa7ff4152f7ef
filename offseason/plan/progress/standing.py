"""From the log to what is done: on the clock for planning on, and as rows of a plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from offseason.plan.document import Plan, Row
from offseason.plan.progress.entry import Entry, in_order
from offseason.scenario.hours import hours_on
from offseason.scenario.model import Scenario
from offseason.workload.model import Done, Lot, Workload
from offseason.workload.sessions import elapsed_s

LAST_MINUTE = time(23, 59)


def kept(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """In order of time, without what was taken back: that comes off what was logged last before it."""
    found: list[Entry] = []
    for entry in sorted(entries, key=in_order):
        if entry.pieces > 0:
            found.append(entry)
            continue
        lost = -entry.pieces
        for at in range(len(found) - 1, -1, -1):
            if lost and (found[at].lot, found[at].step) == (entry.lot, entry.step):
                taken = min(lost, found[at].pieces)
                lost -= taken
                found[at] = replace(found[at], pieces=found[at].pieces - taken)
    return tuple(entry for entry in found if entry.pieces)


def followed(plan: Plan, now: datetime) -> tuple[Entry, ...]:
    """What a plan has for the time before ``now``, as if it had been done so: where nothing was logged."""
    return tuple(
        Entry(f"planned{number}", row.day, row.who, row.lot, row.step, row.pieces, row.end)
        for number, row in enumerate(plan.rows)
        if datetime.combine(row.day, row.end.replace(fold=0)) <= now
    )


def done_rows(scenario: Scenario, workload: Workload, entries: Sequence[Entry], now: datetime) -> tuple[Row, ...]:
    """Entries as rows of a plan that stand for what was done. Those of lots or steps there are no more are left out."""
    found = []
    for entry in entries:
        place = step_of(workload, entry)
        if place is None:
            continue
        lot, s = place
        step = workload.lots[lot].steps[s]
        end = _finished(scenario, entry, now)
        minutes = entry.minutes or entry.pieces * step.seconds_each / 60
        start = max(datetime.combine(entry.day, time()), end - timedelta(minutes=max(minutes, 1)))
        start = start.replace(second=0, microsecond=0)
        at = None if step.at is None else workload.places[step.at].name
        found.append(
            Row(entry.day, start.time(), end.time(), entry.who, entry.lot, entry.step, entry.pieces, at, done=True)
        )
    return tuple(found)


def done_of(scenario: Scenario, workload: Workload, entries: Sequence[Entry], now: datetime) -> tuple[Done, ...]:
    """Entries as the solver needs them: pieces through a step at a moment."""
    found = []
    for entry in entries:
        place = step_of(workload, entry)
        if place is not None:
            found.append(Done(*place, entry.pieces, elapsed_s(scenario, _finished(scenario, entry, now))))
    return tuple(found)


def _finished(scenario: Scenario, entry: Entry, now: datetime) -> datetime:
    """When it was finished: as logged, else at the end of the last hours anybody works that day; never after now."""
    until = entry.until if entry.until is not None else _last_hour(scenario, entry.day)
    return min(datetime.combine(entry.day, until), now)


def _last_hour(scenario: Scenario, day: date) -> time:
    return max((h.end for helper in scenario.crew.values() for h in hours_on(helper, day)), default=LAST_MINUTE)


def step_of(workload: Workload, entry: Entry) -> tuple[int, int] | None:
    """Lot and step of an entry; None where there is none such in this winter."""
    for n, lot in enumerate(workload.lots):
        if lot.stated == entry.lot and _in_time(lot, entry.day):
            for s, step in enumerate(lot.steps):
                if step.task == entry.step:
                    return n, s
    return None


def _in_time(lot: Lot, day: date) -> bool:
    return lot.period is None or lot.period[0] <= day <= lot.period[1]
