"""How a plan fares in past winters as a picture: a line for each winter, with the days by which things were done."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from offseason.share.picture.svg import (
    INK,
    LARGE,
    PAPER,
    QUIET_INK,
    SMALL,
    document,
    element,
    line,
    plain,
    shortened,
    text,
    width_of,
)
from offseason.share.terminal.layout import count_text, short_day_text
from offseason.trade.cautions import LAST_WORD

LEFT, PLOT_PX, GAP = 24, 620, 14
MOST_NAME_PX, WORDS_PX = 150, (240, 460)
TOP, ROW_PX, MARK_PX = 112, 26, 6
DAYS_AROUND = 7

DONE_COLOUR, SAFE_COLOUR, FAILED_COLOUR = "#0b2a21", "#2a5d9c", "#a3261b"
"""Beside these each mark has a shape of its own: a full dot, an open diamond, a cross. All 4.5:1 and more on paper."""

CROSS = 5


@dataclass(frozen=True)
class WinterShown:
    """How a plan fared in one past winter.

    ``finished``: the day all work was done; None: it never was. ``comb_safe``: the day the last comb was safe from
    moths; None: there was none to protect, or it never was. ``failed``: what was not kept, in a few words, or None.
    """

    name: str
    finished: date | None
    comb_safe: date | None
    failed: str | None = None


def spread_svg(rows: Sequence[WinterShown], promised: date, treat_by: date | None, title: str) -> str:
    """The winters, poorest first, as the text of an SVG file.

    ``promised``: the day all must be done by. ``treat_by``: the day the first comb must be safe by, None for none.
    Errors: ValueError where there is no winter to show.
    """
    if not rows:
        raise ValueError("there is no past winter to show.")
    ordered = sorted(rows, key=_poorest_first)
    scale = _scale(ordered, promised, treat_by)
    bottom = TOP + ROW_PX * len(ordered)
    words_px = min(max(WORDS_PX[0], *(math.ceil(width_of(_told(row))) for row in rows)), WORDS_PX[1])
    width = scale.left + PLOT_PX + GAP + words_px + LEFT
    kept = sum(row.failed is None for row in rows)
    lead = (
        f"{kept} of {count_text(len(rows), 'past winter')} kept every promise. A line is a winter, the poorest first."
    )
    deadlines = [(promised, f"all done by {short_day_text(promised)}")]
    deadlines += [(treat_by, f"comb safe by {short_day_text(treat_by)}")] if treat_by else []
    return document(
        width,
        bottom + 92,
        title,
        f"{lead} {' '.join(f'{row.name}: {_told(row)}.' for row in ordered)}",
        text(LEFT, 28, shortened(title, width - 2 * LEFT, LARGE), LARGE),
        text(LEFT, 49, lead),
        *_months(scale, bottom),
        *_deadlines(scale, deadlines, bottom),
        *(_row(scale, row, TOP + ROW_PX * n + ROW_PX // 2, width) for n, row in enumerate(ordered)),
        _legend(bottom + 48),
        text(LEFT, bottom + 80, LAST_WORD, SMALL, fill=QUIET_INK),
    )


def _poorest_first(row: WinterShown) -> tuple[bool, date, str]:
    """Those that failed, the latest to finish before the others; never finished is later than any day."""
    late = row.finished or date.max
    return row.failed is None, date.fromordinal(date.max.toordinal() - late.toordinal() + 1), row.name


def _told(row: WinterShown) -> str:
    """What the winter came to, in words beside its line."""
    if row.failed is not None:
        return row.failed
    return f"all done {short_day_text(row.finished)}" if row.finished else "not finished"


@dataclass(frozen=True)
class _Scale:
    """Days across the plot, which begins at ``left``."""

    first: date
    last: date
    left: int

    def x(self, day: date) -> float:
        return round(self.left + PLOT_PX * (day - self.first).days / (self.last - self.first).days, 1)


def _scale(rows: Sequence[WinterShown], promised: date, treat_by: date | None) -> _Scale:
    days = [day for row in rows for day in (row.finished, row.comb_safe) if day]
    days += [promised, *([treat_by] if treat_by else [])]
    around = timedelta(days=DAYS_AROUND)
    names = min(max(width_of(row.name) for row in rows), MOST_NAME_PX)
    return _Scale(min(days) - around, max(days) + around, LEFT + math.ceil(names) + GAP)


def _months(scale: _Scale, bottom: int) -> Iterator[str]:
    """A thin line at each first of a month that there is room for, and its name below."""
    months = [date(n // 12, n % 12 + 1, 1) for n in range(_month(scale.first) + 1, _month(scale.last) + 1)]
    step = max(1, -(-len(months) * 70 // PLOT_PX))
    for first in months[::step]:
        x = scale.x(first)
        yield line(x, TOP, x, bottom, stroke_opacity=0.45)
        label = f"{first:%b %Y}"
        yield text(x, bottom + 18, label, SMALL, text_anchor="middle", fill=QUIET_INK)
    yield line(scale.left, bottom, scale.left + PLOT_PX, bottom)


def _month(day: date) -> int:
    return 12 * day.year + day.month - 1


def _deadlines(scale: _Scale, deadlines: Sequence[tuple[date, str]], bottom: int) -> Iterator[str]:
    """A broken line for each; the later one's words stand higher, so that no line runs through them."""
    for n, (day, words) in enumerate(sorted(deadlines, reverse=True)):
        x, y = scale.x(day), TOP - 36 + 16 * n
        yield line(x, y - 10, x, bottom, stroke=INK, stroke_width=1.5, stroke_dasharray="6 3")
        if x - LEFT > width_of(words, SMALL):
            yield text(x - 6, y, words, SMALL, text_anchor="end")
        else:
            yield text(x + 6, y, words, SMALL)


def _row(scale: _Scale, row: WinterShown, y: int, width: int) -> str:
    plot_ends = scale.left + PLOT_PX
    colour = FAILED_COLOUR if row.failed is not None else INK
    told = shortened(_told(row), width - plot_ends - GAP - LEFT)
    names = scale.left - LEFT - GAP
    marks = []
    if row.comb_safe:
        marks.append(_diamond(scale.x(row.comb_safe), y))
    if row.failed is not None or row.finished is None:
        marks.append(_cross(scale.x(row.finished) if row.finished else plot_ends, y))
    else:
        marks.append(_dot(scale.x(row.finished), y))
    return element(
        "g",
        element("title", plain(f"{row.name}: {_told(row)}")),
        line(scale.left, y, plot_ends, y, stroke_opacity=0.45),
        text(LEFT, y + 4, shortened(row.name, names)),
        *marks,
        text(plot_ends + GAP, y + 4, told, fill=colour),
    )


def _dot(x: float, y: float) -> str:
    return element("circle", cx=x, cy=y, r=MARK_PX, fill=DONE_COLOUR)


def _diamond(x: float, y: float) -> str:
    r = MARK_PX + 1
    return element(
        "path", d=f"M{x:.10g} {y - r}l{r} {r}l-{r} {r}l-{r} -{r}z", fill=PAPER, stroke=SAFE_COLOUR, stroke_width=2
    )


def _cross(x: float, y: float) -> str:
    stroke = f"M{x - CROSS:.10g} {y - CROSS}l{2 * CROSS} {2 * CROSS}m0 -{2 * CROSS}l-{2 * CROSS} {2 * CROSS}"
    return element("path", d=stroke, stroke=FAILED_COLOUR, stroke_width=3, fill="none")


def _legend(y: int) -> str:
    parts: list[str] = []
    x = LEFT + MARK_PX + 1.0
    marks = (
        (_dot, "all work done"),
        (_diamond, "the last comb safe from moths"),
        (_cross, "a promise not kept: where the work ended, or at the right edge if it never did"),
    )
    for draw, words in marks:
        parts += [draw(x, y), text(x + 14, y + 4, words, SMALL)]
        x = round(x + 14 + width_of(words, SMALL) + 14, 1)
    return element("g", *parts, stroke_linecap="butt")
