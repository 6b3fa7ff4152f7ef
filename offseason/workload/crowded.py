"""Places that what arrives would overfill if nobody did anything before."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from offseason.workload.model import Workload


@dataclass(frozen=True)
class Crowded:
    """A place that has ``spaces`` too few when gear arrives at ``since_s``, the first time that it has too few."""

    place: str
    spaces: int
    since_s: int


def crowded(workload: Workload) -> Iterator[Crowded]:
    """Every place that is too full as soon as gear arrives, if nothing is moved out of it by then."""
    for index, place in enumerate(workload.places):
        if place.holds is None:
            continue
        arriving: dict[int, int] = {}
        for lot in workload.lots:
            spaces = sum(stay.spaces for stay in lot.rests if stay.place == index) * lot.count
            if spaces:
                arriving[lot.arrives_s] = arriving.get(lot.arrives_s, 0) + spaces
        inside = 0
        for moment_s, spaces in sorted(arriving.items()):
            inside += spaces
            if inside > place.holds:
                yield Crowded(place.name, inside - place.holds, moment_s)
                break
