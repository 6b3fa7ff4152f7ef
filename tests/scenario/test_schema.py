"""The JSON Schema for editors: current, described throughout, and in agreement with our own files."""

from __future__ import annotations

import json
import runpy
from datetime import date
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

from offseason.scenario import schema
from offseason.scenario.model import NeedEntry, Scenario, Then
from offseason.scenario.plain_words import BLOCKS, SECTIONS, fields_of
from offseason.scenario.read import parse_scenario, read_scenario
from offseason.scenario.schema import json_schema, schema_text
from offseason.scenario.starter import starter_text
from offseason.scenario.yaml_tree import read_tree

ROOT = Path(__file__).parents[2]
FILES = sorted((ROOT / "scenarios").glob("*.yaml"))
VALIDATOR = jsonschema.Draft202012Validator(json_schema())


def faults(text: str) -> list[str]:
    tree, _ = read_tree(text, "winter.yaml")
    return [f"{fault.json_path}: {fault.message}" for fault in VALIDATOR.iter_errors(tree.data)]


def test_the_schema_that_comes_with_the_package_is_that_of_the_models():
    """Write it anew with ``python -m offseason.scenario.schema offseason/scenario/scenario.schema.json``."""
    kept = files("offseason.scenario") / "scenario.schema.json"
    assert kept.read_text(encoding="utf-8") == schema_text()


def test_schema_is_a_valid_schema():
    jsonschema.Draft202012Validator.check_schema(json.loads(schema_text()))


def test_every_key_of_every_block_is_described_with_an_example():
    for model in (Scenario, Then, NeedEntry, *BLOCKS.values(), *SECTIONS.values()):
        for key, field in fields_of(model).items():
            assert field.description, (model, key)
            assert field.examples, (model, key)


def test_our_own_scenarios_agree_with_the_schema():
    assert {str(file): faults(file.read_text(encoding="utf-8")) for file in FILES} == {str(file): [] for file in FILES}


def test_our_own_scenarios_have_no_mistake():
    assert FILES
    assert all(read_scenario(file).gear for file in FILES)


def test_starter_agrees_with_the_schema():
    assert faults(starter_text(date(2026, 1, 1))) == []


@pytest.mark.parametrize(
    ("change", "where"),
    [
        (("minutes_each: 7 ", "minuts_each: 7 "), "$.tasks.scrape"),
        (("share: 20%", "share: 20"), "$.tasks['mend holes'].share"),
        (("climate: moderate", "climate: cold"), "$.season.climate"),
        (("holds: 24,", "holds: many,"), "$.places['drying rack'].holds"),
        (("count: 200", "count: 0"), "$.gear['super combs'].count"),
        (("like: painting with latex", "like: painting"), "$.weather.needs.painting.like"),
        (("every: 30 d", "every: as the weather warms"), "$.rounds['check stored comb'].every"),
    ],
)
def test_what_an_editor_can_see_it_marks(change, where):
    assert any(fault.startswith(where) for fault in faults(starter_text(date(2026, 1, 1)).replace(*change)))


def test_examples_in_the_schema_are_examples_that_can_be_read():
    """Each example of a key of an entry, put into a scenario of its own, has the right type."""
    examples = {
        key: field.examples[0]
        for key, field in fields_of(Scenario).items()
        if key in ("season", "moths", "crew", "places", "tasks", "gear", "jobs")
    }
    text = "".join(f"{key}: {example}\n" for key, example in examples.items())
    text = text.replace("rebuild the rack: {", "rebuild the rack: {at: bench, ")
    assert parse_scenario(text, "examples.yaml").season.from_ == date(2026, 10, 5)


def test_the_command_that_writes_the_schema_writes_it_to_the_file_that_is_named(tmp_path, monkeypatch):
    file = tmp_path / "scenario.schema.json"
    monkeypatch.setattr("sys.argv", ["schema", str(file)])
    runpy.run_path(schema.__file__, run_name="__main__")
    assert file.read_text(encoding="utf-8") == schema_text()
    monkeypatch.setattr("sys.argv", ["schema"])
    with pytest.raises(SystemExit, match="Name the file to write, as in: python -m offseason"):
        runpy.run_path(schema.__file__, run_name="__main__")
