"""What only the clock can judge of a dispatched plan: work that must follow within some time, treatments that lapse.

The rows of the model allow both as early and as late within a session as can be; here every piece has its minute.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from offseason.workload.flow import stages
from offseason.workload.model import Lot, Work, Workload


def kept_in_time(workload: Workload, work: Iterable[Work]) -> bool:
    """Whether every piece is followed within the time allowed, and every lapsing treatment renewed before it lapses."""
    by_step: dict[tuple[int, int], list[Work]] = {}
    for one in work:
        by_step.setdefault((one.lot, one.step), []).append(one)
    for lot, entry in enumerate(workload.lots):
        timed = [s for s, step in enumerate(entry.steps) if step.within_s is not None or step.lasts_s is not None]
        if timed and not (_followed(entry, lot, by_step) and _renewed(entry, lot, by_step)):
            return False
    return True


def _moments(entry: Lot, step: int, work: list[Work], *, finished: bool) -> np.ndarray:
    """When each piece was begun, or finished, in order of time."""
    each_s = entry.steps[step].seconds_each
    begun = [one.starts_s + one.setup_s + each_s * np.arange(one.pieces) for one in work]
    return np.sort(np.concatenate(begun) + (each_s if finished else 0)) if begun else np.empty(0, np.int64)


def _followed(entry: Lot, lot: int, by_step: dict[tuple[int, int], list[Work]]) -> bool:
    for s, step in enumerate(entry.steps):
        if step.within_s is not None and step.within_of is not None:
            first = _moments(entry, step.within_of, by_step.get((lot, step.within_of), []), finished=True)
            then = _moments(entry, s, by_step.get((lot, s), []), finished=True)
            if np.any(then[: len(first)] > first[: len(then)] + step.within_s):
                return False
    return True


def _renewed(entry: Lot, lot: int, by_step: dict[tuple[int, int], list[Work]]) -> bool:
    """Comb treated for a time has gone on to its next stage when that lapses, unless it is not asked for then."""
    if entry.treat_by_s is None or entry.protect_until_s is None:
        return True
    found = stages(entry)
    for stage, following in zip(found, [*found[1:], None], strict=True):
        lasts_s = entry.steps[stage].lasts_s if stage >= 0 else None
        if lasts_s is None:
            continue
        lapses = _moments(entry, stage, by_step.get((lot, stage), []), finished=True) + lasts_s
        left = np.full(len(lapses), entry.protect_until_s)
        if following is not None:
            then = _moments(entry, following, by_step.get((lot, following), []), finished=False)
            left[: len(then)] = np.minimum(left[: len(then)], then[: len(lapses)])
        if np.any(left > np.maximum(lapses, entry.treat_by_s)):
            return False
    return True
