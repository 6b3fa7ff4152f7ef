"""Knock-on: work put back where it was, in the middle of the new plan, shows what is in its way there now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from offseason.plan.audit import Broken, Promise, audit
from offseason.plan.audit.broken import day_text
from offseason.plan.changes.direct import fault, rank_of, reason_of
from offseason.plan.changes.entries import begins, planned_from
from offseason.plan.changes.model import TO_FIT_THE_REST, Cause, Change, Key, Kind, Reason, Side
from offseason.plan.document import Row
from offseason.scenario.model import Scenario

MOST_PUT_BACK = 200
"""Of more changes than these nobody reads the reasons; each costs an audit. Ours."""

# What putting back breaks only because two plans are mixed.
_MEANS_NOTHING = frozenset({str(Promise.SET_UP), str(Promise.LENGTH), str(Promise.COUNT), str(Promise.DONE)})
_FIRST = (
    Promise.ORDER, Promise.WAITING, Promise.NOT_TOO_LATE_AFTER, Promise.BEFORE_AND_AFTER, Promise.WHOLE_LOADS,
    Promise.SPACE, Promise.SEATS, Promise.ONE_PLACE_AT_A_TIME, Promise.PROTECTION, Promise.ROUNDS,
)  # fmt: skip
_RANK = {str(promise): rank for rank, promise in enumerate(_FIRST)}
_OF_ORDER = frozenset(str(promise) for promise in _FIRST[:3])


@dataclass(frozen=True)
class Group:
    """All changes of one step of one lot that were planned for one day: they are put back together."""

    day: date
    lot: str
    step: str


@dataclass(frozen=True)
class InTheWay:
    """What is in the way of work where it was: the ``reason``, and the entries ``of`` the new plan that are to blame.

    ``circular``: it explains nothing unless one of these entries has a reason of its own, for it may as well be said
    the other way round.
    """

    reason: Reason
    of: frozenset[Key] = frozenset()
    circular: bool = False


class PutBack:
    """Puts work back into the new plan, and tells what it breaks; ``changes`` are all those that are known."""

    def __init__(self, scenario: Scenario, old: Side, new: Side, changes: Sequence[Change]) -> None:
        self.scenario, self.new, self.changes = scenario, new, changes
        self.old_rows = planned_from(old.plan, None)
        self.usual = set(map(fault, audit(scenario, new.plan, new.outlook)))
        self.known: dict[Group, InTheWay | None] = {}

    def in_the_way(self, change: Change) -> InTheWay | None:
        """What is in the way of the entry where it was; None where nothing is, or too much was asked already."""
        group = Group(change.key.day, change.key.lot, change.key.step)
        if group not in self.known and len(self.known) < MOST_PUT_BACK:
            self.known[group] = self._found(group)
        return self.known.get(group)

    def _found(self, group: Group) -> InTheWay | None:
        back = [row for row in self.old_rows if _is_of(row, group)]
        rows = (*self._without(group, sum(row.pieces for row in back)), *back)
        found = [
            broken
            for broken in audit(self.scenario, replace(self.new.plan, rows=rows), self.new.outlook)
            if fault(broken) not in self.usual and str(broken.promise) not in _MEANS_NOTHING
        ]
        own = [broken for broken in found if broken.row in back]
        worst = min(own or found, key=lambda b: (_RANK.get(str(b.promise), len(_RANK)), rank_of(b)), default=None)
        return None if worst is None else self._told(group, back, worst)

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

    def _told(self, group: Group, back: list[Row], broken: Broken) -> InTheWay:
        promise, row = broken.promise, broken.row
        if promise in _OF_ORDER and row is not None:
            return self._of_order(group, row) or InTheWay(replace(reason_of(self.scenario, broken), cause=Cause.ORDER))
        if promise in (Promise.SPACE, Promise.WHOLE_LOADS):
            return self._full(group, back)
        if promise in (Promise.SEATS, Promise.ONE_PLACE_AT_A_TIME):
            return self._taken(back, people=promise == Promise.ONE_PLACE_AT_A_TIME)
        if promise == Promise.PROTECTION:
            return InTheWay(Reason(Cause.KNOCK_ON, f"the comb of {group.lot} would lie open for too long"))
        return InTheWay(reason_of(self.scenario, broken))

    def _of_order(self, group: Group, row: Row) -> InTheWay | None:
        """The step before, or the step after, that moved."""
        if (row.lot, row.step) != (group.lot, group.step):
            return InTheWay(Reason(Cause.KNOCK_ON, f"{_work(row)} now comes on {day_text(row.day)}"), keys_of(row))
        gear = self.scenario.gear.get(group.lot)
        steps = gear.steps[: gear.steps.index(group.step)] if gear and group.step in gear.steps else ()
        for step in reversed(steps):
            moved = [
                change.to
                for change in self.changes
                if change.kind is Kind.MOVED and change.to is not None and change.key[2:] == (group.lot, step)
            ]
            if moved:
                to = min(moved, key=lambda key: (key.day < group.day, key))
                told = f"{step} ({group.lot}) now comes on {day_text(to.day)}"
                return InTheWay(Reason(Cause.KNOCK_ON, told), frozenset(moved))
        return None

    def _full(self, group: Group, back: list[Row]) -> InTheWay:
        place = self._rests(group.step)
        others = [
            row
            for row in self.new.plan.rows
            if place is not None and self._rests(row.step) == place and not row.done and not _is_of(row, group)
        ]
        if not others or not back:
            told = f"there is no room in {place} then" if place else "there is no room then"
            return InTheWay(Reason(Cause.PLACE, told))
        moment = begins(back[0])
        row = min(others, key=lambda row: abs(begins(row) - moment))
        told = f"{place} then holds {row.lot} ({row.step} on {day_text(row.day)})"
        return InTheWay(Reason(Cause.KNOCK_ON, told), keys_of(row), circular=True)

    def _rests(self, step: str) -> str | None:
        task = self.scenario.tasks.get(step)
        return task.then.rests if task else None

    def _taken(self, back: list[Row], *, people: bool) -> InTheWay:
        """The work that the same person, or somebody at the same place, is at in the new plan."""
        for old in back:
            for row in self.new.plan.rows:
                if row.day != old.day or row.done or not (row.start < old.end and old.start < row.end):
                    continue
                both = [name for name in row.who if name in old.who]
                if people and both:
                    told = Reason(Cause.KNOCK_ON, f"{both[0]} then does {_work(row)}")
                    return InTheWay(told, keys_of(row), circular=True)
                if not people and row.at is not None and row.at == old.at:
                    told = Reason(Cause.KNOCK_ON, f"{row.at} is taken then: {row.who[0]} does {_work(row)}")
                    return InTheWay(told, keys_of(row), circular=True)
        return InTheWay(TO_FIT_THE_REST)


def keys_of(row: Row) -> frozenset[Key]:
    """The entries that a row belongs to."""
    return frozenset(Key(row.day, name, row.lot, row.step) for name in row.who)


def _is_of(row: Row, group: Group) -> bool:
    return (row.day, row.lot, row.step) == (group.day, group.lot, group.step)


def _work(row: Row) -> str:
    return row.step if row.step == row.lot else f"{row.step} ({row.lot})"
