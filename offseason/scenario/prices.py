"""Names under ``prices:``: helpers, supplies and gear that are described nowhere."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.nearest import nearest, offer
from offseason.scenario.supply import SupplyKind, supply_kinds
from offseason.trade.sizes import CATALOGUE


def price_findings(draft: Draft) -> Iterator[Finding]:
    """Prices of helpers, supplies and pieces this winter does not know; words of the catalogue may always be priced."""
    yield from _help(draft)
    yield from _supplies(draft)
    yield from _new(draft)


def _help(draft: Draft) -> Iterator[Finding]:
    people = draft.names("crew")
    for name in draft.prices.help if draft.readable("crew") else ():
        if name not in people:
            told = offer(name, people, what="described there")
            yield _on("help", name, f"'{name[:60]}' is not described under crew; {told}")


def _supplies(draft: Draft) -> Iterator[Finding]:
    read = all(draft.sound_in("tasks", name, "uses", "paint", "treatment") for name in draft.names("tasks"))
    if not (read and draft.readable("tasks")):
        return
    kinds = supply_kinds(draft.tasks)
    used = [name for name, kind in kinds.items() if kind is not SupplyKind.TREATMENT]
    for name in draft.prices.supplies:
        if kinds.get(name) is SupplyKind.TREATMENT:
            told = "the label says how much of it is taken, so it is not counted in money; delete it"
            yield _on("supplies", name, f"'{name[:60]}' is a treatment: {told}")
        elif name not in used:
            told = offer(name, used, what="used this winter")
            yield _on("supplies", name, f"'{name[:60]}' is not used by any task this winter; {told}")


def _new(draft: Draft) -> Iterator[Finding]:
    read = all(draft.sound_in("gear", name, "piece") for name in draft.names("gear"))
    if not (read and draft.readable("gear")):
        return
    here = list(dict.fromkeys([*draft.names("gear"), *(lot.piece for lot in draft.gear.values())]))
    for name in draft.prices.new:
        if name not in here and name not in CATALOGUE:
            close = nearest(name, [*here, *CATALOGUE])
            told = f"did you mean '{close}'?" if close else offer(name, here, what="here")
            yield _on("new", name, f"'{name[:60]}' is neither a lot of gear nor a piece; {told}")


def _on(key: str, name: str, text: str) -> Finding:
    return Finding(("prices", key, name), text, on_key=True)
