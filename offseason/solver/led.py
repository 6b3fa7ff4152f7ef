"""Dispatches led by counts: those of a relaxation, rounded up, or those that a search found."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from offseason.solver.hunt import Hunt
from offseason.solver.manner import Manner
from offseason.workload.model import Workload

LED_MANNERS = (
    Manner(fill=False, full_loads=0.0),
    Manner(fill=True, full_loads=1.0),
)
"""The dispatches tried along a relaxation rounded up."""

EXACT_MANNERS = (
    Manner(fill=False, full_loads=0.0, exact=True),
    Manner(fill=True, full_loads=0.0, exact=True),
)
"""The dispatches tried along counts that keep every promise as far as counts can tell."""


def led_by(hunt: Hunt, aim: int, point: np.ndarray, manners: Iterable[Manner]) -> None:
    """Dispatch along the counts of a point; for the first aim only exposed comb is led, for it tells of no other."""
    guide = hunt.model.counts.values(point)
    if hunt.model.aims_at_exposure(aim):
        guide = only_exposed(hunt.model.counts.workload, guide)
    for manner in manners:
        hunt.dispatch(replace(manner, guide=guide))
    hunt.report(aim)


def only_exposed(workload: Workload, guide: list[np.ndarray]) -> list[np.ndarray]:
    """The guide for exposed comb, and no limit for other lots."""
    free = [np.repeat([[s.pieces] for s in lot.steps], len(workload.sessions), axis=1) for lot in workload.lots]
    return [led if lot.open_heat else any_ for lot, led, any_ in zip(workload.lots, guide, free, strict=True)]
