"""How much of what was promised a new plan moves: the aim of planning anew."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from offseason.solver.aims import Aim
from offseason.solver.counts import Counts
from offseason.solver.exprs import Expr, total
from offseason.workload.model import Work

SOON_WEIGHS = ((7, 4), (14, 2))
"""Days from now, and how much more what is promised for them weighs than what is promised for later. Ours."""

SETTLED_WEIGHS = 1_000
"""How much more what is settled weighs: it is moved only where it has become impossible. Ours."""

LATER_OR_SOONER_S = 1_800
"""Work that begins no further from where it was promised is at its hour. Ours; as in what is told of changes."""

GIVEN_UP_WEIGHS = 1_000_000
"""How much more than a changed entry it weighs to give a piece up: fewer changes are never had by leaving work out."""

Promised = Counter[tuple[int, int, date]]
Entry = tuple[date, int, int, int]
Entries = Counter[Entry]


def promised_on(work: Iterable[Work], day_of: Callable[[Work], date]) -> Promised:
    """Pieces promised of each (lot, step) on each day."""
    found: Promised = Counter()
    for one in work:
        found[one.lot, one.step, day_of(one)] += one.pieces
    return found


@dataclass(frozen=True)
class Roster:
    """What people were promised, day by day, how much it weighs to change a day, and when entries were to begin."""

    promised: Entries
    day_of: Callable[[Work], date]
    weigh: Callable[[date], int]
    begins_s: Mapping[Entry, int] = field(default_factory=dict)

    def entries(self, one: Work) -> tuple[Entry, ...]:
        """The entries that a stretch of work is part of, one for each person."""
        return tuple((self.day_of(one), helper, one.lot, one.step) for helper in one.helpers)

    def at_other_hours(self, work: Iterable[Work]) -> int:
        """Entries that are as promised but for when they begin, which is more than half an hour off."""
        work = tuple(work)
        after, begins_s = entries_of(work, self.day_of), begins_of(work, self.day_of)
        return sum(
            abs(begins_s[entry] - was_s) > LATER_OR_SOONER_S
            for entry, was_s in self.begins_s.items()
            if after[entry] == self.promised[entry] > 0
        )

    def changed(self, work: Iterable[Work]) -> frozenset[Entry]:
        """Entries (day, person, lot, step) with other pieces than promised."""
        after = entries_of(work, self.day_of)
        return frozenset(entry for entry in {*self.promised, *after} if self.promised[entry] != after[entry])

    def weight_of_changes(self, work: Iterable[Work]) -> int:
        """How much people find changed in their days; above all, how much of what was promised is not done at all."""
        work = tuple(work)
        changes = sum(self.weigh(entry[0]) if self.promised[entry] else 1 for entry in self.changed(work))
        return self._given_up(work) * GIVEN_UP_WEIGHS + changes

    def _given_up(self, work: Iterable[Work]) -> int:
        """Pieces promised to somebody that nobody does on any day; of work of several hands once for each."""
        left: Counter[tuple[int, int]] = Counter()
        for (_, _, lot, step), pieces in self.promised.items():
            left[lot, step] += pieces
        for one in work:
            left[one.lot, one.step] -= one.pieces * len(one.helpers)
        return sum(max(0, pieces) for pieces in left.values())


def entries_of(work: Iterable[Work], day_of: Callable[[Work], date]) -> Entries:
    """Pieces of each lot and step that each person does on each day."""
    found: Entries = Counter()
    for one in work:
        for helper in one.helpers:
            found[day_of(one), helper, one.lot, one.step] += one.pieces
    return found


def begins_of(work: Iterable[Work], day_of: Callable[[Work], date]) -> dict[Entry, int]:
    """When each person begins each lot and step on each day."""
    found: dict[Entry, int] = {}
    for one in work:
        for helper in one.helpers:
            entry = (day_of(one), helper, one.lot, one.step)
            found[entry] = min(found.get(entry, one.starts_s), one.starts_s)
    return found


def moved(promised: Promised, today: date, settled_before: date | None) -> Callable[[Counts], Aim]:
    """The aim: seconds of work that is not done on the day it was promised for, what comes soon weighing most.

    ``moved[l, s, day] >= promised - done on that day``; what is not moved away from one day need not come to another.
    """

    def make(m: Counts) -> Aim:
        last_of: dict[date, int] = {session.day: k for k, session in enumerate(m.workload.sessions)}
        first_of: dict[date, int] = {}
        for k, session in enumerate(m.workload.sessions):
            if k >= m.gone:
                first_of.setdefault(session.day, k)
        parts: list[tuple[int, Expr]] = []
        for (lot, step, day), pieces in sorted(promised.items()):
            entry = m.workload.lots[lot].steps[step]
            price = max(entry.hands * entry.seconds_each, 1) * weight(day, today, settled_before)
            if day not in first_of:
                parts.append((price, Expr({}, pieces)))
                continue
            done = m.at(lot, step, last_of[day]) - m.at(lot, step, first_of[day] - 1)
            away = m.helping(0, pieces, _short_of(done, pieces))
            m.rows.at_least(away + done, pieces)
            parts.append((price, away))
        return Aim("work moved", "hours, those of the next days counted more than once", total(parts), 1 / 3_600)

    return make


def _short_of(done: Expr, pieces: int) -> Callable[[np.ndarray], int]:
    return lambda x: max(0, pieces - done.value(x))


def weight(day: date, today: date, settled_before: date | None) -> int:
    """How much it weighs to move what is promised for a day."""
    if settled_before is not None and day < settled_before:
        return SETTLED_WEIGHS
    return next((weight for days, weight in SOON_WEIGHS if (day - today).days < days), 1)
