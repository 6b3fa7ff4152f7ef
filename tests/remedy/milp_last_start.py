"""The last day on which a step can begin, as a mixed-integer programme asked day by day: the second opinion.

Of when a piece is done only the session is known there, as in the proofs of the solver: nothing that a clock allows
is ruled out.
"""

from __future__ import annotations

from datetime import date

from offseason.workload.model import Workload
from tests.solver.milp_promises import Winter
from tests.solver.programme import constant


def last_day(workload: Workload, lot: int, step: int) -> date | None:
    """The last day before which no piece of the step need be done; None: the winter cannot be done at all."""
    days = [session.day for session in workload.sessions]
    for day in sorted(set(days), reverse=True):
        winter = Winter(workload)
        before = days.index(day) - 1
        if before >= 0:
            winter.programme.equal(winter.n(lot, step, before), constant(0.0))
        if winter.programme.least(constant(0.0)) is not None:
            return day
    return None
