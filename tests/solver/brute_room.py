"""Room in places and whole loads, of counts that are known: for tiny winters tried in every way."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.workload.model import Importance, Lot, Step, Workload

Counts = tuple[tuple[int, ...], ...]
"""Pieces through each step of each lot at the end of one session."""


def parties(workload: Workload, step: Step, k: int) -> int:
    able = [h for h in workload.sessions[k].helpers if workload.helpers[h].able(step.task)]
    seats = workload.places[step.at].seats if step.at is not None else None
    return min(len(able) // step.hands, (len(able) if seats is None else seats) // step.hands)


def at(past: list[Counts], lot: int, s: int, k: int) -> int:
    return past[k][lot][s] if k >= 0 else 0


def last_ended(workload: Workload, time_s: int) -> int:
    ended = [k for k, session in enumerate(workload.sessions) if session.ends_s <= time_s]
    return ended[-1] if ended else -1


def last_begun(workload: Workload, time_s: int) -> int:
    begun = [k for k, session in enumerate(workload.sessions) if session.starts_s <= time_s]
    return begun[-1] if begun else -1


def stages(lot: Lot) -> list[tuple[int, int | None]]:
    moving = [-1]
    for s, step in enumerate(lot.steps):
        following = lot.steps[s + 1] if s + 1 < len(lot.steps) else None
        left_out = following is not None and step.importance is not Importance.MUST and s not in following.needs
        if step.pieces == lot.count and not left_out:
            moving.append(s)
    return list(zip(moving, [*moving[1:], None], strict=True))


def resting(workload: Workload, place: int) -> Iterator[tuple[int, Lot, int, int | None, int]]:
    for number, lot in enumerate(workload.lots):
        for stage, following in stages(lot):
            for stay in lot.rests if stage < 0 else lot.steps[stage].stays:
                if stay.place == place:
                    yield number, lot, stage, following, stay.spaces


def inside(workload: Workload, place: int, past: list[Counts], came: int, went: int, by_s: int) -> int:
    """Spaces taken by what was done by session ``came``, and arrived by then, less what left by ``went``."""
    held = 0
    for number, lot, stage, following, spaces in resting(workload, place):
        here = (lot.count if lot.arrives_s <= by_s else 0) if stage < 0 else at(past, number, stage, came)
        held += spaces * (here - (at(past, number, following, went) if following is not None else 0))
    return held


def fits(workload: Workload, place: int, past: list[Counts]) -> bool:
    k = len(past) - 1
    entry, session = workload.places[place], workload.sessions[k]
    if entry.holds is None:
        return True
    arrivals = {
        lot.arrives_s
        for _, lot, stage, *_ in resting(workload, place)
        if stage < 0 and last_ended(workload, lot.arrives_s) == k - 1
    }
    for arrives_s in arrivals:
        before = inside(workload, place, past, k - 1, k - 1, arrives_s - 1)
        if inside(workload, place, past, k - 1, k - 1, arrives_s) > entry.holds or (entry.whole_loads and before):
            return False
    if inside(workload, place, past, k, k, session.ends_s) > entry.holds:
        return False
    came = any(
        at(past, number, stage, k) > at(past, number, stage, k - 1)
        for number, _, stage, _, _ in resting(workload, place)
        if stage >= 0
    )
    before = inside(workload, place, past, k - 1, k, workload.sessions[k - 1].ends_s if k else -1)
    return not (entry.whole_loads and came) or (
        before <= 0 and load_closes_s(workload, place, past, k) <= session.ends_s
    )


def load_closes_s(workload: Workload, place: int, past: list[Counts], k: int) -> int:
    """The earliest moment at which the load of session ``k`` can be closed.

    The load before has waited since it was closed, was taken out, and this one was put in, all by as many as can.
    """
    session = workload.sessions[k]
    stages = [(number, lot, stage, then) for number, lot, stage, then, _ in resting(workload, place)]
    entering = [(number, lot.steps[stage]) for number, lot, stage, _ in stages if stage >= 0]
    if not any(
        at(past, number, stage, k) > at(past, number, stage, k - 1) for number, _, stage, _ in stages if stage >= 0
    ):
        return 0
    wait_s = min(step.wait_s for _, step in entering)
    if wait_s <= session.ends_s - session.starts_s:
        return 0
    moves = [
        (number, s, lot.steps[s])
        for number, lot, stage, then in stages
        for s in (stage, then)
        if s is not None and s >= 0
    ]
    handling_s = sum(step.seconds_each * (at(past, n, s, k) - at(past, n, s, k - 1)) for n, s, step in moves)
    lasting_s = -(-handling_s // max(1, *(parties(workload, step, k) for _, _, step in moves)))
    loads = [closed_s for j in range(k) if (closed_s := load_closes_s(workload, place, past, j))]
    return max([session.starts_s, *(closed_s + wait_s for closed_s in loads)]) + lasting_s
