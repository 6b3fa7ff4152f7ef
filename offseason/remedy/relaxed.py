"""A lot of which some lines were left out, asked for no more than when they stood.

Leaving a line out may ask for more: without the temperature of a place paint is taken to dry slower there. A core
found that way would not be one of the file, so nothing may become harder than it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from offseason.workload.flow import stages
from offseason.workload.model import Lot, Order, Step


def no_harder(lot: Lot, full: Lot) -> Lot:
    """The ``lot`` with no wait longer, no date sooner and no safety asked for that is not asked of the ``full`` one."""
    steps = tuple(_no_harder(lot, step, full) for step in lot.steps)
    relaxed = replace(lot, steps=steps)
    if lot.treat_by_s is None or full.treat_by_s is None or full.protected or _safe_by(lot) != _safe_by(full):
        return replace(relaxed, treat_by_s=None)
    # comb that comes sooner may have to be safe by so much sooner
    sooner_s = max(0, full.arrives_s - lot.arrives_s)
    return replace(relaxed, treat_by_s=max(lot.treat_by_s, full.treat_by_s - sooner_s))


def orders_kept(
    orders: Sequence[Order], lots: Sequence[Lot], full: Sequence[Order], all_lots: Sequence[Lot]
) -> tuple[Order, ...]:
    """Those of the orders that the ``full`` scenario has too, by the names of lots and steps."""
    known = {_named(order, all_lots) for order in full}
    return tuple(order for order in orders if _named(order, lots) in known)


def _named(order: Order, lots: Sequence[Lot]) -> tuple[str, str, str, str]:
    (lot, s), (then_lot, then_s) = order.first, order.then
    first, then = lots[lot], lots[then_lot]
    return first.name, first.steps[s].task, then.name, then.steps[then_s].task


def _safe_by(lot: Lot) -> str | None:
    """The first step after which all pieces rest safe from moths."""
    return next((lot.steps[s].task for s in stages(lot) if s >= 0 and lot.steps[s].protected), None)


def _no_harder(lot: Lot, step: Step, full: Lot) -> Step:
    at = {one.task: n for n, one in reversed(list(enumerate(full.steps)))}
    was = full.steps[at[step.task]]
    if step.drying is not None and was.drying is None:
        step = replace(step, drying=None, wait_s=was.wait_s)
    elif was.drying is None:
        step = replace(step, wait_s=min(step.wait_s, was.wait_s))
    if step.within_of is None:
        return step
    # counted from an earlier step than before, the same time would be shorter
    sooner = was.within_of is None or at[lot.steps[step.within_of].task] < was.within_of
    return replace(step, within_s=None, within_of=None) if sooner else step
