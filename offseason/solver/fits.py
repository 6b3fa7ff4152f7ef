"""Whether a winter fits at all: a plan that keeps every promise, or proof that there is none. No aims."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from offseason.solver.cpsat import Search
from offseason.solver.exprs import Expr
from offseason.solver.hunt import FIRST_MANNERS, Hunt, Progress, Settings
from offseason.solver.led import EXACT_MANNERS
from offseason.solver.manner import Manner
from offseason.solver.model import build
from offseason.solver.relaxation import Relaxation
from offseason.solver.shortfall import fitting_or_leaving_least
from offseason.workload.model import Importance, Lot, Work, Workload

_MUST_ONLY = tuple(manner for manner in FIRST_MANNERS if manner.optional is Importance.MUST)

QUICK_MANNERS = _MUST_ONLY[:1]
"""The first plan tried, without optional work, before a proof is looked for that there is none."""

LED_MANNERS = (
    Manner(optional=Importance.MUST, fill=False, full_loads=0.0, exact=True),
    Manner(optional=Importance.MUST, fill=False, full_loads=0.0),
    _MUST_ONLY[0],
)
"""The first plans tried along counts that are known to be good for the lots that are hard to fit in."""

OTHER_MANNERS = (*_MUST_ONLY[1:], *(manner for manner in FIRST_MANNERS if manner.optional is not Importance.MUST))
"""First plans tried where the relaxation does not tell that there is none."""

MOST_ROUNDS = 2
"""So often counts found by the search are put on the clock, each time with more room left free."""

LEAST_S = 0.5
"""With less time left the search for a plan that leaves least, which may come to nothing left, is not begun."""


@dataclass(frozen=True)
class Verdict:
    """What was found: ``work`` of a plan that keeps every promise (None: none), or proof that there is none.

    ``through``: of such a plan, by the name of the lot, how many pieces are through each step by the end of each
    session, in shape (steps, sessions).
    """

    work: tuple[Work, ...] | None = None
    impossible: bool = False
    through: Mapping[str, np.ndarray] = field(default_factory=dict)

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
    led_by: Mapping[str, np.ndarray] | None = None,
) -> Verdict:
    """Whether the workload fits: a plan, proof that there is none, or neither within ``seconds`` of wall clock.

    ``led_by``: counts of some lots, as in a verdict, known to be good for them: the first plan keeps close to them.
    The proof is one of counts: every piece is done between two changes of people or weather.
    """
    hunt = Hunt(build(workload, makers=()), Settings(seconds, workers, seed, tell or (lambda _: None)))
    first = QUICK_MANNERS if not led_by else tuple(_led(workload, manner, led_by) for manner in LED_MANNERS)
    if _tried(hunt, first):
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
    counts = hunt.model.counts.values(hunt.best.point)
    lots = hunt.model.counts.workload.lots
    return Verdict(hunt.best.work, through={lot.name: known for lot, known in zip(lots, counts, strict=True)})


def _led(workload: Workload, manner: Manner, led_by: Mapping[str, np.ndarray]) -> Manner:
    """The manner with these lots led by their counts, and the must-work of the others by none."""
    sessions = len(workload.sessions)
    guide = [
        led_by[lot.name] if lot.name in led_by else np.repeat([[n] for n in _must(lot)], sessions, axis=1)
        for lot in workload.lots
    ]
    return replace(manner, guide=guide)


def _must(lot: Lot) -> list[int]:
    """Pieces of each step that must be done, or that must-work needs to be done first."""
    needed = {first for step in lot.steps if step.importance is Importance.MUST for first in step.needs}
    must = [step.importance is Importance.MUST or s in needed for s, step in enumerate(lot.steps)]
    return [step.pieces if wanted else 0 for step, wanted in zip(lot.steps, must, strict=True)]


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
