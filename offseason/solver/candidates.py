"""The steps that may be worked in a session, and how pressing each is."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from offseason.solver.ledger import Ledger
from offseason.solver.manner import RANK
from offseason.solver.windows import crew_for
from offseason.workload.flow import Follows, WayRound
from offseason.workload.model import Order, Stay, Step

PRESSING, LOADS_FIRST = "pressing", "loads first"

ORDERS = (LOADS_FIRST, PRESSING, "fewest people", "longest pieces", "first steps")
"""Orders of taking up work within a session, tried in turn where a guide must be met to the piece; the first only where
there are whole loads: the sooner one is closed, the sooner the next can follow."""

DUE_SOON_S = 14 * 86_400
"""Work due within this time goes by its due date; other work by how much room is left for it. Ours."""

RENEWED_AHEAD_S = 8 * 86_400
"""What protects is renewed no earlier than this before it lapses (or a quarter of what it lasts). Ours."""


@dataclass
class Candidate:
    """A step that may be worked in this session, with what is fixed about it until the session ends.

    ``crew``: helpers present who may do it. ``pairs``: (step before, spare pieces) of the steps it follows.
    ``waits_for``: those of them after which there is a wait. ``ways``: ways round that it is part of. ``comes``,
    ``leaves``: places its pieces enter and leave. ``handed_on``: the next step may take its pieces up at once.
    ``turns_a_load``: it fills or empties a place in whole loads. ``room_behind``: pieces it may still do so that what
    is bound to follow in time can.
    """

    lot: int
    step: int
    work: Step
    crew: frozenset[int]
    key: tuple[float, ...]
    guided: int
    wanted: int
    pairs: list[tuple[int, int]]
    waits_for: tuple[int, ...]
    ways: tuple[WayRound, ...]
    orders: tuple[Order, ...]
    comes: tuple[Stay, ...]
    leaves: tuple[Stay, ...]
    handed_on: bool
    turns_a_load: bool
    room_behind: int


def candidates(book: Ledger, k: int, pairs: list[tuple[int, int]], order: str) -> list[Candidate]:
    """What may be worked in session ``k``, most pressing first in the order asked for."""
    task_left_s = book.left_by_task()
    remaining = {
        lot: [max(0, wanted - done) for wanted, done in zip(book.totals[lot], book.now[lot], strict=True)]
        for lot in {lot for lot, _ in pairs}
    }
    found = [
        made
        for lot, s in pairs
        if remaining[lot][s] and (made := _candidate(book, k, lot, s, remaining[lot], task_left_s)) is not None
    ]
    by_order = _BY_ORDER[order]
    # exposed comb always comes first; the rest by the order that is being tried
    return sorted(found, key=lambda c: (c.key[0], by_order(c), c.key))


_BY_ORDER: dict[str, Callable[[Candidate], int]] = {
    PRESSING: lambda _: 0,
    "longest pieces": lambda c: -c.work.seconds_each,
    "fewest people": lambda c: len(c.crew),
    "first steps": lambda c: c.step,
    LOADS_FIRST: lambda _: 0,
}


def _candidate(
    book: Ledger, k: int, lot: int, s: int, remaining: list[int], task_left_s: dict[str, int]
) -> Candidate | None:
    m = book.m
    entry = m.workload.lots[lot]
    step, session, fixed = entry.steps[s], m.workload.sessions[k], book.fixed[lot][s]
    pairs = _pairs(book, lot, fixed.follows)
    if _ready_in_session(book, k, lot, s, pairs) <= book.now[lot][s]:
        return None
    due_s = _due_s(book, k, lot, s)
    if step.worth == 0 and due_s - session.ends_s > max((step.lasts_s or 0) // 4, RENEWED_AHEAD_S):
        return None
    soon = due_s - session.ends_s < DUE_SOON_S
    pressing = book.pressure.of_step(m, lot, s, k, remaining, task_left_s)
    key = (
        0 if entry.open_heat else 1,
        RANK[step.importance],
        0 if soon else 1,
        due_s if soon else 0,
        -round(min(pressing, 9.0), 1),
        0 if fixed.frees else 1,
        lot,
        s,
    )
    guide = book.manner.guide
    return Candidate(
        lot=lot,
        step=s,
        work=step,
        crew=crew_for(m.workload, session, step.task),
        key=key,
        guided=book.totals[lot][s] if guide is None else int(guide[lot][s, k]),
        wanted=book.totals[lot][s],
        pairs=pairs,
        waits_for=fixed.waits_for,
        ways=fixed.ways,
        orders=fixed.orders,
        comes=fixed.comes,
        leaves=fixed.leaves,
        handed_on=fixed.handed_on,
        turns_a_load=fixed.turns_a_load,
        room_behind=_room_behind(book, k, lot, s),
    )


def _pairs(book: Ledger, lot: int, pairs: Iterable[Follows]) -> list[tuple[int, int]]:
    """(step before, pieces that need not have had it) for each step that one follows."""
    steps = book.m.workload.lots[lot].steps
    return [
        (f.first, f.spare + (steps[f.first].pieces - book.totals[lot][f.first] if f.skippable else 0)) for f in pairs
    ]


def _ready_in_session(book: Ledger, k: int, lot: int, s: int, pairs: list[tuple[int, int]]) -> int:
    """Most pieces that can be ready for the step before the session ends, as far as earlier sessions decide it."""
    session = book.m.workload.sessions[k]
    ready = book.m.workload.lots[lot].steps[s].pieces
    for first, spare in pairs:
        before = book.m.workload.lots[lot].steps[first]
        finished_s = before.finished_by_s(session.ends_s)
        if before.waits and finished_s <= session.starts_s:
            ready = min(ready, spare + book.through_by(lot, first, finished_s))
    return ready


def _due_s(book: Ledger, k: int, lot: int, s: int) -> int:
    """When the next piece is due: by its own deadline, by ``within``, or before a treatment lapses."""
    entry, sessions = book.m.workload.lots[lot], book.m.workload.sessions
    step, known, done = entry.steps[s], book.counts[lot], book.now[lot][s]
    due_s = book.pressure.due_s[lot][s]
    if step.within_s is not None and step.within_of is not None:
        waiting = _first_above(known[step.within_of, :k], done)
        if waiting < k:
            due_s = min(due_s, sessions[waiting].starts_s + step.within_s)
    lasts_s = entry.steps[s - 1].lasts_s if s else None
    if lasts_s is not None:
        treated = _first_above(known[s - 1, :k], done)
        if treated < k:
            due_s = min(due_s, max(sessions[treated].starts_s + lasts_s, entry.treat_by_s or 0))
    return due_s


def _first_above(counts: np.ndarray, done: int) -> int:
    """The first session by whose end more pieces were through than ``done``; one past the last: none."""
    return int(counts.searchsorted(done, side="right"))


def _room_behind(book: Ledger, k: int, lot: int, s: int) -> int:
    """How many pieces of this step may be done so that the step bound by ``within`` can still follow in time.

    Counts the seconds left at that step's place, less what already waits for the place, in all lots; no limit where
    all that is still to follow fits.
    """
    entry = book.m.workload.lots[lot]
    done = book.now[lot][s]
    most = entry.steps[s].pieces
    if (lot, s) in book.caps:
        most = min(most, int(book.caps[lot, s][k]) - done)
    for t in range(s + 1, len(entry.steps)):
        step = entry.steps[t]
        if step.within_of == s and step.within_s is not None and step.seconds_each:
            factor = 1.0 if book.manner.guide is not None else book.manner.caution
            room_s = int(_room_for(book, k, lot, t, s) * factor) - _waiting_for(book, book.fixed[lot][t].rivals)
            if room_s // step.seconds_each < book.totals[lot][t] - done:
                most = min(most, room_s // step.seconds_each)
    return max(most, 0)


def _room_for(book: Ledger, k: int, lot: int, then: int, first: int) -> int:
    """Seconds in which step ``then`` can be worked before pieces of step ``first`` done in session ``k`` are due."""
    timeline, session = book.m.timeline, book.m.workload.sessions[k]
    steps = book.m.workload.lots[lot].steps
    before = steps[first]
    begins = timeline.last_ending_by(before.ready_s(session.starts_s)) + 1 if before.waits else k
    ends = timeline.last_ending_by(session.starts_s + (steps[then].within_s or 0)) + 1
    left = book.pressure.pieces_left[lot][then]
    return max(0, left[begins] - left[max(ends, begins)]) * steps[then].seconds_each


def _waiting_for(book: Ledger, rivals: Iterable[tuple[int, int, int]]) -> int:
    """Seconds of work, of these steps, that already waits for them."""
    waiting = 0
    for lot, s, seconds_each in rivals:
        known = book.now[lot]
        if known[s - 1] > known[s]:
            waiting += (known[s - 1] - known[s]) * seconds_each
    return waiting
