"""How what was found in a weather file is said: few notes, each with its first row, and errors that name the file."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from offseason.weather.records import Note, WeatherFileError

# Ours: fewer than this are slips, more are a mistake about the whole column.
_FEW = 3
_FEW_IN_A_HUNDRED = 2


def fault(file: str, row: int | None, text: str) -> WeatherFileError:
    """The error that names the file, and the row where there is one."""
    return WeatherFileError(f"{file}, row {row}: {text}" if row else f"{file}: {text}")


def too_many(wrong: int, known: int) -> bool:
    """Whether so many wrong ones of all that are known are more than slips: 3 or more and over 2 per cent, or all."""
    return wrong > 0 and (wrong == known or (wrong >= _FEW and 100 * wrong > _FEW_IN_A_HUNDRED * known))


def grouped(rows: Sequence[int] | NDArray[np.int64], text: str) -> Note:
    """One note for several rows of the same kind: the first row, the text, and how many more rows."""
    first, *others = sorted(int(row) for row in rows)
    if not others:
        return Note(first, text)
    shown = ", ".join(str(row) for row in others[:3])
    rest = f" and {len(others) - 3:,} more" if len(others) > 3 else ""
    return Note(first, f"{text}; the same in row{'s' if len(others) > 1 else ''} {shown}{rest}")


def quoted(text: str) -> str:
    """What stands in the file, in quotes, cut where it is long, with nothing a terminal would act on."""
    clean = "".join(letter if letter.isprintable() else "?" for letter in text[:41])
    return f"'{clean[:40]}…'" if len(clean) > 40 else f"'{clean}'"


def counted(number: int, one: str, many: str | None = None) -> str:
    """``1 hour``, ``2,345 hours``."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"
