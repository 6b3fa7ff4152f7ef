"""What to order by when: paint by the litre, everything else by the piece, from a scenario and its plan."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from offseason.plan.document import Plan
from offseason.scenario.lots import spaces_of
from offseason.scenario.model import GearEntry, Scenario, SupplyEntry, TaskEntry
from offseason.scenario.supply import DEFAULT_LEAD_DAYS, SupplyKind, is_bought, paint_name
from offseason.trade.paint import litres
from offseason.trade.sizes import CATALOGUE
from offseason.trade.treatments import usual_amount

_DAY_S = 86_400


@dataclass(frozen=True)
class Supply:
    """Something to have in hand by ``first_day``: ``needed`` in ``unit`` ("L", "ml", "g", or "" for things).

    ``needed`` None: how much cannot be told from the scenario. ``kind`` treatment: ``needed`` is what is usually
    taken, and the label decides; ``usual`` says what it is worked out from. ``lead_days``: whole days from ordering to
    having it; ``lead_written``: as the scenario says. ``parts``: how much of it each step takes. ``left_out``: lots
    the amount leaves out: the wall area of their pieces is not known, or no amount of the treatment may be told.
    """

    name: str
    kind: SupplyKind
    needed: float | None
    unit: str
    first_day: date
    in_hand: float = 0.0
    lead_days: int = DEFAULT_LEAD_DAYS
    lead_written: bool = False
    parts: tuple[tuple[str, float], ...] = ()
    left_out: tuple[str, ...] = ()
    usual: str = ""

    @property
    def to_buy(self) -> float | None:
        """What is needed and not in hand, rounded up: paint to a tenth of a litre, else to whole ones."""
        if self.needed is None:
            return None
        missing = round(self.needed - self.in_hand, 6)  # sums of tenths are a hair off
        if missing <= 0:
            return 0.0
        return math.ceil(round(missing * 10, 5)) / 10 if self.unit == "L" else float(math.ceil(missing))

    @property
    def enough(self) -> bool:
        """Whether what is in hand is known to be enough."""
        return self.to_buy == 0 and not self.left_out

    @property
    def order_by(self) -> date:
        """Last day on which what is ordered still comes in time."""
        return self.first_day - timedelta(days=self.lead_days)

    def days_late(self, ordered: date) -> int:
        """Days by which it comes too late for the first work, ordered on that day; 0 where that day is past or kept."""
        if self.enough or ordered > self.first_day:
            return 0
        return max(0, (ordered - self.order_by).days)


@dataclass(frozen=True)
class _Asked:
    """What some rows of one step ask of one supply; the fields mean the same as those of ``Supply``."""

    kind: SupplyKind
    name: str
    first_day: date
    step: str
    amount: float | None
    unit: str = ""
    left_out: str | None = None
    usual: str = ""


def supplies(scenario: Scenario, plan: Plan) -> tuple[Supply, ...]:
    """All supplies of the work that is planned: what must be ordered first at the top, what need not be last.

    Paint: wall area of the pieces planned for each coat (``trade.paint.litres``: 9 m² a litre unless written, 10 %
    waste). ``uses``: for each piece planned. A treatment: what is usual (``trade.treatments``), told only where it is
    authorised and never for comb with honey. Gear that is bought: all its pieces.
    First needed on the day of the first work with it, ordered as many days before as it takes to come: as written
    under ``supplies:``, else 7 (ours).
    """
    found: dict[tuple[SupplyKind, str], list[_Asked]] = defaultdict(list)
    for one in sorted(_asked(scenario, plan), key=lambda one: one.first_day):
        found[one.kind, one.name].append(one)
    made = [_together(several, scenario.supplies.get(name, SupplyEntry())) for (_, name), several in found.items()]
    return tuple(sorted(made, key=lambda supply: (supply.enough, supply.order_by, supply.name)))


def painted_area_m2(gear: GearEntry) -> float | None:
    """Wall area of one piece to paint, outside faces only: the keeper's, else the catalogue's; None where unknown."""
    if gear.wall_area_m2 is not None:
        return gear.wall_area_m2
    piece = CATALOGUE.get(gear.piece)
    return piece.wall_area_m2 if piece else None


def _asked(scenario: Scenario, plan: Plan) -> Iterator[_Asked]:
    pieces: dict[tuple[str, str], int] = defaultdict(int)
    begins: dict[tuple[str, str], date] = {}
    for row in plan.rows:
        if row.lot in scenario.gear and row.step in scenario.tasks:
            pieces[row.lot, row.step] += row.pieces
            begins[row.lot, row.step] = min(row.day, begins.get((row.lot, row.step), row.day))
    lots: dict[str, date] = {}
    for (name, step), count in pieces.items():
        lot, task, day = scenario.gear[name], scenario.tasks[step], begins[name, step]
        lots[name] = min(day, lots.get(name, day))
        for thing, each in task.uses.items():
            yield _Asked(SupplyKind.THING, thing, day, step, each * count)
        if (paint := paint_name(step, task)) is not None:
            yield _paint(scenario, paint, day, step, name, count)
        if task.treatment is not None:
            yield _treatment(task, task.treatment, day, step, (name, lot), count)
    for name, day in lots.items():
        lot = scenario.gear[name]
        if is_bought(name, lot, scenario.tasks, scenario.supplies, first_day=scenario.season.from_):
            yield _Asked(SupplyKind.GEAR, name, day, name, lot.count)


def _paint(scenario: Scenario, paint: str, day: date, step: str, name: str, pieces: int) -> _Asked:
    area_m2 = painted_area_m2(scenario.gear[name])
    if area_m2 is None:
        return _Asked(SupplyKind.PAINT, paint, day, step, None, "L", left_out=name)
    written = scenario.supplies.get(paint, SupplyEntry()).m2_per_litre
    amount = litres(area_m2 * pieces, 1) if written is None else litres(area_m2 * pieces, 1, written)
    return _Asked(SupplyKind.PAINT, paint, day, step, amount, "L")


def _treatment(
    task: TaskEntry, treatment: str, day: date, step: str, named: tuple[str, GearEntry], pieces: int
) -> _Asked:
    name, lot = named
    comb = lot.comb.value if lot.comb else None
    usual = usual_amount(treatment, comb, lot.piece, pieces, spaces_of(lot)) if task.authorised else None
    if usual is None:
        return _Asked(SupplyKind.TREATMENT, treatment, day, step, None, left_out=name)
    return _Asked(SupplyKind.TREATMENT, treatment, day, step, usual.amount, usual.unit, usual=usual.each)


def _together(several: list[_Asked], entry: SupplyEntry) -> Supply:
    """One supply of all that is asked of it, the earliest first."""
    parts: dict[str, float] = {}
    for one in several:
        if one.amount is not None:
            parts[one.step] = parts.get(one.step, 0.0) + one.amount
    return Supply(
        name=several[0].name,
        kind=several[0].kind,
        needed=sum(parts.values()) if parts else None,
        unit=next((one.unit for one in several if one.unit), ""),
        first_day=several[0].first_day,
        in_hand=entry.in_hand,
        lead_days=DEFAULT_LEAD_DAYS if entry.lead_time is None else math.ceil(entry.lead_time / _DAY_S),
        lead_written=entry.lead_time is not None,
        parts=tuple(parts.items()),
        left_out=tuple(dict.fromkeys(one.left_out for one in several if one.left_out is not None)),
        usual="; ".join(dict.fromkeys(one.usual for one in several if one.usual)),
    )
