"""Names of what a winter uses up, as they may stand under ``supplies:``."""

from datetime import date
from functools import partial

import pytest

from offseason.scenario.model import GearEntry, TaskEntry
from offseason.scenario.read import parse_scenario
from offseason.scenario.supply import is_bought, paint_name, supply_kinds


def task(**entry):
    return TaskEntry.model_validate({"minutes_each": 5, **entry})


@pytest.mark.parametrize("step", ["primer", "prime bare wood", "Priming", "undercoat"])
def test_a_coat_called_primer_is_a_tin_of_its_own(step):
    assert paint_name(step, task(paint="latex")) == "latex primer"


@pytest.mark.parametrize("step", ["first coat", "primrose yellow", "second coat over primrose"])
def test_every_other_coat_is_of_the_paint(step):
    assert paint_name(step, task(paint="oil")) == "oil paint"


def test_work_without_paint_and_glue_have_none():
    assert paint_name("mend", task()) is None
    assert paint_name("primer", task(paint="glue")) is None


def test_paints_things_and_treatments_are_known_by_name():
    tasks = {
        "coat": task(paint="latex", uses={"brushes": 0.1}),
        "treat": task(treatment="acetic acid 80 %", authorised=True),
    }
    assert dict(supply_kinds(tasks)) == {"latex paint": "paint", "brushes": "thing", "acetic acid 80 %": "treatment"}


def test_a_supply_with_nothing_behind_it_takes_the_usual():
    scenario = parse_scenario(
        """\
season: {from: 2026-10-05, until: 2027-04-09}
crew:
  Ines: {works: {sat: 09:00-12:00}}
places:
  shed: {holds: 40}
tasks:
  mend: {minutes_each: 5, uses: {nails: 4}}
gear:
  frames: {piece: deep frame, count: 20, rests: shed, steps: [mend]}
supplies:
  nails:
""",
        "winter.yaml",
    )
    assert (scenario.supplies["nails"].lead_time, scenario.supplies["nails"].in_hand) == (None, 0)


def test_sheets_that_a_step_uses_up_are_bought_as_that_and_not_as_a_lot_once_more():
    sheets = GearEntry.model_validate({"piece": "sheets", "kind": "foundation", "count": 40, "arrives": "2026-11-02"})
    bought = partial(is_bought, "foundation sheets", sheets, supplies={}, first_day=date(2026, 10, 5))
    assert bought(tasks={"sort": task()})
    assert not bought(tasks={"wire": task(uses={"foundation sheets": 1})})
