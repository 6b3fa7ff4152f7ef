"""Names of people as names of files, on every system: letters and digits, and dashes for all else."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from itertools import count
from types import MappingProxyType

LONGEST = 40
LONGEST_BYTES = 120
"""Systems count the letters of a name in bytes too, 255 for all of it (common practice). Ours, with room to spare."""

TAKEN = frozenset({"everybody", "page", "work", "winter", "shared"})
"""What other files of the folder are called."""

# published: Microsoft, "Naming Files, Paths, and Namespaces"
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", "conin$", "conout$"}
    | {f"{port}{number}" for port in ("com", "lpt") for number in (*"0123456789", "¹", "²", "³")}
)


def file_names(names: Sequence[str]) -> Mapping[str, str]:
    """For each name that of its files, without ending: no two alike, on disks that know no capitals either.

    Letters and digits of any script and the marks on them are kept (NFC); a name without any becomes ``person``.
    Where names become alike, the later ones have a number behind them.
    """
    found: dict[str, str] = {}
    used: set[str] = set()
    for name in dict.fromkeys(names):
        found[name] = next(word for word in _spellings(_plain(name)) if _as_disks_see_it(word) not in used)
        used.add(_as_disks_see_it(found[name]))
    return MappingProxyType(found)


def _plain(name: str) -> str:
    """The name in letters, digits and single dashes, which stand neither first nor last."""
    letters = (c if _is_kept(c) else "-" for c in unicodedata.normalize("NFC", name))
    return "-".join(part for part in "".join(letters).split("-") if any(map(str.isalnum, part)))


def _is_kept(character: str) -> bool:
    return character.isalnum() or unicodedata.category(character) in {"Mn", "Mc"}


def _spellings(word: str) -> Iterator[str]:
    """The word and what to call it where that is taken: with 2, 3 and so on behind it."""
    first = _cut(word, LONGEST) or "person"
    if not _is_reserved(first):
        yield first
    for number in count(2):
        ending = f"-{number}"
        yield f"{_cut(first, LONGEST - len(ending))}{ending}"


def _cut(word: str, most: int) -> str:
    kept = word[:most]
    while len(kept.encode()) > LONGEST_BYTES:
        kept = kept[:-1]
    return kept.rstrip("-")


def _is_reserved(word: str) -> bool:
    return _as_disks_see_it(word) in TAKEN or word.casefold() in _DEVICES


def _as_disks_see_it(word: str) -> str:
    return unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", word).casefold())
