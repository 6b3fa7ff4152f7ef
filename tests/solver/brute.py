"""Tiny winters by trying everything: every way in which the counts could rise, session by session, in plain Python."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, combinations, product
from math import comb, prod

from offseason.workload.model import Importance, Lot, Step, Workload

Counts = tuple[tuple[int, ...], ...]
"""Pieces through each step of each lot at the end of one session."""


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


def _parties(workload: Workload, step: Step, k: int) -> int:
    able = [h for h in workload.sessions[k].helpers if workload.helpers[h].able(step.task)]
    seats = workload.places[step.at].seats if step.at is not None else None
    return min(len(able) // step.hands, (len(able) if seats is None else seats) // step.hands)


def _most(workload: Workload, lot: Lot, step: Step, k: int) -> int:
    session = workload.sessions[k]
    length_s = session.ends_s - session.starts_s
    if session.starts_s < lot.arrives_s or (lot.ready_by_s is not None and session.ends_s > lot.ready_by_s):
        return 0
    if (step.need is not None and step.need not in session.fit) or length_s < step.setup_s:
        return 0
    return _parties(workload, step, k) * ((length_s - step.setup_s) // max(step.seconds_each, 1))


def _at(past: list[Counts], lot: int, s: int, k: int) -> int:
    return past[k][lot][s] if k >= 0 else 0


def _last_ended(workload: Workload, time_s: int) -> int:
    ended = [k for k, session in enumerate(workload.sessions) if session.ends_s <= time_s]
    return ended[-1] if ended else -1


def _ready(workload: Workload, step: Step, k: int) -> int:
    return k if step.wait_s == 0 else _last_ended(workload, workload.sessions[k].starts_s - step.wait_s)


def _kept_so_far(workload: Workload, totals: Counts, past: list[Counts]) -> bool:
    k = len(past) - 1
    return (
        all(_in_order(workload, lot, totals[i], past, i) for i, lot in enumerate(workload.lots))
        and all(_at(past, *order.then, k) == 0 or _through(workload, order.first, past, k) for order in workload.orders)
        and _enough_people(workload, past)
        and all(_fits(workload, p, past) for p in range(len(workload.places)))
    )


def _in_order(workload: Workload, lot: Lot, totals: tuple[int, ...], past: list[Counts], number: int) -> bool:
    """No step runs ahead of an earlier one, but by pieces that need not have had it."""
    k = len(past) - 1
    for then, step in enumerate(lot.steps):
        for first in range(then - 1, -1, -1):
            before = lot.steps[first]
            skipped = before.importance is not Importance.MUST and first not in step.needs
            spare = max(0, step.pieces - before.pieces) + (before.pieces - totals[first] if skipped else 0)
            if _at(past, number, then, k) > _at(past, number, first, _ready(workload, before, k)) + spare:
                return False
    return True


def _through(workload: Workload, at: tuple[int, int], past: list[Counts], k: int) -> bool:
    step = workload.lots[at[0]].steps[at[1]]
    return _at(past, *at, _ready(workload, step, k)) == step.pieces


def _enough_people(workload: Workload, past: list[Counts]) -> bool:
    """The seconds of every set of people suffice for the work that only they can do, and every place has seats."""
    k = len(past) - 1
    session = workload.sessions[k]
    length_s = session.ends_s - session.starts_s
    lasting, kind = _worked(workload, past)
    labour = {task: kind[task].hands * seconds for task, seconds in lasting.items()}
    hands_suffice = all(_hands_suffice(workload, step, k, lasting[task]) for task, step in kind.items())
    seats_suffice = all(
        entry.seats is None or sum(labour[t] for t in kind if kind[t].at == place) <= entry.seats * length_s
        for place, entry in enumerate(workload.places)
    )
    groups = chain.from_iterable(combinations(session.helpers, n) for n in range(len(session.helpers) + 1))
    return hands_suffice and seats_suffice and all(_group_suffices(workload, g, k, labour) for g in groups)


def _worked(workload: Workload, past: list[Counts]) -> tuple[dict[str, int], dict[str, Step]]:
    """How long each kind of work lasts in the last session, one party after another, with its set-up."""
    k = len(past) - 1
    lasting: dict[str, int] = {}
    kind: dict[str, Step] = {}
    for lot, entry in enumerate(workload.lots):
        for s, step in enumerate(entry.steps):
            if done := _at(past, lot, s, k) - _at(past, lot, s, k - 1):
                lasting[step.task] = lasting.get(step.task, step.setup_s) + done * step.seconds_each
                kind[step.task] = step
    return lasting, kind


def _hands_suffice(workload: Workload, step: Step, k: int, lasting_s: int) -> bool:
    session = workload.sessions[k]
    length_s = session.ends_s - session.starts_s
    able = sum(workload.helpers[h].able(step.task) for h in session.helpers)
    in_time = lasting_s - step.setup_s <= _parties(workload, step, k) * (length_s - step.setup_s)
    return in_time and (step.hands == 1 or lasting_s <= able // step.hands * length_s)


def _group_suffices(workload: Workload, group: tuple[int, ...], k: int, labour: dict[str, int]) -> bool:
    session = workload.sessions[k]
    others = [workload.helpers[h] for h in session.helpers if h not in group]
    only_they = sum(seconds for task, seconds in labour.items() if not any(h.able(task) for h in others))
    return only_they <= len(group) * (session.ends_s - session.starts_s)


def _stages(lot: Lot) -> list[tuple[int, int | None]]:
    moving = [-1]
    for s, step in enumerate(lot.steps):
        following = lot.steps[s + 1] if s + 1 < len(lot.steps) else None
        left_out = following is not None and step.importance is not Importance.MUST and s not in following.needs
        if step.pieces == lot.count and not left_out:
            moving.append(s)
    return list(zip(moving, [*moving[1:], None], strict=True))


def _resting(workload: Workload, place: int) -> Iterator[tuple[int, Lot, int, int | None, int]]:
    for number, lot in enumerate(workload.lots):
        for stage, following in _stages(lot):
            for stay in lot.rests if stage < 0 else lot.steps[stage].stays:
                if stay.place == place:
                    yield number, lot, stage, following, stay.spaces


def _inside(workload: Workload, place: int, past: list[Counts], came: int, went: int, by_s: int) -> int:
    """Spaces taken by what was done by session ``came``, and arrived by then, less what left by ``went``."""
    held = 0
    for number, lot, stage, following, spaces in _resting(workload, place):
        here = (lot.count if lot.arrives_s <= by_s else 0) if stage < 0 else _at(past, number, stage, came)
        held += spaces * (here - (_at(past, number, following, went) if following is not None else 0))
    return held


def _fits(workload: Workload, place: int, past: list[Counts]) -> bool:
    k = len(past) - 1
    entry, session = workload.places[place], workload.sessions[k]
    if entry.holds is None:
        return True
    arrivals = {
        lot.arrives_s
        for _, lot, stage, *_ in _resting(workload, place)
        if stage < 0 and _last_ended(workload, lot.arrives_s) == k - 1
    }
    for arrives_s in arrivals:
        before = _inside(workload, place, past, k - 1, k - 1, arrives_s - 1)
        if _inside(workload, place, past, k - 1, k - 1, arrives_s) > entry.holds or (entry.whole_loads and before):
            return False
    if _inside(workload, place, past, k, k, session.ends_s) > entry.holds:
        return False
    came = any(
        _at(past, number, stage, k) > _at(past, number, stage, k - 1)
        for number, _, stage, _, _ in _resting(workload, place)
        if stage >= 0
    )
    before = _inside(workload, place, past, k - 1, k, workload.sessions[k - 1].ends_s if k else -1)
    return not (entry.whole_loads and came and before > 0)


def _kept_in_the_end(workload: Workload, past: list[Counts]) -> bool:
    return all(
        _in_time(workload, lot, past, i) and _safe(workload, lot, past, i) for i, lot in enumerate(workload.lots)
    )


def _in_time(workload: Workload, lot: Lot, past: list[Counts], number: int) -> bool:
    """The n-th piece of a step that must follow in time is done by the last session that ends in time for it."""
    for then, step in enumerate(lot.steps):
        if step.within_s is None or step.within_of is None:
            continue
        for k, session in enumerate(workload.sessions):
            by = _last_ended(workload, session.starts_s + step.within_s)
            due = min(_at(past, number, step.within_of, k), past[-1][number][then])
            if _at(past, number, then, by) < due:
                return False
    return True


def _safe(workload: Workload, lot: Lot, past: list[Counts], number: int) -> bool:
    """From the treat-by day on no comb lies open at the end of a day, and what protects is renewed before it lapses."""
    if lot.treat_by_s is None or lot.protect_until_s is None:
        return True
    days = {session.day: k for k, session in enumerate(workload.sessions)}
    first, until = _last_ended(workload, lot.treat_by_s), _last_ended(workload, lot.protect_until_s)
    evenings = {first} | {k for k in days.values() if first <= k <= until}
    for stage, following in _stages(lot):
        safe = lot.protected if stage < 0 else lot.steps[stage].protected
        lasts_s = None if stage < 0 else lot.steps[stage].lasts_s
        for k in evenings if not safe else ():
            here = lot.count if stage < 0 else _at(past, number, stage, k)
            if here > (_at(past, number, following, k) if following is not None else 0):
                return False
        for k, session in enumerate(workload.sessions):
            lapses_s = session.starts_s + (lasts_s or 0)
            if safe and lasts_s is not None and lapses_s < lot.protect_until_s:
                by = _last_ended(workload, max(lapses_s, lot.treat_by_s))
                renewed = _at(past, number, following, by) if following is not None else 0
                if _at(past, number, stage, k) > renewed:
                    return False
    return True
