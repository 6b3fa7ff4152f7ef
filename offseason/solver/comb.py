"""The hard promise: no comb is open to moths at the end of any day, from its treat-by date on."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.exprs import Expr, total

DAY_S = 86_400

LAPSED_DAYS = 7
"""A treatment that lapses unrenewed counts as if its comb lay open for so many days. Ours."""


def comb_is_protected(
    m: Counts,
    shortfall: dict[tuple[int, int], Expr] | None = None,
    open_days: list[tuple[int, Expr]] | None = None,
) -> None:
    """From the treat-by date on, at the end of every day: pieces at rest where moths reach them ``= 0``.

    ``sum N[l,stage,k] - N[l,next,k] = 0`` over unprotected stages; what lapses after ``lasts`` must have moved on.
    With ``shortfall``, the most combs open at once have a price, put at (lot, -1); and how long they lie open is put
    into ``open_days``: days and combs, to be multiplied.
    """
    for lot, entry in enumerate(m.workload.lots):
        if entry.treat_by_s is None or entry.protect_until_s is None:
            continue
        first = max(m.timeline.last_ending_by(entry.treat_by_s), m.gone or -1)
        last = m.timeline.last_ending_by(entry.protect_until_s)
        if first > last and m.gone > last:
            continue  # the time in which it had to be safe is over
        open_then = _open_by_evening(m, lot, first, last)
        lapsed = _lapsed(m, lot, entry.treat_by_s, entry.protect_until_s)
        slack = Expr()
        if shortfall is not None:
            slack = shortfall[lot, -1] = m.helping(0, entry.count, _most_of([*open_then.values(), *lapsed]))
        for combs in (*open_then.values(), *lapsed):
            m.rows.at_most(combs - slack, 0)
        if open_days is not None:
            days = _days_between(m, list(open_then), entry.treat_by_s, entry.protect_until_s)
            open_days += zip(days, open_then.values(), strict=True)
            open_days += [(LAPSED_DAYS, _at_least_none(m, entry.count, combs)) for combs in lapsed]


def _open_by_evening(m: Counts, lot: int, first: int, last: int) -> dict[int, Expr]:
    """Combs that rest where moths reach them, at the end of each day, ``first`` to ``last``, on which that changes."""
    entry = m.workload.lots[lot]
    unsafe = [
        (stage, following)
        for stage, following in zip(m.stages[lot], [*m.stages[lot][1:], None], strict=True)
        if not (entry.protected if stage < 0 else entry.steps[stage].protected)
    ]
    evenings = {k for stage, following in unsafe for k in _changes(m, lot, stage, following, first, last)}
    return {
        k: total((1, _resting(m, lot, stage, following, k)) for stage, following in unsafe) for k in sorted(evenings)
    }


def _days_between(m: Counts, evenings: list[int], treat_by_s: int, until_s: int) -> list[int]:
    """Whole days from each of these evenings, the first not before the treat-by date, to the next."""
    moments = [max(m.workload.sessions[k].ends_s, treat_by_s) if k >= 0 else treat_by_s for k in evenings]
    return [max(1, round((then - first) / DAY_S)) for first, then in pairwise([*moments, max([until_s, *moments])])]


def _at_least_none(m: Counts, most: int, combs: Expr) -> Expr:
    """``max(0, combs)``: ``positive >= combs``."""
    positive = m.helping(0, most, _most_of([combs]))
    m.rows.at_most(combs - positive, 0)
    return positive


def _resting(m: Counts, lot: int, stage: int, following: int | None, k: int) -> Expr:
    left = m.at(lot, stage, k) if stage >= 0 else Expr({}, m.workload.lots[lot].count)
    return left - (m.at(lot, following, k) if following is not None else 0)


def _most_of(amounts: list[Expr]) -> Callable[[np.ndarray], int]:
    return lambda x: max([0, *(amount.value(x) for amount in amounts)])


def _changes(m: Counts, lot: int, stage: int, following: int | None, first: int, last: int) -> list[int]:
    """Last sessions of days, ``first`` to ``last``, by which the pieces between two stages may have changed."""
    ks = (
        {first}
        | set(m.open[lot][stage] if stage >= 0 else ())
        | set(m.open[lot][following] if following is not None else ())
    )
    return sorted({m.timeline.last_of_day[k] if k >= 0 else k for k in ks if first <= k <= last})


def _lapsed(m: Counts, lot: int, treat_by_s: int, until_s: int) -> list[Expr]:
    """``N[l,stage,k] - N[l,next,k']``: a treatment that lapses in the moth season is followed up before it does."""
    entry, found = m.workload.lots[lot], []
    for stage, following in zip(m.stages[lot], [*m.stages[lot][1:], None], strict=True):
        lasts_s = entry.steps[stage].lasts_s if stage >= 0 and entry.steps[stage].protected else None
        for k in (*range(m.gone), *m.open[lot][stage]) if lasts_s is not None else ():
            lapses_s = m.workload.sessions[k].ends_s + lasts_s
            if lapses_s < until_s and not m.is_over(max(lapses_s, treat_by_s)):
                by = m.timeline.last_starting_by(max(lapses_s, treat_by_s))
                by = m.timeline.last_of_day[by] if by >= 0 else by
                found.append(m.at(lot, stage, k) - (m.at(lot, following, by) if following is not None else 0))
    return found
