"""What ``--help`` shows: laid out here, since every version of Python would lay it out in another way."""

from __future__ import annotations

import argparse
import shutil
import textwrap
from collections.abc import Iterable, Sequence

from offseason.share.terminal.layout import COLUMNS

Entry = tuple[str, str]
"""A word as it is written, and what it means."""

LEAST_COLUMNS = 40
WIDEST_WORD = 20
"""A word longer than this has its meaning on the next line."""


def help_text(usage: str, about: str, parts: Sequence[str]) -> str:
    """The whole page, as wide as the window and at most 80 columns; parts that are empty are left out."""
    return "\n\n".join([_filled(f"usage: {usage}", "", " " * 7), _filled(about), *filter(None, parts)]) + "\n"


def commands_text(title: str, commands: Iterable[Entry]) -> str:
    """Commands to copy, each whole on its line, with what they do below."""
    told = [f"  {line}" + (f"\n{_filled(said, ' ' * 6)}" if said else "") for line, said in commands]
    return "\n".join([f"{title}:", *told])


def entries_text(title: str, entries: Sequence[Entry]) -> str:
    """Words with their meanings beside them; empty where there are none."""
    return f"{title}:\n{_entries(entries)}" if entries else ""


def usage_of(program: str, actions: Sequence[argparse.Action]) -> str:
    """What must be written; what may be is told below it."""
    must = [_written(action) for action in actions if not action.option_strings or action.required]
    return " ".join([program, *must, "[options]"])


def entry_of(action: argparse.Action) -> Entry:
    """An option or a word as it is written, and its meaning."""
    return _written(action).strip("[]"), action.help or ""


def _written(action: argparse.Action) -> str:
    value = action.metavar if isinstance(action.metavar, str) else action.dest.upper()
    if action.option_strings:
        words = ", ".join(action.option_strings)
        return words if action.nargs == 0 else f"{words} {value}"
    return {"?": f"[{value}]", "*": f"[{value} ...]"}.get(str(action.nargs), value)


def _entries(entries: Sequence[Entry]) -> str:
    deep = 4 + max((len(word) for word, _ in entries if len(word) <= WIDEST_WORD), default=WIDEST_WORD)
    lines = []
    for word, said in entries:
        first = f"  {word}".ljust(deep)
        if len(word) > deep - 4:
            lines.append(first)
            first = " " * deep
        lines.append(_filled(said, first, " " * deep))
    return "\n".join(lines)


def _filled(text: str, first: str = "", later: str | None = None) -> str:
    width = max(LEAST_COLUMNS, min(COLUMNS, shutil.get_terminal_size((COLUMNS, 24)).columns))
    return textwrap.fill(
        text,
        width,
        initial_indent=first,
        subsequent_indent=first if later is None else later,
        break_long_words=False,
        break_on_hyphens=False,
    )
