"""The line with which ``offseason record`` takes a row of a plan as done."""

from __future__ import annotations

import re
import unicodedata

from offseason.plan.document import Row
from offseason.plan.progress.words import is_plain, parts_of_line, words_of

_LETTERS = re.compile(r"[^\W\d_]+")
_QUOTES = (('"', '"'), ("“", "”"), ("„", "“"), ("«", "»"))
_ANY_QUOTE = re.compile('["“”„«»]')
_STEERS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff")


def record_line(row: Row) -> str:
    """Day, who, step, pieces and lot of the row, as in ``2026-11-07 "Maren" freeze 40 "super combs"``.

    The names stand in quotes, so that none is taken for part of another. What a line cannot hold is left out: quotes
    within a name where all sorts of them end too soon, line breaks, signs that steer; it is read by its letters then.
    """
    parts = [row.day.isoformat(), *map(_quoted, row.who)]
    if row.lot == row.step:
        return " ".join([*parts, _quoted(row.lot), str(row.pieces)])
    # between a quoted name and a number no word is taken for part of another name
    step = row.step if _LETTERS.fullmatch(row.step) and not is_plain(row.step) else _quoted(row.step)
    return " ".join([*parts, step, str(row.pieces), _quoted(row.lot)])


def _quoted(name: str) -> str:
    visible = "".join(c for c in name if unicodedata.category(c) not in {"Cc", "Cs"} - _blank(c) and c not in _STEERS)
    plain = " ".join(visible.split())
    for opens, closes in _QUOTES:
        if plain == name and _reads_back(written := f"{opens}{plain}{closes}", plain):
            return written
    # in quotes a name that is not written to the letter would be taken for a note
    words = [word for word in _ANY_QUOTE.sub(" ", plain).split() if any(map(str.isalnum, word))]
    return " ".join(words) or f'"{plain}"'


def _blank(character: str) -> set[str]:
    return {"Cc"} if character.isspace() else set()


def _reads_back(written: str, name: str) -> bool:
    return [word.text for word in words_of(_parts(written)) if word.quoted] == [name]


def _parts(line: str) -> list[str]:
    try:
        return parts_of_line(line)
    except ValueError:
        return []
