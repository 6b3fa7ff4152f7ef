"""What must hold between the entries of a scenario: all checks, one after another."""

from __future__ import annotations

from itertools import islice

from offseason.scenario.bounds import too_many_changes
from offseason.scenario.comb import comb_findings, cool_store_findings
from offseason.scenario.draft import Draft, Finding
from offseason.scenario.fit import fit_findings
from offseason.scenario.foundation import foundation_findings
from offseason.scenario.guarded import guard_findings
from offseason.scenario.names import name_findings
from offseason.scenario.order import order_findings
from offseason.scenario.outdoors import outdoor_findings
from offseason.scenario.prices import price_findings
from offseason.scenario.problems import MOST_TOLD
from offseason.scenario.stores import store_findings
from offseason.scenario.supply import supply_findings
from offseason.scenario.times import time_findings
from offseason.scenario.work import work_findings


def cross_findings(draft: Draft) -> list[Finding]:
    """Every mistake between entries, each once, of one kind not more than MOST_TOLD."""
    if beyond := list(too_many_changes(draft)):
        return beyond
    checks = (
        name_findings,
        time_findings,
        fit_findings,
        outdoor_findings,
        work_findings,
        store_findings,
        comb_findings,
        cool_store_findings,
        guard_findings,
        order_findings,
        foundation_findings,
        supply_findings,
        price_findings,
    )
    return list(dict.fromkeys(finding for check in checks for finding in islice(check(draft), MOST_TOLD + 1)))


def moth_findings(draft: Draft) -> list[Finding]:
    """The mistakes that only show once records have told when moths fly, where that is left out, and what is fit."""
    beyond = list(too_many_changes(draft))
    return beyond or list(dict.fromkeys([*cool_store_findings(draft), *guard_findings(draft)]))
