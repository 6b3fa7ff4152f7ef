"""From the rows of a plan back to work on the clock, so that a new plan can keep to it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from offseason.plan.document import Row
from offseason.scenario.model import Scenario
from offseason.workload.model import Lot, Work, Workload
from offseason.workload.sessions import elapsed_s


def promised(scenario: Scenario, workload: Workload, rows: Iterable[Row]) -> tuple[Work, ...]:
    """Rows as work of these lots, steps and helpers; what has no counterpart in this winter any more is left out."""
    helpers = {helper.name: n for n, helper in enumerate(workload.helpers)}
    found = []
    for row in rows:
        place = _step_of(workload, row)
        if place is None or not helpers.keys() >= set(row.who):
            continue
        starts_s = elapsed_s(scenario, datetime.combine(row.day, row.start))
        ends_s = elapsed_s(scenario, datetime.combine(row.day, row.end))
        who = tuple(sorted(helpers[name] for name in row.who))
        found.append(Work(-1, starts_s, ends_s, who, *place, row.pieces, round(row.set_up_minutes * 60)))
    return tuple(sorted(found))


def _step_of(workload: Workload, row: Row) -> tuple[int, int] | None:
    for n, lot in enumerate(workload.lots):
        if lot.stated == row.lot and _in_time(lot, row):
            for s, step in enumerate(lot.steps):
                if step.task == row.step:
                    return n, s
    return None


def _in_time(lot: Lot, row: Row) -> bool:
    return lot.period is None or lot.period[0] <= row.day <= lot.period[1]
