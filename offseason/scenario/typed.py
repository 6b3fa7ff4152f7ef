"""The types of a scenario's entries: a parser of the keeper's words, and how an editor is told of them."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import BeforeValidator, WithJsonSchema

from offseason.scenario.words import (
    AS_THE_STORE_WARMS,
    PAST_YEARS,
    Celsius,
    Days,
    Holds,
    Hours,
    parse_celsius,
    parse_date,
    parse_days,
    parse_duration,
    parse_every,
    parse_file_names,
    parse_flag,
    parse_holds,
    parse_hours_list,
    parse_lasting,
    parse_lead_time,
    parse_past_year,
    parse_share,
    parse_wait,
    parse_weekdays,
)

_DATE = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"
_DAYS = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}(\.\.[0-9]{4}-[0-9]{2}-[0-9]{2})?$"
_HOURS = r"^([0-9]{1,2}:[0-9]{2}-[0-9]{1,2}:[0-9]{2}|none)$"
_LENGTH = r"^[0-9]+(\.[0-9]+)? *(min|h|d|w)$"


def _text(pattern: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "pattern": pattern})


Seconds = Annotated[int, BeforeValidator(parse_duration), _text(_LENGTH)]
Wait = Annotated[int | str, BeforeValidator(parse_wait), _text(f"{_LENGTH}|^freezer stay$")]
Lasting = Annotated[int | str, BeforeValidator(parse_lasting), _text(f"{_LENGTH}|^season$")]
Every = Annotated[int | str, BeforeValidator(parse_every), _text(f"{_LENGTH}|^{AS_THE_STORE_WARMS}$")]
LeadTime = Annotated[int, BeforeValidator(parse_lead_time), _text(_LENGTH)]
PastYear = Annotated[
    int | str,
    BeforeValidator(parse_past_year),
    WithJsonSchema({"anyOf": [{"enum": list(PAST_YEARS)}, {"type": "integer", "minimum": 1800, "maximum": 2199}]}),
]
FileNames = Annotated[
    tuple[str, ...],
    BeforeValidator(parse_file_names),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]
Day = Annotated[date, BeforeValidator(parse_date), _text(_DATE)]
DaySpan = Annotated[Days, BeforeValidator(parse_days), _text(_DAYS)]
HoursList = Annotated[
    tuple[Hours, ...],
    BeforeValidator(parse_hours_list),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "pattern": _HOURS},
                {"type": "null"},
                {"type": "array", "items": {"type": "string", "pattern": _HOURS}},
            ]
        }
    ),
]
Weekdays = Annotated[
    tuple[int, ...],
    BeforeValidator(parse_weekdays),
    _text(r"^(every day|(mon|tue|wed|thu|fri|sat|sun)([-, ]+\w{3})*)$"),
]
Share = Annotated[float, BeforeValidator(parse_share), _text(r"^[0-9]+(\.[0-9]+)? *%$")]
Space = Annotated[
    Holds,
    BeforeValidator(parse_holds),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "integer", "minimum": 1},
                {"type": "string", "pattern": "^[0-9]+ *(pieces|combs|boxes)?$"},
            ]
        }
    ),
]
Temperature = Annotated[
    Celsius,
    BeforeValidator(parse_celsius),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "minimum": -60, "maximum": 60},
                {"type": "string", "pattern": r"^-?[0-9.]+(\.\.-?[0-9.]+)?$"},
            ]
        }
    ),
]
Flag = Annotated[
    bool, BeforeValidator(parse_flag), WithJsonSchema({"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no"]}]})
]
