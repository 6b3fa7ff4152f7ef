"""The promises a plan keeps, one function each, as rows over the counts.

Notation: ``N[l,s,k]`` pieces of lot l through step s by the end of session k; ``D = N[l,s,k] - N[l,s,k-1]``;
``j(k)`` the last session in which a piece can have step s, wait, and still have the next one in session k.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import combinations

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.exprs import NO_ENTRY, Expr, Exprs, gathered, stacked, total
from offseason.solver.opened import Opened
from offseason.solver.windows import at_once, crew_for
from offseason.workload.model import Importance

NOBODY: frozenset[int] = frozenset({-1})
"""Stands for work that needs nobody: contained in no group of helpers."""

MOST_CREW_ROWS = 64
"""Rows on groups of helpers per session; beyond that only single kinds of work and the whole crew are bounded."""


def counts_only_rise(m: Counts) -> None:
    """``0 <= D <= most pieces`` that whole pieces, seats, people and set-up allow in the session."""
    m.rows.all_between(m.done_in_each(*m.opened), 0, m.most_opened)


def from_now_on(m: Counts, amount: Expr, most: int) -> None:
    """``amount <= most``, but what is above it by what was done before planning begins need only not grow."""
    m.rows.at_most(amount, max(most, amount.constant) if m.gone else most)


def none_from_now_on(m: Counts, amounts: Sequence[Exprs]) -> None:
    """``amount <= 0`` for each of these; the same holds of them."""
    every = stacked(amounts)
    m.rows.all_at_most(every, np.maximum(0, every.constant) if m.gone else 0)


def no_step_overtakes(m: Counts) -> None:
    """``N[l,t,k] <= N[l,s,j(k)] + spare (+ pieces that pass s by: pieces[s] - N[l,s,end])``."""
    rows: list[Exprs] = []
    for lot, pairs in enumerate(m.follows):
        steps = m.workload.lots[lot].steps
        for pair in pairs:
            first, ks = steps[pair.first], m.open[lot][pair.then]
            js = m.timeline.given_up_in(ks, first, steps[pair.then])
            late = m.at_each(lot, pair.then, ks) - m.at_each(lot, pair.first, js)
            if pair.skippable:
                late = late + m.final(lot, pair.first) - first.pieces
            rows.append(late - pair.spare)
    none_from_now_on(m, rows)


def none_is_taken_out_of_hand(m: Counts) -> None:
    """``N[l,t,k] + N[l,s,k] - N[l,s,j(k)] <= N[l,a,j(k)]``: what is at a step between cannot be passed by.

    a is the last step all pieces must have had before t, s a step between that only some pieces have. One row for
    each s: a piece may go on from one such step to the next within a session.
    """
    rows: list[Exprs] = []
    for lot, entry in enumerate(m.workload.lots):
        for way in m.ways_round[lot]:
            then = entry.steps[way.then]
            for s in way.between:
                between = entry.steps[s]
                ks = sorted({*m.open[lot][way.then], *m.open[lot][s]})
                hand = m.at_each(lot, way.then, ks) + m.at_each(lot, s, ks)
                hand = hand - m.at_each(lot, s, m.timeline.given_up_in(ks, between, then))
                if way.after is None:
                    rows.append(hand - entry.count)
                else:
                    after = entry.steps[way.after]
                    nearest = min(then, between, key=lambda step: step.seconds_each)
                    js = m.timeline.given_up_in(ks, after, nearest)
                    rows.append(hand - m.at_each(lot, way.after, js))
    none_from_now_on(m, rows)


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
    touched = _touched(m)
    every = np.array([n for touching in touched.values() for n in touching], np.int64)
    of = np.repeat(np.arange(len(touched)), np.array([len(touching) for touching in touched.values()], np.int64))
    opened = m.opened.chosen(every)
    done = m.done_in_each(*opened)
    done_by_task = done.summed(of, len(touched)).each()
    ready, rooms = [], []
    for ((task, k), touching), done_of_it in zip(touched.items(), done_by_task, strict=True):
        session, one = m.workload.sessions[k], m.step_of(touching[0])
        before = [m.set_up[task, j] for j in range(m.timeline.stretch[k], k) if (task, j) in m.set_up]
        fresh = m.set_up[task, k] = m.helping(0, 1, _first_touch(done_of_it, before))
        ready.append(total((1, y) for y in (*before, fresh)))
        parties = at_once(m.workload, session, one)
        room = total((parties * session.length_s, y) for y in before)
        rooms.append(room + fresh * (parties * max(session.length_s - one.setup_s, 0)))
    too_many = done - gathered(ready).chosen(of) * m.most_opened[every]
    spent = (done * m.of_each(opened, lambda step: step.seconds_each)).summed(of, len(touched))
    by_task = np.argsort(np.concatenate([of, np.arange(len(touched))]), kind="stable")
    m.rows.all_at_most(stacked([too_many, spent - gathered(rooms)]).chosen(by_task), 0)
    _nothing_before_the_first_set_up(m, touched)


def _nothing_before_the_first_set_up(m: Counts, touched: Mapping[tuple[str, int], Sequence[int]]) -> None:
    """At a place, of all that must be set up for: ``sum seconds <= people * (length - setup * (1 - sum Y before k))``.

    Nobody works at any of it until the shortest set-up is through. Without this row a fraction of a second set-up is
    enough, in fractions, to use the time that the first takes.
    """
    by_place: dict[tuple[int, int], list[str]] = {}
    for (task, k), touching in touched.items():
        at = m.step_of(touching[0]).at
        if at is not None:
            by_place.setdefault((at, k), []).append(task)
    for (at, k), tasks in by_place.items():
        if len(tasks) == 1:
            continue  # the row of the one kind says as much
        session = m.workload.sessions[k]
        people = len(frozenset().union(*(crew_for(m.workload, session, task) for task in tasks)))
        people = min(people, m.workload.places[at].seats or people)
        setup_s = min(session.length_s, *(m.step_of(touched[task, k][0]).setup_s for task in tasks))
        done = [
            (m.step_of(n), m.done_in(int(m.opened.lot[n]), int(m.opened.step[n]), k))
            for task in tasks
            for n in touched[task, k]
        ]
        known = [m.set_up[task, j] for task in tasks for j in range(m.timeline.stretch[k], k) if (task, j) in m.set_up]
        spent = total((step.hands * step.seconds_each, pieces) for step, pieces in done)
        m.rows.at_most(spent - total((people * setup_s, y) for y in known), people * (session.length_s - setup_s))


def _touched(m: Counts) -> dict[tuple[str, int], list[int]]:
    """For each kind of work that is set up and session in which it may be done, which of ``m.opened`` are that."""
    found: dict[tuple[str, int], list[int]] = {}
    set_up = np.flatnonzero(m.of_each(m.opened, lambda step: step.setup_s))
    for n in set_up[np.argsort(m.opened.session[set_up], kind="stable")].tolist():
        found.setdefault((m.step_of(n).task, int(m.opened.session[n])), []).append(n)
    return found


def _first_touch(done: Expr, before: list[Expr]) -> Callable[[np.ndarray], int]:
    return lambda x: int(done.value(x) > 0 and not any(y.value(x) for y in before))


def labour_in(m: Counts, parts: Sequence[np.ndarray]) -> Exprs:
    """For each part, the seconds of people that its portions (some of ``m.portions``) take: work and set-up."""
    some = np.concatenate([*parts, NO_ENTRY])
    part = np.repeat(np.arange(len(parts)), np.array([len(portions) for portions in parts], np.int64))
    through, session = m.portions.through.chosen(some), m.portions.session[some]
    seconds: np.ndarray = m.portions.seconds[some] * m.of_each(through, lambda step: step.hands)
    work = m.done_in_each(*through) * seconds
    return work.summed(part, len(parts)) + _set_up_for(m, through, session, part, len(parts))


def _set_up_for(m: Counts, through: Opened, session: np.ndarray, part: np.ndarray, size: int) -> Exprs:
    """... the set-up: once for each kind of work in a part, whatever number of its portions are in it."""
    number = {task: n for n, task in enumerate(dict.fromkeys(task for task, _ in m.set_up))}
    known = np.full((len(number) + 1, len(m.workload.sessions)), -1)
    for (task, k), touched in m.set_up.items():
        (known[number[task], k],) = touched.terms
    var = known[m.of_each(through, lambda step: number.get(step.task, -1)), session]
    set_up = np.flatnonzero(var >= 0)
    _, first = np.unique(part[set_up] * len(m.rows.lower) + var[set_up], return_index=True)
    once = set_up[np.sort(first)]
    seconds = m.of_each(through.chosen(once), lambda step: step.hands * step.setup_s)
    return Exprs(part[once], var[once], seconds, np.zeros(size, np.int64))


def enough_people(m: Counts, kept_free: dict[int, int] | None = None) -> None:
    """For each group H of helpers: seconds of work that only H can do ``<= |H| * length`` (Hall's condition).

    Work of several hands: ``sum seconds <= floor(able / hands) * length``. ``kept_free``: seconds of people to leave
    free in a session, since whole pieces rarely fill everybody's time.
    """
    parts: list[np.ndarray] = []
    rooms: list[int] = []
    tasks = list(dict.fromkeys(step.task for lot in m.workload.lots for step in lot.steps))
    number = {task: n for n, task in enumerate(tasks)}
    task_of = m.of_each(m.portions.through, lambda step: number[step.task])
    hands_of = m.of_each(m.portions.through, lambda step: step.hands)
    for k, session in enumerate(m.workload.sessions):
        here = m.portions.of(k)
        hands: dict[int, int] = {}
        for n, needed in zip(task_of[here].tolist(), hands_of[here].tolist(), strict=True):
            if needed:
                hands[n] = max(needed, hands.get(n, 0))
        able = {n: crew_for(m.workload, session, tasks[n]) for n in hands}
        for group in _groups(set(able.values())):
            theirs = np.array([able.get(n, NOBODY) <= group for n in range(len(tasks))])
            room = len(group) * session.length_s - (kept_free or {}).get(k, 0) * (len(group) == len(session.helpers))
            parts.append(here[theirs[task_of[here]]])
            rooms.append(max(room, 0))
        for n, crew in able.items():
            if hands[n] > 1:
                parts.append(here[task_of[here] == n])
                rooms.append(len(crew) // hands[n] * hands[n] * session.length_s)
    m.rows.all_at_most(labour_in(m, parts), np.array(rooms, np.int64))


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
    parts: list[np.ndarray] = []
    rooms: list[int] = []
    place_of = m.of_each(m.portions.through, lambda step: -1 if step.at is None else step.at)
    seats = [(place, entry.seats) for place, entry in enumerate(m.workload.places) if entry.seats is not None]
    for k, session in enumerate(m.workload.sessions):
        here = m.portions.of(k)
        for place, number in seats:
            at_it = here[place_of[here] == place]
            if len(at_it):
                parts.append(at_it)
                rooms.append(number * session.length_s)
    m.rows.all_at_most(labour_in(m, parts), np.array(rooms, np.int64))
