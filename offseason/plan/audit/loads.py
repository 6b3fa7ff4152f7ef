"""Places that take whole loads, such as freezers: a new load only into an empty place, and no topping up.

What goes in later warms what is there, so the stay of a load counts from when the last of it went in.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from offseason.plan.audit.broken import Broken, Promise, broken, pieces_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.clock import span_around
from offseason.plan.audit.space import ARRIVAL, Traffic, traffic_of
from offseason.plan.audit.timeline import Moments
from offseason.plan.audit.waits import missing_text
from offseason.plan.audit.yard import Lot, Step
from offseason.scenario.model import PlaceEntry

# Where comb freezes through: a half-frozen load must not be warmed by the next one.
_FREEZES_BELOW_OR_AT_CELSIUS = -7
# Waits worked out by the trade rules are not whole seconds; the plan's are.
_ROUNDING_S = 1


def topped_up(case: Case) -> Iterator[Broken]:
    """All pieces of a load go in within one working stretch, and none more before the place has been emptied."""
    for name, place in case.scenario.places.items():
        if takes_whole_loads(place):
            yield from _place(case, name)


def takes_whole_loads(place: PlaceEntry) -> bool:
    """As the keeper says, else every place that is -7 °C or colder."""
    if place.whole_loads is not None:
        return place.whole_loads
    return place.celsius is not None and place.celsius.highest <= _FREEZES_BELOW_OR_AT_CELSIUS


def _place(case: Case, name: str) -> Iterator[Broken]:
    traffic = traffic_of(case, name, None)
    emptied = np.flatnonzero(traffic.inside <= 0) + 1
    late: dict[int, tuple[int, float]] = {}
    for first, last in zip([0, *emptied.tolist()], [*emptied.tolist(), len(traffic.inside)], strict=True):
        _load(case, traffic, first, last, late)
    for stint, (pieces, began) in late.items():
        since = case.when(began)
        said = f"{pieces_text(pieces)} would go into {name} on top of the load begun at {since}, before it is taken out"
        row = None if stint == ARRIVAL else case.timeline.row(stint)
        yield broken(Promise.WHOLE_LOADS, row, said, about="gear as it arrives")


def _load(case: Case, traffic: Traffic, first: int, last: int, late: dict[int, tuple[int, float]]) -> None:
    """Adds to ``late`` what goes in between two moments when the place is empty, but not in the first stretch."""
    entering = first + np.flatnonzero((traffic.change[first:last] > 0) & (traffic.brought[first:last] > 0))
    if not len(entering):
        return
    began = float(traffic.moments[entering[0]])
    ends = _stretch_end(case, traffic, int(entering[0]))
    for position in entering[traffic.moments[entering] > ends].tolist():
        stint = int(traffic.stints[position])
        pieces = late[stint][0] if stint in late else 0
        late[stint] = (pieces + int(traffic.change[position]), began)


def _stretch_end(case: Case, traffic: Traffic, position: int) -> int:
    """The end of the working stretch in which a load begins; gear that arrives is a load at one moment."""
    moment, stint = int(traffic.moments[position]), int(traffic.stints[position])
    if stint == ARRIVAL:
        return moment
    day = case.timeline.row(stint).day
    # The moment is the end of a piece of work, which may be the very end of the stretch.
    stretch = span_around(case.calendar.stretches.get(day, ()), case.timeline.stints[stint].begins)
    return stretch[1] if stretch else case.clock.midnight_after(day)


def out_too_soon(case: Case) -> Iterator[Broken]:
    """No piece is taken out of a load before its stay is over, counted from when the last piece of the load went in."""
    for name, place in case.scenario.places.items():
        if not takes_whole_loads(place):
            continue
        traffic = traffic_of(case, name, None)
        went_in = traffic.moments[(traffic.change > 0) & (traffic.brought > 0)]
        for lot in case.yard.lots.values():
            for stage, following in zip(lot.stages, lot.stages[1:], strict=False):
                if stage.place == name and stage.after is not None and following.after is not None:
                    after, out = lot.steps[stage.after], lot.steps[following.after]
                    yield from _stay(case, lot, after, out, went_in)


def _stay(case: Case, lot: Lot, after: Step, out: Step, went_in: Moments) -> Iterator[Broken]:
    """Pieces whose own stay is too short are told of where waits are; here those that others were put in beside."""
    own, leaving = case.timeline.of(lot, after).finishes, case.timeline.of(lot, out)
    both = min(len(own), len(leaving))
    begins, own, stints = leaving.begins[:both], own[:both], leaving.stints[:both]
    if not both or not len(went_in):
        return
    # The last to go in before this piece is taken out belongs to its load: a new load waits until all are out.
    last = went_in[np.maximum(np.searchsorted(went_in, begins, "left") - 1, 0)]
    ready = after.wait.ready(last)
    waited = begins >= after.wait.ready(own) - _ROUNDING_S
    soon = waited & (begins >= last) & (begins < ready - _ROUNDING_S)
    for stint in dict.fromkeys(stints[soon].tolist()):
        of_row = soon & (stints == stint)
        missing = np.where(of_row, ready - begins, -np.inf)
        since = int(last[np.argmax(missing)])
        pieces = pieces_text(int(np.count_nonzero(of_row)))
        said = f"too soon for {pieces}: {after.wait.needs(since, '')} from when the last of the load went in"
        said += f" ({case.when(since)}){missing_text(float(missing.max()))}"
        yield broken(Promise.WHOLE_LOADS, case.timeline.row(stint), said)
