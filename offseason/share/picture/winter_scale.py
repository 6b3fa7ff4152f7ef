"""The days across the winter at a glance: where a day is drawn, months and Mondays, and days that concern everybody."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import groupby

from offseason.share.picture.svg import INK, PAPER, QUIET_INK, SIZE, SMALL, line, text, width_of

WIDTH, MARGIN = 1100, 18
NAMES_PX, LETTERS_PX = 204, 30
PLOT_LEFT = MARGIN + NAMES_PX + LETTERS_PX
RIGHT_PX, MOST_RIGHT_PX = 18, 180
MOST_DAY_PX = 46
DAYS_AFTER = 42
"""The days go on this long after the season where something that matters for it comes then."""

AXIS_PX, FLAG_PX, FLAG_GAP = 34, 16, 5


def over(x: float, y: float, words: str, size: int = SIZE, **attributes: str | float) -> str:
    """Words among lines that run from top to bottom: with paper around each letter, so that none is crossed."""
    around: dict[str, str | float] = {"paint_order": "stroke", "stroke": PAPER, "stroke_width": 3}
    return text(x, y, words, size, **around, **attributes)


@dataclass(frozen=True)
class Scale:
    """Days from ``first`` to ``last``, of which those to ``until`` are of the season; ``right_px``: room beside."""

    first: date
    until: date
    last: date
    right_px: int

    @property
    def days(self) -> int:
        """How many days are drawn."""
        return (self.last - self.first).days + 1

    @property
    def day_px(self) -> float:
        """The width of a day."""
        return min((WIDTH - PLOT_LEFT - self.right_px) / self.days, MOST_DAY_PX)

    @property
    def right(self) -> int:
        """Where the last day ends."""
        return self._edge(self.days)

    def x(self, day: date) -> int:
        """Where the day begins; a day before or after all begins or ends with them."""
        return self._edge(min(max((day - self.first).days, 0), self.days))

    def has(self, day: date) -> bool:
        """Whether the day is drawn."""
        return self.first <= day <= self.last

    def spans(self, days: Iterable[date]) -> list[tuple[int, int]]:
        """Left and right edge of each run of days on end; none is narrower than a pixel."""
        numbers = sorted({(day - self.first).days for day in days if self.has(day)})
        runs = groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0])
        ends = [(run[0][1], run[-1][1] + 1) for run in (list(group) for _, group in runs)]
        edges = [(self._edge(one), self._edge(two)) for one, two in ends]
        return [(one, max(two, one + 1)) for one, two in edges]

    def _edge(self, number: int) -> int:
        return PLOT_LEFT + round(number * self.day_px)


@dataclass(frozen=True)
class Flag:
    """A day that concerns everybody: a line from top to bottom at its beginning, with words above."""

    day: date
    words: str
    dashes: str


@dataclass
class Strip:
    """A strip across the picture: ``height``, what lies ``behind`` the lines that run from top to bottom, and before.

    Filled while it is drawn, and not after.
    """

    height: int
    behind: list[str] = field(default_factory=list)
    front: list[str] = field(default_factory=list)


def scale_of(first: date, until: date, marks: Iterable[date], right_px: int) -> Scale:
    """The season, and as many days after it as take in the ``marks`` that come soon after."""
    latest = until + timedelta(days=DAYS_AFTER)
    return Scale(first, until, max([until, *(day for day in marks if day <= latest)]), right_px)


def months(scale: Scale) -> list[date]:
    """The first day that is drawn, and each first of a month after it."""
    days = (scale.first + timedelta(days=n) for n in range(scale.days))
    return [day for day in days if day == scale.first or day.day == 1]


def axis(scale: Scale, y: int) -> Iterator[str]:
    """Names of the months, and below them the days of the month of as many Mondays as there is room for."""
    starts = [scale.x(month) for month in months(scale)]
    for month, x, end in zip(months(scale), starts, [*starts[1:], scale.right], strict=True):
        for label in (f"{month:%b %Y}", f"{month:%b}"):
            if end - x >= width_of(label) + 4:
                yield over(x + 3, y + 13, label)
                break
    mondays = [day for day in (scale.first + timedelta(days=n) for n in range(scale.days)) if day.weekday() == 0]
    step = next((n for n in (1, 2, 4) if 7 * n * scale.day_px >= width_of("28", SMALL) + 4), 0)
    for n, day in enumerate(mondays):
        x = scale.x(day)
        yield line(x, y + 29, x, y + 33)
        if step and n % step == 0 and x + width_of("28", SMALL) <= scale.right + scale.right_px:
            yield over(x, y + 27, str(day.day), SMALL, fill=QUIET_INK)


def month_lines(scale: Scale, top: int, bottom: int) -> Iterator[str]:
    """A thin line where a month begins."""
    for month in months(scale)[1:]:
        x = scale.x(month)
        yield line(x, top, x, bottom, stroke_opacity=0.5)


def flag_lines(scale: Scale, flags: Sequence[Flag], y: int, bottom: int) -> Iterator[str]:
    """A broken line for each, with its words beside its upper end, one below the other so that none is crossed."""
    for n, flag in enumerate(flags):
        x, at = scale.x(flag.day), y + FLAG_PX * n
        yield line(x, at + 3, x, bottom, stroke=INK, stroke_width=1.5, stroke_dasharray=flag.dashes)
        before = x - MARGIN - FLAG_GAP >= width_of(flag.words) and x > WIDTH / 2
        yield over(
            x - FLAG_GAP if before else x + FLAG_GAP,
            at + 13,
            flag.words,
            SIZE,
            text_anchor="end" if before else "start",
        )
