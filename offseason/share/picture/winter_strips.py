"""The other strips of the winter at a glance: fit weather, jobs and rounds, how full places are, hours of help."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from offseason.plan.filled import Filled
from offseason.plan.load import Resource, monday
from offseason.share.picture.looks import Look
from offseason.share.picture.svg import (
    INK,
    LINE,
    PAPER,
    QUIET_INK,
    SMALL,
    element,
    line,
    plain,
    shortened,
    text,
    width_of,
)
from offseason.share.picture.winter_looks import CALLED_LOOK, FIT_LOOK, FULL_LOOK, JOB_LOOK, NOBODY_LOOK, OVER_LOOK
from offseason.share.picture.winter_lots import BOX_PX, DONE_PX, LANE_PX, Lane, left_parts
from offseason.share.picture.winter_scale import LETTERS_PX, MARGIN, NAMES_PX, PLOT_LEFT, Scale, Strip, over
from offseason.share.terminal.layout import count_text, percent_text

FIT_PX, FIT_BOX_PX = 17, 12
FILL_PX, OVER_PX, FILL_GAP = 26, 5, 9
HOURS_PX, HOURS_BELOW = 48, 22
ONE_DAY, WEEK = timedelta(days=1), timedelta(days=7)


@dataclass(frozen=True)
class NeedShown:
    """Days with hours fit for one kind of weather: while somebody is there, and all of them."""

    need: str
    used: frozenset[date]
    fit: frozenset[date]


def heading(words: str, y: int) -> str:
    """What the strips below are."""
    return text(MARGIN, y + 13, words, font_weight="bold")


def weather_strip(need: NeedShown, scale: Scale, y: int) -> Strip:
    """Days fit for one kind of weather."""
    days = f"{len(need.fit)} d"
    name = text(MARGIN, y + 11, shortened(need.need, NAMES_PX + LETTERS_PX - width_of(days, SMALL) - 14, 12), 12)
    count = text(PLOT_LEFT - 6, y + 11, days, SMALL, text_anchor="end", fill=QUIET_INK)
    paths = [
        _boxes(scale.spans(need.fit - need.used), y + 1, FIT_BOX_PX, NOBODY_LOOK, stroke=LINE, stroke_width=0.6),
        _boxes(scale.spans(need.used), y + 1, FIT_BOX_PX, FIT_LOOK),
    ]
    base = line(PLOT_LEFT, y + 1 + FIT_BOX_PX, scale.x(scale.until + ONE_DAY), y + 1 + FIT_BOX_PX)
    title = element(
        "title", plain(f"{need.need}: {count_text(len(need.fit), 'day')} fit, {len(need.used)} while somebody is there")
    )
    return Strip(FIT_PX, front=[element("g", title, name, count, base, *paths)])


def job_strip(name: str, lane: Lane, rounds: bool, scale: Scale, y: int) -> Strip:
    """The days of one job (boxes) or round (dots)."""
    days = lane.to_come | lane.done
    marks: list[str] = []
    if rounds:
        middles = [(scale.x(day) + scale.day_px / 2, day in lane.done) for day in sorted(days) if scale.has(day)]
        for x, done in middles:
            fill = INK if done else PAPER
            marks.append(element("circle", cx=round(x, 1), cy=y + 5.5, r=3.5, fill=fill, stroke=INK, stroke_width=1.5))
    else:
        marks.append(_boxes(scale.spans(lane.to_come), y + 1, BOX_PX, JOB_LOOK))
        marks.append(_boxes(scale.spans(lane.done), y + 1 + BOX_PX - DONE_PX, DONE_PX + 1, JOB_LOOK))
    ground = line(PLOT_LEFT, y + 5.5, scale.x(scale.until + ONE_DAY), y + 5.5, stroke_opacity=0.35)
    label = text(MARGIN, y + 10, shortened(name, NAMES_PX + LETTERS_PX - 8, SMALL), SMALL)
    title = element("title", plain(name))
    return Strip(LANE_PX + 1, front=[element("g", title, label, ground, *marks, *left_parts(lane, scale, y))])


def place_strip(place: Filled, scale: Scale, y: int) -> Strip:
    """How full one place is, from nothing at the bottom to the limit; what is over it stands above."""
    top, base = y + OVER_PX, y + OVER_PX + FILL_PX
    high = {day: max(1, round(FILL_PX * min(share, 1))) if share > 0 else 0 for day, share in place.share.items()}
    area, beyond = [f"M{scale.x(scale.first)} {base}"], []
    for pixels, run in groupby(high, key=high.__getitem__):
        area.append(f"V{base - pixels}H{scale.x(list(run)[-1] + ONE_DAY)}")
    for one, two in scale.spans(day for day, share in place.share.items() if share > 1):
        beyond.append(f"M{one} {top}v-{OVER_PX}H{two}v{OVER_PX}z")
    end = scale.x(scale.until + ONE_DAY)
    too_full = sum(share > 1 for share in place.share.values())
    told = f"most {percent_text(place.most)} of {place.holds}"
    if too_full:
        told = f"TOO FULL: {percent_text(place.most)}, {count_text(too_full, 'day')}"
    parts = [
        text(MARGIN, y + 13, shortened(place.place, NAMES_PX - 24, 12), 12),
        text(MARGIN, y + 27, shortened(told, NAMES_PX, SMALL), SMALL, fill=QUIET_INK),
        line(PLOT_LEFT, base, end, base),
        element("path", d="".join([*area, f"V{base}z"]), fill=FULL_LOOK.fill, stroke=FULL_LOOK.ink, stroke_width=0.8),
        *([element("path", d="".join(beyond), fill=OVER_LOOK.fill, stroke=INK, stroke_width=0.8)] if beyond else []),
        line(PLOT_LEFT, top, end, top, stroke=INK, stroke_width=1.2),
        text(PLOT_LEFT - 4, top + 4, "100 %", SMALL, text_anchor="end", fill=QUIET_INK),
        text(PLOT_LEFT - 4, base + 2, "0", SMALL, text_anchor="end", fill=QUIET_INK),
    ]
    return Strip(
        OVER_PX + FILL_PX + FILL_GAP, front=[element("g", element("title", plain(f"{place.place}: {told}")), *parts)]
    )


def hours_strip(help_: Resource, scale: Scale, y: int) -> Strip:
    """Hours of help called in each week, dark, in the frame of the hours offered; the number below."""
    weeks = _weeks(scale)
    most = max([1.0, *(max(help_.used.get(week, 0), help_.open.get(week, 0)) for week in weeks)])
    base = y + HOURS_PX
    offered: list[str] = []
    called: list[str] = []
    numbers = []
    for week in weeks:
        one, two = scale.x(week), scale.x(week + WEEK)
        two = min(two, scale.x(scale.until + ONE_DAY))
        if two - one < 3:
            continue
        for found, amount, into in ((help_.open, offered, 0), (help_.used, called, 2)):
            high = round((HOURS_PX - 6) * found.get(week, 0) / most)
            if high:
                amount.append(f"M{one + 1 + into} {base}v-{high}H{two - 1 - into}V{base}z")
        hours = help_.used.get(week, 0)
        told = f"{hours:.0f}" if hours >= 9.95 else f"{hours:.1f}"
        if hours and width_of(told, SMALL) <= two - one:
            numbers.append(over((one + two) / 2, base + 13, told, SMALL, text_anchor="middle"))
    used, open_ = sum(help_.used.values()), sum(help_.open.values())
    told = f"{used:,.0f} of {open_:,.0f} h offered"
    parts = [
        text(MARGIN, y + 13, "called, week by week, in h", 12),
        text(MARGIN, y + 28, shortened(told, NAMES_PX, SMALL), SMALL, fill=QUIET_INK),
        text(PLOT_LEFT - 4, y + 14, f"{most:.0f}", SMALL, text_anchor="end", fill=QUIET_INK),
        text(PLOT_LEFT - 4, base, "0", SMALL, text_anchor="end", fill=QUIET_INK),
        element("path", d="".join(offered) or "M0 0", fill=PAPER, stroke=QUIET_INK, stroke_width=1),
        element("path", d="".join(called) or "M0 0", fill=CALLED_LOOK.fill),
        line(PLOT_LEFT, base, scale.x(scale.until + ONE_DAY), base),
        *numbers,
    ]
    return Strip(HOURS_PX + HOURS_BELOW, front=[element("g", *parts)])


def _weeks(scale: Scale) -> list[date]:
    first = monday(scale.first)
    return [first + n * WEEK for n in range(((scale.until - first).days) // 7 + 1)]


def _boxes(spans: Iterable[tuple[int, int]], y: int, high: int, look: Look, **more: str | float) -> str:
    path = "".join(f"M{one} {y}h{two - one}v{high}h-{two - one}z" for one, two in spans)
    return element("path", d=path, fill=look.fill, **more) if path else ""
