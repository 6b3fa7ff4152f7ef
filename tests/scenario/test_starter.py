"""The scenario a keeper begins with: without mistakes in any year, with the usual work, and every number explained."""

from __future__ import annotations

import re
from dataclasses import asdict
from datetime import date

import pytest

from offseason.scenario.draft import draft_of
from offseason.scenario.lots import steps_of
from offseason.scenario.model import Foulbrood
from offseason.scenario.read import parse_scenario
from offseason.scenario.starter import starter_text
from offseason.scenario.yaml_tree import read_tree
from offseason.trade.fitness import NEEDS


@pytest.mark.parametrize("year", [1999, 2023, 2024, 2026, 2027, 2031, 2100])
def test_starter_has_no_mistake_in_any_year_and_begins_on_5_october(year):
    scenario = parse_scenario(starter_text(date(year, 2, 28)), "starter.yaml")
    assert scenario.season.from_ == date(year, 10, 5)
    assert scenario.season.until.year == year + 1


def test_every_year_of_the_starter_is_shifted():
    assert not re.search(r"\b20[23]\d\b", starter_text(date(2061, 1, 1)).replace("2013", ""))


def test_a_year_out_of_reach_is_a_sentence():
    with pytest.raises(ValueError, match="a winter from 1910 to 2190, not 2500"):
        starter_text(date(2500, 1, 1))


def test_starter_has_the_usual_kinds_of_work():
    scenario = parse_scenario(starter_text(date(2026, 1, 1)), "starter.yaml")
    for task in (
        "scrape",
        "mend holes",
        "primer",
        "first coat",
        "second coat",
        "repair frames",
        "sort out",
        "melt down",
        "freeze",
        "seal",
        "clean excluders",
        "wash feeders",
        "fit foundation",
    ):
        assert any(task in lot.steps for lot in scenario.gear.values()), task
    assert "clean the extractor" in scenario.jobs
    assert any(round_.looks_at == "comb room" for round_ in scenario.rounds.values())


def test_hot_wax_is_worked_by_two_with_its_caution_beside_it():
    melt = parse_scenario(starter_text(date(2026, 1, 1)), "starter.yaml").tasks["melt down"]
    assert melt.hands == 2
    assert "hot wax" in melt.caution


@pytest.mark.parametrize("year", [2026, 2031])
def test_paint_is_due_on_some_boxes_and_not_on_others(year):
    tree, _ = read_tree(starter_text(date(year, 1, 1)), "starter.yaml")
    draft, _, scenario = draft_of(tree)
    coats = {
        name: [step.name for step in steps_of(draft, lot) or [] if step.task.paint]
        for name, lot in scenario.gear.items()
    }
    assert coats["new boxes"] == ["primer", "first coat", "second coat"]
    assert coats["boxes due for paint"] == ["first coat", "second coat"]
    assert coats["other boxes"] == []


def test_what_records_make_possible_stands_there_as_remarks_and_is_valid_once_they_are_taken_away():
    text = starter_text(date(2026, 1, 1))
    for key in ("lean-to:", "forecast:", "history:", "beyond_forecast:"):
        assert f"\n  # {key} " in text
        text = text.replace(f"  # {key}", f"  {key}")
    scenario = parse_scenario(text.replace("every: 30 d ", "every: as the store warms "), "starter.yaml")
    assert scenario.weather.forecast == ("forecast.csv",)
    assert scenario.places["lean-to"].outdoors_plus_k == 2


def test_what_paint_asks_of_the_weather_is_spelled_out_as_the_trade_has_it():
    need = parse_scenario(starter_text(date(2026, 1, 1)), "starter.yaml").weather.needs["painting"]
    written = need.model_dump(exclude={"like"})
    assert written == asdict(NEEDS["painting with latex"])
    assert need.like == "painting with latex"


def test_no_routine_work_on_comb_suspected_of_foulbrood():
    gear = parse_scenario(starter_text(date(2026, 1, 1)), "starter.yaml").gear
    assert all(lot.foulbrood is Foulbrood.NONE for lot in gear.values())
    uncommented = starter_text(date(2026, 1, 1)).replace("  # combs from the sick hive:", "  combs from the sick hive:")
    locked = uncommented.replace("\nplaces:\n", "\nplaces:\n  locked box: {holds: 20}\n")
    assert parse_scenario(locked, "starter.yaml").gear["combs from the sick hive"].foulbrood is Foulbrood.SUSPECTED


def test_every_number_of_the_trade_says_where_it_comes_from():
    """Minutes are from memory or the keeper's own; waits, weather and cold name their source."""
    text = starter_text(date(2026, 1, 1))
    for line in text.splitlines():
        if re.match(r"\s+(minutes_each|setup_minutes|share|within|every|hours):", line):
            assert re.search(r"# .*(yours|from memory|published|derived|common practice|half of)|# yours", line), line
    for mark in ("published", "common practice", "from memory", "derived", "yours"):
        assert text.count(mark) >= 2
    assert "The label of a product and your local authority come before any number in this file." in text


def test_starter_is_small_and_its_work_fits_generously_into_the_hours():
    scenario = parse_scenario(starter_text(date(2026, 1, 1)), "starter.yaml")
    minutes = sum(
        lot.count * scenario.tasks[step].minutes_each * scenario.tasks[step].hands
        for lot in scenario.gear.values()
        for step in lot.steps
    )
    weekly = sum(
        (hours.end.hour - hours.start.hour) * 60 * len(days)
        for helper in scenario.crew.values()
        for days, stretches in helper.works.items()
        for hours in stretches
    )
    weeks = (scenario.season.until - scenario.season.from_).days / 7
    assert len(scenario.crew) == 2
    assert minutes * 3 < weekly * weeks
