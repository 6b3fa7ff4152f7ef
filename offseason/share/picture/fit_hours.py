"""Fit hours as a picture: a strip for each kind of work, days across, hours of the day from the top down."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import numpy as np

from offseason.share.fit_days import HOURS, FitDays, is_known, stretches
from offseason.share.picture.looks import LOOK_OF, LOOKS, Look, swatch
from offseason.share.picture.svg import (
    LARGE,
    LINE,
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
from offseason.share.terminal.layout import day_text
from offseason.trade.cautions import LAST_WORD
from offseason.weather.judge import Reason, Reasons

MOST_DAYS = 400
"""More days than this are too narrow to be told apart."""

READ_IT = "A day is a column, midnight at the top and at the bottom, by the clock on the wall; dark hours are fit."

LEFT, RIGHT, TOP = 44, 20, 82
HOUR_PX = 6
STRIP_PX = HOURS * HOUR_PX
TITLE_PX, AXIS_PX = 22, 46
PLOT_PX, LEAST_PX, DAY_PX = 1100, 660, (3, 46)
SWATCH_PX, LEGEND_PX, MONTH_SIZE = 22, 24, 12


def fit_hours_svg(shown: FitDays) -> str:
    """The picture as the text of an SVG file. Errors: ValueError for no day, no need, or more than MOST_DAYS days."""
    days = len(shown)
    if not 1 <= days <= MOST_DAYS:
        raise ValueError(f"a picture shows 1 to {MOST_DAYS} days, not {days}.")
    day_px = min(max(PLOT_PX // days, DAY_PX[0]), DAY_PX[1])
    width = max(LEFT + days * day_px + RIGHT, LEAST_PX)
    strips = []
    y = TOP
    for need, codes in shown.reasons.items():
        strips.append(_strip(shown, need, codes, y, day_px, width))
        y += TITLE_PX + STRIP_PX + AXIS_PX
    legend, bottom = _legend(shown, y + 4, width)
    span = _span(shown)
    title = "Hours fit for work"
    what = "days" if shown.whole_days else "hours"
    counts = " ".join(f"{need}: {_counted(codes)}." for need, codes in shown.reasons.items())
    told = f"{span}. {READ_IT} Worked out from records of {what}. {counts}"
    return document(
        width,
        bottom + 24,
        f"{title}: {shown.title}",
        told,
        element("defs", "".join(look.pattern() for look in LOOKS)),
        text(LEFT, 28, shortened(f"{title}: {shown.title}", width - LEFT - RIGHT, LARGE), LARGE),
        text(LEFT, 48, span),
        text(LEFT, 66, READ_IT, SMALL, fill=QUIET_INK),
        *strips,
        legend,
        text(LEFT, bottom + 8, LAST_WORD, SMALL, fill=QUIET_INK),
    )


def _span(shown: FitDays) -> str:
    one = day_text(shown.first)
    return one if len(shown) == 1 else f"{one} to {day_text(shown.last)}"


def _counted(codes: Reasons) -> str:
    return f"{int((codes == Reason.FIT).sum()):,} of {int(is_known(codes).sum()):,} known hours fit"


def _strip(shown: FitDays, need: str, codes: Reasons, y: int, day_px: int, width: int) -> str:
    plot_px, top = len(codes) * day_px, y + TITLE_PX
    told = _counted(codes)
    room = width - LEFT - RIGHT - width_of(told, SMALL) - 16
    return element(
        "g",
        element("title", plain(f"{need}: {told}")),
        text(LEFT, y + 15, shortened(need, room / 1.1), font_weight="bold"),  # bold letters are a tenth wider
        text(width - RIGHT, y + 15, told, SMALL, text_anchor="end", fill=QUIET_INK),
        *_cells(codes, top, day_px),
        element("rect", x=LEFT, y=top, width=plot_px, height=STRIP_PX, fill="none", stroke=LINE),
        *_hour_axis(top, plot_px),
        *_day_axis(shown.first, len(codes), top, day_px, width),
    )


def _cells(codes: Reasons, top: int, day_px: int) -> Iterator[str]:
    """One path for each look; in it a box for each stretch of hours of a day."""
    boxes: dict[Look, list[str]] = {}
    numbers = {look: n for n, look in enumerate(LOOKS)}
    looks = np.zeros_like(codes)
    for code, look in LOOK_OF.items():
        looks[codes == code] = numbers[look]
    for day, of_day in enumerate(looks):
        for start, stop, number in stretches(of_day):
            box = f"M{LEFT + day * day_px} {top + start * HOUR_PX}h{day_px}v{(stop - start) * HOUR_PX}h-{day_px}z"
            boxes.setdefault(LOOKS[number], []).append(box)
    for look in LOOKS:
        if look in boxes:
            yield element("path", d="".join(boxes[look]), fill=look.fill, shape_rendering="crispEdges")


def _hour_axis(top: int, plot_px: int) -> Iterator[str]:
    for hour in range(0, HOURS + 1, 6):
        y = top + hour * HOUR_PX
        yield line(LEFT - 5, y, LEFT, y)
        yield text(LEFT - 8, y + 4, f"{hour:02}", SMALL, text_anchor="end", fill=QUIET_INK)
        if 0 < hour < HOURS:
            yield line(LEFT, y, LEFT + plot_px, y, stroke=PAPER, stroke_width=1, stroke_opacity=0.5)


def _day_axis(first: date, days: int, top: int, day_px: int, width: int) -> Iterator[str]:
    """Days or Mondays below the strip, and months below those."""
    bottom = top + STRIP_PX
    every_day = day_px >= 20
    months = [n for n in range(days) if n == 0 or (first + timedelta(days=n)).day == 1]
    for n in range(days):
        day, x = first + timedelta(days=n), LEFT + n * day_px
        if every_day or day.weekday() == 0:
            yield line(x, bottom, x, bottom + 5)
            label = f"{day:%a} {day.day}" if day_px >= DAY_PX[1] else str(day.day)
            yield text(x + day_px / 2, bottom + 16, label, SMALL, text_anchor="middle", fill=QUIET_INK)
    for n, following in zip(months, [*months[1:], None], strict=True):
        x = LEFT + n * day_px
        end = LEFT + following * day_px if following is not None else width
        label = f"{first + timedelta(days=n):%b %Y}"
        if n:
            yield line(x, top, x, bottom + 32)
        if end - x >= width_of(label, MONTH_SIZE) + 2:
            yield text(x + (4 if n else 0), bottom + 31, label, MONTH_SIZE)


def _legend(shown: FitDays, y: int, width: int) -> tuple[str, int]:
    """The looks that occur, in words, in as many lines as it takes; and where it ends."""
    occurring = {LOOK_OF[int(code)] for codes in shown.reasons.values() for code in np.unique(codes)}
    parts, x = [], LEFT
    for look in LOOKS:
        if look not in occurring and look.name != "fit":
            continue
        room = SWATCH_PX + 6 + width_of(look.words) + 14
        if x > LEFT and x + room > width - RIGHT:
            x, y = LEFT, y + LEGEND_PX
        parts += [swatch(look, x, y, SWATCH_PX, 14), text(x + SWATCH_PX + 6, y + 12, look.words)]
        x += round(room)
    return element("g", *parts), y + LEGEND_PX
