"""Knock-on: work put back where it was, in the middle of the new plan, shows what is in its way there now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from offseason.plan.audit import Broken, Promise, audit
from offseason.plan.audit.case import case_of
from offseason.plan.changes.became import Became
from offseason.plan.changes.blame import InTheWay, Trial, blamed
from offseason.plan.changes.direct import fault, rank_of
from offseason.plan.changes.entries import planned_from
from offseason.plan.changes.model import Change, Side
from offseason.plan.document import Row
from offseason.scenario.model import Scenario

MOST_PUT_BACK = 200
"""Of more changes than these nobody reads the reasons; each costs an audit. Ours."""

# What putting back breaks only because two plans are mixed.
_MEANS_NOTHING = frozenset(
    {str(Promise.SET_UP), str(Promise.LENGTH), str(Promise.COUNT), str(Promise.DONE), str(Promise.LEFT)}
)
_FIRST = (
    Promise.ORDER, Promise.WAITING, Promise.NOT_TOO_LATE_AFTER, Promise.BEFORE_AND_AFTER, Promise.WHOLE_LOADS,
    Promise.SPACE, Promise.SEATS, Promise.ONE_PLACE_AT_A_TIME, Promise.PROTECTION, Promise.ROUNDS,
)  # fmt: skip
_RANK = {str(promise): rank for rank, promise in enumerate(_FIRST)}


@dataclass(frozen=True)
class Group:
    """All changes of one step of one lot that were planned for one day: they are put back together."""

    day: date
    lot: str
    step: str


@dataclass(frozen=True)
class _Tried:
    """The group put back, and what that breaks: its own rows first, then what tells most."""

    trial: Trial
    broken: tuple[Broken, ...]


class PutBack:
    """Puts work back into the new plan, and tells what it breaks; ``changes`` are all those that are known."""

    def __init__(self, scenario: Scenario, old: Side, new: Side, changes: Sequence[Change], became: Became) -> None:
        self.scenario, self.new, self.changes, self.became = scenario, new, changes, became
        self.old_rows = planned_from(old.plan, None)
        self.usual = set(map(fault, audit(scenario, new.plan, new.outlook)))
        self.known: dict[Group, _Tried] = {}

    def in_the_way(self, change: Change) -> InTheWay | None:
        """What is in the way of the entry where it was; None where nothing is, or too much was asked already."""
        group = Group(change.key.day, change.key.lot, change.key.step)
        if group not in self.known and len(self.known) < MOST_PUT_BACK:
            self.known[group] = self._tried(group)
        tried = self.known.get(group)
        ways = (blamed(tried.trial, change, broken) for broken in tried.broken) if tried else ()
        return next((way for way in ways if way is not None), None)

    def _tried(self, group: Group) -> _Tried:
        back = [row for row in self.old_rows if _is_of(row, group)]
        plan = replace(self.new.plan, rows=(*self._without(group, sum(row.pieces for row in back)), *back))
        trial = Trial(case_of(self.scenario, plan, self.new.outlook), back, self.became)
        found = [
            broken
            for broken in audit(self.scenario, plan, self.new.outlook)
            if fault(broken) not in self.usual and str(broken.promise) not in _MEANS_NOTHING
        ]
        found.sort(key=lambda b: (not trial.is_back(b.row), _RANK.get(str(b.promise), len(_RANK)), rank_of(b)))
        return _Tried(trial, tuple(found))

    def _without(self, group: Group, put_back: int) -> Iterator[Row]:
        """The new plan without this work on its old day, and with so many pieces less where they went."""
        there = sum(row.pieces for row in self.new.plan.rows if _is_of(row, group) and not row.done)
        too_many = put_back - there
        gone_to = {
            change.to.day
            for change in self.changes
            if change.to is not None and (change.key.day, *change.key[2:]) == (group.day, group.lot, group.step)
        }
        for row in self.new.plan.rows:
            if row.done or (row.lot, row.step) != (group.lot, group.step):
                yield row
            elif row.day in gone_to and row.day != group.day:
                taken = min(max(too_many, 0), row.pieces)
                too_many -= taken
                if taken < row.pieces:
                    yield replace(row, pieces=row.pieces - taken)
            elif row.day != group.day:
                yield row


def _is_of(row: Row, group: Group) -> bool:
    return (row.day, row.lot, row.step) == (group.day, group.lot, group.step)
