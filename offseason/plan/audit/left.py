"""What a plan says it leaves: that there is such work, that so much of it is left, and no more than that."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from offseason.plan.audit.broken import Broken, Promise, broken, pieces_text
from offseason.plan.audit.case import Case, case_of
from offseason.plan.audit.counts import missed, missing
from offseason.plan.audit.order import never_followed, seconds_late
from offseason.plan.audit.protection import most_open, worn_off
from offseason.plan.audit.yard import Lot, Step
from offseason.plan.document import How, LeftOver, Plan
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import offer
from offseason.weather.outlook import Outlook


def left_as_said(case: Case) -> Iterator[Broken]:
    """Whatever the plan says it leaves is work of this winter, there are so many pieces, and they are left."""
    for one in dict.fromkeys((one.lot, one.step, one.how) for one in case.left):
        yield from _one(case, *one)


def left_by_now(scenario: Scenario, plan: Plan, outlook: Outlook | None = None) -> tuple[LeftOver, ...]:
    """What the plan says it leaves, as far as that is still so: never more than it says, and nothing that is not left.

    Rows that were done and days that have gone by since it was made can have taken away from it.
    """
    case = case_of(scenario, plan, outlook)
    lowered = (replace(one, pieces=min(one.pieces, _truly_left(case, one))) for one in plan.left)
    return tuple(one for one in lowered if one.pieces > 0)


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
