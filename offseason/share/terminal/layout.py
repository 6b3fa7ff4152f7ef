"""Plain text in 80 columns: words for days, hours and amounts, wrapped paragraphs, aligned tables."""

from __future__ import annotations

import os
import textwrap
import unicodedata
from collections.abc import Collection, Iterable, Sequence
from datetime import date
from itertools import groupby

from tabulate import tabulate

COLUMNS = 80
GAP = 2
LEAST_WRAPPED = 10


def clean(text: str) -> str:
    """A name as it was written, without line breaks and without signs that would steer the terminal."""
    return "".join(" " if c.isspace() else "?" if unicodedata.category(c)[0] == "C" else c for c in text)


def clean_lines(text: str) -> str:
    """The same for a text of several lines, which stay lines."""
    return "\n".join(map(clean, text.split("\n")))


def day_text(day: date) -> str:
    """``Mon 12 Oct 2026``."""
    return f"{day:%a} {day.day} {day:%b %Y}"


def short_day_text(day: date) -> str:
    """``Mon 12 Oct``, where the year is plain."""
    return f"{day:%a} {day.day} {day:%b}"


def hours_text(hours: float) -> str:
    """Hours with one decimal and the unit: ``1,240.5 h``."""
    return f"{hours:,.1f} h"


def count_text(count: int, one: str, many: str | None = None) -> str:
    """``1 day``, ``2,500 days``."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def percent_text(share: float) -> str:
    """A share as a per cent: whole from 10 up, one decimal below."""
    percent = 100 * share
    return f"{percent:.0f} %" if percent >= 10 or percent == 0 else f"{percent:.1f} %"


def days_by_month(days: Iterable[date]) -> list[str]:
    """Days in few words, month by month: ``Oct 2026: 12, 14-16``."""
    months = groupby(sorted(days), key=lambda day: f"{day:%b %Y}")
    return [f"{month}: {', '.join(_runs([day.day for day in group]))}" for month, group in months]


def _runs(numbers: list[int]) -> list[str]:
    runs = groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0])
    ends = [(run[0][1], run[-1][1]) for run in (list(group) for _, group in runs)]
    return [str(first) if first == last else f"{first}-{last}" for first, last in ends]


def paragraph(text: str, indent: int = 0, first: str = "") -> str:
    """The text wrapped to 80 columns, all lines ``indent`` deep; ``first`` stands in the indent of the first line.

    A path longer than a line stays whole, so that it can be copied.
    """
    if len(first) >= indent > 0:
        return f"{_filled(first)}\n{paragraph(text, indent)}"
    return _filled(text, initial_indent=first.ljust(indent), subsequent_indent=" " * indent)


def _filled(text: str, *, initial_indent: str = "", subsequent_indent: str = "") -> str:
    room = COLUMNS - len(subsequent_indent)
    return textwrap.fill(
        text,
        COLUMNS,
        initial_indent=initial_indent,
        subsequent_indent=subsequent_indent,
        break_long_words=not any(len(word) > room and os.sep in word for word in text.split()),
        break_on_hyphens=False,
    )


def remarks_text(remarks: Iterable[str]) -> str:
    """Sentences about the whole winter, each a paragraph of its own that begins with a dash; empty where none."""
    return "\n".join(paragraph(clean(remark), 2, "-") for remark in remarks)


def table(
    rows: Sequence[Sequence[str]],
    headers: Sequence[str] = (),
    *,
    numbers: Collection[int] = (),
    wrap: Collection[int] = (),
    indent: int = 0,
) -> str:
    """Columns aligned and at most 80 wide. ``numbers``: columns set to the right. ``wrap``: columns to wrap first."""
    cells = [[clean(cell) for cell in row] for row in ([headers, *rows] if headers else rows)]
    widths = [max(1, *map(len, column)) for column in zip(*cells, strict=True)]
    room = COLUMNS - indent - GAP * (len(widths) - 1)
    while sum(widths) > room:
        wide = max((column for column in wrap if widths[column] > LEAST_WRAPPED), key=widths.__getitem__, default=None)
        widths[widths.index(max(widths)) if wide is None else wide] -= 1
    text = tabulate(
        # wrapped here, and headers a row like any other: tabulate takes a name such as 1,200 for a number when it
        # wraps, and widens columns under their headers
        [[textwrap.fill(cell, width) for cell, width in zip(row, widths, strict=True)] for row in cells],
        tablefmt="plain",
        disable_numparse=True,
        colalign=["right" if column in numbers else "left" for column in range(len(widths))],
    )
    return "\n".join((" " * indent + line).rstrip() for line in text.splitlines())
