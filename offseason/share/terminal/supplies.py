"""What to order, how much of it and by when: the list of supplies for reading, the most pressing at the top."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from offseason.plan.document import Plan
from offseason.plan.supplies import Supply, supplies
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.supply import DEFAULT_LEAD_DAYS, SupplyKind
from offseason.share.terminal.layout import count_text, day_text, paragraph, table

HEADERS = ("order by", "buy", "what", "first needed", "in hand")


def supplies_text(scenario: Scenario, plan: Plan, first: date | None = None, last: date | None = None) -> str:
    """A line for each supply, and what the list is worked out with; empty where the plan needs none.

    ``first`` and ``last``: only what is to be ordered in these days (None: no limit), and what had to be ordered
    before them, is not in hand and is first needed from then on; amounts are for all of the plan. What had to be
    ordered before these days, before the season, or before the day the plan was made, is marked ``order now``.
    """
    asked = [
        supply
        for supply in supplies(scenario, plan)
        if (first is None or supply.order_by >= first or (supply.first_day >= first and not supply.enough))
        and (last is None or supply.order_by <= last)
    ]
    if not asked:
        return ""
    made = plan.made.date()
    now = max(scenario.season.from_, made, first or made)
    rows = [
        (
            _order_by(supply, now),
            amount_text(supply),
            f"{supply.name}{_more(supply, made)}",
            day_text(supply.first_day),
            _measured(supply.in_hand, supply.unit) if supply.in_hand else "-",
        )
        for supply in asked
    ]
    shown = table(rows, HEADERS, numbers=(1, 4), wrap=(2,), indent=2)
    return "\n".join(["Supplies", shown, *(paragraph(note, 2, " ") for note in _notes(scenario, asked))])


def amount_text(supply: Supply) -> str:
    """``12.3 L`` or ``640`` to buy, ``none``, or that the label or the keeper has to say."""
    if supply.enough:
        return "none"
    if supply.kind is SupplyKind.TREATMENT:
        return "see label"
    return "?" if supply.to_buy is None else _measured(supply.to_buy, supply.unit)


def _order_by(supply: Supply, now: date) -> str:
    if supply.enough:
        return "in hand"
    return "order now" if supply.order_by < now else day_text(supply.order_by)


def _measured(amount: float, unit: str) -> str:
    if unit == "L":
        return f"{amount:,.1f} L"
    return f"{amount:,.1f}".removesuffix(".0") + (f" {unit}" if unit else "")


def _more(supply: Supply, made: date) -> str:
    """What stands behind the name: the coats, the usual amount, what the amount leaves out, and whether it is late."""
    said = []
    if supply.kind is SupplyKind.PAINT and len(supply.parts) > 1:
        said.append(listed(f"{step} {max(litres, 0.01):,.2f} L" for step, litres in supply.parts))
    if supply.kind is SupplyKind.TREATMENT:
        said.append(_of_treatment(supply))
    elif supply.left_out:
        said.append(f"without {listed(supply.left_out)}: wall area not known, write wall_area_m2: there")
    if late := supply.days_late(made):
        said.append(f"{count_text(late, 'day')} late if ordered the day this plan was made")
    return f": {'; '.join(said)}" if said else ""


def _of_treatment(supply: Supply) -> str:
    if supply.needed is None:
        return "as its label says"
    usual = f"as its label says; usual amount {_measured(float(round(supply.needed)), supply.unit)} ({supply.usual})"
    untold = f"; not told for {listed(supply.left_out)}: comb not described, with honey, or of unknown size"
    return usual + (untold if supply.left_out else "")


def _notes(scenario: Scenario, asked: Sequence[Supply]) -> Iterator[str]:
    if any(not supply.lead_written and not supply.enough for supply in asked):
        yield (
            f"Ordered {DEFAULT_LEAD_DAYS} days ahead (ours) where no lead_time stands under supplies: in the scenario."
        )
    paints = [supply.name for supply in asked if supply.kind is SupplyKind.PAINT]
    written = [name for name in paints if name in scenario.supplies and scenario.supplies[name].m2_per_litre]
    if set(paints) - set(written):
        yield (
            "Paint: a litre for 9 m² of smooth wood (published; rough wood: 5) and 10 % waste (from memory, not "
            "confirmed); if your tin says otherwise, write m2_per_litre under supplies:."
        )
