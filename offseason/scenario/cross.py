"""What must hold between the entries of a scenario: all checks, one after another."""

from __future__ import annotations

from offseason.scenario.comb import comb_findings
from offseason.scenario.draft import Draft, Finding
from offseason.scenario.guarded import guard_findings
from offseason.scenario.names import name_findings
from offseason.scenario.order import order_findings
from offseason.scenario.stores import store_findings
from offseason.scenario.times import time_findings
from offseason.scenario.work import work_findings


def cross_findings(draft: Draft) -> list[Finding]:
    """Every mistake between entries, each once."""
    checks = (
        name_findings,
        time_findings,
        work_findings,
        store_findings,
        comb_findings,
        guard_findings,
        order_findings,
    )
    return list(dict.fromkeys(finding for check in checks for finding in check(draft)))
