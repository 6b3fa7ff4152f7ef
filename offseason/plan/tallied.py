"""Work done, written down as a plan, for all that adds up a plan."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, time

from offseason.plan.document import Plan, Row


def rows_of_tally(tally: Mapping[tuple[str, str], int], day: date) -> Plan:
    """A plan with one row for each lot and step of which pieces are done, all on one ``day``, by nobody in no time."""
    rows = tuple(
        Row(day, time(), time(), (), lot, step, pieces, done=True) for (lot, step), pieces in tally.items() if pieces
    )
    return Plan("", "", datetime(day.year, day.month, day.day, tzinfo=UTC), "the log", False, (), rows)
