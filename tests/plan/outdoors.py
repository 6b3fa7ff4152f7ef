"""Air outdoors written by hand, and what the audit says of a plan in it."""

from __future__ import annotations

from datetime import date

import numpy as np

from offseason.plan.audit import audit
from offseason.weather.outlook import Air, Outlook
from tests.plan.winters import plan, winter

FIRST = date(2026, 10, 1)


def air(celsius=15.0, humidity=50.0, days=40, first=FIRST):
    """The same air in every hour, to be changed by the test; at 15 °C and 50 % latex dries in 8 h (derived)."""
    return Air(first, np.full((days, 24), celsius), np.full((days, 24), humidity), np.full(days, celsius))


def from_means(first, *means):
    """Air of which only the daily means matter."""
    return Air(
        first, np.full((len(means), 24), np.nan), np.full((len(means), 24), np.nan), np.array(means, dtype=float)
    )


def told(scenario, rows, outdoors):
    """What the audit says: promise, line and sentence of each broken promise."""
    outlook = Outlook({}, outdoors, None, ()) if outdoors is not None else None
    found = audit(winter(scenario), plan(rows), outlook)
    return [(str(b.promise), b.row.line if b.row else None, b.text) for b in found]


def assert_keeps(scenario, rows, outdoors):
    assert told(scenario, rows, outdoors) == []


def assert_breaks(scenario, rows, outdoors, promise, line, says=""):
    found = told(scenario, rows, outdoors)
    assert [(p, at) for p, at, _ in found] == [(promise, line)], found
    assert says in found[0][2]
