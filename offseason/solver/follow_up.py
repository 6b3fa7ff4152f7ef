"""The promise that what must soon follow upon a step does so, also upon what was done before planning begins."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.exprs import Expr
from offseason.workload.model import Importance


def not_too_late_after(m: Counts, shortfall: dict[tuple[int, int], Expr] | None = None) -> None:
    """``N[l,t,k'] >= N[l,s,k]`` with k' the last session in which a piece can be done in time after the end of k.

    Where not every piece comes to step t: or ``N[l,t,k'] = N[l,t,end]``, all that do come to it are through by k'.
    With ``shortfall``, pieces through s before planning begins may come too late at a price, put at (lot, -2 - t).
    """
    for lot, entry in enumerate(m.workload.lots):
        for then, step in enumerate(entry.steps):
            if step.within_s is None or step.within_of is None:
                continue
            may_lag = _lags(m, lot, then, priced=shortfall is not None)
            for through, finished_s, begun in _to_follow_up(m, lot, step.within_of):
                last = m.timeline.last_starting_by(finished_s + step.within_s - step.seconds_each)
                forgiven = begun and finished_s + step.within_s < m.begins_s
                if not forgiven and last < len(m.workload.sessions) - 1:
                    behind = through - m.at(lot, then, last)
                    if step.importance is not Importance.MUST or step.pieces < entry.steps[step.within_of].pieces:
                        to_come = m.final(lot, then) - m.at(lot, then, last)
                        all_came = m.helping(0, 1, _none(to_come))
                        m.rows.at_most(to_come + all_came * step.pieces, step.pieces)
                        behind -= all_came * entry.count
                    if may_lag and not begun:
                        behind += _where_more_come(m, through, entry.steps[step.within_of].pieces)
                    if shortfall is not None and begun:
                        behind -= _late_at_a_price(m, shortfall, (lot, -2 - then), behind)
                    m.rows.at_most(behind, 0)


def _to_follow_up(m: Counts, lot: int, step: int) -> Iterator[tuple[Expr, int, bool]]:
    """Pieces through a step so far, when, and whether that was before planning begins."""
    through = 0
    for one in m.workload.standing.done if m.workload.standing is not None else ():
        if (one.lot, one.step) == (lot, step):
            through += one.pieces
            yield Expr({}, through), one.finished_s, True
    for k in m.open[lot][step]:
        yield m.at(lot, step, k), m.workload.sessions[k].ends_s, False


def _lags(m: Counts, lot: int, then: int, *, priced: bool) -> bool:
    """Whether pieces done before planning begins may come to the step later than they should have."""
    step = m.workload.lots[lot].steps[then]
    if step.within_s is None or step.within_of is None:
        return False
    due_s = [finished_s + step.within_s for _, finished_s, begun in _to_follow_up(m, lot, step.within_of) if begun]
    return bool(due_s) and (priced or min(due_s) < m.begins_s)


def _where_more_come(m: Counts, through: Expr, pieces: int) -> Expr:
    """``-past`` where no more pieces have come through since planning began: then the row asks nothing of them."""
    past = through.constant
    more = m.helping(0, 1, lambda x: int(through.value(x) > past))
    m.rows.at_most(through - past - more * pieces, 0)
    return more * past - past


def _late_at_a_price(m: Counts, shortfall: dict[tuple[int, int], Expr], key: tuple[int, int], behind: Expr) -> Expr:
    late = m.helping(0, m.workload.lots[key[0]].count, lambda x: max(0, behind.value(x)))
    shortfall[key] = shortfall.get(key, Expr()) + late
    return late


def _none(amount: Expr) -> Callable[[np.ndarray], int]:
    return lambda x: int(amount.value(x) == 0)
