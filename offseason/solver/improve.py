"""One aim after another brought as far as time allows: relaxation, dispatch led by it, then CP-SAT."""

from __future__ import annotations

from dataclasses import replace
from itertools import count

import numpy as np

from offseason.solver.aims import exposure
from offseason.solver.cpsat import Search
from offseason.solver.hunt import FIRST_MANNERS, Hunt, on_the_clock
from offseason.solver.jobs_alone import jobs_alone, nothing_but_jobs
from offseason.solver.led import EXACT_MANNERS, LED_MANNERS, led_by, only_exposed
from offseason.solver.manner import Manner
from offseason.solver.model import build
from offseason.solver.onward import led_onward
from offseason.solver.relaxation import Relaxation, rounded_up
from offseason.workload.model import Order, Prefer, Workload

SHARE_OF_TIME = 0.3
"""Part of the time left that an aim before the last may take."""

RELAXATION_SHARE = 0.5
"""Part of the time of the last aim that its relaxation may take."""

ALONE_SHARE = 0.6
"""Part of the time of the first aim that exposed comb, planned alone, may take."""

JOBS_SHARE = 0.8
"""Part of the time left that jobs as intervals may take, where the soonest end is wanted and they are not alone."""

LAST_DISPATCH = 1.2
"""Jobs that are alone leave time for so many dispatches as slow as the slowest so far, to put them on the clock."""

LEAST_JOBS_SHARE = 0.5
"""... but take so much of what is left however slow a dispatch is: without it there is nothing to put on the clock."""

DISPATCHES_AFTER = 3
"""Time for this many dispatches is kept back from CP-SAT, to put what it finds on the clock."""

ROUND_SHARE = 0.4
"""Part of the time left that one round of search may take before its find is put on the clock and filled up."""

LEAST_ROUND_S = 10.0
"""A round gets at least so much time, or what is left."""

LEAST_SEARCH_S = 0.2
"""A search shorter than this is not worth starting."""

MOST_ROUNDS = 50
"""More rounds than time ever allows, unless each ends at once: then there is nothing left to find."""

LONG_PIECE_S = 600
"""Pieces longer than this do not count when room is left for whole pieces. Ours."""

ONWARD_SHARE = 0.75
"""Part of the time left that a plan made stretch by stretch along relaxations may take. Ours."""

FEW_UNKNOWNS = 4_000
"""With no more than these, CP-SAT finds what there is to find sooner. Ours, from the scenarios of this repository."""

WHOLE_SHARE = 0.5
"""Part of the time left that HiGHS may take in whole numbers. Ours."""


def improve_all(workload: Workload, hunt: Hunt) -> None:
    """Bring the aims, one after another, as far as time allows; how little must be left is known already.

    Of jobs and nothing else, ``soonest`` has found what there is to find of the last.
    """
    found = int(workload.prefer is Prefer.SOONEST and not hunt.model.short and nothing_but_jobs(workload))
    for aim in range(1 if hunt.model.short else 0, len(hunt.model.aims) - found):
        improve(workload, hunt, aim)


def improve(workload: Workload, hunt: Hunt, aim: int, share: float | None = None) -> None:
    """Bring one aim as far as its share of the time left allows, earlier aims held; the last aim may take all of it."""
    hunt.report(aim)
    if hunt.done(aim):
        return
    last = aim == len(hunt.model.aims) - 1
    left_s = hunt.settings.left_s()
    deadline = hunt.settings.elapsed_s() + left_s * (share or (1.0 if last else SHARE_OF_TIME))
    if hunt.model.aims_at_exposure(aim) and not hunt.model.short:
        _exposed_comb_alone(workload, hunt, deadline)
    if not hunt.done(aim):
        _relax(hunt, aim, deadline, RELAXATION_SHARE if last or share else 1.0)
    if not hunt.done(aim):
        _in_whole_numbers(hunt, aim, deadline)
    if not hunt.done(aim):
        _search(workload, hunt, aim, deadline)


def soonest(hunt: Hunt, aim: int) -> None:
    """Classical jobs as intervals: a bound on the soonest end, and starts to lead the dispatch.

    Where there is nothing but jobs, that is all there is to find, and only a dispatch is kept time for.
    """
    settings, workload = hunt.settings, hunt.model.counts.workload
    left_s = settings.left_s()
    if nothing_but_jobs(workload):
        most_s = max(left_s - LAST_DISPATCH * hunt.slowest_dispatch_s, left_s * LEAST_JOBS_SHARE)
    else:
        most_s = left_s * JOBS_SHARE
    found = jobs_alone(
        hunt.model.counts,
        known={(work.lot, work.step): work.ends_s for work in hunt.best.work} if hunt.best else {},
        latest_s=hunt.value(aim),
        seconds=most_s,
        workers=settings.workers,
        seed=settings.seed,
        clock=settings.clock,
    )
    hunt.prove(aim, found.bound)
    if found.guide is not None:
        hunt.dispatch(Manner(guide=found.guide, fill=False, full_loads=0.0))
    hunt.report(aim)


def _holding(hunt: Hunt, aim: int) -> Relaxation:
    """The relaxation with every earlier aim held at what was reached."""
    relaxation = Relaxation(hunt.model.counts.rows)
    for earlier in range(aim):
        relaxation.also_at_most(hunt.model.aims[earlier].expr, hunt.value(earlier))
    return relaxation


def _relax(hunt: Hunt, aim: int, deadline: float, share: float) -> None:
    entry = hunt.model.aims[aim]
    began_s = hunt.settings.elapsed_s()
    relaxed = _holding(hunt, aim).minimise(entry.expr, hunt.settings.left_s(deadline) * share, hunt.settings.clock)
    if relaxed.bound is None or relaxed.point is None:
        return
    hunt.prove(aim, relaxed.bound)
    hunt.note(f"relaxation of {entry.name}")
    hunt.report(aim)
    if _goes_onward(hunt, aim):
        now_s = hunt.settings.elapsed_s()
        until_s = now_s + ONWARD_SHARE * hunt.settings.left_s(deadline)
        led_onward(hunt, aim, lambda: _holding(hunt, aim), relaxed.point, now_s - began_s, until_s)
        hunt.note("relaxed anew, stretch by stretch")
        return
    led_by(hunt, aim, rounded_up(relaxed.point), LED_MANNERS)
    _relax_beside_earlier_aims(hunt, aim, hunt.settings.left_s(deadline) * RELAXATION_SHARE)


def _goes_onward(hunt: Hunt, aim: int) -> bool:
    """Whether a plan is to be made stretch by stretch: of the last aim, where the search has too much to search."""
    last = aim == len(hunt.model.aims) - 1
    many = len(hunt.model.counts.rows.lower) > FEW_UNKNOWNS
    return last and many and hunt.kept is None and not hunt.model.short


def _relax_beside_earlier_aims(hunt: Hunt, aim: int, seconds: float) -> None:
    """Rounding would lose what earlier aims reached: fix the counts they hang on, and relax the rest once more."""
    settled = {v for earlier in range(aim) for v, coef in hunt.model.aims[earlier].expr.terms.items() if coef}
    if not settled or hunt.best is None:
        return
    relaxation = _holding(hunt, aim)
    relaxation.fix({v: int(hunt.best.point[v]) for v in settled})
    relaxed = relaxation.minimise(hunt.model.aims[aim].expr, seconds, hunt.settings.clock)
    if relaxed.point is not None:
        led_by(hunt, aim, rounded_up(relaxed.point), LED_MANNERS)


def _in_whole_numbers(hunt: Hunt, aim: int, deadline: float) -> None:
    """Small winters by HiGHS, which often proves in seconds what takes CP-SAT a minute."""
    workload, settings = hunt.model.counts.workload, hunt.settings
    if len(hunt.model.counts.rows.lower) > FEW_UNKNOWNS or workload.prefer is Prefer.SOONEST:
        return
    seconds = settings.left_s(deadline) * WHOLE_SHARE
    found = _holding(hunt, aim).minimise_in_whole_numbers(hunt.model.aims[aim].expr, seconds, settings.clock)
    if found.point is None:
        return
    hunt.prove(aim, found.bound)
    hunt.note(f"{hunt.model.aims[aim].name} in whole numbers")
    led_by(hunt, aim, found.point, EXACT_MANNERS)


def _search(workload: Workload, hunt: Hunt, aim: int, deadline: float) -> None:
    """CP-SAT from the best plan so far, in rounds: what it finds is put on the clock and filled up, and searched from.

    The first round searches the model as it is, for the proof. Later ones leave some room in sessions of several
    people, since whole pieces rarely fill everybody's time to the minute.
    """
    model, kept_free = hunt.model, dict[int, int]()
    for turn in count():
        left_s = hunt.settings.left_s(deadline) - DISPATCHES_AFTER * hunt.slowest_dispatch_s
        if hunt.best is None or hunt.done(aim) or left_s < LEAST_SEARCH_S or turn > MOST_ROUNDS:
            return
        search = Search(model.counts.rows)
        for earlier in range(aim):
            search.also_at_most(model.aims[earlier].expr, hunt.value(earlier))
        found = search.minimise(
            model.aims[aim].expr,
            hint=on_the_clock(model.counts, hunt.model.counts.values(hunt.best.point), hunt.best.work),
            seconds=min(left_s, max(LEAST_ROUND_S, left_s * ROUND_SHARE)),
            workers=hunt.settings.workers,
            seed=hunt.settings.seed + turn,
            clock=hunt.settings.clock,
            on_better=hunt.telling(aim),
            known_bound=hunt.bound(aim),
        )
        if not kept_free:
            hunt.prove(aim, found.bound)
        if found.interrupted and found.point is None:
            raise KeyboardInterrupt
        if found.point is None:
            return
        led_by(hunt, aim, found.point, EXACT_MANNERS)
        if found.interrupted:
            raise KeyboardInterrupt
        kept_free = _room_kept_free(workload, hunt)
        model = hunt.model.with_room(kept_free)


def _room_kept_free(workload: Workload, hunt: Hunt) -> dict[int, int]:
    """Seconds to leave free in each session of several people; never so many that the best plan would not fit."""
    used: dict[int, int] = {}
    for work in hunt.best.work if hunt.best else ():
        used[work.session] = used.get(work.session, 0) + (work.ends_s - work.starts_s) * len(work.helpers)
    free: dict[int, int] = {}
    for k, pairs in enumerate(hunt.model.counts.session_work):
        session = workload.sessions[k]
        lengths = [workload.lots[lot].steps[s].seconds_each for lot, s in pairs]
        longest_s = max((each_s for each_s in lengths if each_s <= LONG_PIECE_S), default=0)
        wanted_s = (len(session.helpers) - 1) * longest_s // 2
        free[k] = max(0, min(wanted_s, len(session.helpers) * session.length_s - used.get(k, 0)))
    return {k: free_s for k, free_s in free.items() if free_s}


def _exposed_comb_alone(workload: Workload, hunt: Hunt, deadline: float) -> None:
    """Plan the exposed comb as if there were no other lots: a smaller winter, whose bound holds for the whole one.

    Its counts then lead the whole dispatch, in which exposed comb comes first.
    """
    exposed = [i for i, lot in enumerate(workload.lots) if lot.open_heat]
    if len(exposed) == len(workload.lots):
        return
    alone = only_lots(workload, exposed)
    model = build(alone, makers=(exposure,))
    until = hunt.settings.elapsed_s() + hunt.settings.left_s(deadline) * ALONE_SHARE
    other = Hunt(model, replace(hunt.settings, seconds=until))
    other.first_plan()
    if other.best is None:
        return
    improve(alone, other, 0)
    hunt.prove(0, other.bound(0))
    hunt.note("exposed comb planned alone")
    guide = [np.zeros((len(lot.steps), len(workload.sessions)), np.int64) for lot in workload.lots]
    for at, known in zip(exposed, other.model.counts.values(other.best.point), strict=True):
        guide[at] = known
    guide = only_exposed(workload, guide)
    for manner in FIRST_MANNERS[:3]:
        hunt.dispatch(replace(manner, guide=guide, fill=False))
    hunt.report(0)


def only_lots(workload: Workload, kept: list[int]) -> Workload:
    """The same winter with only some of its lots, and the orders among them."""
    place = {lot: at for at, lot in enumerate(kept)}
    orders = tuple(
        Order((place[o.first[0]], o.first[1]), (place[o.then[0]], o.then[1]))
        for o in workload.orders
        if o.first[0] in place and o.then[0] in place
    )
    begun = workload.standing
    if begun is not None:
        done = tuple(replace(one, lot=place[one.lot]) for one in begun.done if one.lot in place)
        begun = replace(begun, done=done)
    return replace(workload, lots=tuple(workload.lots[i] for i in kept), orders=orders, standing=begun)
