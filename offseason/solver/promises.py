"""The promises a plan keeps, one function each, as rows over the counts.

Notation: ``N[l,s,k]`` pieces of lot l through step s by the end of session k; ``D = N[l,s,k] - N[l,s,k-1]``;
``j(k)`` the last session whose end plus the wait is not after the start of k.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

import numpy as np

from offseason.solver.counts import Counts, Portion
from offseason.solver.rows import Expr, total
from offseason.solver.windows import at_once, crew_for
from offseason.workload.model import Importance

NOBODY: frozenset[int] = frozenset({-1})
"""Stands for work that needs nobody: contained in no group of helpers."""

MOST_CREW_ROWS = 64
"""Rows on groups of helpers per session; beyond that only single kinds of work and the whole crew are bounded."""


def counts_only_rise(m: Counts) -> None:
    """``0 <= D <= most pieces`` that whole pieces, seats, people and set-up allow in the session."""
    for lot, by_step in enumerate(m.open):
        for step, ks in enumerate(by_step):
            for k in ks:
                m.rows.between(m.done_in(lot, step, k), 0, m.most(lot, step, k))


def from_now_on(m: Counts, amount: Expr, most: int) -> None:
    """``amount <= most``, but what is above it by what was done before planning begins need only not grow."""
    m.rows.at_most(amount, most_from_now_on(m, amount, most))


def most_from_now_on(m: Counts, amount: Expr, most: int) -> int:
    """``most``, or what the amount came to before planning begins, where that is more."""
    return max(most, amount.constant) if m.gone else most


def no_step_overtakes(m: Counts) -> None:
    """``N[l,t,k] <= N[l,s,j(k)] + spare (+ pieces that pass s by: pieces[s] - N[l,s,end])``."""
    for lot, pairs in enumerate(m.follows):
        steps = m.workload.lots[lot].steps
        for pair in pairs:
            first = steps[pair.first]
            for k in m.open[lot][pair.then]:
                j = m.timeline.given_up(k, first, steps[pair.then])
                late = m.at(lot, pair.then, k) - m.at(lot, pair.first, j)
                spare = pair.spare
                if pair.skippable:
                    late, spare = late + m.final(lot, pair.first), spare + first.pieces
                from_now_on(m, late, spare)


def none_is_taken_out_of_hand(m: Counts) -> None:
    """``N[l,t,k] + N[l,s,k] - N[l,s,j(k)] <= N[l,a,j(k)]``: what is at a step between cannot be passed by.

    a is the last step all pieces must have had before t, s a step between that only some pieces have. One row for
    each s: a piece may go on from one such step to the next within a session.
    """
    for lot, entry in enumerate(m.workload.lots):
        for way in m.ways_round[lot]:
            then = entry.steps[way.then]
            for s in way.between:
                between = entry.steps[s]
                for k in sorted({*m.open[lot][way.then], *m.open[lot][s]}):
                    hand = m.at(lot, way.then, k) + m.at(lot, s, k)
                    hand = hand - m.at(lot, s, m.timeline.given_up(k, between, then))
                    if way.after is None:
                        from_now_on(m, hand, entry.count)
                    else:
                        after = entry.steps[way.after]
                        nearest = min(then, between, key=lambda step: step.seconds_each)
                        from_now_on(m, hand - m.at(lot, way.after, m.timeline.given_up(k, after, nearest)), 0)


def orders_kept(m: Counts) -> None:
    """``N[then,k] <= pieces[then] * F[first,j(k)]`` with ``F = 1`` only where all of first is through."""
    for order in m.workload.orders:
        (lot, step), (then_lot, then_step) = order.first, order.then
        first, then = m.workload.lots[lot].steps[step], m.workload.lots[then_lot].steps[then_step]
        for k in m.open[then_lot][then_step]:
            j = m.taken_up_after(then_lot, k, first, then)
            from_now_on(m, m.at(then_lot, then_step, k) - finished(m, lot, step, j) * then.pieces, 0)


def finished(m: Counts, lot: int, step: int, k: int) -> Expr:
    """1 where all pieces of the step are through by the end of session ``k``: ``pieces * F <= N``."""
    count, pieces = m.at(lot, step, k), m.workload.lots[lot].steps[step].pieces
    if not count.terms:
        return Expr({}, int(count.constant >= pieces))
    if pieces == 1:
        return count
    known = m.finished.setdefault((lot, step), {})
    (variable,) = count.terms
    if variable not in known:
        known[variable] = m.helping(0, 1, lambda x: int(count.value(x) >= pieces))
        m.rows.at_least(count - known[variable] * pieces, 0)
    return known[variable]


def must_work_is_done(m: Counts, shortfall: dict[tuple[int, int], Expr] | None = None) -> None:
    """``N[l,s,end] = pieces`` for must-work (the sessions after its ready-by date are closed to it already).

    With ``shortfall``, pieces may be left at a price: ``N + U = pieces``, and U is put there.
    """
    for lot, entry in enumerate(m.workload.lots):
        for s, step in enumerate(entry.steps):
            if step.importance is Importance.MUST:
                left = Expr()
                if shortfall is not None:
                    left = shortfall[lot, s] = m.helping(0, step.pieces, _missing(m.final(lot, s), step.pieces))
                m.rows.at_least(m.final(lot, s) + left, step.pieces)


def _missing(count: Expr, wanted: int) -> Callable[[np.ndarray], int]:
    return lambda x: max(0, wanted - count.value(x))


def set_up_where_touched(m: Counts) -> None:
    """``D <= most * sum Y``, Y[task,k'] over the stretch up to k: what is set up stays so until the stretch ends.

    Over the kind of work: ``sum seconds <= parties * (length * sum Y before k + (length - setup) * Y[k])``.
    """
    for k, pairs in enumerate(m.session_work):
        session = m.workload.sessions[k]
        by_task: dict[str, list[tuple[int, int]]] = {}
        for lot, s in pairs:
            if m.workload.lots[lot].steps[s].setup_s:
                by_task.setdefault(m.workload.lots[lot].steps[s].task, []).append((lot, s))
        for task, touching in by_task.items():
            done = total((1, m.done_in(lot, s, k)) for lot, s in touching)
            before = [m.set_up[task, j] for j in range(m.timeline.stretch[k], k) if (task, j) in m.set_up]
            fresh = m.set_up[task, k] = m.helping(0, 1, _first_touch(done, before))
            ready = total((1, y) for y in (*before, fresh))
            for lot, s in touching:
                m.rows.at_most(m.done_in(lot, s, k) - ready * m.most(lot, s, k), 0)
            one = m.workload.lots[touching[0][0]].steps[touching[0][1]]
            parties = at_once(m.workload, session, one)
            spent = total((m.workload.lots[lot].steps[s].seconds_each, m.done_in(lot, s, k)) for lot, s in touching)
            room = total((parties * session.length_s, y) for y in before)
            room = room + fresh * (parties * max(session.length_s - one.setup_s, 0))
            m.rows.at_most(spent - room, 0)


def _first_touch(done: Expr, before: list[Expr]) -> Callable[[np.ndarray], int]:
    return lambda x: int(done.value(x) > 0 and not any(y.value(x) for y in before))


def labour_in(m: Counts, k: int, portions: Sequence[Portion]) -> Expr:
    """Seconds of people that the portions take in session ``k``: work and set-up."""
    parts: list[tuple[int, Expr]] = []
    tasks: dict[str, int] = {}
    for lot, s, ends_in, seconds in portions:
        step = m.workload.lots[lot].steps[s]
        parts.append((step.hands * seconds, m.done_in(lot, s, ends_in)))
        if (step.task, k) in m.set_up:
            tasks[step.task] = step.hands * step.setup_s
    parts.extend((seconds, m.set_up[task, k]) for task, seconds in tasks.items())
    return total(parts)


def enough_people(m: Counts, kept_free: dict[int, int] | None = None) -> None:
    """For each group H of helpers: seconds of work that only H can do ``<= |H| * length`` (Hall's condition).

    Work of several hands: ``sum seconds <= floor(able / hands) * length``. ``kept_free``: seconds of people to leave
    free in a session, since whole pieces rarely fill everybody's time.
    """
    for k, portions in enumerate(m.portions):
        session = m.workload.sessions[k]
        steps = [m.workload.lots[part.lot].steps[part.step] for part in portions]
        able = {s.task: crew_for(m.workload, session, s.task) for s in steps if s.hands}
        for group in _groups(set(able.values())):
            mine = [part for part, s in zip(portions, steps, strict=True) if able.get(s.task, NOBODY) <= group]
            room = len(group) * session.length_s - (kept_free or {}).get(k, 0) * (len(group) == len(session.helpers))
            m.rows.at_most(labour_in(m, k, mine), max(room, 0))
        for task, crew in able.items():
            hands = max(s.hands for s in steps if s.task == task)
            if hands > 1:
                together = [part for part, s in zip(portions, steps, strict=True) if s.task == task]
                m.rows.at_most(labour_in(m, k, together), len(crew) // hands * hands * session.length_s)


def _groups(sets: set[frozenset[int]]) -> Iterator[frozenset[int]]:
    """Unions of the able-sets: the groups whose capacity can bind."""
    sets.discard(frozenset())
    found = set(sets)
    if 2 ** len(sets) <= MOST_CREW_ROWS:
        for size in range(2, len(sets) + 1):
            found |= {frozenset().union(*some) for some in combinations(sets, size)}
    elif sets:
        found.add(frozenset().union(*sets))
    yield from sorted(found, key=lambda g: (len(g), sorted(g)))


def seats_kept(m: Counts) -> None:
    """Seconds worked at a place ``<= seats * length of the session``."""
    for k, portions in enumerate(m.portions):
        for place, entry in enumerate(m.workload.places):
            if entry.seats is not None:
                here = [part for part in portions if m.workload.lots[part.lot].steps[part.step].at == place]
                if here:
                    m.rows.at_most(labour_in(m, k, here), entry.seats * m.workload.sessions[k].length_s)
