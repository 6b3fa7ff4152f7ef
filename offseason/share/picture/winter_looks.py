"""How kinds of work look in the winter at a glance: a pattern, a shade and one or two letters for each.

No two of the first two dozen share both pattern and shade, and one that follows another has the other shade and another
pattern. Colours only help: hues of blue, orange, green and purple that stay apart for most eyes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import chain, count

from offseason.share.picture.looks import Look
from offseason.share.picture.svg import INK, PAPER
from offseason.share.terminal.layout import clean

IDS = "glance-"
"""Begins every id of the picture, which stands in a page with ids of its own."""

_FILLED_ROWS = "M0 .5h4M0 1.5h4M0 2.5h4M0 3.5h4M4 4.5h4M4 5.5h4M4 6.5h4M4 7.5h4"
_HATCHES = (
    "M-1 5l6 -6M-1 9l10 -10M3 9l6 -6",  # rising strokes
    "M1.5 0v8M5.5 0v8",  # upright strokes
    "",  # plain
    "M0 2.5h8M0 6.5h8",  # lying strokes
    "M1 1h2v1h-2zM5 5h2v1h-2z",  # dots
    "M0 0l8 8M8 0l-8 8",  # lattice
    "M-1 -1l10 10",  # few falling strokes
    "M.5 0v8M4.5 0v8M0 .5h8M0 4.5h8",  # grid
    _FILLED_ROWS,  # chequers
    "M0 1.5h8M0 4.5h8M4.5 1.5v3M.5 4.5v4",  # bricks
    "M0 7l4 -5l4 5",  # zigzag
    "M2 0v8M3 0v8M6.5 0v8",  # thick and thin strokes
)
_PALE = ("#cfe6f7", "#fbe2b4", "#cdeedd", "#f6dbea", "#f7f3c4", "#fadccb")
_DARK = ("#00507d", "#8a3d00", "#005c44", "#6f3157", "#2b2b2b", "#4a4a00")


def _look(number: int) -> Look:
    """Pale and dark by turns; in the second dozen the other way round."""
    dark = (number + number // len(_HATCHES)) % 2 == 1
    paper = (_DARK if dark else _PALE)[number // 2 % len(_PALE)]
    return Look(f"{IDS}kind-{number}", "", paper, PAPER if dark else INK, _HATCHES[number % len(_HATCHES)])


KIND_LOOKS = tuple(_look(number) for number in range(2 * len(_HATCHES)))
"""By number of the kind of work; after the last they begin again, and only the letters tell them apart."""

FIT_LOOK = Look(f"{IDS}fit", "fit hours while somebody is there", "#0b2a21")
NOBODY_LOOK = Look(f"{IDS}nobody", "fit, but nobody is there", "#eef3e4", "#4d5f30", "M-1 1l2 -2M-1 9l10 -10M7 9l2 -2")
JOB_LOOK = Look(f"{IDS}job", "a job", INK)
FULL_LOOK = Look(f"{IDS}full", "taken at the end of the day", "#dcebf7", "#2a5d9c", "M0 2.5h8M0 6.5h8")
OVER_LOOK = Look(f"{IDS}over", "more in it than it holds", "#2b2b2b", PAPER, "M0 0l8 8M8 0l-8 8")
CALLED_LOOK = Look(f"{IDS}called", "hours called", "#0b2a21")
OFFERED_LOOK = Look(f"{IDS}offered", "hours offered", PAPER)

OTHER_LOOKS = (FIT_LOOK, NOBODY_LOOK, JOB_LOOK, FULL_LOOK, OVER_LOOK, CALLED_LOOK, OFFERED_LOOK)


def looks_of(kinds: Iterable[str]) -> dict[str, Look]:
    """The look of each kind of work, with its name as the words of the legend."""
    return {
        kind: replace(KIND_LOOKS[number % len(KIND_LOOKS)], words=clean(kind))
        for number, kind in enumerate(dict.fromkeys(kinds))
    }


def letters_of(kinds: Iterable[str]) -> Mapping[str, str]:
    """One or two letters for each kind of work, no two alike; from its name where that will do, else a number."""
    found: dict[str, str] = {}
    taken: set[str] = set()
    numbers = map(str, count(1))  # a number that is taken once stays so: none is tried twice
    for kind in dict.fromkeys(kinds):
        found[kind] = next(short for short in chain(_shortenings(kind), numbers) if short.casefold() not in taken)
        taken.add(found[kind].casefold())
    return found


def _shortenings(kind: str) -> Iterator[str]:
    """First letters of two words, or the first letter and one that follows it."""
    words = ["".join(filter(str.isalnum, word)) for word in clean(kind).split()]
    words = [word for word in words if word]
    if len(words) > 1:
        yield words[0][0] + words[-1][0]
    for word in words:
        yield from (word[0] + letter for letter in word[1:])
    yield from (words[0][0] + letter for word in words[1:] for letter in word)
