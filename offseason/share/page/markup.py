"""Words of a keeper as HTML: whatever is in them stays text, also for a reader that goes from right to left."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterable
from datetime import date
from html import escape

from offseason.share.terminal.layout import day_text

_JOINERS = "\u200c\u200d"  # parts of the spelling of some languages, and of some emoji


def shown(words: str) -> str:
    """The words in one line, as text of the page; signs that would steer the reader are replaced by ``?``."""
    return escape("".join(map(_plain, words)), quote=True)


def name(words: str) -> str:
    """A name: set apart, so that its direction of writing does not turn what stands around it."""
    return f"<bdi>{shown(words)}</bdi>"


def value(words: str) -> str:
    """The value of an attribute, in quotes: reads back as exactly these words, where a page can hold them at all."""
    held = "".join("\ufffd" if c == "\0" or unicodedata.category(c) == "Cs" else c for c in words)
    escaped = escape(held, quote=False)
    for sign, written in (("\r", "&#13;"), ("\n", "&#10;"), ("\t", "&#9;")):
        escaped = escaped.replace(sign, written)
    return "'" + escaped.replace("'", "&#39;") + "'" if '"' in escaped else f'"{escaped}"'


def names_value(names: Iterable[str]) -> str:
    """Names as the value of an attribute: a JSON array of strings."""
    return value(json.dumps(list(names), ensure_ascii=False, separators=(",", ":")))


def on_day(day: date) -> str:
    """``Mon 12 Oct 2026``, for machines too."""
    return f'<time datetime="{day.isoformat()}">{day_text(day)}</time>'


def _plain(sign: str) -> str:
    if sign.isspace():
        return " "
    return "?" if unicodedata.category(sign)[0] == "C" and sign not in _JOINERS else sign
