"""Numbers as they stand in weather files: decimal points or commas, and the marks for a value that is missing."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from offseason.weather.records import Floats

_MISSING = frozenset({"", "-", "--", "na", "n/a", "nan", "none", "null"})
_MISSING_NUMBER = -9999.0
_UNREADABLE = math.inf


def numbers_of(texts: Sequence[str], *, trace: float | None = None) -> tuple[Floats, list[int]]:
    """The numbers, NaN where one is missing or no number; and the places of those that are no numbers.

    ``trace``: what the letter T stands for (a trace of rain); None: nothing.
    """
    # Most numbers come many times: each is read once.
    meaning = {text: _number_of(text, trace) for text in set(texts)}
    numbers = np.fromiter(map(meaning.__getitem__, texts), np.float64, len(texts))
    unreadable = np.flatnonzero(np.isinf(numbers))
    numbers[unreadable] = math.nan
    return numbers, unreadable.tolist()


def _number_of(text: str, trace: float | None) -> float:
    try:
        number = float(text)
    except ValueError:
        plain = text.strip()
        if plain.casefold() in _MISSING:
            return math.nan
        if trace is not None and plain in {"T", "t"}:
            return trace
        # A true minus sign, as some programs write it.
        plain = plain.replace("\u2212", "-")
        if plain.count(",") == 1 and "." not in plain:
            plain = plain.replace(",", ".")
        try:
            number = float(plain)
        except ValueError:
            return _UNREADABLE
    if "_" in text or math.isinf(number):
        return _UNREADABLE
    return math.nan if number == _MISSING_NUMBER else number
