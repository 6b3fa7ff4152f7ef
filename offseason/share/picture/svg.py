"""The strokes a picture is made of: elements with their words escaped, and text that fits its room.

Lengths are in pixels of the picture at its own size; it may be shown larger or smaller.
"""

from __future__ import annotations

import unicodedata
from xml.sax.saxutils import escape, quoteattr

from offseason.share.terminal.layout import clean

MARK = "<!-- a picture by offseason -->"
"""Near the top of every picture; a file without it is not overwritten."""

PAPER, INK, QUIET_INK, LINE = "#ffffff", "#1b1b1b", "#4d4d4d", "#8a8a8a"
"""Text is INK or QUIET_INK on PAPER: 17:1 and 8:1, where WCAG 2.2, 1.4.3, asks 4.5:1. LINE: 3.5:1; 1.4.11 asks 3:1."""

FONT = "system-ui, 'Segoe UI', 'DejaVu Sans', Arial, sans-serif"
SIZE, SMALL, LARGE = 13, 11, 17


def element(name: str, *inside: str, **attributes: str | float) -> str:
    """``<name ...>inside</name>``. ``inside`` is markup already; an underscore in an attribute stands for a dash."""
    words = "".join(f" {key.strip('_').replace('_', '-')}={quoteattr(_value(v))}" for key, v in attributes.items())
    return f"<{name}{words}>{''.join(inside)}</{name}>" if inside else f"<{name}{words}/>"


def text(x: float, y: float, words: str, size: int = SIZE, **attributes: str | float) -> str:
    """Words at a place: ``x`` where they start (or end, or have their middle), ``y`` the line they stand on."""
    return element("text", plain(words), x=x, y=y, font_size=size, **attributes)


def line(x1: float, y1: float, x2: float, y2: float, **attributes: str | float) -> str:
    """A straight line."""
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, **{"stroke": LINE, **attributes})


def plain(words: str) -> str:
    """Words of a keeper as text of a picture: nothing in them is markup or steers whoever reads it."""
    return escape(clean(words))


def document(width: int, height: int, title: str, told: str, *inside: str, ids: str = "") -> str:
    """The whole file. ``title`` and ``told`` are for those who have it read to them; ``ids`` begins each id."""
    body = (
        element("title", plain(title), id=f"{ids}title"),
        element("desc", plain(told), id=f"{ids}told"),
        element("rect", x=0, y=0, width=width, height=height, fill=PAPER),
        *inside,
    )
    root = element(
        "svg",
        "\n".join(("", *body, "")),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width} {height}",
        width=width,
        height=height,
        role="img",
        aria_labelledby=f"{ids}title {ids}told",
        font_family=FONT,
        fill=INK,
    )
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{MARK}\n{root}\n'


def width_of(words: str, size: int = SIZE) -> float:
    """Room the words take at most, in a wide font: which one they will be shown in is not known."""
    return size * sum(map(_ems, clean(words)))


def shortened(words: str, room: float, size: int = SIZE) -> str:
    """The words, or as many of their letters as there is room for, and an ellipsis."""
    words = clean(words)
    if width_of(words, size) <= room:
        return words
    while words and width_of(words + "…", size) > room:
        words = words[:-1]
    return words.rstrip() + "…"


def _ems(letter: str) -> float:
    if unicodedata.combining(letter):
        return 0.0
    if letter in "ilj.,:;|!'·- ":
        return 0.46
    if not letter.isascii():
        return 0.73 if letter.islower() and ord(letter) < 0x180 else 1.2  # beyond Latin some are wider than high
    return 1.1 if letter.isupper() or letter in "mw+=<>~#&^%@" else 0.73


def _value(value: str | float) -> str:
    return f"{value:.10g}" if isinstance(value, float) else str(value)
