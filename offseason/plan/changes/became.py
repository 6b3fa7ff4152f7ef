"""Which work of the new plan came to be where it is, and whether it came sooner or later than it was."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import datetime, time

from offseason.plan.changes.entries import Entry
from offseason.plan.changes.model import Change, Key, Kind
from offseason.plan.document import Row


class Became:
    """All ``changes``, looked up by the entry of the new plan that they lead to.

    ``longer``: entries that are where they were and could not stay as they were. ``old``: rows of the old plan.
    """

    def __init__(
        self,
        changes: Iterable[Change],
        before: Mapping[Key, Entry],
        after: Mapping[Key, Entry],
        longer: Iterable[Key] = (),
        old: Iterable[Row] = (),
    ) -> None:
        self._before, self._after = before, after
        self._of: dict[Key, list[Change]] = defaultdict(list)
        for change in changes:
            if change.kind not in (Kind.FEWER, Kind.DROPPED):
                self._of[change.to or change.key].append(change)
        self.longer = frozenset(longer)
        self._known = {(row.day, row.lot, row.step) for row in old}

    def of(self, key: Key) -> tuple[Change, ...]:
        """The changes that brought work to this entry."""
        return tuple(self._of.get(key, ()))

    def came(self, row: Row) -> bool:
        """Whether this work was not there so in the old plan."""
        return any(key in self.longer or self.of(key) for key in keys_of(row))

    def later(self, row: Row) -> bool:
        """Whether this work was sooner in the old plan, or not in it."""
        return any(self._is_later(change) for key in keys_of(row) for change in self.of(key))

    def sooner(self, row: Row) -> bool:
        """Whether this work was later in the old plan."""
        return any(self.hastened(change) for key in keys_of(row) for change in self.of(key))

    def put_off(self, work: tuple[str, str], moment: datetime) -> Key | None:
        """The first entry of this lot and step that work went to which was to be done before ``moment``."""
        found = [
            key
            for key, changes in self._of.items()
            if key[2:] == work
            for change in changes
            if (was := self._was(change)) and (now := self._now(change)) and was < moment <= now
        ]
        return min(found, default=None)

    def done_otherwise(self, row: Row) -> bool:
        """Whether it was done on a day for which the old plan did not have it."""
        return row.done and (row.day, row.lot, row.step) not in self._known

    def hastened(self, change: Change) -> bool:
        """Whether the work of the change now comes sooner than it was."""
        was, now = self._was(change), self._now(change)
        return was is not None and now is not None and now < was

    def _is_later(self, change: Change) -> bool:
        was, now = self._was(change), self._now(change)
        return now is not None and (was is None or was < now)

    def _was(self, change: Change) -> datetime | None:
        if change.kind in (Kind.NEW, Kind.MORE):
            return None
        entry = None if change.overdue else self._before.get(change.key)
        return datetime.combine(change.key.day, entry.starts.replace(fold=0) if entry else time())

    def _now(self, change: Change) -> datetime | None:
        key = change.to or change.key
        entry = self._after.get(key)
        if change.kind in (Kind.FEWER, Kind.DROPPED) or entry is None:
            return None
        return datetime.combine(key.day, entry.starts.replace(fold=0))


def keys_of(row: Row) -> frozenset[Key]:
    """The entries that a row belongs to."""
    return frozenset(Key(row.day, name, row.lot, row.step) for name in row.who)
