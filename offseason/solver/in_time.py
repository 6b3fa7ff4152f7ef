"""What only the clock can judge of a dispatched plan: work that must follow within some time, treatments that lapse.

The rows of the model allow both as early and as late within a session as can be; here every piece has its minute.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from offseason.workload.flow import stages
from offseason.workload.model import Lot, Work, Workload
from offseason.workload.standing import begins_s


def kept_in_time(workload: Workload, work: Iterable[Work], *, priced: bool = False) -> bool:
    """Whether every piece is followed within the time allowed, and every lapsing treatment renewed before it lapses.

    In a winter that has begun the work done counts too, but not what was late before it is planned anew; ``priced``:
    nor what must follow upon work done, nor treatments that lapse.
    """
    return not any(map(any, late_from_now_on(workload, work, priced=priced)))


def late_from_now_on(workload: Workload, work: Iterable[Work], *, priced: bool = False) -> list[list[int]]:
    """As ``too_late``, of a winter that may have begun: after what is done, and but for what cannot be helped."""
    begun = workload.standing
    if begun is None:
        return too_late(workload, work, lapses=not priced)
    done = (Work(0, one.finished_s, one.finished_s, (), one.lot, one.step, one.pieces) for one in begun.done)
    after_s = begun.now_s if priced else -1
    return too_late(workload, (*done, *work), since_s=begins_s(workload), after_s=after_s, lapses=not priced)


def too_late(
    workload: Workload,
    work: Iterable[Work],
    *,
    so_far: bool = False,
    since_s: int = 0,
    after_s: int = -1,
    lapses: bool = True,
) -> list[list[int]]:
    """Per lot and step: pieces that had it too late after another, and those whose treatment by it lapsed unrenewed.

    ``so_far``: the winter is not over, so what has not been renewed yet is not counted. ``since_s``: what was due
    before is not counted, nor what follows upon work done by ``after_s``. ``lapses``: whether these count.
    """
    by_step: dict[tuple[int, int], list[Work]] = {}
    for one in work:
        by_step.setdefault((one.lot, one.step), []).append(one)
    found = []
    for lot, entry in enumerate(workload.lots):
        late = [0] * len(entry.steps)
        if any(step.within_s is not None or step.lasts_s is not None for step in entry.steps):
            _add_followed_late(late, entry, lot, by_step, since_s, after_s)
            if lapses:
                _add_lapsed(late, entry, lot, by_step, since_s, after_s, so_far=so_far)
        found.append(late)
    return found


def moments(work: Sequence[Work], *, finished: bool) -> np.ndarray:
    """When each piece was begun, or finished, in order of time."""
    begun = []
    for one in work:
        each_s = (one.ends_s - one.starts_s - one.setup_s) // one.pieces
        begun.append(one.starts_s + one.setup_s + each_s * np.arange(one.pieces) + (each_s if finished else 0))
    return np.sort(np.concatenate(begun)) if begun else np.empty(0, np.int64)


def _add_followed_late(
    late: list[int], entry: Lot, lot: int, by_step: dict[tuple[int, int], list[Work]], since_s: int, after_s: int
) -> None:
    for s, step in enumerate(entry.steps):
        if step.within_s is not None and step.within_of is not None:
            first = moments(by_step.get((lot, step.within_of), []), finished=True)
            then = moments(by_step.get((lot, s), []), finished=True)
            due = first[: len(then)] + step.within_s
            counts = (due >= since_s) & (due - step.within_s > after_s)
            late[s] += int(np.count_nonzero((then[: len(first)] > due) & counts))


def _add_lapsed(
    late: list[int],
    entry: Lot,
    lot: int,
    by_step: dict[tuple[int, int], list[Work]],
    since_s: int,
    after_s: int,
    *,
    so_far: bool,
) -> None:
    """Combs treated for a time that had not gone on to their next stage when that lapsed, though it is asked for."""
    if entry.treat_by_s is None or entry.protect_until_s is None:
        return
    found = stages(entry)
    for stage, following in zip(found, [*found[1:], None], strict=True):
        lasts_s = entry.steps[stage].lasts_s if stage >= 0 else None
        if lasts_s is None:
            continue
        lapses = moments(by_step.get((lot, stage), []), finished=True) + lasts_s
        left = np.full(len(lapses), 0 if so_far else entry.protect_until_s)
        if following is not None:
            then = moments(by_step.get((lot, following), []), finished=False)
            known = then[: len(lapses)]
            left[: len(known)] = np.minimum(known, entry.protect_until_s)
        due = np.maximum(lapses, entry.treat_by_s)
        late[stage] += int(np.count_nonzero((left > due) & (due >= since_s) & (lapses - lasts_s > after_s)))
