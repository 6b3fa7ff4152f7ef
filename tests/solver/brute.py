"""Tiny winters by trying everything: every way in which the counts could rise, session by session, in plain Python.

As in the second opinion, a piece may be done as early or as late in its session as suits. No piece of the tiny winters
is longer than a session, so none runs on past its edge here.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, combinations, product
from math import comb, prod

from offseason.workload.model import Importance, Lot, Order, Step, Workload
from tests.solver.brute_room import Counts, at, fits, last_begun, last_ended, parties, stages


def can_be_done(workload: Workload) -> bool:
    """Whether any way of counting keeps every promise of the winter."""
    return any(_grow(workload, totals, []) for totals in _totals(workload))


def ways_at_most(workload: Workload) -> int:
    """In how many ways the counts could rise if nothing but the number of pieces bound them."""
    sessions = len(workload.sessions)
    return prod(comb(step.pieces + sessions, sessions) for entry in workload.lots for step in entry.steps)


def _totals(workload: Workload) -> Iterator[Counts]:
    """Every way to settle beforehand how much is done in the whole winter: all that must, any of the rest."""
    ranges = [
        [(range(step.pieces, step.pieces + 1) if step.importance is Importance.MUST else range(step.pieces + 1))]
        for entry in workload.lots
        for step in entry.steps
    ]
    for flat in product(*chain.from_iterable(ranges)):
        rest = iter(flat)
        yield tuple(tuple(next(rest) for _ in entry.steps) for entry in workload.lots)


def _grow(workload: Workload, totals: Counts, past: list[Counts]) -> bool:
    k = len(past)
    if k == len(workload.sessions):
        return (past[-1] if past else totals) == totals and _kept_in_the_end(workload, past)
    before = past[-1] if past else tuple(tuple(0 for _ in row) for row in totals)
    choices = [
        [range(have, min(want, have + _most(workload, lot, step, k)) + 1) for have, want, step in _steps(*row)]
        for lot, row in zip(workload.lots, zip(before, totals, workload.lots, strict=True), strict=True)
    ]
    for flat in product(*chain.from_iterable(choices)):
        rest = iter(flat)
        now = tuple(tuple(next(rest) for _ in row) for row in before)
        if _kept_so_far(workload, totals, [*past, now]) and _grow(workload, totals, [*past, now]):
            return True
    return False


def _steps(before: tuple[int, ...], totals: tuple[int, ...], lot: Lot) -> Iterator[tuple[int, int, Step]]:
    return zip(before, totals, lot.steps, strict=True)


def _most(workload: Workload, lot: Lot, step: Step, k: int) -> int:
    session = workload.sessions[k]
    length_s = session.ends_s - session.starts_s
    if session.starts_s < lot.arrives_s or (lot.ready_by_s is not None and session.ends_s > lot.ready_by_s):
        return 0
    set_up_s = 0 if _leading_up(workload, k) else step.setup_s
    if (step.need is not None and step.need not in session.fit) or length_s < set_up_s:
        return 0
    return parties(workload, step, k) * ((length_s - set_up_s) // max(step.seconds_each, 1))


def _ready(workload: Workload, step: Step, k: int, then_each_s: int) -> int:
    """The last session in which a piece can have the step, wait, and have another by the end of session ``k``."""
    if step.wait_s == 0:
        return k
    return last_begun(workload, workload.sessions[k].ends_s - then_each_s - step.wait_s - step.seconds_each)


def _leading_up(workload: Workload, k: int) -> list[int]:
    """Sessions before ``k`` that follow one another up to it without a gap, the latest first."""
    found: list[int] = []
    while k > 0 and workload.sessions[k - 1].ends_s == workload.sessions[k].starts_s:
        k -= 1
        found.append(k)
    return found


def _kept_so_far(workload: Workload, totals: Counts, past: list[Counts]) -> bool:
    k = len(past) - 1
    return (
        all(_in_order(workload, lot, totals[i], past, i) for i, lot in enumerate(workload.lots))
        and all(_none_out_of_hand(workload, lot, past, i) for i, lot in enumerate(workload.lots))
        and all(at(past, *o.then, k) == 0 or _through(workload, o, past, k) for o in workload.orders)
        and _enough_people(workload, past)
        and all(fits(workload, p, past) for p in range(len(workload.places)))
    )


def _in_order(workload: Workload, lot: Lot, totals: tuple[int, ...], past: list[Counts], number: int) -> bool:
    """No step runs ahead of an earlier one, but by pieces that need not have had it."""
    k = len(past) - 1
    for then, step in enumerate(lot.steps):
        for first in range(then - 1, -1, -1):
            before = lot.steps[first]
            skipped = before.importance is not Importance.MUST and first not in step.needs
            spare = max(0, step.pieces - before.pieces) + (before.pieces - totals[first] if skipped else 0)
            ready = _ready(workload, before, k, step.seconds_each)
            if at(past, number, then, k) > at(past, number, first, ready) + spare:
                return False
    return True


def _none_out_of_hand(workload: Workload, lot: Lot, past: list[Counts], number: int) -> bool:
    """What is still at a step that only some pieces have is not at a later one; all of it has had what all must."""
    k = len(past) - 1
    for then, step in enumerate(lot.steps):
        between, after = [], -1
        for first in range(then - 1, -1, -1):
            before = lot.steps[first]
            passing_by = before.importance is not Importance.MUST and first not in step.needs
            if before.pieces >= step.pieces and not passing_by:
                after = first
                break
            between.append(first)
        if not between:
            continue
        here = at(past, number, then, k)
        for s in between:
            beyond_s = min(lot.steps[t].seconds_each for t in (then, *between) if t > s)
            over = _ready(workload, lot.steps[s], k, beyond_s)
            here += at(past, number, s, k) - at(past, number, s, over)
        soonest_s = min(lot.steps[s].seconds_each for s in (then, *between))
        came = lot.count
        if after >= 0:
            came = at(past, number, after, _ready(workload, lot.steps[after], k, soonest_s))
        if here > came:
            return False
    return True


def _through(workload: Workload, order: Order, past: list[Counts], k: int) -> bool:
    first = workload.lots[order.first[0]].steps[order.first[1]]
    then = workload.lots[order.then[0]].steps[order.then[1]]
    return at(past, *order.first, _ready(workload, first, k, then.seconds_each)) == first.pieces


def _enough_people(workload: Workload, past: list[Counts]) -> bool:
    """The seconds of every set of people suffice for the work that only they can do, and every place has seats.

    Work is set up once in a stretch of sessions without a gap, in whichever of them there is time to.
    """
    stretch = [len(past) - 1, *_leading_up(workload, len(past) - 1)]
    first_worked: dict[str, int] = {}
    for k in stretch:
        for task, step in _worked(workload, past, k)[1].items():
            if step.setup_s:
                first_worked[task] = k
    choices = [
        [j for j in stretch if j <= k and _worth_setting_up(workload, task, j)] for task, k in first_worked.items()
    ]
    return any(
        all(_people_suffice(workload, past, k, dict(zip(first_worked, chosen, strict=True))) for k in stretch)
        for chosen in product(*choices)
    )


def _worth_setting_up(workload: Workload, task: str, k: int) -> bool:
    return any(_most(workload, lot, step, k) for lot in workload.lots for step in lot.steps if step.task == task)


def _people_suffice(workload: Workload, past: list[Counts], k: int, set_up: dict[str, int]) -> bool:
    session = workload.sessions[k]
    length_s = session.ends_s - session.starts_s
    lasting, kind = _worked(workload, past, k)
    fresh = {task for task, at in set_up.items() if at == k}
    for lot in workload.lots:
        kind |= {step.task: step for step in lot.steps if step.task in fresh}
    for task, step in kind.items():
        room = parties(workload, step, k) * (length_s - (step.setup_s if task in fresh else 0))
        if lasting.get(task, 0) > room:
            return False
    for task in fresh:
        lasting[task] = lasting.get(task, 0) + kind[task].setup_s
    able = {t: sum(workload.helpers[h].able(t) for h in session.helpers) for t in kind}
    hands_suffice = all(s.hands == 1 or lasting[t] <= able[t] // s.hands * length_s for t, s in kind.items())
    labour = {task: kind[task].hands * seconds for task, seconds in lasting.items()}
    seats_suffice = all(
        entry.seats is None or sum(labour[t] for t in kind if kind[t].at == place) <= entry.seats * length_s
        for place, entry in enumerate(workload.places)
    )
    groups = chain.from_iterable(combinations(session.helpers, n) for n in range(len(session.helpers) + 1))
    return hands_suffice and seats_suffice and all(_group_suffices(workload, g, k, labour) for g in groups)


def _worked(workload: Workload, past: list[Counts], k: int) -> tuple[dict[str, int], dict[str, Step]]:
    """How long the pieces of each kind of work take in session ``k``, one party after another."""
    lasting: dict[str, int] = {}
    kind: dict[str, Step] = {}
    for lot, entry in enumerate(workload.lots):
        for s, step in enumerate(entry.steps):
            if done := at(past, lot, s, k) - at(past, lot, s, k - 1):
                lasting[step.task] = lasting.get(step.task, 0) + done * step.seconds_each
                kind[step.task] = step
    return lasting, kind


def _group_suffices(workload: Workload, group: tuple[int, ...], k: int, labour: dict[str, int]) -> bool:
    session = workload.sessions[k]
    others = [workload.helpers[h] for h in session.helpers if h not in group]
    only_they = sum(seconds for task, seconds in labour.items() if not any(h.able(task) for h in others))
    return only_they <= len(group) * (session.ends_s - session.starts_s)


def _kept_in_the_end(workload: Workload, past: list[Counts]) -> bool:
    return all(
        _in_time(workload, lot, past, i) and _safe(workload, lot, past, i) for i, lot in enumerate(workload.lots)
    )


def _in_time(workload: Workload, lot: Lot, past: list[Counts], number: int) -> bool:
    """The n-th piece of a step that must follow in time is done by the last session that begins in time for it."""
    for then, step in enumerate(lot.steps):
        if step.within_s is None or step.within_of is None:
            continue
        for k, session in enumerate(workload.sessions):
            by = last_begun(workload, session.ends_s + step.within_s - step.seconds_each)
            due = min(at(past, number, step.within_of, k), past[-1][number][then])
            if at(past, number, then, by) < due:
                return False
    return True


def _safe(workload: Workload, lot: Lot, past: list[Counts], number: int) -> bool:
    """From the treat-by day on no comb lies open at the end of a day, and what protects is renewed before it lapses."""
    if lot.treat_by_s is None or lot.protect_until_s is None:
        return True
    days = {session.day: k for k, session in enumerate(workload.sessions)}
    first, until = last_ended(workload, lot.treat_by_s), last_ended(workload, lot.protect_until_s)
    evenings = {first} | {k for k in days.values() if first <= k <= until}
    for stage, following in stages(lot):
        safe = lot.protected if stage < 0 else lot.steps[stage].protected
        lasts_s = None if stage < 0 else lot.steps[stage].lasts_s
        for k in evenings if not safe else ():
            here = lot.count if stage < 0 else at(past, number, stage, k)
            if here > (at(past, number, following, k) if following is not None else 0):
                return False
        for k, session in enumerate(workload.sessions):
            lapses_s = session.ends_s + (lasts_s or 0)
            if safe and lasts_s is not None and lapses_s < lot.protect_until_s:
                by = last_begun(workload, max(lapses_s, lot.treat_by_s))
                by = days[workload.sessions[by].day] if by >= 0 else by
                renewed = at(past, number, following, by) if following is not None else 0
                if at(past, number, stage, k) > renewed:
                    return False
    return True
