"""One heading of a weather file: the word, its unit in brackets, and what is meant where the brackets are missing."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from types import MappingProxyType

from offseason.weather.table import DAILY_COLUMNS, HOURLY_COLUMNS
from offseason.weather.units import unit_named

SEPARATORS = (";", "\t", ",")
LONGEST_LINE = 20_000

COLUMNS: Mapping[str, str] = MappingProxyType({**HOURLY_COLUMNS, **DAILY_COLUMNS})
"""Every column known, by the hour or by the day, with the kind of its unit."""

_MOST_WORDS = 12  # ours: no heading known here has more
_CLOCK = re.compile(r"UTC|GMT|Z|local|(?:UTC|GMT)?[-+][0-9]{1,2}(?::?[0-9]{2})?", re.IGNORECASE)
_ALSO = {
    "date": "day", "relative humidity": "humidity", "air temperature": "temperature", "dewpoint": "dew point",
    "wind speed": "wind", "precipitation": "rain", "precip": "rain", "rainfall": "rain",
    "lowest temperature": "lowest", "highest temperature": "highest",
}  # fmt: skip


def separator_of(line: str) -> str | None:
    """What sets the fields of the line apart; None where nothing does."""
    separator = max(SEPARATORS, key=line.count)
    return separator if separator in line else None


def fields_of(line: str, separator: str) -> list[str]:
    """The fields of one line; a field in double quotes may hold the separator. Raises csv.Error."""
    return next(csv.reader([line], delimiter=separator)) if '"' in line else line.split(separator)


def heading(field: str) -> tuple[str, str | None]:
    """The word of a heading as it is known here, and what stands in brackets behind it (None: nothing)."""
    text = field.strip()
    if text.endswith(("]", ")")):
        inner = text[:-1]
        closed = max(inner.rfind("]"), inner.rfind(")"))
        opened = min((at for sign in "[(" if (at := inner.find(sign, closed + 1)) >= 0), default=None)
        if opened is not None:
            return _known(inner[:opened].rstrip()), inner[opened + 1 :].strip()
    return _known(text), None


def in_brackets(field: str) -> str | None:
    """How a heading that ends in a unit or a clock without brackets is to be written; None where it is none such."""
    words = field.replace("°", " °").replace("º", " º").replace("_", " ").split()
    for cut in range(1, len(words) if len(words) <= _MOST_WORDS else 0):
        word, unit = _known(re.sub(r"( in|[-:,/])$", "", " ".join(words[:cut])).strip()), " ".join(words[cut:])
        if word == "time" and _CLOCK.fullmatch(unit):
            return f"time [{unit}]"
        if word in COLUMNS and (known := unit_named(unit, COLUMNS[word])):
            return f"{word} [{known.word}]"
    return None


def _known(word: str) -> str:
    word = re.sub(r"[\s_]+", " ", word).casefold()
    return _ALSO.get(word, word)
