"""Two plans of one winter compared: what changes for whom, and why."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime, time, timedelta

from offseason.plan.changes.amounts import less, more
from offseason.plan.changes.became import Became
from offseason.plan.changes.blame import InTheWay
from offseason.plan.changes.direct import broken_now, gone, impossible_before
from offseason.plan.changes.entries import (
    Entry,
    changed_entries,
    entries_of,
    planned_from,
    presences_of,
    since_of,
)
from offseason.plan.changes.model import NO_REASON, TO_FIT_THE_REST, Cause, Change, Changes, Key, Kind, Reason, Side
from offseason.plan.changes.overdue import Progress, overdue_parts, progress_of
from offseason.plan.changes.pairs import Part, paired, parts
from offseason.plan.changes.putback import PutBack
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
    Without the new scenario only the log gives reasons. Where none is found that is said; that it is done to fit the
    rest only where other work of the plan has a reason to change.
    ``log``: what was done, if it is known beyond the done rows of the new plan.
    """
    since = since_of(old.plan, new.plan)
    rows = [planned_from(side.plan, since) for side in (old, new)]
    before, after = (entries_of(of_side) for of_side in rows)
    progress = progress_of(old.plan, new.plan, since, log, _gone(old, new))
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


def _gone(old: Side, new: Side) -> frozenset[tuple[str, str]]:
    """Work of the old plan that the new scenario does not have."""
    known = new.scenario
    works = {(row.lot, row.step) for row in old.plan.rows} if known is not None else set()
    return frozenset(work for work in works if known is not None and gone(known, *work))


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
    longer = {key for key, entry in before.items() if key in after and _of_rows(entry, now) is not None}
    became = Became(drafts, before, after, longer, old.plan.rows)
    reasons: dict[Change, Reason] = {}
    of_order: dict[Change, Reason] = {}
    for change in drafts:
        here = _of_rows(before.get(change.key), now)
        told = (
            less(old, new, change, progress),
            _of_progress(new, change, progress, None if became.hastened(change) else here),
            here,
            _of_rows(after.get(change.to or change.key), then),
            more(old, new, change, progress),
        )
        found = [why for why in told if why is not None]
        if found and found[0].cause is Cause.ORDER:  # what is in the way tells more of it
            of_order[change] = found[0]
        elif found:
            reasons[change] = found[0]
    if new.scenario is not None:
        back = PutBack(new.scenario, old, new, drafts, became)
        asked = [change for change in drafts if change not in reasons and not _only_in_new(change)]
        ways = {change: way for change in asked if (way := back.in_the_way(change)) is not None}
        reasons |= _knock_on(of_order | reasons, ways, became)
    reasons = of_order | reasons
    has_to_change = {change.key for change, why in reasons.items() if why.cause is not Cause.FIT}
    return [replace(c, why=reasons.get(c) or _of_the_rest(c, has_to_change)) for c in drafts]


def _of_the_rest(change: Change, has_to_change: Collection[Key]) -> Reason:
    """What is to be said where nothing is in the way: that it makes room for the rest, where the rest has to change."""
    others = len(has_to_change) - (change.key in has_to_change)
    return TO_FIT_THE_REST if others else NO_REASON


def _knock_on(
    reasons: Mapping[Change, Reason], ways: Mapping[Change, InTheWay], became: Became
) -> dict[Change, Reason]:
    """Of what is in the way, that which has a reason itself, or has one in its way, and so on.

    Of two pieces of work that changed places for no reason neither is to blame.
    """
    explained = {change for change, why in reasons.items() if why.cause is not Cause.FIT}
    explained |= {change for change, way in ways.items() if not way.of or way.of & became.longer}
    grown = True
    while grown:
        more_of_them = {
            change
            for change, way in ways.items()
            if change not in explained and any(cause in explained for key in way.of for cause in became.of(key))
        }
        explained |= more_of_them
        grown = bool(more_of_them)
    return {change: way.reason for change, way in ways.items() if change in explained or not way.circular}


def _only_in_new(change: Change) -> bool:
    return change.kind in (Kind.NEW, Kind.MORE) or change.overdue


def _of_progress(new: Side, change: Change, progress: Progress, here: Reason | None) -> Reason | None:
    """Left over itself, or waiting for a step before it that is, or that is to be done again."""
    if change.overdue:
        return progress.why_late(change.key[2:])
    gear = new.scenario.gear.get(change.key.lot) if new.scenario is not None else None
    if here is None or here.cause is not Cause.ORDER or gear is None or change.key.step not in gear.steps:
        return None
    lot = change.key.lot
    for step in reversed(gear.steps[: gear.steps.index(change.key.step)]):
        if again := progress.why_again((lot, step)):
            return Reason(Cause.KNOCK_ON, f"{step} ({lot}): {again.text}")
        if short := progress.short((lot, step)):
            return Reason(Cause.KNOCK_ON, f"{step} was not done in time ({short:,} {lot})")
    return None


def _of_rows(entry: Entry | None, reasons: Reasons) -> Reason | None:
    return next((reasons[row] for row in entry.rows if row in reasons), None) if entry else None


def _pieces(entries: Mapping[Key, Entry]) -> dict[Key, int]:
    return {key: entry.pieces for key, entry in entries.items()}


def _minutes_each(entries: Mapping[Key, Entry]) -> dict[tuple[str, str], float]:
    return {key[2:]: entry.minutes / entry.pieces for key, entry in entries.items()}
