"""From the log to what is done: on the clock for planning on, and as rows of a plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from offseason.plan.document import Plan, Row
from offseason.plan.progress.entry import Entry, in_order
from offseason.scenario.hours import hours_on
from offseason.scenario.model import Scenario
from offseason.workload.lookup import step_named
from offseason.workload.model import Done, Workload
from offseason.workload.sessions import elapsed_s

FIRST_MINUTE, LAST_MINUTE = time(0, 1), time(23, 59)


def kept(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """In order of time, without what was taken back: that comes off what was logged last before it.

    Of rows of one day whose hour nobody tells, those that take back come after the others.
    """
    found: list[Entry] = []
    for entry in sorted(entries, key=lambda entry: (*in_order(entry)[:3], entry.pieces < 0, in_order(entry))):
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
        place = step_named(workload, entry.lot, entry.step, entry.day)
        if place is None:
            continue
        lot, s = place
        step = workload.lots[lot].steps[s]
        end = _finished(scenario, entry, now)
        minutes = entry.minutes or entry.pieces * step.seconds_each / 60
        end = max(end, datetime.combine(entry.day, FIRST_MINUTE))  # at midnight no row has begun yet
        start = max(datetime.combine(entry.day, time()), end - timedelta(minutes=max(minutes, 1)))
        start = start.replace(second=0, microsecond=0)
        at = None if step.at is None else workload.places[step.at].name
        found.append(
            Row(entry.day, start.time(), end.time(), entry.who, entry.lot, entry.step, entry.pieces, at, done=True)
        )
    return tuple(found)


def done_of(scenario: Scenario, workload: Workload, entries: Sequence[Entry], now: datetime) -> tuple[Done, ...]:
    """Entries as the solver needs them: pieces through a step at a moment."""
    return tuple(
        Done(*place, entry.pieces, elapsed_s(scenario, _finished(scenario, entry, now)))
        for entry, place in by_step(workload, entries)
        if place is not None
    )


def _finished(scenario: Scenario, entry: Entry, now: datetime) -> datetime:
    """When it was finished: as logged, else at the end of the last hours anybody works that day; never after now."""
    until = entry.until if entry.until is not None else _last_hour(scenario, entry.day)
    return min(datetime.combine(entry.day, until), now)


def planned_from(scenario: Scenario, entries: Iterable[Entry], today: date) -> datetime:
    """The moment from which to plan on a day: its beginning, or when what is logged for it was finished."""
    midnight = datetime.combine(today, time())
    ends = (
        entry.until if entry.until is not None else _last_hour(scenario, today)
        for entry in entries
        if entry.day == today
    )
    return max((datetime.combine(today, end) for end in ends), default=midnight)


def _last_hour(scenario: Scenario, day: date) -> time:
    return max((h.end for helper in scenario.crew.values() for h in hours_on(helper, day)), default=LAST_MINUTE)


def by_step(workload: Workload, entries: Iterable[Entry]) -> Iterator[tuple[Entry, tuple[int, int] | None]]:
    """Each entry with its lot and step; None where there is none such in this winter.

    Where a lot has a kind of work more than once (a treatment and its renewals), what goes beyond one is of the next.
    """
    filled: Counter[tuple[int, int]] = Counter()
    for entry in entries:
        first = step_named(workload, entry.lot, entry.step, entry.day)
        if first is None:
            yield entry, None
            continue
        lot, left = workload.lots[first[0]], entry.pieces
        same = [s for s, step in enumerate(lot.steps) if step.task == entry.step]
        for s in same:
            here = (first[0], s)
            taken = left if s == same[-1] else min(left, max(0, lot.steps[s].pieces - filled[here]))
            filled[here] += taken
            left -= taken
            if taken:
                yield replace(entry, pieces=taken), here
