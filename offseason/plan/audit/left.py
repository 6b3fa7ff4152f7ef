"""What a plan says it leaves: that there is such work, that so much of it is left, and no more than that."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from offseason.plan.audit.broken import Broken, Promise, broken, pieces_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.counts import missed, missing
from offseason.plan.audit.order import never_followed, seconds_late
from offseason.plan.audit.protection import ever_open, worn_off
from offseason.plan.audit.yard import Lot, Step
from offseason.plan.document import How
from offseason.scenario.nearest import offer


def left_as_said(case: Case) -> Iterator[Broken]:
    """Whatever the plan says it leaves is work of this winter, there are so many pieces, and they are left."""
    for one in dict.fromkeys((one.lot, one.step, one.how) for one in case.left):
        yield from _one(case, *one)


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
    """That what is said to be left is not; of what lies open or comes late only that there is such a piece at all."""
    if how == "open":
        return "" if ever_open(case, lot) else "no comb of it is open to moths at the end of any day it should not be"
    if how == "late":
        late = np.any(seconds_late(case, lot, step) > 0) or never_followed(case, lot, step) or worn_off(case, lot, step)
        return "" if late else "this work comes too late for no piece of it"
    if not step.must:
        return "this is not work that must be done, and may be left without a word"
    left = missing(case, lot, step) if lot.periods is None else len(missed(case, lot))
    if left < said:
        return f"only {left} {'is' if left == 1 else 'are'} left undone" if left else "none of it is left undone"
    return ""
