"""From the rows of a plan back to work on the clock, so that a new plan can keep to it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import datetime

from offseason.plan.document import Row
from offseason.scenario.model import Scenario
from offseason.workload.lookup import step_named
from offseason.workload.model import Importance, Work, Workload
from offseason.workload.sessions import elapsed_s


def promised(scenario: Scenario, workload: Workload, rows: Iterable[Row]) -> tuple[Work, ...]:
    """Rows as work of these lots, steps and helpers; what has no counterpart in this winter any more is left out."""
    helpers = {helper.name: n for n, helper in enumerate(workload.helpers)}
    found = []
    for row in rows:
        place = step_named(workload, row.lot, row.step, row.day)
        if place is None or not helpers.keys() >= set(row.who):
            continue
        starts_s = elapsed_s(scenario, datetime.combine(row.day, row.start))
        ends_s = elapsed_s(scenario, datetime.combine(row.day, row.end))
        who = tuple(sorted(helpers[name] for name in row.who))
        found.append(Work(-1, starts_s, ends_s, who, *place, row.pieces, round(row.set_up_minutes * 60)))
    return tuple(sorted(found))


def wanted_by(workload: Workload, rows: Iterable[Row]) -> dict[tuple[int, int], int]:
    """Pieces of each (lot, step) that a plan has in all, done or planned, as far as there are so many."""
    found: Counter[tuple[int, int]] = Counter()
    for row in rows:
        place = step_named(workload, row.lot, row.step, row.day)
        if place is not None:
            found[place] += row.pieces
    return {(lot, step): min(n, workload.lots[lot].steps[step].pieces) for (lot, step), n in found.items()}


def missed_by(workload: Workload, wanted: Mapping[tuple[int, int], int], rows: Iterable[Row]) -> bool:
    """Whether optional work that was wanted is not among these rows; rounds whose time is over do not count."""
    there = wanted_by(workload, rows)
    return any(
        there.get((lot, step), 0) < pieces
        for (lot, step), pieces in wanted.items()
        if workload.lots[lot].steps[step].importance is not Importance.MUST and workload.lots[lot].steps[step].worth
    )
