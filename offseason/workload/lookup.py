"""From the names of the keeper to the lot and step they stand for."""

from __future__ import annotations

from datetime import date

from offseason.workload.model import Workload


def step_named(workload: Workload, lot: str, task: str, day: date) -> tuple[int, int] | None:
    """Lot and step by what the keeper calls them, of a round the one due on that day; None: there is none such.

    Of a kind of work that a lot has more than once (a treatment and its renewals) it is the first.
    """
    for n, entry in enumerate(workload.lots):
        if entry.stated == lot and (entry.period is None or entry.period[0] <= day <= entry.period[1]):
            for s, step in enumerate(entry.steps):
                if step.task == task:
                    return n, s
    return None
