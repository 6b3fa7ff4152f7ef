"""What a plan says it leaves: that there is such work, that so much of it is left, and no more than that."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import numpy as np

from offseason.plan.audit.broken import Broken, Promise, broken, day_text, pieces_text
from offseason.plan.audit.case import Case, case_of
from offseason.plan.audit.counts import missed, missing
from offseason.plan.audit.order import never_followed, seconds_late
from offseason.plan.audit.protection import most_open, worn_off
from offseason.plan.audit.space import most_over
from offseason.plan.audit.yard import Lot, Step
from offseason.plan.document import How, LeftOver, Plan
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import offer
from offseason.weather.outlook import Outlook


def left_as_said(case: Case) -> Iterator[Broken]:
    """Whatever the plan says it leaves is work of this winter, there are so many pieces, and they are left.

    Whatever place it says is too full is one of this winter, and is so from that day on, by so many.
    """
    for lot, step, how, place in dict.fromkeys(one.key for one in case.left):
        yield from _without_room(case, place) if how == "overfull" else _one(case, lot, step, how)


def left_by_now(scenario: Scenario, plan: Plan, outlook: Outlook | None = None) -> tuple[LeftOver, ...]:
    """What the plan says it leaves, as far as that is still so: never more than it says, and nothing that is not left.

    Rows that were done and days that have gone by since it was made can have taken away from it.
    """
    case = case_of(scenario, plan, outlook)
    lowered = (_lowered(case, one) for one in plan.left)
    return tuple(one for one in lowered if one.pieces > 0)


def _lowered(case: Case, said: LeftOver) -> LeftOver:
    if said.how != "overfull" or said.since is None:
        return replace(said, pieces=min(said.pieces, _truly_left(case, said)))
    spaces, first = _over(case, said.place)
    since = said.since if first is None else _no_sooner(case, said.since, first)
    return replace(said, pieces=min(said.pieces, spaces), since=since)


def _no_sooner(case: Case, said: date, first: date) -> date:
    """The day said, or the first on which it is so; of a plan made anew, that it was so before is not looked into."""
    return said if case.since is not None and first <= case.since_day else max(said, first)


def _over(case: Case, name: str) -> tuple[int, date | None]:
    """Spaces by which a place is too full at worst, and the first day on which it is too full, from now on."""
    place = case.scenario.places.get(name)
    if place is None or place.holds is None:
        return 0, None
    spaces, first = most_over(case, name, place.holds)
    return spaces, None if first is None else case.clock.shows(first).date()


def _without_room(case: Case, name: str) -> Iterator[Broken]:
    """That there is no such place, or that it is not too full, not by so much, or not from so early on."""
    said, since = case.declared_too_few(name)
    about = f"what is left, room in {name} (overfull {said})"
    if name not in case.scenario.places:
        wrong = f"there is no place called '{name}'; {offer(name, case.scenario.places)}"
        yield broken(Promise.KNOWN_NAMES, None, wrong, about=about)
        return
    spaces, first = _over(case, name)
    from_ = case.clock.shows(since).date()
    if first is None:
        yield broken(Promise.LEFT, None, "it is never too full", about=about)
    elif spaces < said:
        yield broken(Promise.LEFT, None, f"it has at most {spaces} too many in it", about=about)
    elif from_ < _no_sooner(case, from_, first):
        yield broken(Promise.LEFT, None, f"it is too full only from {day_text(first)} on", about=about)


def _truly_left(case: Case, said: LeftOver) -> int:
    lot = case.yard.lots.get(said.lot)
    step = next((s for s in lot.steps if s.name == said.step), None) if lot else None
    if lot is None or step is None:
        return 0
    return min(_most(lot, step, said.how), _left_so(case, lot, step, said.how))


def _left_so(case: Case, lot: Lot, step: Step, how: How) -> int:
    """Pieces that are left so; of those that come late only that there are some: as many as there can be."""
    if how == "open":
        return most_open(case, lot)
    if how == "late":
        late = np.any(seconds_late(case, lot, step) > 0) or never_followed(case, lot, step) or worn_off(case, lot, step)
        return _most(lot, step, how) if late else 0
    if not step.must:
        return 0
    return missing(case, lot, step) if lot.periods is None else len(missed(case, lot))


def _one(case: Case, name: str, step_name: str, how: How) -> Iterator[Broken]:
    lot, said = case.yard.lots.get(name), case.declared(name, step_name, how)
    about = f"what is left, {step_name} of {name} ({how} {said})"
    if lot is None:
        wrong = f"there is no gear, job or round called '{name}'; {offer(name, case.yard.lots)}"
        yield broken(Promise.KNOWN_NAMES, None, wrong, about=about)
        return
    step = next((s for s in lot.steps if s.name == step_name), None)
    if step is None:
        wrong = f"{name} has no step called '{step_name}'; {offer(step_name, [s.name for s in lot.steps])}"
        yield broken(Promise.KNOWN_NAMES, None, wrong, about=about)
    elif said > _most(lot, step, how):
        yield broken(Promise.COUNT, None, f"there are only {pieces_text(_most(lot, step, how))}", about=about)
    elif wrong := _overstated(case, lot, step, how, said):
        yield broken(Promise.LEFT, None, wrong, about=about)


def _most(lot: Lot, step: Step, how: How) -> int:
    """The most pieces that can be left so: comb that is treated again and again can be late as often."""
    if how == "open":
        return lot.count
    return step.pieces * (1 + step.renewals) if how == "late" else step.pieces


def _overstated(case: Case, lot: Lot, step: Step, how: How, said: int) -> str:
    """That what is said to be left is not, or that less of it is."""
    left = _left_so(case, lot, step, how)
    if how == "undone" and not step.must:
        return "this is not work that must be done, and may be left without a word"
    if left >= said:
        return ""
    if how == "open":
        most = f"at most {left} of its combs {'is' if left == 1 else 'are'} open to moths at the end of any such day"
        return most if left else "no comb of it is open to moths at the end of any day it should not be"
    if how == "late":
        return "this work comes too late for no piece of it"
    return f"only {left} {'is' if left == 1 else 'are'} left undone" if left else "none of it is left undone"
