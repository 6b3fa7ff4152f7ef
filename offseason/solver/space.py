"""Where gear rests: the room of a place, what is held there, and how much too little there is for what arrives.

Notation as in ``offseason.solver.promises``.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.exprs import Expr, Exprs, gathered, stacked, sum_of, total
from offseason.workload.model import Stay

Resting = tuple[int, int, int | None, Stay]
"""(lot, stage, next stage or None, stay): pieces of a lot at rest in a place between two stages."""


def resting_at(m: Counts, place: int) -> list[Resting]:
    """Stages that rest at the place: (lot, stage, next stage or None, stay)."""
    return [(lot, *resting) for lot, by_lot in enumerate(m.resting) for resting in by_lot if resting[2].place == place]


def held(m: Counts, ks_in: np.ndarray, ks_out: np.ndarray, stays: list[Resting]) -> Exprs:
    """For each of these sessions, spaces taken by pieces that came by the one and have not left by the other."""
    taken: list[Exprs] = []
    for lot, stage, following, stay in stays:
        taken.append(m.at_each(lot, stage, ks_in) * stay.spaces)
        if not stay.until_taken:
            step = m.workload.lots[lot].steps[stage]
            gone = m.timeline.given_up_in(ks_out, step, step)
            taken.append(m.at_each(lot, stage, gone) * -stay.spaces)
        elif following is not None:
            taken.append(m.at_each(lot, following, ks_out) * -stay.spaces)
    return sum_of(taken, len(ks_in))


def space_kept(m: Counts, too_few: dict[int, Expr] | None = None) -> None:
    """Spaces held ``sum units * (N[in,k] - N[out,k]) <= holds`` at the end of every session, out before in.

    With ``too_few``, a place that arriving gear overfills where nobody does anything may lack spaces at a price:
    ``held <= holds + U``, and U is put there. Of other places nothing need be lacking: to do nothing is possible.
    """
    for place, entry in enumerate(m.workload.places):
        if entry.holds is None:
            continue
        stays = resting_at(m, place)
        ks = np.array(sessions_entered(m, stays), np.int64)
        by_session = held(m, ks, ks, stays) - entry.holds
        too_many = by_session - (np.maximum(0, by_session.constant) if m.gone else 0)
        found = [_found_by(m, arrives_s, stays) for arrives_s in _arrivals(m, stays)]
        # no row where all was too full before already, and there is no time left to clear the place
        arriving = [
            there + (coming - entry.holds)
            for there, coming in found
            if there.terms or not m.gone or there.constant <= entry.holds
        ]
        too_many = stacked([too_many, gathered(arriving)])
        if too_few is not None and any(amount.constant > 0 for amount in arriving):
            too_few[place] = m.helping(0, _all_spaces(m, stays), _most_of(too_many))
            m.rows.all_at_most(too_many - too_few[place], 0)
        else:
            m.rows.all_at_most(too_many, 0)
        if entry.whole_loads:
            for there, _ in found:
                if there.terms or not m.gone:
                    m.rows.at_most(there, 0)


def _arrivals(m: Counts, stays: list[Resting]) -> list[int]:
    """The moments still to come at which some lot arrives at its place."""
    moments = {m.workload.lots[lot].arrives_s for lot, stage, _, _ in stays if stage < 0}
    return sorted(moment for moment in moments if not m.is_over(moment))


def _all_spaces(m: Counts, stays: list[Resting]) -> int:
    return sum(stay.spaces * m.workload.lots[lot].count for lot, _, _, stay in stays)


def _most_of(amounts: Exprs) -> Callable[[np.ndarray], int]:
    return lambda x: int(amounts.values(x).max(initial=0))


def _found_by(m: Counts, arrives_s: int, stays: list[Resting]) -> tuple[Expr, int]:
    """What a lot that arrives at that moment finds in its place, and the spaces of all that arrives with it.

    Nobody clears the place between midnight and the first session of the day.
    """
    k = m.timeline.last_ending_by(arrives_s)
    there: list[tuple[int, Expr]] = []
    coming = 0
    for lot, stage, following, stay in stays:
        entry = m.workload.lots[lot]
        if stage >= 0:
            there.append((stay.spaces, m.at(lot, stage, k)))
        elif entry.arrives_s < arrives_s:
            there.append((stay.spaces, Expr({}, entry.count)))
        elif entry.arrives_s == arrives_s:
            coming += stay.spaces * entry.count
        if not stay.until_taken:
            gone = m.timeline.last_ending_by(entry.steps[stage].finished_by_s(arrives_s))
            there.append((-stay.spaces, m.at(lot, stage, gone)))
        elif following is not None:
            there.append((-stay.spaces, m.at(lot, following, k)))
    return total(there), coming


def sessions_entered(m: Counts, stays: list[Resting]) -> list[int]:
    """Sessions in which something may come to rest: by work, or by the arrival of a lot."""
    entered: set[int] = set()
    for lot, stage, _, _ in stays:
        if stage >= 0:
            entered.update(m.open[lot][stage])
        else:
            first = m.timeline.first_starting_at(m.workload.lots[lot].arrives_s)
            entered.update(k for k in (max(first - 1, 0), first) if m.gone <= k < len(m.workload.sessions))
    return sorted(entered)
