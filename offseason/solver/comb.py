"""The hard promise: no comb is open to moths at the end of any day, from its treat-by date on."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.rows import Expr, total


def comb_is_protected(m: Counts, shortfall: dict[tuple[int, int], Expr] | None = None) -> None:
    """From the treat-by date on, at the end of every day: pieces at rest where moths reach them ``= 0``.

    ``sum N[l,stage,k] - N[l,next,k] = 0`` over unprotected stages; what lapses after ``lasts`` must have moved on.
    """
    for lot, entry in enumerate(m.workload.lots):
        if entry.treat_by_s is None or entry.protect_until_s is None:
            continue
        first = max(m.timeline.last_ending_by(entry.treat_by_s), m.gone or -1)
        last = m.timeline.last_ending_by(entry.protect_until_s)
        if first > last and m.gone > last:
            continue  # the time in which it had to be safe is over
        open_then: list[Expr] = []
        unsafe: list[tuple[int, int | None]] = []
        for stage, following in zip(m.stages[lot], [*m.stages[lot][1:], None], strict=True):
            safe = entry.protected if stage < 0 else entry.steps[stage].protected
            lasts_s = None if stage < 0 else entry.steps[stage].lasts_s
            if not safe:
                unsafe.append((stage, following))
            elif lasts_s is not None:
                open_then += _lapsed(m, lot, stage, following, lasts_s, entry.treat_by_s, entry.protect_until_s)
        evenings = {k for stage, following in unsafe for k in _changes(m, lot, stage, following, first, last)}
        for k in sorted(evenings):
            open_then.append(total((1, _resting(m, lot, stage, following, k)) for stage, following in unsafe))
        slack = Expr()
        if shortfall is not None:
            slack = shortfall[lot, -1] = m.helping(0, entry.count, _most_of(open_then))
        for combs in open_then:
            m.rows.at_most(combs - slack, 0)


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


def _lapsed(
    m: Counts, lot: int, stage: int, following: int | None, lasts_s: int, treat_by_s: int, until_s: int
) -> Iterator[Expr]:
    """``N[l,stage,k] - N[l,next,k']``: a treatment that lapses in the moth season is followed up before it does."""
    for k in (*range(m.gone), *m.open[lot][stage]):
        lapses_s = m.workload.sessions[k].ends_s + lasts_s
        if lapses_s < until_s and not m.is_over(max(lapses_s, treat_by_s)):
            by = m.timeline.last_starting_by(max(lapses_s, treat_by_s))
            by = m.timeline.last_of_day[by] if by >= 0 else by
            yield m.at(lot, stage, k) - (m.at(lot, following, by) if following is not None else 0)
