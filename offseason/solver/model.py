"""The whole counting model of a workload: counts, promises, aims."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from offseason.solver.aims import AIMS, Aim, exposure, optional_work_left
from offseason.solver.comb import comb_is_protected
from offseason.solver.counts import Counts
from offseason.solver.exprs import Expr, total
from offseason.solver.follow_up import not_too_late_after
from offseason.solver.loads import loads_follow_one_another, loads_go_in_whole
from offseason.solver.promises import (
    counts_only_rise,
    enough_people,
    must_work_is_done,
    no_step_overtakes,
    none_is_taken_out_of_hand,
    orders_kept,
    seats_kept,
    set_up_where_touched,
)
from offseason.solver.space import space_kept
from offseason.solver.throughput import no_more_than_loads_bring_through
from offseason.workload.model import Workload

PROMISES = (
    counts_only_rise,
    no_step_overtakes,
    none_is_taken_out_of_hand,
    orders_kept,
    not_too_late_after,
    set_up_where_touched,
    seats_kept,
    space_kept,
    loads_go_in_whole,
    loads_follow_one_another,
    no_more_than_loads_bring_through,
)
"""Rows that hold whether or not the winter fits; those of people, must-work and comb take extra arguments."""

COMB_OUTWEIGHS = 1_000
"""In a winter that does not fit, one comb left to the moths weighs as much as this many pieces left undone. Ours."""

SPACE_OUTWEIGHS = 100
"""... and one space too few for what arrives as much as this many. Ours."""

LEAST_LEFT = "must-do work left"
"""Name of the aim that comes first."""


@dataclass(frozen=True)
class Model:
    """Counts with all rows written, and the aims in order, as ``makers`` made them.

    ``short``: the winter may not fit, and two aims come before those of ``makers``: to leave least, and to leave comb
    open for the fewest days. ``left``: then the pieces left of (lot, step); of (lot, -1) combs left open to moths; of
    (lot, -2 - step) pieces that come to the step too late after what was done before planning begins.
    """

    counts: Counts
    aims: tuple[Aim, ...]
    makers: tuple[Callable[[Counts], Aim], ...] = ()
    left: Mapping[tuple[int, int], Expr] = field(default_factory=dict)
    short: bool = False

    def aims_at_exposure(self, aim: int) -> bool:
        """Whether this aim is the exposure of comb."""
        at = aim - self.before
        return at >= 0 and self.makers[at] is exposure

    @property
    def before(self) -> int:
        """How many aims come before those of ``makers``."""
        return len(self.aims) - len(self.makers)

    def with_room(self, kept_free: dict[int, int]) -> Model:
        """The same model with so many seconds of people left free in a session."""
        made = build_with_shortfall if self.short else build
        return made(self.counts.workload, kept_free, self.makers)


def build(
    workload: Workload,
    kept_free: dict[int, int] | None = None,
    makers: Sequence[Callable[[Counts], Aim]] | None = None,
) -> Model:
    """The model of a winter that fits; ``kept_free``: seconds of people to leave free in a session.

    ``makers``: the aims in order; left out, those of the keeper's preference.
    """
    counts = Counts.of(workload)
    for promise in PROMISES:
        promise(counts)
    enough_people(counts, kept_free)
    must_work_is_done(counts)
    comb_is_protected(counts)
    aims = (exposure, optional_work_left, *AIMS[workload.prefer]) if makers is None else tuple(makers)
    return Model(counts, tuple(make(counts) for make in aims), aims)


def build_with_shortfall(
    workload: Workload,
    kept_free: dict[int, int] | None = None,
    makers: Sequence[Callable[[Counts], Aim]] = (),
) -> Model:
    """The model of a winter that may not fit: must-work and protection may be left, and spaces be too few, at a price.

    The price is the first aim, comb-days in the open the second, before those of ``makers``.
    """
    counts = Counts.of(workload, may_leave=True)
    left: dict[tuple[int, int], Expr] = {}
    too_few: dict[int, Expr] = {}
    for promise in PROMISES:
        if promise is not_too_late_after:
            not_too_late_after(counts, left)
        elif promise is space_kept:
            space_kept(counts, too_few)
        elif promise is loads_go_in_whole:
            loads_go_in_whole(counts, too_few)
        else:
            promise(counts)
    enough_people(counts, kept_free)
    must_work_is_done(counts, left)
    open_days: list[tuple[int, Expr]] = []
    comb_is_protected(counts, left, open_days)
    price = [(COMB_OUTWEIGHS if step == -1 else 1, expr) for (_, step), expr in left.items()]
    price += [(SPACE_OUTWEIGHS, expr) for expr in too_few.values()]
    unit = f"pieces, a comb left open as {COMB_OUTWEIGHS:,}"
    unit += f", a space too few as {SPACE_OUTWEIGHS:,}" if too_few else ""
    least_left = Aim(LEAST_LEFT, unit, total(price))
    open_least = Aim("comb open after its day", "comb-days", total(open_days))
    aims = (least_left, open_least, *(make(counts) for make in makers))
    return Model(counts, aims, tuple(makers), left, short=True)
