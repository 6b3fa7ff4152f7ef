"""Places that take whole loads, such as freezers: a new load only into an empty place, and no topping up."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from offseason.plan.audit.broken import Broken, Promise, broken, pieces_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.clock import span_around
from offseason.plan.audit.space import ARRIVAL, Traffic, traffic_of
from offseason.scenario.model import PlaceEntry

# Where comb freezes through: a half-frozen load must not be warmed by the next one.
_FREEZES_BELOW_OR_AT_CELSIUS = -7


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
