"""Whether what was logged can have been at its place at once: more than a freezer holds is odd, and is remarked."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime

from offseason.plan.progress.entry import Entry
from offseason.plan.progress.log import Log
from offseason.plan.progress.pieces import lots_called
from offseason.scenario.model import Scenario
from offseason.workload.model import Stay, Step, Workload
from offseason.workload.sessions import DAY_S, day_ends_s, day_starts_s, elapsed_s


def too_full(workload: Workload, scenario: Scenario, log: Log, entry: Entry) -> Iterator[str]:
    """A sentence for each place where with this entry there was surely more on its day than it holds at once.

    Counted is what went in on that day, spread over as many loads as can follow one another in a day, and what went in
    before and cannot have been ready until its end.
    """
    for place_at in {stay.place: None for _, stay in _waits(workload, entry)}:
        place = workload.places[place_at]
        holds = scenario.places[place.name].holds
        if place.holds is None or holds is None:
            continue
        rows = (*log.entries, entry)
        spaces = sum(_spaces(workload, scenario, row, place_at, entry) for row in rows)
        if spaces > place.holds:
            each = place.holds // holds.spaces  # a box takes more than one of the spaces counted
            yield (
                f"'{place.name}' holds {holds.spaces:,} {holds.unit} at once, and with this there were "
                f"{math.ceil(spaces / each):,} in it on {entry.day}; is the number right?"
            )


def _waits(workload: Workload, entry: Entry) -> Iterator[tuple[Step, Stay]]:
    """Where pieces wait after the work of a row, such as in the freezer."""
    for lot in lots_called(workload, entry.lot)[:1]:
        for step in lot.steps:
            if step.task == entry.step and step.waits:
                yield from ((step, stay) for stay in step.stays)
                return


def _spaces(workload: Workload, scenario: Scenario, row: Entry, place: int, on: Entry) -> float:
    """Spaces that a row surely took at a place at some one time of the day of ``on``."""
    step, stay = next(((step, stay) for step, stay in _waits(workload, row) if stay.place == place), (None, None))
    if step is None or stay is None or row.day > on.day:
        return 0
    midnight_s = day_starts_s(scenario, row.day)
    if row.day == on.day:
        loads = 1 + (DAY_S - 1) // max(1, step.ready_s(midnight_s) - midnight_s)
        return row.pieces * stay.spaces / loads
    since_s = midnight_s if row.until is None else elapsed_s(scenario, datetime.combine(row.day, row.until))
    return row.pieces * stay.spaces if step.ready_s(since_s) >= day_ends_s(scenario, on.day) else 0
