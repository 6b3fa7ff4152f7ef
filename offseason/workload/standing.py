"""A winter that has begun: what is done so far, and what of the winter is still to be planned."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, timedelta

from offseason.workload.flow import stages
from offseason.workload.model import Done, Importance, Lot, Session, Standing, Workload

DAY_S = 86_400

OPEN_AGAIN_S = 7 * DAY_S
"""Comb found open past its treat-by date is made safe within so much time: as comb taken off in the season is."""

OVERDUE_S = 14 * DAY_S
"""What should have been ready by now, and is not, is to be ready within so much time. Ours."""


def with_standing(workload: Workload, now_s: int, done: Iterable[Done]) -> Workload:
    """The winter from ``now_s`` on, after the work ``done`` by then.

    A session that is under way is cut at that moment. What is due before anybody can come, and is not done, is due
    soon: comb that lies open within 7 days, other must-work within 14; rounds whose time is over are let go.
    """
    ordered = tuple(sorted((one for one in done if one.finished_s <= now_s), key=lambda one: one.finished_s))
    through: Mapping[tuple[int, int], int] = _through(ordered)
    begun = replace(workload, sessions=_cut(workload.sessions, now_s), standing=Standing(now_s, ordered))
    lots = tuple(
        _let_go(lot) if _over(lot, begun) else _due_soon(n, lot, through, begun) for n, lot in enumerate(workload.lots)
    )
    return replace(begun, lots=lots)


def begins_s(workload: Workload) -> int:
    """When somebody can first be at work in what is left of a winter; what is due before cannot be helped any more."""
    if workload.standing is None:
        return 0
    now_s = workload.standing.now_s
    return min((s.starts_s for s in workload.sessions if s.helpers and s.starts_s >= now_s), default=now_s)


def _through(done: Iterable[Done]) -> Counter[tuple[int, int]]:
    through: Counter[tuple[int, int]] = Counter()
    for one in done:
        through[one.lot, one.step] += one.pieces
    return through


def _over(lot: Lot, begun: Workload) -> bool:
    return lot.period is not None and lot.ready_by_s is not None and lot.ready_by_s <= begins_s(begun)


def _let_go(lot: Lot) -> Lot:
    """A round that was missed, or done: nothing of it must be done any more."""
    return replace(lot, steps=tuple(replace(s, importance=Importance.COULD, worth=0) for s in lot.steps))


def _due_soon(n: int, lot: Lot, through: Mapping[tuple[int, int], int], begun: Workload) -> Lot:
    left = any(
        step.importance is Importance.MUST and through.get((n, s), 0) < step.pieces for s, step in enumerate(lot.steps)
    )
    first_s, now_s = begins_s(begun), 0 if begun.standing is None else begun.standing.now_s
    today_ends_s = (now_s // DAY_S + 1) * DAY_S  # days are counted whole, as the audit counts them
    first_day_ends_s = max((s.ends_s for s in begun.sessions if s.day == day_of(begun, first_s)), default=now_s)
    if left and lot.ready_by_s is not None and lot.ready_by_s <= first_s and lot.period is None:
        lot = replace(lot, ready_by_s=min(max(today_ends_s + OVERDUE_S, first_day_ends_s), begun.until_s))
    if lot.treat_by_s is not None and lot.treat_by_s <= first_s and _lies_open(n, lot, through):
        lot = replace(lot, treat_by_s=max(today_ends_s + OPEN_AGAIN_S, first_day_ends_s))
    return lot


def day_of(workload: Workload, time_s: int) -> date | None:
    """The day of the session that begins then and has somebody in it; None: there is none such."""
    return next((s.day for s in workload.sessions if s.helpers and s.starts_s == time_s), None)


def _lies_open(n: int, lot: Lot, through: Mapping[tuple[int, int], int]) -> bool:
    """Whether comb of the lot rests where moths reach it."""
    found = stages(lot)
    for stage, following in zip(found, [*found[1:], None], strict=True):
        safe = lot.protected if stage < 0 else lot.steps[stage].protected
        came = lot.count if stage < 0 else through.get((n, stage), 0)
        went = 0 if following is None else through.get((n, following), 0)
        if not safe and came > went:
            return True
    return False


def _cut(sessions: tuple[Session, ...], now_s: int) -> tuple[Session, ...]:
    """The sessions with an edge at ``now_s``, and a session of no length and nobody there that ends what is gone."""
    before = [_until(s, now_s) for s in sessions if s.starts_s < now_s]
    after = [_from(s, now_s) for s in sessions if s.ends_s > now_s]
    day = after[0].day if after else before[-1].day if before else None
    if day is None:
        return sessions
    return (*before, Session(day, now_s, now_s, ()), *after)


def _until(session: Session, now_s: int) -> Session:
    if session.ends_s <= now_s:
        return session
    clock = session.clock
    shown = None if clock is None else (clock[0], clock[0] + timedelta(seconds=now_s - session.starts_s))
    return replace(session, ends_s=now_s, clock=shown)


def _from(session: Session, now_s: int) -> Session:
    if session.starts_s >= now_s:
        return session
    clock = session.clock
    shown = None if clock is None else (clock[0] + timedelta(seconds=now_s - session.starts_s), clock[1])
    return replace(session, starts_s=now_s, clock=shown)
