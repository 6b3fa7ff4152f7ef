"""Two plans of one winter compared: what changes for whom, and why."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime, time, timedelta

from offseason.plan.changes.direct import broken_now, impossible_before
from offseason.plan.changes.entries import (
    Entry,
    changed_entries,
    entries_of,
    planned_from,
    presences_of,
    since_of,
    totals_of,
)
from offseason.plan.changes.model import TO_FIT_THE_REST, Cause, Change, Changes, Key, Kind, Reason, Side
from offseason.plan.changes.overdue import Progress, overdue_parts, progress_of
from offseason.plan.changes.pairs import Part, paired, parts
from offseason.plan.changes.putback import InTheWay, PutBack
from offseason.plan.changes.result import result_of
from offseason.plan.document import Row
from offseason.plan.progress.entry import Entry as LogEntry

LATER_OR_SOONER = timedelta(minutes=30)
"""Work that begins no further from where it did is not worth a line. Ours."""

_WINTER = timedelta(days=366)

Reasons = Mapping[Row, Reason]


def of_two_winters(old: Side, new: Side) -> bool:
    """Whether the plans have no lot in common, or their days lie apart by more than a winter is long."""
    lots = [{row.lot for row in side.plan.rows} for side in (old, new)]
    if not all(lots):
        return False
    days = [sorted(row.day for row in side.plan.rows) for side in (old, new)]
    apart = days[0][-1] < days[1][0] or days[1][-1] < days[0][0]
    return not lots[0] & lots[1] or (apart and max(d[-1] for d in days) - min(d[0] for d in days) > _WINTER)


def changes(old: Side, new: Side, log: Iterable[LogEntry] = ()) -> Changes:
    """What is different for whom and when, from the later moment on from which one of the plans was made anew.

    Done rows are no work to come; of the days that are over only what was not done is told. Every reason is one that
    was found: the old hours broken by the winter as it is now, the log, or what is in the way where the work was.
    Without the new scenario only the log gives reasons, and the rest is said to be done to fit the rest.
    ``log``: what was done, if it is known beyond the done rows of the new plan.
    """
    since = since_of(old.plan, new.plan)
    rows = [planned_from(side.plan, since) for side in (old, new)]
    before, after = (entries_of(of_side) for of_side in rows)
    progress = progress_of(old.plan, new.plan, since, log)
    drafts = [*_drafts(old, new, before, after, progress), *_at_other_hours(before, after)]
    told = _with_reasons(old, new, drafts, before, after, progress, since)
    known = new.workload or old.workload
    return Changes(
        entries=len(before),
        changed=changed_entries(old.plan, new.plan, since),
        changes=tuple(sorted(told, key=lambda change: (change.key, change.kind, change.to or change.key))),
        presences=presences_of(*rows),
        before=result_of(old.workload or known, old.plan) if known is not None else None,
        after=result_of(known, new.plan) if known is not None else None,
        since=since,
    )


def _drafts(
    old: Side, new: Side, before: Mapping[Key, Entry], after: Mapping[Key, Entry], progress: Progress
) -> Iterator[Change]:
    """Every change but those of the hours of a day, without its reason."""
    late = overdue_parts(old.plan, new.plan, progress)
    lost, gained = parts(_pieces(before), _pieces(after))
    moves, dropped, added = paired([*late, *lost], gained)
    was_late = {part.key: part.pieces for part in late}
    each = {**_minutes_each(after), **_minutes_each(before)}

    def change(kind: Kind, part: Part, to: Key | None = None) -> Change:
        entry = before.get(part.key) or after.get(part.key)
        of = was_late.get(part.key, 0) if part.overdue else entry.pieces if entry else 0
        minutes = part.pieces * each.get(part.key[2:], 0.0)
        return Change(kind, part.key, part.pieces, of, minutes, to, part.overdue)

    for move in moves:
        yield change(Kind.MOVED, Part(move.lost, move.pieces, move.overdue), move.gained)
    for part in dropped:
        yield change(Kind.FEWER if part.key in after and not part.overdue else Kind.DROPPED, part)
    for part in added:
        yield change(Kind.MORE if part.key in before else Kind.NEW, part)


def _at_other_hours(before: Mapping[Key, Entry], after: Mapping[Key, Entry]) -> Iterator[Change]:
    for key, was in before.items():
        now = after.get(key)
        if now is None or now.pieces != was.pieces:
            continue
        starts = [datetime.combine(key.day, entry.starts.replace(fold=0)) for entry in (was, now)]
        if abs(starts[1] - starts[0]) > LATER_OR_SOONER:
            hours: tuple[time, time] = (was.starts, now.starts)
            yield Change(Kind.HOURS, key, was.pieces, was.pieces, was.minutes, starts=hours)


def _with_reasons(
    old: Side,
    new: Side,
    drafts: list[Change],
    before: Mapping[Key, Entry],
    after: Mapping[Key, Entry],
    progress: Progress,
    since: datetime | None,
) -> list[Change]:
    """The same changes, each with the first reason that is found for it."""
    now, then = broken_now(old.plan, new, since), impossible_before(old, new)
    reasons: dict[Change, Reason] = {}
    of_order: dict[Change, Reason] = {}
    for change in drafts:
        here = _of_rows(before.get(change.key), now)
        told = (
            _of_progress(new, change, progress, here),
            _less(old, new, change, progress),
            here,
            _of_rows(after.get(change.to or change.key), then),
            _more(old, new, change),
        )
        found = [why for why in told if why is not None]
        if found and found[0].cause is Cause.ORDER:  # what is in the way tells more of it
            of_order[change] = found[0]
        elif found:
            reasons[change] = found[0]
    if new.scenario is not None:
        back = PutBack(new.scenario, old, new, drafts)
        asked = [change for change in drafts if change not in reasons and not _only_in_new(change)]
        ways = {change: way for change in asked if (way := back.in_the_way(change)) is not None}
        reasons |= _knock_on(drafts, reasons, ways)
    return [replace(c, why=reasons.get(c) or of_order.get(c) or TO_FIT_THE_REST) for c in drafts]


def _knock_on(
    drafts: Iterable[Change], reasons: Mapping[Change, Reason], ways: Mapping[Change, InTheWay]
) -> dict[Change, Reason]:
    """Of what is in the way, that which has a reason itself, or has one in its way, and so on.

    Of two pieces of work that changed places for no reason neither is to blame.
    """
    become: dict[Key, list[Change]] = defaultdict(list)
    for change in drafts:
        become[change.to or change.key].append(change)
    explained = {change for change, why in reasons.items() if why.cause is not Cause.FIT}
    explained |= {change for change, way in ways.items() if not way.of and way.reason.cause is not Cause.FIT}
    grown = True
    while grown:
        more = {
            change
            for change, way in ways.items()
            if change not in explained and any(cause in explained for key in way.of for cause in become[key])
        }
        explained |= more
        grown = bool(more)
    return {change: way.reason for change, way in ways.items() if change in explained or not way.circular}


def _only_in_new(change: Change) -> bool:
    return change.kind in (Kind.NEW, Kind.MORE) or change.overdue


def _of_progress(new: Side, change: Change, progress: Progress, here: Reason | None) -> Reason | None:
    """Left over itself, or waiting for a step before it that is."""
    if change.overdue:
        return progress.why_late(change.key[2:])
    gear = new.scenario.gear.get(change.key.lot) if new.scenario is not None else None
    if here is None or here.cause is not Cause.ORDER or gear is None or change.key.step not in gear.steps:
        return None
    for step in reversed(gear.steps[: gear.steps.index(change.key.step)]):
        if short := progress.short((change.key.lot, step)):
            return Reason(Cause.KNOCK_ON, f"{step} was not done in time ({short:,} {change.key.lot})")
    return None


def _of_rows(entry: Entry | None, reasons: Reasons) -> Reason | None:
    return next((reasons[row] for row in entry.rows if row in reasons), None) if entry else None


def _less(old: Side, new: Side, change: Change, progress: Progress) -> Reason | None:
    """Why there is less to do than the old plan had."""
    work = change.key[2:]
    if change.kind not in (Kind.DROPPED, Kind.FEWER) or change.overdue:
        return None
    if progress.ahead(work):
        return progress.why_less(work)
    asked, had = _asked(new, work), totals_of(old.plan.rows)[work]
    if asked is None or asked >= had or (asked == 0 and not _has_lot(new, change.key.lot)):
        return None
    return Reason(Cause.GEAR, f"only {asked:,} to do now, not {had:,}" if asked else "no longer asked for")


def _has_lot(side: Side, lot: str) -> bool:
    return side.workload is not None and any(one.stated == lot for one in side.workload.lots)


def _more(old: Side, new: Side, change: Change) -> Reason | None:
    """Why there is more to do than the old plan had."""
    work = change.key[2:]
    had, has = (totals_of(side.plan.rows)[work] for side in (old, new))
    if change.kind not in (Kind.NEW, Kind.MORE) or has <= had:
        return None
    asked, was_asked = _asked(new, work), _asked(old, work)
    if was_asked is not None and asked == was_asked:
        return Reason(Cause.FIT, "there is room for it now")
    if was_asked == 0:
        return Reason(Cause.ASKED, "new in the scenario")
    return Reason(Cause.ASKED, f"{has:,} to do now, not {had:,}" if had else "not in the old plan")


def _asked(side: Side, work: tuple[str, str]) -> int | None:
    """Pieces the winter asks for, renewing a treatment aside; None where it is not known."""
    if side.workload is None:
        return None
    steps = (step for lot in side.workload.lots if lot.stated == work[0] for step in lot.steps)
    return sum(step.pieces for step in steps if step.task == work[1] and step.worth != 0)


def _pieces(entries: Mapping[Key, Entry]) -> dict[Key, int]:
    return {key: entry.pieces for key, entry in entries.items()}


def _minutes_each(entries: Mapping[Key, Entry]) -> dict[tuple[str, str], float]:
    return {key[2:]: entry.minutes / entry.pieces for key, entry in entries.items()}
