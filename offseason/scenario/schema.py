"""The JSON Schema of a scenario file, for completion and hints in editors.

``scenario.schema.json`` beside this module is this schema, and comes with the package;
``python -m offseason.scenario.schema FILE`` writes it to a file of your own. What must hold between entries (names,
dates, orders) is beyond a schema: ``offseason check`` says that.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from offseason.scenario.model import Scenario
from offseason.trade.cautions import CAUTIONS
from offseason.trade.fitness import NEEDS
from offseason.trade.sizes import CATALOGUE, KINDS


def json_schema() -> dict[str, Any]:
    """The schema, with a description and examples for every key."""
    schema = Scenario.model_json_schema(by_alias=True)
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "A winter's work: the scenario file of offseason"
    definitions = schema["$defs"]
    gear = definitions["GearEntry"]["properties"]
    gear["piece"]["examples"] = list(CATALOGUE)
    _text_of(gear["kind"])["enum"] = list(KINDS)
    _text_of(definitions["NeedEntry"]["properties"]["like"])["enum"] = list(NEEDS)
    for entry in ("TaskEntry", "JobEntry", "RoundEntry"):
        definitions[entry]["properties"]["caution"]["items"]["examples"] = list(CAUTIONS)
    for model in (schema, *definitions.values()):
        _tidy(model)
    return schema


def _text_of(field: dict[str, Any]) -> dict[str, Any]:
    kinds: list[dict[str, Any]] = field["anyOf"]
    return next(kind for kind in kinds if kind.get("type") == "string")


def _tidy(model: dict[str, Any]) -> None:
    """Titles derived from Python names away; a key that may be left out may also be left empty."""
    needed = model.get("required", [])
    for name, field in model.get("properties", {}).items():
        field.pop("title", None)
        if name not in needed:
            _may_be_empty(field)


def _may_be_empty(field: dict[str, Any]) -> None:
    if isinstance(field.get("type"), str):
        field["type"] = [field["type"], "null"]
    elif "anyOf" in field and {"type": "null"} not in field["anyOf"]:
        field["anyOf"].append({"type": "null"})


def schema_text() -> str:
    """The schema as it stands in the file."""
    return json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("Name the file to write, as in: python -m offseason.scenario.schema scenario.schema.json")
    Path(sys.argv[1]).write_text(schema_text(), encoding="utf-8")
