"""Whole loads: a new load only into an empty place, and the chain of minutes from one load to the next."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.exprs import Expr, sum_of
from offseason.solver.promises import from_now_on
from offseason.solver.space import Resting, held, resting_at, sessions_entered
from offseason.solver.windows import parties_in_sessions


def loads_go_in_whole(m: Counts, too_few: Mapping[int, Expr] | None = None) -> None:
    """A new load only into an empty place: ``in <= holds * loads there is time for * L[k]``.

    ``held before in <= holds * (1 - L[k])``, and as much more as the place lacks spaces (``too_few``).
    """
    for place, entry in enumerate(m.workload.places):
        if not entry.whole_loads or entry.holds is None:
            continue
        stays, lacking = resting_at(m, place), (too_few or {}).get(place, Expr())
        ks = np.array(sessions_entered(m, stays), np.int64)
        entering = [m.done_in_each(lot, stage, ks) * stay.spaces for lot, stage, _, stay in stays if stage >= 0]
        in_each, held_before = sum_of(entering, len(ks)).each(), held(m, ks - 1, ks, stays).each()
        for k, coming, there in zip(ks.tolist(), in_each, held_before, strict=True):
            load = m.loads[place, k] = m.helping(0, 1, _any(coming))
            loads = 1 + m.workload.sessions[k].length_s // max(_shortest_wait(m, stays), 1)
            m.rows.at_most(coming - load * (entry.holds * loads), 0)
            from_now_on(m, there + load * entry.holds - lacking, entry.holds)


def loads_follow_one_another(m: Counts) -> None:
    """``C[k] >= C[j] + wait + time to empty and to fill``, C the moment a load is closed, where L[j] and L[k].

    Written only for sessions so near that the minute decides; ``P * C[k]`` with P the parties that can work there.
    """
    for place, entry in enumerate(m.workload.places):
        if not entry.whole_loads or entry.holds is None:
            continue
        stays = resting_at(m, place)
        wait_s = _shortest_wait(m, stays)
        ks = [k for k in sessions_entered(m, stays) if wait_s > m.workload.sessions[k].length_s]
        parties_in, work_in = _emptied_and_filled(m, stays, np.array(ks, np.int64))
        for at, (k, parties, work) in enumerate(zip(ks, parties_in, work_in, strict=True)):
            session = m.workload.sessions[k]
            closes = m.closes[place, k] = m.helping(session.starts_s, session.ends_s, _never(session.starts_s))
            room = parties * session.length_s
            load = m.loads[place, k]
            m.rows.at_most(work + load * room - closes * parties, room - parties * session.starts_s)
            for j in ks[:at]:
                before = m.workload.sessions[j]
                if before.starts_s + wait_s > session.ends_s or before.ends_s + wait_s <= session.starts_s:
                    continue
                most = room + parties * (before.ends_s + wait_s - session.starts_s)
                both = m.loads[place, j] + load
                late = work + m.closes[place, j] * parties - closes * parties + both * most
                m.rows.at_most(late, 2 * most - parties * wait_s)


def _any(amount: Expr) -> Callable[[np.ndarray], int]:
    return lambda x: int(amount.value(x) > 0)


def _never(time_s: int) -> Callable[[np.ndarray], int]:
    """No load was closed: any moment will do."""
    return lambda _: time_s


def _shortest_wait(m: Counts, stays: list[Resting]) -> int:
    return min((m.workload.lots[lot].steps[stage].wait_s for lot, stage, _, _ in stays if stage >= 0), default=0)


def _emptied_and_filled(m: Counts, stays: list[Resting], ks: np.ndarray) -> tuple[list[int], list[Expr]]:
    """For each session, most parties at work, and the seconds of one it takes to empty and to fill the place."""
    parties, parts = np.ones(len(ks), np.int64), []
    for lot, stage, following, _ in stays:
        for s in (stage, following):
            if s is not None and s >= 0:
                step = m.workload.lots[lot].steps[s]
                parties = np.maximum(parties, parties_in_sessions(m.workload, m.timeline, step)[ks])
                parts.append(m.done_in_each(lot, s, ks) * step.seconds_each)
    return parties.tolist(), sum_of(parts, len(ks)).each()
