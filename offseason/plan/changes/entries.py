"""From the rows of a plan to its entries, and how many of them another plan changes."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time

from offseason.plan.changes.model import Key, Presence
from offseason.plan.document import Plan, Row


@dataclass(frozen=True)
class Entry:
    """The rows of one person's day on one step of one lot, added up; ``minutes`` are without set-up."""

    pieces: int
    minutes: float
    starts: time
    rows: tuple[Row, ...]


def begins(row: Row) -> datetime:
    """When the row begins by the clock on the wall."""
    return datetime.combine(row.day, row.start.replace(fold=0))


def minutes_of(row: Row) -> float:
    """Minutes of the work itself, by the clock on the wall, without set-up."""
    ends = datetime.combine(row.day, row.end.replace(fold=0))
    return max(0.0, (ends - begins(row)).total_seconds() / 60 - row.set_up_minutes)


def since_of(old: Plan, new: Plan) -> datetime | None:
    """The moment from which two plans are compared: the later of those from which they were planned anew."""
    return max((plan.since for plan in (old, new) if plan.since is not None), default=None)


def planned_from(plan: Plan, since: datetime | None) -> tuple[Row, ...]:
    """Rows of work to come: not done, and begun no sooner than ``since``."""
    return tuple(row for row in plan.rows if not row.done and (since is None or begins(row) >= since))


def planned_before(plan: Plan, since: datetime | None) -> tuple[Row, ...]:
    """Rows of work that was to come, and whose time is over by ``since``."""
    return tuple(row for row in plan.rows if not row.done and since is not None and begins(row) < since)


def entries_of(rows: Iterable[Row]) -> dict[Key, Entry]:
    """The entries that rows add up to; a row of several people is an entry of each."""
    found: dict[Key, list[Row]] = defaultdict(list)
    for row in rows:
        if row.pieces > 0:
            for person in dict.fromkeys(row.who):
                found[Key(row.day, person, row.lot, row.step)].append(row)
    return {
        key: Entry(
            pieces=sum(row.pieces for row in own),
            minutes=sum(minutes_of(row) for row in own),
            starts=min(own, key=begins).start,
            rows=tuple(own),
        )
        for key, own in found.items()
    }


def totals_of(rows: Iterable[Row]) -> Counter[tuple[str, str]]:
    """Pieces by lot and step."""
    found: Counter[tuple[str, str]] = Counter()
    for row in rows:
        found[row.lot, row.step] += row.pieces
    return found


def presences_of(old: Iterable[Row], new: Iterable[Row]) -> Mapping[tuple[str, date], Presence]:
    """Each person's days in either plan, with their hours in both."""
    before, after = _hours(old), _hours(new)
    return {who: Presence(before.get(who), after.get(who)) for who in sorted({*before, *after})}


def _hours(rows: Iterable[Row]) -> dict[tuple[str, date], tuple[time, time]]:
    found: dict[tuple[str, date], tuple[time, time]] = {}
    for row in rows:
        for person in row.who:
            first, last = found.get((person, row.day), (row.start, row.end))
            found[person, row.day] = min(first, row.start), max(last, row.end)
    return found


def changed_entries(old: Plan, new: Plan, since: datetime | None = None) -> frozenset[Key]:
    """Entries from ``since`` on (None: from the later of the plans' own) whose pieces differ, or that one plan lacks.

    Pieces that swap between stretches of one day are no change, nor is another hour of the day, nor another order.
    """
    moment = since or since_of(old, new)
    before, after = (entries_of(planned_from(plan, moment)) for plan in (old, new))
    return frozenset(key for key in {*before, *after} if _pieces(before, key) != _pieces(after, key))


def entries_changed(old: Plan, new: Plan, since: datetime | None = None) -> int:
    """How many entries change, as in ``changed_entries``; a moved one counts where it was and where it goes."""
    return len(changed_entries(old, new, since))


def share_changed(old: Plan, new: Plan, since: datetime | None = None, *, outside: Iterable[date] = ()) -> float:
    """Entries changed for one of the old plan from ``since`` on; days ``outside`` of which it counts are left out.

    Where the old plan has no entry left it is 0 if nothing changes, else 1.
    """
    left_out = frozenset(outside)
    there = entries_of(planned_from(old, since or since_of(old, new)))
    of = sum(key.day not in left_out for key in there)
    changed = sum(key.day not in left_out for key in changed_entries(old, new, since))
    return changed / of if of else float(changed > 0)


def _pieces(entries: Mapping[Key, Entry], key: Key) -> int:
    return entries[key].pieces if key in entries else 0
