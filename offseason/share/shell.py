"""Words of a command to copy, so that a shell hands them over as they are."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

_PLAIN = re.compile(r"[\w@%+=:,./-]+")
_SAFE_IN_QUOTES = re.compile(r'[^"$`\\!%]+')


def for_shell(asked: str | Path) -> str:
    """The word as it is where no shell minds it, in double quotes where all of them take these, else as for ``sh``."""
    word = str(asked)
    if word.startswith("-"):  # else it would be taken for an option
        word = f"./{word}"
    if _PLAIN.fullmatch(word):
        return word
    return f'"{word}"' if _SAFE_IN_QUOTES.fullmatch(word) else shlex.quote(word)
