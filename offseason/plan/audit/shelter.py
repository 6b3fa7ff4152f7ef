"""What may rest where: wood under shelter, foundation neither cold nor warm, gear suspected of foulbrood by itself."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.plan.audit.broken import Broken, Promise, broken
from offseason.plan.audit.case import Case
from offseason.plan.audit.yard import Lot, Stage
from offseason.plan.document import Row
from offseason.scenario.model import PlaceEntry
from offseason.trade.sizes import FOUNDATION_CELSIUS


def wrong_shelter(case: Case) -> Iterator[Broken]:
    """Woodenware rests out of sun and rain; foundation where the temperature is known and stays in its range."""
    for lot in case.yard.lots.values():
        for stage, row in _reached(case, lot):
            place = case.scenario.places.get(stage.place or "")
            if place is None:
                continue
            if lot.piece_kind == "woodenware" and not _sheltered(place):
                said = f"{lot.name} would rest at {stage.place}, out in sun and rain; wood rests only under shelter"
                yield broken(Promise.SHELTER, row, said, about=lot.name)
            if lot.piece_kind == "foundation" and not _right_for_foundation(place):
                low, high = FOUNDATION_CELSIUS
                said = f"{lot.name} would rest at {stage.place}; foundation rests only where it is known to stay"
                yield broken(Promise.SHELTER, row, f"{said} between {low:g} and {high:g} °C", about=lot.name)


def beside_foulbrood(case: Case) -> Iterator[Broken]:
    """No other gear rests where gear suspected of foulbrood is set apart."""
    for suspected in case.yard.lots.values():
        apart = suspected.stages[0].place if suspected.suspected and suspected.stages else None
        if apart is None:
            continue
        for lot in case.yard.lots.values():
            if lot is suspected:
                continue
            for stage, row in _reached(case, lot):
                if stage.place == apart:
                    said = f"{lot.name} would rest at {apart}, where {suspected.name} are set apart for foulbrood"
                    yield broken(Promise.FOULBROOD, row, said, about=lot.name)


def _sheltered(place: PlaceEntry) -> bool:
    return place.sheltered if place.sheltered is not None else not place.open_air


def _right_for_foundation(place: PlaceEntry) -> bool:
    low, high = FOUNDATION_CELSIUS
    return place.celsius is not None and low <= place.celsius.lowest and place.celsius.highest <= high


def _reached(case: Case, lot: Lot) -> Iterator[tuple[Stage, Row | None]]:
    """Places where pieces of the lot come to rest in this plan, with the first row that brings them (None: arrival)."""
    seen: set[str | None] = set()
    for stage in lot.stages:
        rows = case.timeline.of_step(lot, lot.steps[stage.after]) if stage.after is not None else []
        if stage.place not in seen and (stage.after is None or rows):
            seen.add(stage.place)
            yield stage, rows[0].row if rows else None
