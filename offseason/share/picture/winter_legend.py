"""What the patterns, letters and signs of the winter at a glance mean, in words below it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from offseason.share.picture.looks import Look, swatch
from offseason.share.picture.svg import INK, LINE, PAPER, SIZE, element, line, shortened, text, width_of
from offseason.share.picture.winter_looks import FIT_LOOK, NOBODY_LOOK
from offseason.share.picture.winter_lots import BOX_PX, DONE_BOX_PX, DONE_PX, LOT_GROUND, cross, diamond, tick
from offseason.share.picture.winter_scale import MARGIN, WIDTH

ROW_PX, SWATCH_PX, GAP_PX = 21, 26, 16
MOST_NAME_PX = 250

Sign = tuple[Callable[[float, float], str], str]
"""A drawing with its left edge and its upper edge at a place, in SWATCH_PX by 13 pixels; and what it means."""

LETTERS_PX = 28


def legend(looks: Mapping[str, Look], letters: Mapping[str, str], signs: Sequence[Sign], y: int) -> tuple[str, int]:
    """The kinds of work, then the signs; and where it ends."""
    kinds = [(_kind(look, letters[kind]), shortened(look.words, MOST_NAME_PX)) for kind, look in looks.items()]
    first, y = _flow("Kinds of work", kinds, y, SWATCH_PX + LETTERS_PX) if kinds else ("", y)
    second, y = _flow("Signs", signs, y, SWATCH_PX)
    return first + second, y


def signs_for(shown: Iterable[str]) -> list[Sign]:
    """The signs of these names, in the order of the legend."""
    known: dict[str, Sign] = {
        "fit": (lambda x, y: swatch(FIT_LOOK, x, y, SWATCH_PX, 12), FIT_LOOK.words),
        "nobody": (lambda x, y: swatch(NOBODY_LOOK, x, y, SWATCH_PX, 12), NOBODY_LOOK.words),
        "arrived": (
            lambda x, y: element("rect", x=x, y=y, width=SWATCH_PX, height=12, fill=LOT_GROUND, stroke=LINE),
            "the lot is here",
        ),
        "to come": (lambda x, y: _box(x, y, BOX_PX, PAPER), "work to come: a high box"),
        "done": (_done, "done already: a low box on a thick line"),
        "round": (_dots, "a round: to come, done already"),
        "tick": (lambda x, y: tick(x + 14, y, y + 13), "comb must be protected by the end of this day"),
        "diamond": (lambda x, y: diamond(x + 13, y + 6), "all comb of the lot is protected from here on"),
        "cross": (lambda x, y: cross(x + 8, y + 2), "must be done and is not: how many, and how they are left"),
        "hours": (_hours, "hours of help: called (dark) of those offered (frame)"),
    }
    wanted = set(shown)
    return [sign for name, sign in known.items() if name in wanted]


def _flow(title: str, items: Iterable[Sign], y: int, wide: int) -> tuple[str, int]:
    parts = [text(MARGIN, y + 11, title, font_weight="bold")]
    left = MARGIN + 118
    x: float = left
    for draw, words in items:
        room = wide + 6 + width_of(words, SIZE) + GAP_PX
        if x > left and x + room > WIDTH - MARGIN + GAP_PX:
            x, y = left, y + ROW_PX
        parts += [draw(x, y), text(x + wide + 6, y + 11, words)]
        x = round(x + room)
    return element("g", *parts), y + ROW_PX + 5


def _kind(look: Look, letters: str) -> Callable[[float, float], str]:
    def draw(x: float, y: float) -> str:
        box = element("rect", x=x, y=y, width=SWATCH_PX, height=13, fill=look.fill, stroke=INK, stroke_width=0.8)
        return box + text(x + SWATCH_PX + 6, y + 11, letters, font_weight="bold")

    return draw


def _box(x: float, y: float, high: int, fill: str) -> str:
    return element("rect", x=x, y=y + 1, width=SWATCH_PX, height=high, fill=fill, stroke=INK, stroke_width=0.8)


def _done(x: float, y: float) -> str:
    bar = element("rect", x=x, y=y + 1 + DONE_BOX_PX, width=SWATCH_PX, height=DONE_PX, fill=INK)
    return _box(x, y, DONE_BOX_PX, PAPER) + bar


def _dots(x: float, y: float) -> str:
    around: dict[str, str | float] = {"cy": y + 6, "r": 3.5, "stroke": INK, "stroke_width": 1.5}
    return element("circle", cx=x + 6, fill=PAPER, **around) + element("circle", cx=x + 19, fill=INK, **around)


def _hours(x: float, y: float) -> str:
    frame = element("path", d=f"M{x + 4:.10g} {y + 12:.10g}v-12h18v12z", fill=PAPER, stroke=INK)
    return (
        frame
        + element("path", d=f"M{x + 6:.10g} {y + 12:.10g}v-7h14v7z", fill=INK)
        + line(x, y + 12, x + SWATCH_PX, y + 12)
    )
