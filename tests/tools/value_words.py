"""How a value of a scenario is written, in a keeper's words, from the JSON Schema of the scenario."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from offseason.scenario import typed
from offseason.scenario.words import PAST_YEARS

_LENGTH = typed._LENGTH
OF_PATTERN = {
    typed._DATE: "day",
    typed._DAYS: "day or days",
    typed._HOURS: "hours",
    _LENGTH: "length of time",
    f"{_LENGTH}|^freezer stay$": "length of time, or `freezer stay`",
    f"{_LENGTH}|^season$": "length of time, or `season`",
    f"{_LENGTH}|^{typed.AS_THE_STORE_WARMS}$": f"length of time, or `{typed.AS_THE_STORE_WARMS}`",
    r"^[0-9]+(\.[0-9]+)? *%$": "share",
    "^[0-9]+ *(pieces|combs|boxes)?$": "room",
    r"^-?[0-9.]+(\.\.-?[0-9.]+)?$": "temperature",
    r"^(every day|(mon|tue|wed|thu|fri|sat|sun)([-, ]+\w{3})*)$": "weekdays",
}
"""What a keeper calls a value that an editor knows by this pattern."""

_WHOLE_WORDS = ("room", "temperature", "hours")
"""Kinds whose word says all: a bare number or a list beside the text is the same kind of value."""

_BY_KEY = {
    "last_painted": "a year, `never` or `unknown`",
    "beyond_forecast": f"{', '.join(f'`{word}`' for word in PAST_YEARS)} or a year",
    "forecast": "file",
    "history": "file",
}
"""Entries whose values are told better than by their shape."""

Shape = dict[str, Any]
Link = Callable[[str], str]


def as_written(value: Any) -> str:
    """The value as a file has it."""
    return str(value).lower() if isinstance(value, bool) else str(value)


def kind_of_value(key: str, of: Shape, schema: Shape, link: Link) -> str:
    """How a value of this shape is written; ``link`` gives the place on the page where a model is described."""
    if key in _BY_KEY:
        return _BY_KEY[key]
    if "anyOf" in of:
        return _any_of(key, of["anyOf"], schema, link)
    if "$ref" in of:
        name = of["$ref"].rsplit("/", 1)[1]
        named = schema["$defs"][name]
        return _one_of(named["enum"]) if "enum" in named else f"[entries]({link(name)})"
    return _one_of(of["enum"]) if "enum" in of else _plain(key, of, schema, link)


def _plain(key: str, of: Shape, schema: Shape, link: Link) -> str:
    match _type(of):
        case "integer":
            return f"whole number{_limits(of)}"
        case "number":
            return f"number{_limits(of)}"
        case "string":
            return OF_PATTERN[of["pattern"]] if "pattern" in of else _name(of)
        case "array":
            return f"{OF_PATTERN[of['items']['pattern']]}, several in [ ]" if "pattern" in of["items"] else "names"
        case "object":
            return _object(key, of, schema, link)
    raise SystemExit(f"no words are known for the value of {key}: {of}")


def _type(of: Shape) -> str | None:
    kinds = of.get("type")
    return next(one for one in kinds if one != "null") if isinstance(kinds, list) else kinds


def _any_of(key: str, shapes: Sequence[Shape], schema: Shape, link: Link) -> str:
    shapes = [shape for shape in shapes if shape.get("type") != "null"]
    if any(shape.get("type") == "boolean" for shape in shapes):
        return "true or false"
    told = [kind_of_value(key, shape, schema, link) for shape in shapes]
    whole = [word for word in told if word in _WHOLE_WORDS]
    return whole[0] if whole else ", or ".join(dict.fromkeys(told))


def _object(key: str, of: Shape, schema: Shape, link: Link) -> str:
    if "patternProperties" in of:
        ((pattern, value),) = of["patternProperties"].items()
        return f"{OF_PATTERN[pattern]}: {kind_of_value(key, value, schema, link)}"
    value = of["additionalProperties"]
    if "$ref" in value:
        return f"names, each with [entries]({link(value['$ref'].rsplit('/', 1)[1])})"
    return f"names, each with {kind_of_value(key, value, schema, link)}"


def _name(of: Shape) -> str:
    most = of.get("maxLength", 120)
    return "name" if most == 120 else f"text of up to {most} letters"


def _one_of(words: Sequence[str]) -> str:
    *most, last = (f"`{word}`" for word in words)
    return f"{', '.join(most)} or {last}"


def _limits(of: Shape) -> str:
    least = f"above {of['exclusiveMinimum']:,}" if "exclusiveMinimum" in of else f"{of.get('minimum', 0):,}"
    return f", {least} to {of['maximum']:,}" if "maximum" in of else f", {least} or more"
