"""A winter that has begun, planned anew: what was promised is kept wherever it can be, and the least is moved."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from itertools import product

import numpy as np

from offseason.solver.course import counts_on, course_of, moments_of
from offseason.solver.giving_way import Kept, give_way, goes_in_loads, keep_what_agrees
from offseason.solver.hours import at_promised_hours
from offseason.solver.hunt import Hunt, Progress, Settings
from offseason.solver.improve import improve_all
from offseason.solver.keeping import by_session
from offseason.solver.manner import Manner
from offseason.solver.model import build
from offseason.solver.moved import Roster, begins_of, entries_of, moved, promised_on, weight
from offseason.solver.overfull import left_without_room
from offseason.solver.search import schedule_of
from offseason.solver.shortfall import fitting_or_leaving_least
from offseason.workload.model import Importance, Schedule, Work, Workload

WEEK_S = 7 * 86_400
HOURS_OF_A_WINTER = 10_000
"""More than the hours of delay can come to for any one kind of work in a winter."""

MISSING_HOUR_WEIGHS = 100
"""An hour of optional work that the old plan had, and the new one has not, weighs as so many changed entries. Ours."""

GAPS_S = (1_200, 2_400, 5_400, 86_400)
"""Gaps that some kind of work may have to wait for, so that it does not change many days by a little each. Ours."""

SHARE_OF_TRIES = 0.6
"""Part of the time for trying them; the rest is for the search, which proves how little can be moved."""

SHARE_OF_GIVING_WAY = 0.25
"""Part of the time for trying which promised load had better give way. Ours."""
DISPATCHES_AFTER, SHARE_AFTER = 12, 0.2
"""Time for so many dispatches, but no more than this part of what is left, to put what was found back to promises."""

SHARE_OF_FIRST_TRIES = 0.15
"""Part of the time for a first plan that keeps to what was promised, and as much for one that need not."""


def replan(
    workload: Workload,
    promised: Iterable[Work],
    *,
    wanted: Mapping[tuple[int, int], int] | None = None,
    settled_before: date | None = None,
    seconds: float = 20,
    workers: int = 2,
    seed: int = 0,
    on_progress: Callable[[Progress], None] | None = None,
) -> Schedule:
    """Plan a workload with a standing anew, within ``seconds``, moving as little as can be of the work ``promised``.

    ``promised``: work of the old plan from now on, in lots, steps and helpers of this workload. ``settled_before``:
    days before it are promised for good. ``wanted``: pieces of (lot, step) that the old plan had in all; optional work
    of it that was missed is caught up with. The schedule is as that of ``solve``; its second aim is what was moved.
    """
    promised = tuple(promised)
    ahead = [session for session in workload.sessions if not _over(workload, session.starts_s)]
    if not ahead:
        left = left_without_room(workload, ())
        return Schedule((), (), left, proven=True, certain=bool(left))
    days = {k: session.day for k, session in enumerate(workload.sessions)}
    today = ahead[0].day
    kept = by_session(workload, promised)
    every = [one for some in kept.values() for one in some]
    makers = (moved(promised_on(every, lambda one: days[one.session]), today, settled_before),)
    hunt = Hunt(build(workload, makers=makers), Settings(seconds, workers, seed, on_progress or (lambda _: None)))
    hunt.kept = kept

    def day_of(one: Work) -> date:
        return days[one.session]

    entries, begins_s = entries_of(every, day_of), begins_of(every, day_of)
    roster = Roster(entries, day_of, lambda day: weight(day, today, settled_before), begins_s)
    guide = _wanted(hunt, promised, wanted or {})
    hunt.judge = _judge(workload, roster, every, guide)
    try:
        hunt.report(None)
        hunt = _first_plan(workload, hunt, guide, kept)
        if _loads_are_moved(hunt, roster):
            give_way(hunt, guide, kept, hunt.settings.elapsed_s() + hunt.settings.left_s() * SHARE_OF_GIVING_WAY)
        _fewer_changes(hunt, guide, roster, hunt.settings.elapsed_s() + hunt.settings.left_s() * SHARE_OF_TRIES)
        _search_and_go_back_to_promises(workload, hunt, guide, kept)
        at_promised_hours(hunt, kept, roster)
    except KeyboardInterrupt:
        if hunt.best is None:
            raise
        return schedule_of(hunt, stopped=True)
    return schedule_of(hunt, stopped=False)


def _first_plan(workload: Workload, hunt: Hunt, guide: list[np.ndarray], kept: Kept) -> Hunt:
    """A plan that keeps to what was promised, else one that gives some of it up; else the hunt for one that leaves."""
    seconds = hunt.settings.seconds
    for manner in _manners(guide):
        hunt.dispatch(manner)
    if hunt.best is None:
        give_way(hunt, guide, kept, seconds * SHARE_OF_FIRST_TRIES)
    if hunt.best is None:
        hunt.first_plan(until_s=seconds * SHARE_OF_FIRST_TRIES)
    if hunt.best is None:
        _let_go_of_what_was_promised(hunt, seconds * 2 * SHARE_OF_FIRST_TRIES)
    if hunt.best is None:
        hunt = fitting_or_leaving_least(workload, hunt, kept)
        for manner in _manners(guide):
            hunt.dispatch(manner)
    return hunt


def _search_and_go_back_to_promises(workload: Workload, hunt: Hunt, guide: list[np.ndarray], kept: Kept) -> None:
    """The search knows counts only: what it finds is given to the people it was promised to, in the time kept back."""
    settings = hunt.settings
    spare_s = min(DISPATCHES_AFTER * hunt.slowest_dispatch_s, settings.left_s() * SHARE_AFTER)
    hunt.settings = replace(settings, seconds=settings.seconds - spare_s)
    improve_all(workload, hunt)
    hunt.settings = settings
    keep_what_agrees(hunt, guide, kept, settings.seconds)


def _over(workload: Workload, starts_s: int) -> bool:
    return workload.standing is not None and starts_s < workload.standing.now_s


def _judge(
    workload: Workload, roster: Roster, promised: list[Work], guide: list[np.ndarray]
) -> Callable[[tuple[Work, ...]], int]:
    """Of two plans the better one: first what optional work is missing, then changed entries and weeks of delay.

    A kind of work that ends a week later weighs as one entry changed, on comb as two; what remains are hours of delay.
    """
    before = moments_of(workload, promised)
    past = Counter[tuple[int, int]]()
    for one in workload.standing.done if workload.standing else ():
        past[one.lot, one.step] += one.pieces

    def judge(work: tuple[Work, ...]) -> int:
        missing_s = delay_s = weeks = 0
        for lot, (entry, by_step) in enumerate(zip(workload.lots, moments_of(workload, work), strict=True)):
            for s, (step, after) in enumerate(zip(entry.steps, by_step, strict=True)):
                if step.importance is not Importance.MUST:
                    left = int(guide[lot][s, -1]) - past[lot, s] - len(after)
                    missing_s += max(0, left) * step.seconds_each * max(step.hands, 1)
                both = min(len(after), len(before[lot][s]))
                if both:
                    late_s = int(np.maximum(after[-both:] - before[lot][s][-both:], 0).max())
                    delay_s += late_s
                    weeks += late_s // WEEK_S * (2 if entry.treat_by_s is not None else 1)
                elif len(after):  # nobody was promised any: the sooner the better
                    weeks += max(0, int(after[-1]) - now_s) // WEEK_S * (2 if entry.treat_by_s is not None else 1)
        changes = roster.weight_of_changes(work) + weeks
        return (-(-missing_s // 3_600) * MISSING_HOUR_WEIGHS + changes) * HOURS_OF_A_WINTER + delay_s // 3_600

    now_s = workload.standing.now_s if workload.standing else 0
    return judge


def _wanted(hunt: Hunt, promised: tuple[Work, ...], wanted_in_all: Mapping[tuple[int, int], int]) -> list[np.ndarray]:
    """Counts that the promised work comes to, from what is done on; what nobody was promised is wanted at once.

    That is must-work left over or added, and optional work of gear that the old plan did not know.
    """
    m = hunt.model.counts
    course = counts_on(m.workload, course_of(m.workload, promised))
    guide = []
    for n, (lot, known, past) in enumerate(zip(m.workload.lots, course, m.past, strict=True)):
        most = np.array([[step.pieces] for step in lot.steps], np.int64)
        wanted = np.minimum(known + past[:, 1:], most)
        new = not wanted.any()
        in_all = [
            step.pieces if new or step.importance is Importance.MUST else wanted_in_all.get((n, s), 0)
            for s, step in enumerate(lot.steps)
        ]
        more = np.maximum(np.array(in_all, np.int64)[:, None] - wanted[:, -1:], 0)
        guide.append(np.minimum(wanted + more, most))
    return guide


def _manners(guide: list[np.ndarray]) -> list[Manner]:
    """Keep to what was promised and catch up where there is time; then work ahead too, where that is not enough."""
    return [Manner(guide=guide, fill=fill, full_loads=0.0) for fill in (False, True)]


def _let_go_of_what_was_promised(hunt: Hunt, until_s: float) -> None:
    """What was promised may stand in the way of any plan at all."""
    kept, hunt.kept = hunt.kept, None
    hunt.first_plan(until_s=until_s)
    if hunt.best is not None:
        hunt.kept = kept


def _loads_are_moved(hunt: Hunt, roster: Roster) -> bool:
    changed = roster.changed(hunt.best.work) if hunt.best is not None else ()
    return any(goes_in_loads(hunt.model.counts.workload, lot, step) for _, _, lot, step in changed)


def _fewer_changes(hunt: Hunt, guide: list[np.ndarray], roster: Roster, until_s: float) -> None:
    """Try which work had better wait for a longer gap, one kind after another, as long as fewer entries change."""
    least_s: dict[tuple[int, int], int] = {}
    better = True
    while better and hunt.best is not None:
        better = False
        steps = sorted({(lot, step) for _, _, lot, step in roster.changed(hunt.best.work)})
        for step, gap_s in product(steps, GAPS_S):
            if hunt.settings.elapsed_s() + hunt.slowest_dispatch_s > until_s:
                return
            before, tried = hunt.best.judged, {**least_s, step: gap_s}
            hunt.dispatch(Manner(guide=guide, fill=False, full_loads=0.0, least_s=tried))
            if hunt.best.judged < before:
                least_s, better = tried, True
