"""The known word nearest to a mistaken one, for messages that offer it."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

_COMPARED_LETTERS = 60  # ours: longer names are alike or not by then, and comparing takes the square of it


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like ``word``, letter case aside; None where none is like it."""
    folded: dict[str, str] = {}
    for name in known:
        folded.setdefault(_compared(name), name)
    close = difflib.get_close_matches(_compared(word), folded, n=1, cutoff=0.6)
    return folded[close[0]] if close else None


def _compared(word: str) -> str:
    return word.strip()[:_COMPARED_LETTERS].casefold()


def offer(word: str, known: Iterable[str], *, what: str = "known here") -> str:
    """The end of a sentence about an unknown word: the nearest word, or all of them where they are few."""
    names = list(known)
    if close := nearest(word, names):
        return f"did you mean '{close}'?"
    if not names:
        return f"nothing is {what}"
    shown = ", ".join(names[:30]) + (f" and {len(names) - 30} more" if len(names) > 30 else "")
    return f"{what}: {shown}"


def listed(words: Iterable[str], last: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    names = list(words)
    return f" {last} ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)
