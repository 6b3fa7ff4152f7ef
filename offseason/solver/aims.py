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
from offseason.solver.exprs import Expr, Exprs, gathered, stacked, total
from offseason.solver.promises import finished, labour_in
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
    open_to_moths: list[Exprs] = []
    for lot, entry in enumerate(m.workload.lots):
        heat = np.array(entry.open_heat, np.int64)
        ks = m.gone + np.flatnonzero(heat[m.gone :])
        for stage, following in zip(m.stages[lot], [*m.stages[lot][1:], None], strict=True):
            if len(ks) and not (entry.protected if stage < 0 else entry.steps[stage].protected):
                at_rest = m.at_each(lot, stage, ks)
                if following is not None:
                    at_rest -= m.at_each(lot, following, ks)
                open_to_moths.append(at_rest * heat[ks])
    return Aim("comb exposed to moths", "comb degree-days", stacked(open_to_moths).total(), 0.1)


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
    steps = [step for lot in m.workload.lots for step in lot.steps]
    set_ups = (SET_UP_WEIGHS_DAYS * 24 * step.setup_s for step in steps)
    unit = gcd(*(step.hands * step.seconds_each for step in steps), *set_ups) or 1
    each = m.of_each(m.opened, lambda step: step.hands * step.seconds_each // unit)
    index = np.concatenate([*m.variables, np.zeros((0, len(hours) + 1), np.int64)])[:, 1:]
    waits = np.bincount(index.ravel() + 1, np.tile(hours, len(index)), len(each) + 1)[1:].astype(np.int64)
    coefs, counted = -each * waits, m.of_each(m.opened, lambda step: step.worth) != 0
    constant = all_labour = 0
    for lot, entry in enumerate(m.workload.lots):
        for s, step in enumerate(entry.steps):
            labour = step.hands * step.seconds_each // unit
            if step.worth == 0:
                for var in m.final(lot, s).terms:
                    coefs[var], counted[var] = labour * SET_UP_WEIGHS_DAYS * 24, True
                continue
            all_labour += labour * step.pieces
            constant += labour * int((hours * (step.pieces - m.past[lot][s, 1:])).sum())
    terms = dict(zip(np.flatnonzero(counted).tolist(), coefs[counted].tolist(), strict=True))
    for price, done in _work_in_weather_it_does_not_like(m):
        for var, factor in done.terms.items():
            terms[var] = terms.get(var, 0) + factor * (price // unit)
    first_of = {step.task: step for step in reversed(steps)}
    for (task, _), touched in m.set_up.items():
        step = first_of[task]
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
    by_day: dict[date, list[int]] = {}
    for k, session in enumerate(m.workload.sessions):
        if len(m.portions.of(k)) and session.helpers:
            by_day.setdefault(session.day, []).append(k)
    called, rows = [], []
    for day, ks in by_day.items():
        labour, lengths_s = labour_in(m, [m.portions.of(k) for k in ks]), m.timeline.lengths_s[ks]
        heads = m.helping(0, len(m.workload.helpers), _heads(labour, lengths_s))
        m.called[day] = next(iter(heads.terms))
        called.append((1, heads))
        rows.append(labour - gathered([heads] * len(ks)) * lengths_s)
    m.rows.all_at_most(stacked(rows), 0)
    return Aim("days called", "helper-days", total(called))


def _heads(labour: Exprs, lengths_s: np.ndarray) -> Callable[[np.ndarray], int]:
    return lambda x: int((-(-labour.values(x) // lengths_s)).max())


def busiest_week(m: Counts) -> Aim:
    """Even weeks: the most seconds of work in any week."""
    sessions = m.workload.sessions
    weeks = list(dict.fromkeys(session.day.isocalendar()[:2] for session in sessions))
    week_of = np.array([weeks.index(session.day.isocalendar()[:2]) for session in sessions], np.int64)
    labours = labour_in(m, [m.portions.of(k) for k in range(len(sessions))]).summed(week_of, len(weeks))
    room = sum(s.length_s * len(s.helpers) for s in sessions)
    most = m.helping(0, room, lambda x: int(labours.values(x).max(initial=0)))
    m.rows.all_at_most(labours - most, 0)
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
