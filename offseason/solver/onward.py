"""A plan made along a relaxation, stretch by stretch: the rest of the winter is relaxed anew from where things stand.

A relaxation knows nothing of whole pieces, of set-ups half made, or of who waits for whom within a session. A dispatch
that follows it falls behind here and there, and then follows what can no longer be: the later, the more. Relaxed anew,
the rest of the winter tells again what to do with what is left.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.dispatch import dispatch_until
from offseason.solver.hunt import Hunt
from offseason.solver.ledger import Snapshot, standing
from offseason.solver.manner import Manner
from offseason.solver.relaxation import Relaxation, rounded_up
from offseason.solver.trail import Caps
from offseason.workload.model import Work, Workload

MOST_STRETCHES = 16
"""A winter is relaxed anew no more often than this. Ours."""

SHORTER = 0.6
"""What is left of a winter takes this share of the time of the whole, on average over the stretches. Measured."""

LEAST_STRETCH_S = 0.01
"""What a stretch is taken to last at the least, where it takes no time that could be measured."""

EXACT_COSTS = 5
"""A dispatch that tries several orders within a session takes about so many times as long. Measured."""

EXACT_SHARE = 0.05
"""Such dispatches are tried where one takes no more than this share of the time left. Ours."""

SET_UP_WORTH = 2.0
"""In most manners work is set up for if it lasts so many times as long as that takes. Ours: best of 0, 1, 2, 4."""


def manners(workload: Workload, *, exact: bool) -> list[Manner]:
    """The ways to follow a relaxation that are tried; ``exact``: those too that take longer."""
    ways = [Manner(), Manner(set_up_worth=SET_UP_WORTH)]
    if any(place.whole_loads for place in workload.places):
        ways += [Manner(set_up_worth=SET_UP_WORTH, loads_first=True, full_loads=full) for full in (0.0, 1.0)]
    return ways + [replace(way, exact=True) for way in ways] if exact else ways


def led_onward(
    hunt: Hunt, aim: int, relaxation: Callable[[], Relaxation], point: np.ndarray, relaxed_s: float, until_s: float
) -> None:
    """Follow a relaxation of the aim, ``point``, found in ``relaxed_s``, and then those of what is left of the winter.

    ``relaxation``: makes the relaxation of the whole winter, with all that is held in it. It goes on until so many
    seconds after the start, or until no way of going on keeps every promise.
    """
    m, settings = hunt.model.counts, hunt.settings
    exact = EXACT_COSTS * hunt.slowest_dispatch_s < EXACT_SHARE * settings.left_s(until_s)
    ways = manners(m.workload, exact=exact)
    start = at = standing(m)
    before: tuple[Work, ...] = ()
    cuts: list[int] = []
    began_s = settings.elapsed_s()
    while True:
        guide = m.values(rounded_up(point))
        way = _best_way(hunt, [replace(one, guide=guide) for one in ways], at, before)
        hunt.report(aim)
        if at is start:
            stretch_s = SHORTER * (relaxed_s + settings.elapsed_s() - began_s)
            cuts = _cuts(m, guide, start.sessions, int(settings.left_s(until_s) / max(stretch_s, LEAST_STRETCH_S)))
        if way is None or not cuts or settings.left_s(until_s) <= 0:
            return
        manner, caps = way
        made, at = dispatch_until(m, manner, at, cuts.pop(0), caps)
        before = (*before, *made.work)
        anew = relaxation()
        anew.fix(_done_by(m, at))
        found = anew.minimise(hunt.model.aims[aim].expr, settings.left_s(until_s), settings.clock)
        if found.point is None:
            return
        point = found.point


def _best_way(hunt: Hunt, ways: list[Manner], at: Snapshot, before: tuple[Work, ...]) -> tuple[Manner, Caps] | None:
    """The manner whose plan of what is left is the best of those that keep every promise, and what it had to cap."""
    tried = [(manner, *hunt.go_on(manner, at, before)) for manner in ways]
    kept = [(hunt.rank(found), n, manner, made.caps) for n, (manner, made, found) in enumerate(tried) if found]
    _, _, manner, caps = min(kept, key=lambda one: one[:2], default=(None, 0, None, {}))
    return None if manner is None else (manner, caps)


def _cuts(m: Counts, guide: list[np.ndarray], first: int, most: int) -> list[int]:
    """The sessions before which the rest is relaxed anew: between them there is about as much guided work."""
    work_s = np.zeros(len(m.workload.sessions))
    for lot, counts in zip(m.workload.lots, guide, strict=True):
        for step, known in zip(lot.steps, counts, strict=True):
            work_s += step.hands * step.seconds_each * known
    stretches = min(most, MOST_STRETCHES) + 1
    done = work_s - (work_s[first - 1] if first else 0)
    shares = done[-1] * np.arange(1, stretches) / stretches
    found = np.searchsorted(done, shares) + 1
    return [k for k in sorted({int(k) for k in found}) if first < k < len(work_s)]


def _done_by(m: Counts, at: Snapshot) -> dict[int, int]:
    """The variables of the sessions that are over, as they stand."""
    found: dict[int, int] = {}
    over = slice(1, at.sessions + 1)
    for variables, counts, past in zip(m.variables, at.counts, m.past, strict=True):
        there = variables[:, over] >= 0
        done = (counts[:, : at.sessions] - past[:, over])[there]
        found |= zip(variables[:, over][there].tolist(), done.tolist(), strict=True)
    return found
