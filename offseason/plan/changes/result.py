"""What a plan comes to, as far as two plans are compared by it."""

from __future__ import annotations

from offseason.plan.changes.model import Result
from offseason.plan.document import Plan
from offseason.plan.reading import comb_safety
from offseason.workload.model import Importance, Workload


def result_of(workload: Workload, plan: Plan) -> Result:
    """When each lot of comb is safe, and when work that must be done ends."""
    must = {
        (lot.stated, step.task)
        for lot in workload.lots
        if lot.period is None
        for step in lot.steps
        if step.importance == Importance.MUST
    }
    return Result(
        comb=comb_safety(workload, plan),
        must_ends=max((row.day for row in plan.rows if (row.lot, row.step) in must), default=None),
    )
