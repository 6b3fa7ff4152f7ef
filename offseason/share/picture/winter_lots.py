"""The lots in the winter at a glance: a lane for each kind of work, and the day by which comb must be protected."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from offseason.plan.reading import CombSafety
from offseason.share.picture.looks import Look
from offseason.share.picture.svg import INK, PAPER, QUIET_INK, SMALL, element, plain, shortened, text, width_of
from offseason.share.picture.winter_scale import LETTERS_PX, MARGIN, NAMES_PX, PLOT_LEFT, Scale, Strip, over
from offseason.share.terminal.layout import count_text

LANE_PX, BOX_PX, LEAST_PX, TWO_LINES_PX, GAP_PX = 13, 9, 15, 26, 6
DONE_BOX_PX, DONE_PX = 6, 3
NAME_SIZE = 12
LOT_GROUND = "#f2f2f2"
DIAMOND_PX, CROSS_PX, BESIDE_PX = 5, 12, 6


@dataclass(frozen=True)
class Lane:
    """One kind of work on a lot: days with work to come and days all of whose work is ``done``; what is ``left``.

    ``left``: in words; ``must``: it had to be done.
    """

    step: str
    to_come: frozenset[date]
    done: frozenset[date]
    left: str = ""
    must: bool = False


@dataclass(frozen=True)
class LotShown:
    """A lot: its pieces (None: not known), the day it arrives, and what is known of its protection (None: no comb)."""

    name: str
    count: int | None
    arrives: date
    lanes: tuple[Lane, ...]
    comb: CombSafety | None


def lot_strip(lot: LotShown, scale: Scale, looks: Mapping[str, Look], letters: Mapping[str, str], y: int) -> Strip:
    """The strip of one lot with its top at ``y``."""
    taken = [_occupied(lane, scale, letters, lot.arrives) for lane in lot.lanes]
    marks = _protection(lot, scale, taken)
    height = max(LANE_PX * len(taken), LEAST_PX)
    strip = Strip(height + GAP_PX)
    arrives, until = scale.x(lot.arrives), scale.x(scale.until + timedelta(days=1))
    if arrives < until:
        strip.behind.append(element("rect", x=arrives, y=y, width=until - arrives, height=height, fill=LOT_GROUND))
    lines = _name(lot, y, height)
    lanes = [
        part
        for n, lane in enumerate(lot.lanes)
        for part in lane_parts(lane, scale, lot.arrives, looks[lane.step], letters[lane.step], y + LANE_PX * n)
    ]
    drawn = [_mark(mark, y, height) for mark in marks]
    strip.front.append(element("g", element("title", plain(lot.name)), *lines, *lanes, *drawn))
    return strip


def _name(lot: LotShown, y: int, height: int) -> list[str]:
    """The name, and how many pieces below it or, where the strip is too low, beside it if there is room."""
    count = "" if lot.count is None else f"{lot.count:,}"
    wide, name = (
        width_of(lot.name, NAME_SIZE),
        text(MARGIN, y + 11, shortened(lot.name, NAMES_PX, NAME_SIZE), NAME_SIZE),
    )
    if count and height >= TWO_LINES_PX:
        return [name, text(MARGIN, y + 24, count_text(lot.count or 0, "piece"), SMALL, fill=QUIET_INK)]
    if count and wide + 6 + width_of(count, SMALL) <= NAMES_PX:
        return [name, text(MARGIN + NAMES_PX, y + 11, count, SMALL, text_anchor="end", fill=QUIET_INK)]
    return [name]


def lane_parts(lane: Lane, scale: Scale, arrives: date, look: Look, letters: str, y: int) -> list[str]:
    """Letters before the first box, the boxes, and at the right edge what is left."""
    parts = [over(_letters_at(lane, scale, arrives), y + 10, letters, SMALL, text_anchor="end", font_weight="bold")]
    boxes = [f"M{one} {y + 1}h{two - one}v{BOX_PX}h-{two - one}z" for one, two in scale.spans(lane.to_come)]
    low = y + 1 + BOX_PX
    boxes += [f"M{one} {low - DONE_PX}h{two - one}v-{DONE_BOX_PX}h-{two - one}z" for one, two in scale.spans(lane.done)]
    if boxes:
        parts.append(element("path", d="".join(boxes), fill=look.fill, stroke=INK, stroke_width=0.8))
    bars = [f"M{one} {low - DONE_PX}h{two - one}v{DONE_PX + 1}h-{two - one}z" for one, two in scale.spans(lane.done)]
    if bars:
        parts.append(element("path", d="".join(bars), fill=INK))
    return parts + left_parts(lane, scale, y)


def left_parts(lane: Lane, scale: Scale, y: int) -> list[str]:
    """What is left, beside the last day; with a cross where it had to be done."""
    if not lane.left:
        return []
    x, before = scale.right + BESIDE_PX, CROSS_PX if lane.must else 0
    room = scale.right_px - 2 * BESIDE_PX - before
    words = text(x + before, y + 10, shortened(lane.left, room, SMALL), SMALL)
    return [cross(x, y + 2), words] if lane.must else [words]


def room_of(lane: Lane) -> int:
    """How much room there has to be beside the last day for what is left."""
    if not lane.left:
        return 0
    return math.ceil(width_of(lane.left, SMALL)) + 2 * BESIDE_PX + (CROSS_PX if lane.must else 0)


def cross(x: float, y: float) -> str:
    """A cross of eight pixels."""
    return element("path", d=f"M{x:.10g} {y:.10g}l8 8m0 -8l-8 8", stroke=INK, stroke_width=2, fill="none")


def diamond(x: float, y: float) -> str:
    """An open diamond around a place."""
    r = DIAMOND_PX
    return element(
        "path", d=f"M{x:.10g} {y - r:.10g}l{r} {r}l-{r} {r}l-{r} -{r}z", fill=PAPER, stroke=INK, stroke_width=1.5
    )


def tick(x: float, top: float, bottom: float) -> str:
    """The day by whose end comb must be protected: a thick line with a foot that points back in time."""
    return element("path", d=f"M{x:.10g} {top:.10g}V{bottom:.10g}h-5", stroke=INK, stroke_width=2.2, fill="none")


def _letters_at(lane: Lane, scale: Scale, arrives: date) -> int:
    """Where the letters end: before the first box, or before the lot arrives."""
    spans = scale.spans(lane.to_come | lane.done)
    return (spans[0][0] if spans else scale.x(arrives)) - 4


Taken = list[tuple[float, float]]


def _occupied(lane: Lane, scale: Scale, letters: Mapping[str, str], arrives: date) -> Taken:
    ends = _letters_at(lane, scale, arrives)
    beside = [(scale.right + BESIDE_PX - 2.0, scale.right + scale.right_px + 0.0)] if lane.left else []
    return [
        (ends - width_of(letters[lane.step], SMALL), ends + 2.0),
        *map(_wider, scale.spans(lane.to_come | lane.done)),
        *beside,
    ]


def _wider(span: tuple[int, int]) -> tuple[float, float]:
    return span[0] - 2.0, span[1] + 2.0


@dataclass(frozen=True)
class _Mark:
    """A tick (``lane`` None: as high as the strip), a diamond or words, with its middle or ``anchor`` at ``x``."""

    kind: str
    x: float
    lane: int | None = None
    words: str = ""
    anchor: str = "start"


def _protection(lot: LotShown, scale: Scale, taken: list[Taken]) -> list[_Mark]:
    """The tick and its words, and a diamond where all comb is protected; ``taken`` grows where there is no room."""
    comb = lot.comb
    if comb is None:
        return []
    marks = []
    if comb.since is not None and comb.safe and scale.has(comb.since):
        x = scale.x(comb.since + timedelta(days=1)) + DIAMOND_PX + 2.0
        lane = next(
            (n for n in reversed(range(len(lot.lanes))) if comb.since in lot.lanes[n].to_come | lot.lanes[n].done), 0
        )
        lane = (
            lane
            if _free(taken, lane, x - DIAMOND_PX, x + DIAMOND_PX)
            else _new_lane_or(taken, x - DIAMOND_PX, x + DIAMOND_PX)
        )
        taken[lane].append((x - DIAMOND_PX - 2.0, x + DIAMOND_PX + 2.0))
        marks.append(_Mark("diamond", x, lane))
    if comb.treat_by is not None:
        x = float(scale.x(comb.treat_by + timedelta(days=1)))
        for lane_taken in taken:
            lane_taken.append((x - 6, x + 3))
        marks += [_Mark("tick", x), _words(comb, comb.treat_by, scale, x, taken)]
    return marks


def _words(comb: CombSafety, by: date, scale: Scale, x: float, taken: list[Taken]) -> _Mark:
    """``protect by 19 Apr`` beside the tick, in the first lane with room; where there is none, in one more."""
    all_along = comb.safe and comb.since is None
    words = f"{'protected, due' if all_along else 'protect by'} {by.day} {by:%b}"
    wide = width_of(words, SMALL)
    last = scale.right + scale.right_px - 4
    sides = (("end", x - 8, x - 8 - wide, x - 8), ("start", x + 5, x + 5, x + 5 + wide))
    within = [side for side in sides if side[2] >= PLOT_LEFT - LETTERS_PX and side[3] <= last]
    for anchor, at, left, right in within:
        for lane in range(len(taken)):
            if _free(taken, lane, left, right):
                return _Mark("words", at, lane, words, anchor)
    taken.append([])
    anchor, at = within[0][:2] if within else ("start", float(PLOT_LEFT))
    return _Mark("words", at, len(taken) - 1, words, anchor)


def _new_lane_or(taken: list[Taken], left: float, right: float) -> int:
    free = [n for n in range(len(taken)) if _free(taken, n, left, right)]
    if not free:
        taken.append([])
    return free[0] if free else len(taken) - 1


def _free(taken: Sequence[Taken], lane: int, left: float, right: float) -> bool:
    return all(right <= one or two <= left for one, two in taken[lane])


def _mark(mark: _Mark, y: int, height: int) -> str:
    if mark.lane is None:
        return tick(mark.x, y, y + height)
    at = y + LANE_PX * mark.lane
    if mark.kind == "diamond":
        return diamond(mark.x, at + 1 + BOX_PX / 2)
    return over(round(mark.x, 1), at + 10, mark.words, SMALL, text_anchor=mark.anchor)
