"""What should have been done by now: pieces left over from days that are over, and pieces done ahead of the plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from offseason.plan.changes.entries import begins, minutes_of, planned_before, totals_of
from offseason.plan.changes.model import Cause, Key, Reason
from offseason.plan.changes.pairs import Part
from offseason.plan.document import Plan, Row
from offseason.plan.progress.entry import Entry as LogEntry

Work = tuple[str, str]

SLOWER = 1.1  # ours: a tenth more than planned is nothing to blame


@dataclass(frozen=True)
class Progress:
    """By ``since``, of each lot and step: pieces that were to be done, and those that were done in that time.

    ``lost``: pieces that the log takes back. ``undone``: pieces done in the old plan that the new one has no more.
    """

    since: datetime | None
    planned: Mapping[Work, int]
    done: Mapping[Work, int]
    lost: Mapping[Work, int]
    undone: Mapping[Work, int]
    pace: Mapping[Work, tuple[float, float]]

    def short(self, work: Work) -> int:
        """Pieces that should be done and are not."""
        return max(0, self.planned.get(work, 0) - self.done.get(work, 0))

    def ahead(self, work: Work) -> int:
        """Pieces done that were planned for later."""
        return max(0, self.done.get(work, 0) - self.planned.get(work, 0))

    def why_late(self, work: Work) -> Reason:
        """Why pieces are left over from days that are over."""
        counted = f"{max(0, self.done.get(work, 0)):,} of {self.planned.get(work, 0):,} were done"
        if lost := self.lost.get(work, 0):
            return Reason(Cause.NOT_DONE, f"{counted}: the log takes {lost:,} back")
        if work in self.pace:
            worked, meant = self.pace[work]
            return Reason(Cause.PACE, f"the work ran over ({worked:.3g} min each, not {meant:.3g}): {counted}")
        return Reason(Cause.NOT_DONE, counted)

    def why_again(self, work: Work) -> Reason | None:
        """Why there is to be done again what was done in the old plan; None where nothing is."""
        if not (undone := self.undone.get(work, 0)):
            return None
        if lost := self.lost.get(work, 0):
            return Reason(Cause.NOT_DONE, f"the log takes {lost:,} back")
        were = "1 was taken as done before and no longer is" if undone == 1 else ""
        return Reason(Cause.NOT_DONE, were or f"{undone:,} were taken as done before and no longer are")

    def why_less(self, work: Work) -> Reason:
        """Why less is left to do."""
        return Reason(Cause.DONE_SOONER, f"{self.ahead(work):,} more are done than were planned by now")


def progress_of(
    old: Plan, new: Plan, since: datetime | None, log: Iterable[LogEntry], gone: Collection[Work] = ()
) -> Progress:
    """What came of the days of the old plan that are over when the new one was made; nothing where it tells nothing.

    ``gone``: work there is no more. A new plan has no done rows of it, so only the log tells what of it was done.
    """
    if since is None or new.since != since:
        return Progress(since, {}, {}, {}, {}, {})
    over = planned_before(old, since)
    done = totals_of(row for row in new.rows if row.done)
    before = totals_of(row for row in old.rows if row.done)
    undone = {work: pieces - done[work] for work, pieces in before.items() if work not in gone and pieces > done[work]}
    done.subtract(before)
    entries = [entry for entry in log if entry.day <= since.date() and (old.since is None or _after(entry, old.since))]
    lost: Counter[Work] = Counter()
    for entry in entries:
        if entry.pieces < 0:
            lost[entry.lot, entry.step] -= entry.pieces
    logged: Counter[Work] = Counter()
    for entry in entries:
        logged[entry.lot, entry.step] += entry.pieces
    for work in gone:
        done[work] = logged[work]
    return Progress(since, totals_of(over), done, lost, undone, _pace(over, entries))


def _after(entry: LogEntry, since: datetime) -> bool:
    return entry.day >= since.date()


def overdue_parts(old: Plan, new: Plan, progress: Progress) -> list[Part]:
    """The entries whose pieces are left over, the last days first until all that is short is found."""
    short = {work: progress.short(work) for work in progress.planned}
    done_on: Counter[tuple[object, ...]] = Counter()
    for row in new.rows:
        if row.done:
            done_on[row.day, row.lot, row.step] += row.pieces
    found: Counter[Key] = Counter()
    over = sorted(planned_before(old, progress.since), key=begins)
    left = []
    for row in over:
        there = min(row.pieces, done_on[row.day, row.lot, row.step])
        done_on[row.day, row.lot, row.step] -= there
        left.append((row, row.pieces - there))
    for row, pieces in reversed(left):
        taken = min(pieces, short[row.lot, row.step])
        if taken > 0:
            short[row.lot, row.step] -= taken
            for person in dict.fromkeys(row.who):
                found[Key(row.day, person, row.lot, row.step)] += taken
    return [Part(key, pieces, overdue=True) for key, pieces in sorted(found.items())]


def _pace(over: tuple[Row, ...], log: Iterable[LogEntry]) -> dict[Work, tuple[float, float]]:
    """Minutes each as worked by the log and as planned, where the work ran over; of all people together."""
    meant: dict[Work, list[float]] = {}
    for row in over:
        of = meant.setdefault((row.lot, row.step), [0.0, 0.0])
        of[0] += minutes_of(row) * len(row.who)
        of[1] += row.pieces
    worked: dict[Work, list[float]] = {}
    for entry in log:
        if entry.minutes and entry.pieces > 0:
            of = worked.setdefault((entry.lot, entry.step), [0.0, 0.0])
            of[0] += entry.minutes * len(entry.who)
            of[1] += entry.pieces
    found = {}
    for work, (minutes, pieces) in worked.items():
        if work in meant and meant[work][1] and meant[work][0]:
            planned = meant[work][0] / meant[work][1]
            if minutes / pieces > SLOWER * planned:
                found[work] = (minutes / pieces, planned)
    return found
