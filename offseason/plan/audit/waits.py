"""How long a piece has to wait after a step before the next may begin."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from offseason.plan.audit.airs import DryingAir
from offseason.plan.audit.broken import length_text
from offseason.scenario.model import CombClass, PlaceEntry, Then
from offseason.trade.cold import FREEZER_CELSIUS, WARMEST_KILL_CELSIUS, freezer_stay_hours
from offseason.trade.paint import HIGHEST_HUMIDITY_PERCENT, drying_hours

# Ours, as the contract between scenario and plan states it: a cool, damp shed.
_UNKNOWN_CELSIUS = 10.0
_UNKNOWN_HUMIDITY_PERCENT = 70.0
_SECONDS_PER_HOUR = 3_600


@dataclass(frozen=True)
class Wait:
    """So many seconds, and what for in words (none: no wait); and dry by ``air``, where how long depends on when."""

    seconds: float = 0.0
    what_for: str = ""
    dries: str = ""
    air: DryingAir | None = None

    def ready(self, finished: NDArray[np.int64]) -> NDArray[np.float64]:
        """When pieces finished then may be taken up; infinite: not as far as the weather is known.

        A piece finished later is never ready sooner.
        """
        waited = finished.astype(np.float64) + self.seconds
        return waited if self.air is None else np.maximum(waited, self.air.dry_at(finished))

    def needs(self, finished_s: int, after: str) -> str:
        """What a piece finished then needs: ``18 h 51 min of drying (latex) after first coat are needed``."""
        ready_s = self.ready_of(finished_s)
        if ready_s <= finished_s + self.seconds:
            return f"{length_text(self.seconds)} {self.what_for}{after} are needed"
        if np.isinf(ready_s):
            return f"drying ({self.dries}){after} takes longer than the weather is known"
        lasts = length_text(ready_s - finished_s)
        return f"{lasts} of drying ({self.dries}) in the air of these days{after} are needed"

    def ready_of(self, finished_s: int) -> float:
        """As ``ready``, of a single piece."""
        return float(self.ready(np.array([finished_s], dtype=np.int64))[0])


NO_WAIT = Wait()


def missing_text(seconds: float) -> str:
    """``, 15 h 51 min are missing``; nothing where nobody can say how much."""
    return "" if np.isinf(seconds) else f", {length_text(seconds)} are missing"


def wait_of(then: Then, comb: CombClass | None, place: PlaceEntry | None, air: DryingAir | None) -> Wait:
    """The wait at ``place`` (None: unknown): the longer of waiting and drying; ``air``: that of the weather."""
    waits = [(0.0, "")]
    if then.wait == "freezer stay":
        waits.append((_freezer_stay_s(comb, place), "in the freezer"))
    elif isinstance(then.wait, int):
        waits.append((float(then.wait), "of waiting"))
    if then.dries is not None and air is None:
        waits.append((_drying_s(then.dries.value, place), f"of drying ({then.dries.value})"))
    return Wait(*max(waits), then.dries.value if then.dries is not None else "", air)


def _freezer_stay_s(comb: CombClass | None, place: PlaceEntry | None) -> float:
    celsius = place.celsius.highest if place and place.celsius else FREEZER_CELSIUS
    if celsius >= WARMEST_KILL_CELSIUS:
        celsius = FREEZER_CELSIUS
    return freezer_stay_hours(comb.value if comb else None, freezer_celsius=celsius) * _SECONDS_PER_HOUR


def _drying_s(kind: str, place: PlaceEntry | None) -> float:
    # The coldest the place gets dries slowest: a promise must hold then too.
    celsius = place.celsius.lowest if place and place.celsius else _UNKNOWN_CELSIUS
    humidity = place.humidity_percent if place else None
    if humidity is None:
        humidity = _UNKNOWN_HUMIDITY_PERCENT
    return drying_hours(kind, celsius, min(humidity, HIGHEST_HUMIDITY_PERCENT)) * _SECONDS_PER_HOUR
