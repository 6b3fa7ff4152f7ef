"""A plan made forward in time, on the clock: in each session, whoever is free takes up the most pressing work.

The dispatch places real people, seats and spaces minute by minute, so what it gives is a roster as well as counts.
Led by a guide (the relaxation rounded up, or counts found by the search) it never runs ahead of it, except to
fill idle time where that is asked for.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from itertools import product
from operator import attrgetter

import numpy as np

from offseason.solver.candidates import ORDERS, PRESSING
from offseason.solver.counts import Counts
from offseason.solver.desk import Desk
from offseason.solver.keeping import KeepingDesk
from offseason.solver.ledger import Ledger, Snapshot, standing
from offseason.solver.manner import Manner, wanted_totals
from offseason.solver.pressure import pressure_of
from offseason.solver.trail import Caps, Trail
from offseason.workload.model import Importance, Prefer, Work


@dataclass(frozen=True)
class Dispatched:
    """Work on the clock and the counts it comes to, per lot (steps, sessions).

    ``caps``: what was not to be run ahead of in it, since it would not have been followed in time.
    """

    work: tuple[Work, ...]
    counts: tuple[np.ndarray, ...]
    caps: Caps = field(default_factory=dict)


_IN_ORDER = attrgetter(*(field.name for field in fields(Work)))
"""As work is ordered anyhow, but asked of each stretch of work once."""

TIMES_TAKEN_BACK = 12
"""How often work that was not followed in time is taken back before the dispatch is left as it is. Ours."""


def dispatch(m: Counts, manner: Manner, start: Snapshot | None = None) -> Dispatched:
    """Give out the work session by session. The result may still break a deadline: check it.

    Work that another step must follow within some time, and did not, is taken back and done later. ``start``: how
    things stand after the first sessions, where the dispatch goes on from (left out: as the workload says); its work
    is that of the others only.
    """
    start = start if start is not None else standing(m)
    caps: Caps = {}
    trail = Trail([start])
    until = len(m.workload.sessions)
    made, _ = _go(m, manner, caps, start, until, trail)
    for _ in range(TIMES_TAKEN_BACK):
        if not _take_back(m, made, caps, start.sessions):
            break
        made, _ = _go(m, manner, caps, trail.go_back(caps), until, trail)
    return made


def dispatch_until(m: Counts, manner: Manner, start: Snapshot, until: int, caps: Caps) -> tuple[Dispatched, Snapshot]:
    """Give out the work from ``start`` to before session ``until``, and say how things stand then.

    ``caps``: what is not to be run ahead of in these sessions, whatever time is left.
    """
    made, book = _go(m, manner, caps, start, until)
    return made, book.snapshot(until)


def _take_back(m: Counts, made: Dispatched, caps: Caps, begins: int) -> bool:
    """Cap what was not followed in time, from session ``begins`` on, at what was; True if anything was."""
    found = False
    last = len(m.workload.sessions) - 1
    for lot, entry in enumerate(m.workload.lots):
        for then, step in enumerate(entry.steps):
            if step.within_s is None or step.within_of is None:
                continue
            cap = np.full(last + 1, entry.count)
            for k in m.open[lot][step.within_of]:
                by = m.timeline.last_ending_by(m.workload.sessions[k].starts_s + step.within_s)
                followed = made.counts[lot][then, by] if by >= 0 else 0
                if by < last and (step.importance is Importance.MUST or followed < made.counts[lot][then, last]):
                    cap[k] = followed if followed < step.pieces else entry.count
            if np.any(made.counts[lot][step.within_of][begins:] > cap[begins:]):
                at = (lot, step.within_of)
                caps[at] = np.minimum(caps.get(at, cap), cap)
                found = True
    return found


def _go(
    m: Counts, manner: Manner, caps: Caps, start: Snapshot, until: int, trail: Trail | None = None
) -> tuple[Dispatched, Ledger]:
    """Go through the sessions from where things stand to before session ``until``; ``trail``: leave marks."""
    counts = [np.zeros((len(lot.steps), len(m.workload.sessions)), np.int64) for lot in m.workload.lots]
    habits = [dict[str, int]() for _ in m.workload.helpers]
    trail = trail if trail is not None else Trail([start])
    book = Ledger(m, manner, pressure_of(m), counts, wanted_totals(m, manner), caps, habits, reached=trail.reached)
    book.go_on_from(start)
    for k in range(start.sessions, until):
        if m.timeline.stretch[k] == k:
            book.set_up.clear()  # also where nobody has work in its first session
        trail.mark(book, k)
        if m.session_work[k] or k in m.runs_from:
            trail.work.extend(_one_session(book, k, list(m.session_work[k])))
    return Dispatched(tuple(sorted(trail.work, key=_IN_ORDER)), tuple(counts), caps), book


def _one_session(book: Ledger, k: int, pairs: list[tuple[int, int]]) -> list[Work]:
    """The session worked by the crew and in the order that leave least of the guided work over."""
    if book.manner.kept is not None:
        keeping = KeepingDesk(book, k, pairs, book.manner.kept.get(k, ()))
        keeping.run()
        keeping.close()
        return keeping.work
    before = [known[:] for known in book.now]
    tried: list[tuple[tuple[int, int], Desk, list[list[int]]]] = []
    for crew, order in product(_crews(book, k), _orders(book)):
        book.now[:] = [known[:] for known in before]
        desk = Desk(book, k, pairs, order, crew)
        desk.run()
        tried.append((desk.missing_s(), desk, book.now[:]))
        if not any(tried[-1][0]):
            break
    _, desk, book.now[:] = min(tried, key=lambda one: one[0])
    desk.close()
    return desk.work


def _orders(book: Ledger) -> tuple[str, ...]:
    """The orders that are tried: one, or all that make a difference where a guide must be met."""
    if not book.manner.exact:
        return (PRESSING,)
    return ORDERS if any(place.whole_loads for place in book.m.workload.places) else ORDERS[1:]


def _crews(book: Ledger, k: int) -> list[tuple[int, ...]]:
    """Everybody; or, where few days are wanted and a guide says how much there is to do, first one, then two ..."""
    workload, helpers = book.m.workload, book.m.workload.sessions[k].helpers
    if workload.prefer is not Prefer.FEW_DAYS or book.manner.guide is None:
        return [helpers]
    busy = {h for block in book.carried for h in block.helpers}
    called = busy | {h for h in helpers if book.called.get(h) == workload.sessions[k].day}
    skills = {h: len(workload.helpers[h].can or range(10_000)) for h in helpers}
    best_first = sorted(helpers, key=lambda h: (h not in called, -skills[h], h))
    return [tuple(sorted({*best_first[:n], *(busy & set(helpers))})) for n in range(1, len(helpers) + 1)]
