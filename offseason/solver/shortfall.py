"""When no plan keeps every promise: the least that must be left, or a plan after all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from offseason.solver.cpsat import Search
from offseason.solver.dispatch import Dispatched
from offseason.solver.exprs import Expr
from offseason.solver.hunt import FIRST_MANNERS, Hunt
from offseason.solver.improve import improve
from offseason.solver.in_time import late_from_now_on
from offseason.solver.model import build_with_shortfall
from offseason.solver.overfull import left_without_room
from offseason.solver.relaxation import Relaxation
from offseason.solver.windows import with_whole_stretches
from offseason.workload.model import Leaving, Left, Work, Workload

SHARE_OF_TIME = 0.6
"""Part of the time left for finding how little must be left; the rest is for the other aims."""

SEARCH_SHARE = 0.7
"""Part of that time after which the search ends, and it is proven on a more generous winter that it cannot fit."""

FIRST_SHARE = 0.2
"""Part of that time for first plans."""

LEAST_S = 0.5
"""Every part gets at least so much time."""


def fitting_or_leaving_least(
    workload: Workload, hunt: Hunt, promised: Mapping[int, Sequence[Work]] | None = None
) -> Hunt:
    """The hunt itself, if a plan that keeps every promise was found after all; else one for plans that leave least.

    ``must_leave`` of the latter says whether it is proven that something must be left. ``promised``: work, by session,
    that plans which leave something keep to where they can.
    """
    settings = hunt.settings
    seconds = settings.elapsed_s() + max(settings.left_s() * SHARE_OF_TIME, LEAST_S)
    short = Hunt(build_with_shortfall(workload, makers=hunt.model.makers), replace(settings, seconds=seconds))
    short.kept, short.judge = promised, hunt.judge
    hunt.report(None, "looking for a plan in which all fits")
    _first_plans(short)
    improve(workload, short, 0, share=SEARCH_SHARE)
    if short.best is not None:
        hunt.offer(Dispatched(short.best.work, tuple(short.model.counts.values(short.best.point))))
    if hunt.best is not None:
        return hunt
    short.must_leave = short.bound(0) > 0 and _certain(short)
    short.settings, short.log = settings, hunt.log + short.log
    short.note("least that must be left")
    return short


def _first_plans(short: Hunt) -> None:
    """Plans without a guide; where there is no other, the one in which nothing is done."""
    until_s = short.settings.elapsed_s() + short.settings.left_s() * FIRST_SHARE
    for manner in FIRST_MANNERS:
        if short.done(0) or (short.best is not None and short.settings.elapsed_s() > until_s):
            return
        short.dispatch(manner)
    if short.best is None:
        short.offer(Dispatched((), tuple(known[:, 1:].copy() for known in short.model.counts.past)))


def _certain(short: Hunt) -> bool:
    """Whether something must be left even if pieces were carried over the edges of sessions, where people come and go.

    Proven on a more generous winter: each stretch of hours as one session with everybody and all fit weather in it.
    """
    workload = short.model.counts.workload
    whole = with_whole_stretches(workload)
    if len(whole.sessions) == len(workload.sessions):
        return True
    model = build_with_shortfall(whole)
    relaxed = Relaxation(model.counts.rows).minimise(model.aims[0].expr, _seconds(short) / 2, short.settings.clock)
    if relaxed.bound is not None and relaxed.bound > 0:
        return True
    found = Search(model.counts.rows).minimise(
        model.aims[0].expr,
        hint=None,
        seconds=_seconds(short),
        workers=short.settings.workers,
        seed=short.settings.seed,
        clock=short.settings.clock,
    )
    if found.interrupted:
        raise KeyboardInterrupt
    return found.impossible or (found.bound is not None and found.bound > 0)


def _seconds(hunt: Hunt) -> float:
    return max(hunt.settings.left_s(), LEAST_S)


def what_is_left(short: Hunt) -> tuple[Left, ...]:
    """What the best plan of a winter that does not fit leaves; all of it, where there is no plan.

    One that fits, and has begun, may still have a place too full by what has arrived before.
    """
    crowded = left_without_room(short.model.counts.workload, () if short.best is None else short.best.work)
    if not short.model.short:
        return crowded
    found: dict[tuple[int, int, Leaving], int] = {}
    for (lot, s), expr in short.model.left.items():
        step, how = _told_as(short, lot, s)
        pieces = _pieces_left(short, lot, s, expr)
        if step is not None and pieces:
            found[lot, step, how] = pieces
    for (lot, step), pieces in _late_by_the_clock(short):
        found[lot, step, Leaving.LATE] = max(pieces, found.get((lot, step, Leaving.LATE), 0))
    return (*(Left(lot, step, pieces, how) for (lot, step, how), pieces in sorted(found.items())), *crowded)


def _late_by_the_clock(short: Hunt) -> list[tuple[tuple[int, int], int]]:
    """What is late by minutes within a session, which the model does not see."""
    if short.best is None:
        return []
    late = late_from_now_on(short.model.counts.workload, short.best.work)
    return [((lot, s), pieces) for lot, by_step in enumerate(late) for s, pieces in enumerate(by_step) if pieces]


def _pieces_left(short: Hunt, lot: int, s: int, expr: Expr) -> int:
    entry = short.model.counts.workload.lots[lot]
    if short.best is not None:
        left = expr.value(short.best.point)
        return min(left, entry.count) if s < 0 else left
    return entry.count if s < 0 else entry.steps[s].pieces - int(short.model.counts.past[lot][s, -1])


def _told_as(short: Hunt, lot: int, s: int) -> tuple[int | None, Leaving]:
    """The step that is left, None where the lot has none, and how; of combs the step that makes them safe."""
    steps = short.model.counts.workload.lots[lot].steps
    if s >= 0:
        return s, Leaving.UNDONE
    if s <= -2:
        return -2 - s, Leaving.LATE
    return next((i for i, step in enumerate(steps) if step.protected), len(steps) - 1 if steps else None), Leaving.OPEN
