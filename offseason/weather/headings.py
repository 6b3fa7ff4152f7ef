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

_HEADING = re.compile(r"\s*(?P<word>.*?)\s*(?:[\[(]\s*(?P<unit>[^\])]*?)\s*[\])])?\s*", re.DOTALL)
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
    found = _HEADING.fullmatch(field)
    if found is None:
        return field.strip().casefold(), None
    return _known(found["word"]), found["unit"]


def in_brackets(field: str) -> str | None:
    """How a heading that ends in a unit or a clock without brackets is to be written; None where it is none such."""
    words = re.sub(r"\s*([°º])", r" \1", field).replace("_", " ").split()
    for cut in range(1, len(words)):
        word, unit = _known(re.sub(r"( in|[-:,/])$", "", " ".join(words[:cut])).strip()), " ".join(words[cut:])
        if word == "time" and _CLOCK.fullmatch(unit):
            return f"time [{unit}]"
        if word in COLUMNS and (known := unit_named(unit, COLUMNS[word])):
            return f"{word} [{known.word}]"
    return None


def _known(word: str) -> str:
    word = re.sub(r"[\s_]+", " ", word).casefold()
    return _ALSO.get(word, word)
