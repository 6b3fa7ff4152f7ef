"""From a promise that work breaks where it was to the work of the new plan that is to blame, if any really is.

To blame is only what was not there so in the old plan: a step before it that now comes later, a load that is in the
place at that very moment, work that took its people or seats. What only comes after it is none, but a step that has to
follow within some time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from offseason.plan.audit import Broken, Promise
from offseason.plan.audit.broken import day_text, length_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.loads import takes_whole_loads
from offseason.plan.audit.order import follows, steps_to_find_done
from offseason.plan.audit.yard import Lot, Step
from offseason.plan.changes.became import Became, keys_of
from offseason.plan.changes.direct import reason_of
from offseason.plan.changes.entries import begins
from offseason.plan.changes.inside import Load, finished_s, loads_in, stays_of
from offseason.plan.changes.model import Cause, Change, Key, Reason
from offseason.plan.document import Row

_OF_ORDER = frozenset((Promise.ORDER, Promise.WAITING, Promise.NOT_TOO_LATE_AFTER))
_OF_PLACES = frozenset((Promise.SPACE, Promise.WHOLE_LOADS))


@dataclass(frozen=True)
class InTheWay:
    """What is in the way of work where it was: the ``reason``, and the entries ``of`` the new plan that are to blame.

    ``circular``: it explains nothing unless one of these entries has a reason of its own, for it may as well be said
    the other way round.
    """

    reason: Reason
    of: frozenset[Key] = frozenset()
    circular: bool = False


@dataclass(frozen=True)
class Trial:
    """The new plan with the rows ``back`` put back where they were; ``became``: what is new in it."""

    case: Case
    back: Sequence[Row]
    became: Became

    def is_back(self, row: Row | None) -> bool:
        """Whether it is one of the rows put back."""
        return any(one is row for one in self.back)


def blamed(trial: Trial, change: Change, broken: Broken) -> InTheWay | None:
    """What of the new plan is to blame for the broken promise, asked for one change; None: nothing that is known."""
    row, own = broken.row, trial.is_back(broken.row)
    promise, hastened = Promise(broken.promise), trial.became.hastened(change)
    if promise in _OF_ORDER and row is not None:
        return _step_before(trial, row, broken, hastened) if own else _step_after(trial, row, promise, change)
    if promise in _OF_PLACES:
        return _load(trial, change, broken) or _to_be_empty(trial, row, hastened)
    if promise in (Promise.SEATS, Promise.ONE_PLACE_AT_A_TIME):
        return _taken(trial, people=promise == Promise.ONE_PLACE_AT_A_TIME)
    lot = change.key.lot
    about = row.lot if row is not None else broken.text.partition(": ")[0]
    if promise == Promise.PROTECTION:
        told = Reason(Cause.GEAR, f"the comb of {lot} would lie open for too long")
        return InTheWay(told) if about == lot else None
    return InTheWay(reason_of(trial.case.scenario, row, broken)) if own and row is not None else None


def _step_before(trial: Trial, own: Row, broken: Broken, hastened: bool) -> InTheWay | None:
    """The step before it that now comes later; of work that came sooner, the one it has to follow within a time."""
    work = trial.case.yard.find(own)
    if work is None:
        return None
    if broken.promise == Promise.NOT_TOO_LATE_AFTER:
        base = follows(*work) if hastened else None
        rows = [stint.row for stint in trial.case.timeline.of_step(work[0], base)] if base is not None else []
        return _now_comes(trial, next((row for row in rows if trial.became.sooner(row)), None), circular=True)
    if hastened:  # what is late brings nothing forward
        return None
    waits_for = list(_not_through(trial, *work, own))
    late = next((row for row in waits_for if trial.became.later(row)), None)
    if (way := _now_comes(trial, late) or _put_off(trial, *work, own)) or not waits_for:
        return way
    return InTheWay(replace(reason_of(trial.case.scenario, own, broken), cause=Cause.ORDER))


def _not_through(trial: Trial, lot: Lot, step: Step, own: Row) -> Iterator[Row]:
    """Rows of steps before this one whose pieces are not through, or have not waited, when they are to go on."""
    stints, timeline = trial.case.timeline.stints, trial.case.timeline
    later = timeline.of(lot, step)
    numbers = [n for n in dict.fromkeys(later.stints.tolist()) if stints[n].row is own]
    for before in steps_to_find_done(lot, step):
        earlier = timeline.of(lot, before)
        positions = np.flatnonzero(np.isin(later.stints, numbers))
        at = positions - max(0, step.pieces - before.pieces)
        there = (at >= 0) & (at < len(earlier))
        positions, at = positions[there], at[there]
        late = before.wait.ready(earlier.finishes[at]) > later.begins[positions]
        yield from (timeline.row(n) for n in dict.fromkeys(earlier.stints[at[late]].tolist()))


def _put_off(trial: Trial, lot: Lot, step: Step, own: Row) -> InTheWay | None:
    """The step before it that was to come before this work, and now comes after it."""
    for before in steps_to_find_done(lot, step):
        key = trial.became.put_off((lot.name, before.name), begins(own))
        if key is not None:
            told = f"{before.name} ({lot.name}) now comes on {day_text(key.day)}"
            return InTheWay(Reason(Cause.KNOCK_ON, told), frozenset({key}))
    return None


def _now_comes(trial: Trial, row: Row | None, *, circular: bool = False) -> InTheWay | None:
    if row is None:
        return None
    told = Reason(Cause.KNOCK_ON, f"{_work(row)} now comes {_when(trial, row)}")
    return InTheWay(told, keys_of(row), circular)


def _step_after(trial: Trial, row: Row, promise: Promise, change: Change) -> InTheWay | None:
    """A later step of the lot: one that comes sooner, of work that does too; or one due soon after that comes later."""
    work = trial.case.yard.find(row)
    if work is None or row.lot != change.key.lot or row.step == change.key.step:
        return None
    if promise != Promise.NOT_TOO_LATE_AFTER:
        both = trial.became.hastened(change) and trial.became.sooner(row)
        return _now_comes(trial, row, circular=True) if both else None
    if trial.became.hastened(change) or not trial.became.later(row):
        return None
    within = length_text(work[1].within_s or 0)
    told = f"{_work(row)} is due within {within} of it and now comes {_when(trial, row)}"
    return InTheWay(Reason(Cause.KNOCK_ON, told), keys_of(row), circular=True)


def _load(trial: Trial, change: Change, broken: Broken) -> InTheWay | None:
    """The load that is in the place when this work would put its pieces in; or that would warm what it takes out."""
    itself = trial.is_back(broken.row)
    for own in trial.back:
        came_from, place = stays_of(trial.case, own)
        moments = (finished_s(trial.case, own) or ()) if _is_full(trial, place, broken) else ()
        for load in (load for moment_s in moments if place for load in loads_in(trial.case, place, moment_s)):
            hurt = itself or broken.row is load.came_by or broken.row is load.leaves_by
            if hurt and not trial.is_back(load.came_by) and (way := _in_place(trial, place or "", load)):
                return way
        last = _last_in(trial, came_from, own) if itself and broken.promise == Promise.WHOLE_LOADS else None
        if last is not None and last.step != change.key.step and trial.became.later(last):
            told = f"the last of the load in {came_from} ({last.lot}) now comes {_when(trial, last)}"
            return InTheWay(Reason(Cause.KNOCK_ON, told), keys_of(last), circular=True)
    return None


def _is_full(trial: Trial, place: str | None, broken: Broken) -> bool:
    """Whether it is this place that the promise is about, as far as work puts something in there."""
    entry = trial.case.scenario.places.get(place or "")
    if entry is None:
        return False
    return f"{place} holds " in broken.text if broken.promise == Promise.SPACE else takes_whole_loads(entry)


def _in_place(trial: Trial, place: str, load: Load) -> InTheWay | None:
    """A load that came there only now, or is taken out only later."""
    row, out = load.came_by, load.leaves_by
    told = Reason(Cause.KNOCK_ON, f"{place} then holds {row.lot} ({row.step} on {day_text(row.day)})")
    if trial.became.done_otherwise(row):
        return InTheWay(told)
    if not row.done and trial.became.came(row):
        return InTheWay(told, keys_of(row), circular=True)
    if out is not None and not trial.is_back(out) and trial.became.later(out):
        told = replace(told, text=f"{place} then still holds {row.lot} ({out.step} now comes {_when(trial, out)})")
        return InTheWay(told, keys_of(out), circular=True)
    return None


def _last_in(trial: Trial, place: str | None, own: Row) -> Row | None:
    """What went last into the place before this work takes out of it."""
    moment_s = trial.case.clock.at(own.day, own.start) - 1
    loads = loads_in(trial.case, place, moment_s) if place is not None else ()
    return loads[-1].came_by if loads else None


def _to_be_empty(trial: Trial, row: Row | None, hastened: bool) -> InTheWay | None:
    """Of work that comes sooner: what needs the place before the moment at which it was."""
    if row is None or not hastened or trial.is_back(row) or not trial.became.came(row):
        return None
    if not any(begins(row) < begins(own) for own in trial.back):
        return None
    _, place = stays_of(trial.case, row)
    told = f"{place} is wanted for {_work(row)} on {day_text(row.day)}"
    return InTheWay(Reason(Cause.KNOCK_ON, told), keys_of(row), circular=True) if place else None


def _taken(trial: Trial, *, people: bool) -> InTheWay | None:
    """The work that the same person, or somebody at the same place, is at in the new plan, and was not in the old."""
    for own in trial.back:
        for stint in trial.case.timeline.stints:
            row = stint.row
            if row.day != own.day or row.done or trial.is_back(row) or not trial.became.came(row):
                continue
            if not (row.start < own.end and own.start < row.end):
                continue
            both = [name for name in row.who if name in own.who]
            if people and both:
                told = Reason(Cause.KNOCK_ON, f"{both[0]} then does {_work(row)}")
                return InTheWay(told, keys_of(row), circular=True)
            if not people and row.at is not None and row.at == own.at:
                told = Reason(Cause.KNOCK_ON, f"{row.at} is taken then: {row.who[0]} does {_work(row)}")
                return InTheWay(told, keys_of(row), circular=True)
    return None


def _when(trial: Trial, row: Row) -> str:
    """The day; of the very day that the work was planned for, the hour."""
    return f"at {row.start:%H:%M} that day" if row.day == trial.back[0].day else f"on {day_text(row.day)}"


def _work(row: Row) -> str:
    return row.step if row.step == row.lot else f"{row.step} ({row.lot})"
