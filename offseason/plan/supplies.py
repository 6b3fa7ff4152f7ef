"""What to have in hand by when: paint by the litre, everything else by the piece, from a scenario and its plan."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from offseason.plan.document import Plan, Row
from offseason.scenario.model import GearEntry, Scenario
from offseason.trade.paint import litres
from offseason.trade.sizes import CATALOGUE

PAINTS = ("latex", "oil")


@dataclass(frozen=True)
class Supply:
    """Something to have in hand by ``first_day``: ``amount`` in ``unit`` ("L", or "" for a number of things).

    ``amount`` None: how much cannot be told from the scenario. ``unmeasured``: lots that the amount leaves out,
    because the wall area of their pieces is not known.
    """

    name: str
    amount: float | None
    unit: str
    first_day: date
    unmeasured: tuple[str, ...] = ()


def supplies(scenario: Scenario, plan: Plan) -> tuple[Supply, ...]:
    """All supplies of the work that is planned, those needed first at the top.

    Paint: wall area of the pieces planned for each coat (``trade.paint.litres``: 9 m² a litre, 10 % waste).
    ``uses``: for each piece planned. A treatment: its name without an amount, which is on its label.
    """
    found: dict[tuple[str, str], Supply] = {}
    for supply in _asked(scenario, plan):
        key = (supply.name, supply.unit)
        found[key] = _together(found[key], supply) if key in found else supply
    return tuple(sorted(found.values(), key=lambda supply: (supply.first_day, supply.name)))


def painted_area_m2(gear: GearEntry) -> float | None:
    """Wall area of one piece to paint, outside faces only: the keeper's, else the catalogue's; None where unknown."""
    if gear.wall_area_m2 is not None:
        return gear.wall_area_m2
    piece = CATALOGUE.get(gear.piece)
    return piece.wall_area_m2 if piece else None


def _asked(scenario: Scenario, plan: Plan) -> Iterator[Supply]:
    for row in plan.rows:
        gear, task = scenario.gear.get(row.lot), scenario.tasks.get(row.step)
        if gear is None or task is None:
            continue
        for name, each in task.uses.items():
            yield Supply(name, each * row.pieces, "", row.day)
        if task.treatment is not None:
            yield Supply(task.treatment, None, "", row.day)
        if task.paint in PAINTS:
            yield _paint(row, gear, f"{task.paint} paint for {row.step}")


def _paint(row: Row, gear: GearEntry, name: str) -> Supply:
    area_m2 = painted_area_m2(gear)
    if area_m2 is None:
        return Supply(name, None, "L", row.day, unmeasured=(row.lot,))
    return Supply(name, litres(area_m2 * row.pieces, coats=1), "L", row.day)


def _together(one: Supply, two: Supply) -> Supply:
    amounts = [amount for amount in (one.amount, two.amount) if amount is not None]
    return Supply(
        one.name,
        sum(amounts) if amounts else None,
        one.unit,
        min(one.first_day, two.first_day),
        tuple(dict.fromkeys(one.unmeasured + two.unmeasured)),
    )
