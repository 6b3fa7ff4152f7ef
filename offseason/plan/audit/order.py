"""Steps of a lot in their order, each piece waited out, and none left lying too long."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from offseason.plan.audit.broken import Broken, Promise, broken, declared_text, length_text, pieces_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.inhand import in_two_steps_at_once
from offseason.plan.audit.timeline import Moments, Pieces
from offseason.plan.audit.waits import missing_text
from offseason.plan.audit.yard import Lot, Step

# Waits worked out by the trade rules are not whole seconds; the plan's are.
_ROUNDING_S = 1


def overtaken(case: Case) -> Iterator[Broken]:
    """The i-th piece to begin a step finds at least i pieces (less the slack) through the steps before, waited out.

    And no piece is at two steps at once.
    """
    found = [
        one
        for lot in case.yard.lots.values()
        for step in lot.steps
        for before in steps_to_find_done(lot, step)
        for one in _between(case, lot, before, step)
    ]
    yield from found
    rows = {id(one.row) for one in found}
    told = frozenset(number for number, stint in enumerate(case.timeline.stints) if id(stint.row) in rows)
    yield from in_two_steps_at_once(case, told)


def steps_to_find_done(lot: Lot, step: Step) -> list[Step]:
    """Earlier steps that ``step`` may not overtake: back to the first that all pieces have, and all that it needs."""
    found = []
    reached = False
    for before in reversed(lot.steps[: step.index]):
        if not reached or before.index in step.needs:
            found.append(before)
        reached = reached or (before.pieces == lot.count and not before.skippable_for(step))
    return found


def _between(case: Case, lot: Lot, before: Step, step: Step) -> Iterator[Broken]:
    later, earlier = case.timeline.of(lot, step), case.timeline.of(lot, before)
    slack = max(0, step.pieces - before.pieces)
    if before.skippable_for(step):
        slack += before.pieces - len(earlier)
    asked = np.arange(len(later)) + 1 - slack
    bound = asked >= 1
    there = bound & (asked <= len(earlier))
    finished = np.full(len(later), np.iinfo(np.int64).max, dtype=np.int64)
    finished[there] = earlier.finishes[asked[there] - 1]
    early = bound & (later.begins < finished)
    ready = np.zeros(len(later))
    ready[there] = before.wait.ready(finished[there])
    wet = there & ~early & (later.begins < ready - _ROUNDING_S)
    for stint, pieces in _by_row(later, early):
        said = f"{pieces_text(len(pieces))} would be in {step.name} before being through {before.name}"
        never = int(np.count_nonzero(~there[pieces]))
        told = f"{never} of them never are" if never else _earliest_by(later.begins, finished, pieces)
        yield broken(Promise.ORDER, case.timeline.row(stint), f"{said}; {told}")
    for stint, pieces in _by_row(later, wet):
        missing = ready[pieces] - later.begins[pieces]
        worst = pieces[np.argmax(missing)]
        asks = before.wait.needs(int(finished[worst]), f" after {before.name}")
        said = f"too soon for {pieces_text(len(pieces))}: {asks}{missing_text(float(np.max(missing)))}"
        yield broken(Promise.WAITING, case.timeline.row(stint), said)


def _earliest_by(begins: Moments, finished: Moments, pieces: NDArray[np.intp]) -> str:
    return f"{length_text(float(np.max(finished[pieces] - begins[pieces])))} too early"


def _by_row(pieces: Pieces, which: NDArray[np.bool_]) -> Iterator[tuple[int, NDArray[np.intp]]]:
    """For each row with such pieces: its number and the positions of these pieces, in order of time."""
    positions = np.flatnonzero(which)
    positions = positions[np.argsort(pieces.stints[positions], kind="stable")]
    numbers = pieces.stints[positions]
    for part in np.split(positions, np.flatnonzero(np.diff(numbers)) + 1):
        if len(part):
            yield int(pieces.stints[part[0]]), part


def left_too_long(case: Case) -> Iterator[Broken]:
    """The i-th piece is through a step within the time allowed after the i-th was through the step it follows.

    But for as many as the plan says come late.
    """
    for lot in case.yard.lots.values():
        for step in lot.steps:
            before, over = follows(lot, step), seconds_late(case, lot, step)
            declared = case.declared(lot.name, step.name, "late")
            if step.within_s is None or before is None or np.count_nonzero(over > 0) <= declared:
                continue
            for stint, pieces in _by_row(case.timeline.of(lot, step), over > 0):
                said = f"too late for {pieces_text(len(pieces))}: {step.name} is due within"
                said += f" {length_text(step.within_s)} after {before.name} and comes up to"
                said += f" {length_text(int(np.max(over[pieces])))} later than that{declared_text(declared, 'late')}"
                yield broken(Promise.NOT_TOO_LATE_AFTER, case.timeline.row(stint), said)


def seconds_late(case: Case, lot: Lot, step: Step) -> Moments:
    """By how much each piece comes to a step later than it may after the step it follows; 0 or less: in time."""
    before, later = follows(lot, step), case.timeline.of(lot, step)
    over = np.zeros(len(later), dtype=np.int64)
    if step.within_s is None or before is None:
        return over
    earlier = case.timeline.of(lot, before)
    both = min(len(later), len(earlier))
    due = earlier.finishes[:both] + step.within_s
    # what was late before anybody came is held against nobody
    over[:both] = np.where(due >= case.begins_s, later.finishes[:both] - due, 0)
    return over


def never_followed(case: Case, lot: Lot, step: Step) -> bool:
    """Whether a piece that this step must follow within some time never comes to it."""
    before = follows(lot, step)
    if step.within_s is None or before is None:
        return False
    waiting = case.timeline.of(lot, before).part(len(case.timeline.of(lot, step)), None)
    return bool(np.any(waiting.finishes + step.within_s >= case.begins_s))


def follows(lot: Lot, step: Step) -> Step | None:
    """The step that ``within`` counts from: the last one needed, else the one right before."""
    if step.needs:
        return lot.steps[max(step.needs)]
    return lot.steps[step.index - 1] if step.index else None
