"""The solve as a whole: a first plan on the clock, then one aim after another."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from offseason.solver.clock import WorkClock
from offseason.solver.cpsat import REPEATABLE_WORKERS
from offseason.solver.hunt import Hunt, Progress, Settings
from offseason.solver.improve import improve_all, soonest
from offseason.solver.model import LEAST_LEFT, build
from offseason.solver.shortfall import fitting_or_leaving_least, what_is_left
from offseason.workload.model import AimReached, Prefer, Schedule, Workload

SECONDS_IF_SHORT = 0.003
"""So long for each unknown of the model the least that must be left is looked for: small winters have it soon. Ours."""

FURTHER_IF_SHORT = 1.5
"""Once it is known what must be left, the rest of such a plan gets so many times as long as that took. Ours."""


def solve(
    workload: Workload,
    *,
    seconds: float = 60,
    effort: float | None = None,
    seconds_if_short: float | None = None,
    workers: int = 2,
    seed: int = 0,
    on_progress: Callable[[Progress], None] | None = None,
) -> Schedule:
    """Plan a workload within ``seconds`` of wall clock; or, where it is given, with so much ``effort``.

    An effort of one is the work of about a second on two cores of the machine it was set on. The same workload, effort
    and seed give the same work and aims on any machine, whatever else it does, with the same versions of offseason and
    of what it stands on; ``seconds`` and ``workers`` do not count then.

    Returns the best plan found, each aim with its proven bound. Where must-work or protection cannot all be met, or no
    such plan was found in time, it is the one that leaves least: ``left`` names that, and ``certain`` says whether it
    is proven that something must be left. ``seconds_if_short``: time, or effort, for such a winter, whose plan will
    hardly be worked as it is: someone waits to hear what would make it fit.
    Ctrl-C ends the search and returns the best so far (``stopped``); before any plan it is raised again.
    """
    tell = on_progress or (lambda _: None)
    if effort is None:
        settings = Settings(seconds, workers, seed, tell)
    else:
        settings = Settings(effort, REPEATABLE_WORKERS, seed, tell, WorkClock())
    hunt = Hunt(build(workload), settings)
    try:
        hunt.first_plan()
        if hunt.best is None:
            hunt = _leaving_least(workload, hunt, seconds_if_short)
        last = len(hunt.model.aims) - 1
        if workload.prefer is Prefer.SOONEST and not hunt.model.short:
            soonest(hunt, last)
        improve_all(workload, hunt)
    except KeyboardInterrupt:
        if hunt.best is None:
            raise
        return schedule_of(hunt, stopped=True)
    return schedule_of(hunt, stopped=False)


def _leaving_least(workload: Workload, hunt: Hunt, seconds_if_short: float | None) -> Hunt:
    """A hunt for plans that leave least, or one in which all fits after all, with the time each is given."""
    given = hunt.settings
    if seconds_if_short is None:
        return fitting_or_leaving_least(workload, hunt)
    enough_s = given.elapsed_s() + SECONDS_IF_SHORT * len(hunt.model.counts.rows.lower)
    hunt.settings = replace(given, seconds=min(given.seconds, seconds_if_short, enough_s))
    hunt = fitting_or_leaving_least(workload, hunt)
    most_s = given.seconds
    if hunt.model.short:
        most_s = min(seconds_if_short, given.elapsed_s() * (1 + FURTHER_IF_SHORT))
    hunt.settings = replace(given, seconds=most_s)
    return hunt


def schedule_of(hunt: Hunt, *, stopped: bool) -> Schedule:
    """The best plan of a hunt."""
    aims = range(len(hunt.model.aims))
    all_fits = () if hunt.model.short else (AimReached(LEAST_LEFT, "pieces", 0, 0),)
    left = what_is_left(hunt)
    return Schedule(
        work=hunt.best.work if hunt.best else (),
        aims=(*all_fits, *(hunt.reached(aim) for aim in aims)),
        left=left,
        proven=all(hunt.done(aim) for aim in aims),
        certain=hunt.must_leave or bool(left and not hunt.model.short),  # what is so already needs no proof
        stopped=stopped,
        seconds=hunt.settings.clock.told_s(),
        log=tuple(hunt.log),
    )
