"""The commented scenario a keeper begins with."""

from __future__ import annotations

import re
from datetime import date
from importlib.resources import files

_WRITTEN_FOR = 2026
# Years of this century from just before the winter to its end; the years of sources are kept out of the comments' way.
_YEAR = re.compile(r"\b(202[1-7])(?=-\d\d-\d\d|\s)")


def starter_text(season_year: date) -> str:
    """A scenario that plans as it stands, for the winter that begins on 5 October of the year of ``season_year``.

    Raises ValueError for a year outside 1910 to 2190, for which no scenario can be written.
    """
    if not 1910 <= season_year.year <= 2190:
        raise ValueError(f"a starter scenario is for a winter from 1910 to 2190, not {season_year.year}")
    shift = season_year.year - _WRITTEN_FOR
    text = files("offseason.scenario").joinpath("starter.yaml").read_text(encoding="utf-8")
    return _YEAR.sub(lambda year: str(int(year[1]) + shift), text)
