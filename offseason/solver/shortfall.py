"""When no plan keeps every promise: the least that must be left, or a plan after all."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from offseason.solver.cpsat import Search
from offseason.solver.hunt import FIRST_MANNERS, Hunt
from offseason.solver.improve import EXACT_MANNERS, LED_MANNERS
from offseason.solver.in_time import late_from_now_on
from offseason.solver.manner import Manner
from offseason.solver.model import build_with_shortfall
from offseason.solver.relaxation import Relaxation, rounded_up
from offseason.solver.rows import Expr
from offseason.solver.windows import with_whole_stretches
from offseason.workload.model import Schedule, Workload

RELAXATION_SHARE = 0.3
"""Part of the time left that the relaxation may take."""

SEARCH_SHARE = 0.6
"""Part of the time left that the search may take; the rest is for the aims, should a plan be found after all."""

LEAST_S = 0.5
"""Every part gets at least so much time."""


def least_shortfall(workload: Workload, hunt: Hunt) -> Schedule | None:
    """Search for the least that must be left. None: a plan that keeps every promise was found, and is in ``hunt``."""
    short = Hunt(build_with_shortfall(workload), hunt.settings)
    short.may_be_late = True
    hunt.report(None, "looking for a plan in which all fits")
    for manner in FIRST_MANNERS:
        short.dispatch(manner)
    expr = short.model.aims[0].expr
    relaxed = Relaxation(short.model.counts.rows).minimise(expr, _seconds(hunt, RELAXATION_SHARE))
    short.prove(0, relaxed.bound)
    if relaxed.point is not None:
        _offer_to_both(hunt, short, rounded_up(relaxed.point), LED_MANNERS)
    if _found_after_all(hunt):
        return None
    found = Search(short.model.counts.rows).minimise(
        expr,
        hint=short.best.point if short.best else None,
        seconds=_seconds(hunt, SEARCH_SHARE),
        workers=hunt.settings.workers,
        seed=hunt.settings.seed,
        on_better=short.telling(0),
        known_bound=short.bound(0),
    )
    short.prove(0, found.bound)
    if found.point is not None:
        _offer_to_both(hunt, short, found.point, EXACT_MANNERS)
    if found.interrupted:
        raise KeyboardInterrupt
    return None if _found_after_all(hunt) else _schedule(short, certain=short.bound(0) > 0 and _certain(hunt))


def _certain(hunt: Hunt) -> bool:
    """Whether something must be left even if pieces were carried over the edges of sessions, where people come and go.

    Proven on a more generous winter: each stretch of hours as one session with everybody and all fit weather in it.
    """
    workload = hunt.model.counts.workload
    whole = with_whole_stretches(workload)
    if len(whole.sessions) == len(workload.sessions):
        return True
    model = build_with_shortfall(whole)
    relaxed = Relaxation(model.counts.rows).minimise(model.aims[0].expr, _seconds(hunt, RELAXATION_SHARE))
    if relaxed.bound is not None and relaxed.bound > 0:
        return True
    found = Search(model.counts.rows).minimise(
        model.aims[0].expr,
        hint=None,
        seconds=_seconds(hunt, SEARCH_SHARE),
        workers=hunt.settings.workers,
        seed=hunt.settings.seed,
    )
    if found.interrupted:
        raise KeyboardInterrupt
    return found.impossible or (found.bound is not None and found.bound > 0)


def _found_after_all(hunt: Hunt) -> bool:
    return hunt.best is not None


def _seconds(hunt: Hunt, share: float) -> float:
    return max(hunt.settings.left_s() * share, LEAST_S)


def _offer_to_both(hunt: Hunt, short: Hunt, point: np.ndarray, manners: tuple[Manner, ...]) -> None:
    guide = short.model.counts.values(point)
    for manner in manners:
        short.offer(hunt.dispatch(replace(manner, guide=guide)))


def _schedule(short: Hunt, *, certain: bool) -> Schedule:
    """The best plan there is when not all fits, with what it leaves."""
    return Schedule(
        work=short.best.work if short.best else (),
        aims=(short.reached(0),),
        left_undone=_left(short),
        proven=certain,
        seconds=short.settings.elapsed_s(),
        log=tuple(short.log),
    )


def _left(short: Hunt) -> tuple[tuple[int, int, int], ...]:
    """(lot, step, pieces) left; of combs that are done, but too late for the moths, the step that makes them safe.

    Of pieces that come to a step too late after what was done: that step.
    """
    found: dict[tuple[int, int], int] = {}
    for (lot, s), expr in sorted(short.model.left.items(), key=lambda item: (item[0][0], item[0][1] < 0, -item[0][1])):
        pieces, step = _pieces_left(short, lot, s, expr), _step_of(short, lot, s)
        told = s == -1 and any(there == lot for there, _ in found)
        if pieces and step is not None and not told:
            found[lot, step] = max(pieces, found.get((lot, step), 0))
    for key, pieces in _late_by_the_clock(short):
        found[key] = max(pieces, found.get(key, 0))
    return tuple((*key, pieces) for key, pieces in sorted(found.items()))


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


def _step_of(short: Hunt, lot: int, s: int) -> int | None:
    """The step that is left; None where the lot has none."""
    steps = short.model.counts.workload.lots[lot].steps
    if s >= 0:
        return s
    if s <= -2:
        return -2 - s
    return next((i for i, step in enumerate(steps) if step.protected), len(steps) - 1) if steps else None
