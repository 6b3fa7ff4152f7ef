"""What makes one plan better than another, in this order: must-work, exposure of comb, optional work, preference.

Every aim is a whole-number expression over the counts; smaller is better.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from math import gcd

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.promises import finished, labour_in
from offseason.solver.rows import Expr, total
from offseason.workload.model import Importance, Prefer

SET_UP_WEIGHS_DAYS = 7
"""A set-up, or a renewal of what protects, counts as if its minutes had waited so many days. Ours."""

LIKED_WEATHER_WEIGHS_DAYS = 7
"""Work in weather it does not like counts as if it had waited so many days. Ours."""

SHOULD_WEIGHS = 10
"""One piece of work that should be done outweighs this many that could be (times their worth). Ours."""


@dataclass(frozen=True)
class Aim:
    """An aim: its name, its unit for the reader, the expression, and what one unit of the expression is worth there."""

    name: str
    unit: str
    expr: Expr
    scale: float = 1.0
    least: int = 0


def exposure(m: Counts) -> Aim:
    """Comb-days in the open times daily heat: ``sum heat[k] * (N[stage,k] - N[next,k])`` over unprotected stages."""
    parts: list[tuple[int, Expr]] = []
    for lot, entry in enumerate(m.workload.lots):
        for stage, following in zip(m.stages[lot], [*m.stages[lot][1:], None], strict=True):
            if entry.open_heat and not (entry.protected if stage < 0 else entry.steps[stage].protected):
                for k, heat in enumerate(entry.open_heat):
                    if heat and k >= m.gone:
                        parts.append((heat, m.at(lot, stage, k)))
                        if following is not None:
                            parts.append((-heat, m.at(lot, following, k)))
    return Aim("comb exposed to moths", "comb degree-days", total(parts), 0.1)


def optional_work_left(m: Counts) -> Aim:
    """Pieces of should- and could-work left, weighed by their worth."""
    parts: list[tuple[int, Expr]] = []
    for lot, entry in enumerate(m.workload.lots):
        for s, step in enumerate(entry.steps):
            if step.importance is not Importance.MUST:
                worth = step.worth * (SHOULD_WEIGHS if step.importance is Importance.SHOULD else 1)
                parts += [(-worth, m.final(lot, s)), (1, Expr({}, worth * step.pieces))]
    return Aim("optional work left", "pieces by worth", total(parts))


def hours_to_next(m: Counts) -> np.ndarray:
    """Whole hours from the end of each session to the end of the next (of the last: to the end of the winter)."""
    ends = [s.ends_s for s in m.workload.sessions]
    ends.append(max(m.workload.until_s, ends[-1] + 3_600))
    return np.maximum(np.rint(np.diff(np.array(ends)) / 3_600).astype(np.int64), 0)


def work_waits(m: Counts) -> Aim:
    """Done early: ``sum hours[k] * seconds of work not yet done after k``; set-ups and unliked weather have a price."""
    hours = hours_to_next(m)
    labour = [step.hands * step.seconds_each for lot in m.workload.lots for step in lot.steps]
    unit = gcd(*labour, *(SET_UP_WEIGHS_DAYS * 24 * s.setup_s for lot in m.workload.lots for s in lot.steps)) or 1
    terms: dict[int, int] = {}
    constant = all_labour = 0
    for lot, entry in enumerate(m.workload.lots):
        for s, step in enumerate(entry.steps):
            each = step.hands * step.seconds_each // unit
            if step.worth == 0:
                for var in m.final(lot, s).terms:
                    terms[var] = each * SET_UP_WEIGHS_DAYS * 24
                continue
            all_labour += each * step.pieces
            constant += each * int((hours * (step.pieces - m.past[lot][s, 1:])).sum())
            index = m.variables[lot][s][1:]
            sums = np.bincount(index + 1, weights=hours.astype(float), minlength=1)
            for var in np.unique(index[index >= 0]):
                terms[int(var)] = terms.get(int(var), 0) - each * int(sums[var + 1])
    for price, done in _work_in_weather_it_does_not_like(m):
        for var, factor in done.terms.items():
            terms[var] = terms.get(var, 0) + factor * (price // unit)
    for (task, _), touched in m.set_up.items():
        step = next(s for lot in m.workload.lots for s in lot.steps if s.task == task)
        for var in touched.terms:
            terms[var] = step.hands * step.setup_s * SET_UP_WEIGHS_DAYS * 24 // unit
    return Aim(
        "work done early", "days an hour of work waits on average", Expr(terms, constant), 1 / (24 * max(all_labour, 1))
    )


def _work_in_weather_it_does_not_like(m: Counts) -> Iterator[tuple[int, Expr]]:
    """Pieces done in sessions without the weather they like, each at the price of waiting for it some days."""
    for lot, entry in enumerate(m.workload.lots):
        for s, step in enumerate(entry.steps):
            for k in m.open[lot][s] if step.likes is not None else ():
                missing = 1000 - dict(m.workload.sessions[k].liked).get(step.likes or "", 0)
                if missing:
                    price = step.hands * step.seconds_each * LIKED_WEATHER_WEIGHS_DAYS * 24 * missing // 1000
                    yield price, m.done_in(lot, s, k)


def days_called(m: Counts) -> Aim:
    """Few days: helpers called, summed over days; ``seconds in k <= called[day] * length of k``."""
    by_day: dict[date, list[tuple[Expr, int]]] = {}
    for k, portions in enumerate(m.portions):
        session = m.workload.sessions[k]
        if portions and session.helpers:
            by_day.setdefault(session.day, []).append((labour_in(m, k, portions), session.length_s))
    called = []
    for day, work in by_day.items():
        heads = m.helping(0, len(m.workload.helpers), _heads(work))
        m.called[day] = next(iter(heads.terms))
        called.append((1, heads))
        for labour, length_s in work:
            m.rows.at_most(labour - heads * length_s, 0)
    return Aim("days called", "helper-days", total(called))


def _heads(work: list[tuple[Expr, int]]) -> Callable[[np.ndarray], int]:
    return lambda x: max(-(-labour.value(x) // length_s) for labour, length_s in work)


def busiest_week(m: Counts) -> Aim:
    """Even weeks: the most seconds of work in any week."""
    weeks: dict[tuple[int, int], list[tuple[int, Expr]]] = {}
    for k, portions in enumerate(m.portions):
        weeks.setdefault(m.workload.sessions[k].day.isocalendar()[:2], []).append((1, labour_in(m, k, portions)))
    labours = [total(parts) for parts in weeks.values()]
    room = sum(s.length_s * len(s.helpers) for s in m.workload.sessions)
    most = m.helping(0, room, lambda x: max((labour.value(x) for labour in labours), default=0))
    for labour in labours:
        m.rows.at_most(labour - most, 0)
    return Aim("busiest week", "hours", most, 1 / 3_600)


def soonest_end(m: Counts) -> Aim:
    """Seconds until everything is through and has waited: the classical last finish."""
    sessions = m.workload.sessions
    most = max((s.ends_s for s in sessions), default=0) + max(
        (s.wait_s for lot in m.workload.lots for s in lot.steps), default=0
    )
    ends = [
        end_of_session_done(m, lot, len(entry.steps) - 1) + entry.steps[-1].wait_s
        for lot, entry in enumerate(m.workload.lots)
        if entry.steps
    ]
    finish = m.helping(0, most, lambda x: max((end.value(x) for end in ends), default=0))
    for end in ends:
        m.rows.at_least(finish - end, 0)
    return Aim("soonest end", "seconds", finish)


def end_of_session_done(m: Counts, lot: int, step: int) -> Expr:
    """End of the session with the last piece: ``end[0] + sum (end[k+1] - end[k]) * (1 - F[k])``."""
    sessions = m.workload.sessions
    parts: list[tuple[int, Expr]] = [(1, Expr({}, sessions[0].ends_s))]
    for k in range(len(sessions) - 1):
        gap = sessions[k + 1].ends_s - sessions[k].ends_s
        parts += [(gap, Expr({}, 1)), (-gap, finished(m, lot, step, k))]
    return total(parts)


AIMS: dict[Prefer, tuple[Callable[[Counts], Aim], ...]] = {
    Prefer.EARLY: (work_waits,),
    Prefer.FEW_DAYS: (days_called, work_waits),
    Prefer.EVEN_WEEKS: (busiest_week, work_waits),
    Prefer.SOONEST: (soonest_end,),
}
"""The stages of each preference, in order."""
