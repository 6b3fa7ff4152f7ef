"""What is fixed about a step for the whole winter: what it follows, and the places its pieces leave and enter."""

from __future__ import annotations

from dataclasses import dataclass

from offseason.solver.counts import Counts
from offseason.workload.flow import Follows, WayRound
from offseason.workload.model import Order, Stay


@dataclass(frozen=True)
class Fixed:
    """``follows``: steps before it that bind it. ``ways``: ways round that it is part of. ``orders``: what comes first.

    ``waits_for``: those it follows after which there is a wait. ``comes``, ``leaves``: places its pieces enter after
    it, and leave when it takes them up. ``frees``: they leave a place that holds only so many, and do not come back to
    it. ``turns_a_load``: they enter or leave a place in whole loads. ``handed_on``: the next step may take its pieces
    up at once. ``rivals``: (lot, step, seconds of one piece) of all later steps of some lot that want the same place
    and weather.
    """

    follows: tuple[Follows, ...]
    waits_for: tuple[int, ...]
    ways: tuple[WayRound, ...]
    orders: tuple[Order, ...]
    comes: tuple[Stay, ...]
    leaves: tuple[Stay, ...]
    frees: bool
    turns_a_load: bool
    handed_on: bool
    rivals: tuple[tuple[int, int, int], ...]


def fixed_of(m: Counts) -> list[list[Fixed]]:
    """What is fixed, per lot and step; worked out once for each model."""
    known = m.worked_out.get("fixed")
    if not isinstance(known, list):
        known = m.worked_out["fixed"] = _all_of(m)
    return known


def _all_of(m: Counts) -> list[list[Fixed]]:
    rivals: dict[tuple[int | None, str | None], list[tuple[int, int, int]]] = {}
    for lot, entry in enumerate(m.workload.lots):
        for s, step in enumerate(entry.steps):
            same = rivals.setdefault((step.at, step.need), [])
            if s:
                same.append((lot, s, step.seconds_each))
    return [
        [_fixed(m, lot, s, tuple(rivals[step.at, step.need])) for s, step in enumerate(entry.steps)]
        for lot, entry in enumerate(m.workload.lots)
    ]


def _fixed(m: Counts, lot: int, s: int, rivals: tuple[tuple[int, int, int], ...]) -> Fixed:
    steps = m.workload.lots[lot].steps
    comes, leaves = _places(m, lot, s)
    before = tuple(f for f in m.follows[lot] if f.then == s)
    return Fixed(
        follows=before,
        waits_for=tuple(f.first for f in before if steps[f.first].waits),
        ways=tuple(way for way in m.ways_round[lot] if s == way.then or s in way.between),
        orders=tuple(order for order in m.workload.orders if order.then == (lot, s)),
        comes=comes,
        leaves=leaves,
        frees=any(stay not in comes and m.workload.places[stay.place].holds is not None for stay in leaves),
        turns_a_load=any(m.workload.places[stay.place].whole_loads for stay in (*comes, *leaves)),
        handed_on=s + 1 < len(steps) and not steps[s].waits,
        rivals=rivals,
    )


def _places(m: Counts, lot: int, s: int) -> tuple[tuple[Stay, ...], tuple[Stay, ...]]:
    """Places that pieces enter after the step, and leave when it takes them up."""
    entry, stages = m.workload.lots[lot], m.stages[lot]
    if s not in stages:
        return (), ()
    previous = stages[stages.index(s) - 1]
    before = entry.rests if previous < 0 else entry.steps[previous].stays
    return entry.steps[s].stays, tuple(stay for stay in before if stay.until_taken)
