"""Where gear rests: the room of a place, what is held there, and how much too little there is for what arrives.

Notation as in ``offseason.solver.promises``.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.promises import most_from_now_on
from offseason.solver.rows import Expr, total
from offseason.workload.model import Stay

Resting = tuple[int, int, int | None, Stay]
"""(lot, stage, next stage or None, stay): pieces of a lot at rest in a place between two stages."""

Row = tuple[Expr, int]
"""An expression and what it may come to at most."""


def resting_at(m: Counts, place: int) -> list[Resting]:
    """Stages that rest at the place: (lot, stage, next stage or None, stay)."""
    return [(lot, *resting) for lot, by_lot in enumerate(m.resting) for resting in by_lot if resting[2].place == place]


def held(m: Counts, k_in: int, k_out: int, stays: list[Resting]) -> Expr:
    """Spaces taken by pieces that came by session ``k_in`` and have not left by session ``k_out``."""
    parts: list[tuple[int, Expr]] = []
    for lot, stage, following, stay in stays:
        parts.append((stay.spaces, m.at(lot, stage, k_in)))
        if not stay.until_taken:
            step = m.workload.lots[lot].steps[stage]
            parts.append((-stay.spaces, m.at(lot, stage, m.timeline.given_up(k_out, step, step))))
        elif following is not None:
            parts.append((-stay.spaces, m.at(lot, following, k_out)))
    return total(parts)


def space_kept(m: Counts, too_few: dict[int, Expr] | None = None) -> None:
    """Spaces held ``sum units * (N[in,k] - N[out,k]) <= holds`` at the end of every session, out before in.

    With ``too_few``, a place that arriving gear overfills where nobody does anything may lack spaces at a price:
    ``held <= holds + U``, and U is put there. Of other places nothing need be lacking: to do nothing is possible.
    """
    for place, entry in enumerate(m.workload.places):
        if entry.holds is None:
            continue
        stays = resting_at(m, place)
        by_session = [held(m, k, k, stays) for k in sessions_entered(m, stays)]
        ends = [(amount, most_from_now_on(m, amount, entry.holds)) for amount in by_session]
        found = [_found_by(m, arrives_s, stays) for arrives_s in _arrivals(m, stays)]
        # no row where all was too full before already, and there is no time left to clear the place
        arriving = [
            (there + coming, entry.holds)
            for there, coming in found
            if there.terms or not m.gone or there.constant <= entry.holds
        ]
        lacking = Expr()
        if too_few is not None and any(amount.constant > most for amount, most in arriving):
            rows = [*ends, *arriving]
            lacking = too_few[place] = m.helping(0, _all_spaces(m, stays), _too_few(rows))
        for amount, most in (*ends, *arriving):
            m.rows.at_most(amount - lacking, most)
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


def _too_few(rows: list[Row]) -> Callable[[np.ndarray], int]:
    return lambda x: max(0, *(amount.value(x) - most for amount, most in rows))


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
