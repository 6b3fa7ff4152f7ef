"""The solve as a whole: a first plan on the clock, then one aim after another."""

from __future__ import annotations

from collections.abc import Callable

from offseason.solver.hunt import Hunt, Progress, Settings
from offseason.solver.improve import improve, soonest
from offseason.solver.model import build
from offseason.solver.shortfall import least_shortfall
from offseason.workload.model import AimReached, Prefer, Schedule, Workload


def solve(
    workload: Workload,
    *,
    seconds: float = 60,
    workers: int = 2,
    seed: int = 0,
    on_progress: Callable[[Progress], None] | None = None,
) -> Schedule:
    """Plan a workload within ``seconds`` of wall clock.

    Returns the best plan found, each aim with its proven bound. Where must-work or protection cannot all be met, or no
    such plan was found in time, ``left_undone`` names what is left, and ``proven`` says whether that is certain.
    Ctrl-C ends the search and returns the best so far (``stopped``); before any plan it is raised again.
    """
    hunt = Hunt(build(workload), Settings(seconds, workers, seed, on_progress or (lambda _: None)))
    try:
        hunt.first_plan()
        if hunt.best is None and (shortfall := least_shortfall(workload, hunt)) is not None:
            return shortfall
        last = len(hunt.model.aims) - 1
        if workload.prefer is Prefer.SOONEST:
            soonest(hunt, last)
        for aim in range(last + 1):
            improve(workload, hunt, aim)
    except KeyboardInterrupt:
        if hunt.best is None:
            raise
        return schedule_of(hunt, stopped=True)
    return schedule_of(hunt, stopped=False)


def schedule_of(hunt: Hunt, *, stopped: bool) -> Schedule:
    """The best plan of a hunt that found one."""
    aims = range(len(hunt.model.aims))
    return Schedule(
        work=hunt.best.work if hunt.best else (),
        aims=(AimReached("must-do work left", "pieces", 0, 0), *(hunt.reached(aim) for aim in aims)),
        proven=all(hunt.done(aim) for aim in aims),
        stopped=stopped,
        seconds=hunt.settings.elapsed_s(),
        log=tuple(hunt.log),
    )
