"""Whether a winter fits at all: a plan that keeps every promise, or proof that there is none. No aims."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from offseason.solver.cpsat import Search
from offseason.solver.hunt import FIRST_MANNERS, Hunt, Progress, Settings
from offseason.solver.improve import EXACT_MANNERS
from offseason.solver.manner import Manner
from offseason.solver.model import build
from offseason.solver.relaxation import Relaxation
from offseason.solver.rows import Expr
from offseason.solver.shortfall import fitting_or_leaving_least
from offseason.workload.model import Importance, Work, Workload

_MUST_ONLY = tuple(manner for manner in FIRST_MANNERS if manner.optional is Importance.MUST)

QUICK_MANNERS = _MUST_ONLY[:1]
"""The first plan tried, without optional work, before a proof is looked for that there is none."""

OTHER_MANNERS = (*_MUST_ONLY[1:], *(manner for manner in FIRST_MANNERS if manner.optional is not Importance.MUST))
"""First plans tried where the relaxation does not tell that there is none."""

MOST_ROUNDS = 2
"""So often counts found by the search are put on the clock, each time with more room left free."""

LEAST_S = 0.5
"""With less time left the search for a plan that leaves least, which may come to nothing left, is not begun."""


@dataclass(frozen=True)
class Verdict:
    """What was found: ``work`` of a plan that keeps every promise (None: none), or proof that there is none."""

    work: tuple[Work, ...] | None = None
    impossible: bool = False

    @property
    def yes(self) -> bool:
        """Whether a plan that keeps every promise was found."""
        return self.work is not None

    @property
    def no(self) -> bool:
        """Whether it is proven that there is none."""
        return self.impossible


def fits(
    workload: Workload,
    seconds: float,
    workers: int = 2,
    seed: int = 0,
    tell: Callable[[Progress], None] | None = None,
) -> Verdict:
    """Whether the workload fits: a plan, proof that there is none, or neither within ``seconds`` of wall clock.

    The proof is one of counts: every piece is done between two changes of people or weather.
    """
    hunt = Hunt(build(workload, makers=()), Settings(seconds, workers, seed, tell or (lambda _: None)))
    if _tried(hunt, QUICK_MANNERS):
        return _plan(hunt)
    rows = hunt.model.counts.rows
    if Relaxation(rows).feasible(hunt.settings.left_s()) is False:
        return Verdict(impossible=True)
    if _tried(hunt, OTHER_MANNERS):
        return _plan(hunt)
    verdict = _searched(hunt)
    if verdict.yes or verdict.no or hunt.settings.left_s() < LEAST_S:
        return verdict
    return _plan(fitting_or_leaving_least(workload, hunt))


def _tried(hunt: Hunt, manners: tuple[Manner, ...]) -> bool:
    for manner in manners:
        hunt.dispatch(manner)
        if hunt.best is not None:
            return True
        if hunt.settings.left_s() <= 0:
            return False
    return False


def _plan(hunt: Hunt) -> Verdict:
    if hunt.best is None or hunt.model.short:
        return Verdict()
    return Verdict(work=hunt.best.work)


def _searched(hunt: Hunt) -> Verdict:
    """CP-SAT for any counts, put on the clock; where they do not go, again with some time of people left free."""
    model, free = hunt.model, dict[int, int]()
    for turn in range(MOST_ROUNDS):
        found = Search(model.counts.rows).minimise(
            Expr(), hint=None, seconds=hunt.settings.left_s(), workers=hunt.settings.workers, seed=hunt.settings.seed
        )
        if found.interrupted:
            raise KeyboardInterrupt
        if found.impossible:
            return Verdict(impossible=turn == 0)
        if found.point is None:
            return Verdict()
        guide = model.counts.values(found.point)
        for manner in EXACT_MANNERS:
            hunt.dispatch(replace(manner, guide=guide))
            if hunt.best is not None:
                return _plan(hunt)
        free = _more_free(hunt, free)
        model = hunt.model.with_room(free)
    return Verdict()


def _more_free(hunt: Hunt, free: dict[int, int]) -> dict[int, int]:
    """Where several people are there together, time of one piece more is left free."""
    workload = hunt.model.counts.workload
    more = dict(free)
    for k, pairs in enumerate(hunt.model.counts.session_work):
        longest_s = max((workload.lots[lot].steps[s].seconds_each for lot, s in pairs), default=0)
        if len(workload.sessions[k].helpers) > 1 and longest_s:
            more[k] = more.get(k, 0) + longest_s
    return more
