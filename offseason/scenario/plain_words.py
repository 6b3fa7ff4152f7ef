"""What the data model finds wrong with one value, told in plain words: what was found and what to write."""

from __future__ import annotations

import typing
from enum import Enum
from typing import Any

from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from offseason.scenario.model import (
    Entry,
    GearEntry,
    HelperEntry,
    JobEntry,
    Moths,
    NeedEntry,
    NewEntry,
    PlaceEntry,
    PricesEntry,
    RoundEntry,
    Scenario,
    Season,
    SupplyEntry,
    TaskEntry,
    Then,
    WeatherEntry,
)
from offseason.scenario.nearest import listed, nearest, offer
from offseason.scenario.words import shown
from offseason.scenario.yaml_tree import Node, Path, scalar_value

QUOTE = "'"

BLOCKS: dict[str, type[Entry]] = {"season": Season, "moths": Moths, "prices": PricesEntry, "weather": WeatherEntry}
SECTIONS: dict[str, type[Entry]] = {
    "crew": HelperEntry,
    "places": PlaceEntry,
    "tasks": TaskEntry,
    "gear": GearEntry,
    "jobs": JobEntry,
    "rounds": RoundEntry,
    "supplies": SupplyEntry,
}


def model_at(path: Path) -> type[Entry] | None:
    """The model that describes the block at this path, None where the path leads to something else."""
    match path:
        case ():
            return Scenario
        case (str() as block,) if block in BLOCKS:
            return BLOCKS[block]
        case (str() as section, _) if section in SECTIONS:
            return SECTIONS[section]
        case ("tasks", _, "then"):
            return Then
        case ("weather", "needs", _):
            return NeedEntry
        case ("prices", "new", _):
            return NewEntry
    return None


def fields_of(model: type[Entry]) -> dict[str, FieldInfo]:
    """The keys a keeper may write in a block, with what is known of each."""
    return {f.alias or name: f for name, f in model.model_fields.items()}


def sentence(error: ErrorDetails, path: Path, tree: Node) -> str:
    """One mistake in words. ``path`` leads to the value in ``tree``, or to where it should be."""
    kind, ctx, key = error["type"], error.get("ctx", {}), _key(path)
    if kind == "missing":
        return _missing(path, tree)
    if kind == "extra_forbidden":
        return _unknown_key(path)
    if kind == "value_error":
        return str(ctx["error"])
    node = tree.at(path)
    found = shown(node.text if node and node.text is not None and error["input"] is not None else error["input"])
    if kind == "enum":
        return _choice(path, found, error["input"])
    if kind in _LIMITS:
        limits = {name: f"{limit:,.10g}" for name, limit in ctx.items()}
        return f"{key}: {found.strip(QUOTE)} cannot be; write {_LIMITS[kind].format(**limits)}"
    if kind in _WHOLE:
        return _WHOLE[kind].format(key=key, found=found, **ctx)
    return f"{found} {_wanted(kind, error['input'])}{_example(path)}"


def _wanted(kind: str, found: Any) -> str:
    if kind == "string_type" and isinstance(found, (list, dict)):
        return "cannot stand here; write one name"
    if kind in ("int_type", "float_type") and isinstance(found, str) and isinstance(scalar_value(found), (int, float)):
        return "is in quotes, so it counts as text; take them away"
    return _WANTED.get(kind, "does not fit here; write it")


_WHOLE = {
    "too_short": "'{key}' names nobody; add a person and their hours, as in Ines: {{works: {{sat: 09:00-12:00}}}}",
    "string_too_short": "a name is empty here; write one or delete it",
    "string_too_long": "{found} is too long; use at most {max_length} letters",
}
_LIMITS = {
    "greater_than": "a number above {gt}",
    "greater_than_equal": "{ge} or more",
    "less_than": "a number below {lt}",
    "less_than_equal": "{le} or less",
    "finite_number": "a number",
}
_WANTED = {
    "int_type": "is not a whole number; write one in figures",
    "int_from_float": "is not a whole number; write one in figures",
    "int_parsing": "is not a whole number; write one in figures",
    "int_parsing_size": "is not a whole number; write one in figures",
    "float_type": "is not a number; write one in figures",
    "float_parsing": "is not a number; write one in figures",
    "string_type": "is not a name; if you use it as one, put it in quotes",
    "model_type": "cannot stand here; this wants keys and values, without dashes, indented below or in { }",
    "model_attributes_type": "cannot stand here; this wants keys and values, without dashes, indented below or in { }",
    "dict_type": "cannot stand here; this wants keys and values, without dashes, indented below or in { }",
    "tuple_type": "is not a list; put it in [ ] or write each line with a dash",
}


def _key(path: Path) -> str:
    return next((str(p) for p in reversed(path) if isinstance(p, str)), "the file")


def _field(path: Path) -> tuple[str, FieldInfo] | None:
    for length in range(len(path), 0, -1):
        model = model_at(path[: length - 1])
        if model is not None and isinstance(name := path[length - 1], str):
            known = fields_of(model).get(name)
            return (name, known) if known else None
    return None


def _example(path: Path) -> str:
    known = _field(path)
    return f", as in {known[0]}: {known[1].examples[0]}" if known and known[1].examples else ""


def _missing(path: Path, tree: Node) -> str:
    key, owner = _key(path), _key(path[:-1])
    if tree.at(path) is not None:
        return f"'{key}' has nothing after it; complete it{_example(path)}"
    if len(path) == 1:
        return f"the file has no '{key}'; add it{_example(path)}"
    return f"'{owner}' lacks '{key}'; add it{_example(path)}"


def _unknown_key(path: Path) -> str:
    key, model = str(path[-1]), model_at(path[:-1])
    known = list(fields_of(model)) if model else []
    if ":" in key:
        return f"the colon in '{key[:60]}' wants a space after it"
    found = f"'{key[:60]}' is not a word known here"
    return f"{found}; {offer(key, known, what='a scenario has' if len(path) == 1 else 'known here')}"


def _choice(path: Path, found: str, value: Any) -> str:
    known = _field(path)
    words = _words(known[1].annotation) if known else []
    close = nearest(str(value), words)
    did_you = f" (did you mean '{close}'?)" if close else ""
    return f"{found} is not known for '{_key(path)}'{did_you}; write {listed(words, 'or')}"


def _words(annotation: Any) -> list[str]:
    for kind in (annotation, *typing.get_args(annotation)):
        if isinstance(kind, type) and issubclass(kind, Enum):
            return [str(word.value) for word in kind]
    return []
