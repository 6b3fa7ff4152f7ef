"""The winter at a glance: weather, lots, jobs, how full places are and hours of help, one below the other.

Made to be read at its own size, on paper without colours, and inside a page: every id begins with ``IDS``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import timedelta
from functools import partial

from offseason.plan.document import Plan
from offseason.plan.filled import filled
from offseason.plan.load import everybody
from offseason.scenario.model import Scenario
from offseason.share.picture.svg import LARGE, QUIET_INK, SIZE, SMALL, document, element, shortened, text, width_of
from offseason.share.picture.winter_facts import jobs_shown, lots_shown, needs_shown
from offseason.share.picture.winter_legend import legend, signs_for
from offseason.share.picture.winter_looks import IDS, OTHER_LOOKS, letters_of, looks_of
from offseason.share.picture.winter_lots import Lane, LotShown, lot_strip, room_of
from offseason.share.picture.winter_scale import (
    AXIS_PX,
    FLAG_PX,
    MARGIN,
    MOST_RIGHT_PX,
    RIGHT_PX,
    WIDTH,
    Flag,
    Scale,
    Strip,
    axis,
    flag_lines,
    month_lines,
    scale_of,
)
from offseason.share.picture.winter_strips import NeedShown, heading, hours_strip, job_strip, place_strip, weather_strip
from offseason.share.picture.winter_words import headline, not_drawn, span_text, told
from offseason.share.terminal.layout import short_day_text
from offseason.trade.cautions import LAST_WORD
from offseason.weather.outlook import Outlook
from offseason.workload.model import Workload

ONE_DAY = timedelta(days=1)
TOP_PX, HEADING_PX, SECTION_GAP = 72, 20, 8
HEAD_PX = 18
BOLD = 1.1
"""Bold letters are so much wider."""
READ_IT = "Across: the days. Down: weather, lots, jobs, places, help."


def winter_svg(scenario: Scenario, outlook: Outlook | None, workload: Workload, plan: Plan) -> str:
    """The picture as the text of an SVG file, 1100 pixels wide.

    The scenario is settled (its weather filled in from ``outlook``, None where it names no records); the workload is
    the one made of it. What the plan holds of lots or steps the scenario no longer has is shown too.
    """
    lots = lots_shown(scenario, workload, plan)
    jobs = tuple(jobs_shown(scenario, workload, plan))
    needs, places, help_ = needs_shown(scenario, workload), filled(scenario, plan, outlook), everybody(workload, plan)
    lanes = [*(lane for lot in lots for lane in lot.lanes), *(lane for _, lane, _ in jobs)]
    scale = _scale(scenario, lots, lanes)
    kinds = [lane.step for lot in lots for lane in lot.lanes]
    looks, letters = looks_of(kinds), letters_of(kinds)
    flags = _flags(scenario, plan, scale)
    heads = _heads(headline(lots, plan))
    flags_at = TOP_PX + HEAD_PX * (len(heads) - 1)
    top = flags_at + FLAG_PX * len(flags)
    strips, bottom = _stacked(
        (
            ("Days fit for", [partial(weather_strip, need, scale) for need in needs]),
            ("Lots", [partial(lot_strip, lot, scale, looks, letters) for lot in lots]),
            ("Jobs and rounds", [partial(job_strip, *job, scale) for job in jobs]),
            ("How full in the evening", [partial(place_strip, place, scale) for place in places]),
            ("Hours of help", [partial(hours_strip, help_, scale)]),
        ),
        top + AXIS_PX + 4,
    )
    signs = signs_for(_signs(lots, needs, lanes, jobs))
    keys, end = legend(looks, letters, signs, bottom + AXIS_PX + 8)
    title = f"The winter at a glance: {scenario.season.name}"
    return document(
        WIDTH,
        end + 20,
        title,
        told(scale, plan, scenario, flags, needs, lots, jobs, places, help_),
        element("defs", *(look.pattern() for look in (*looks.values(), *OTHER_LOOKS))),
        text(MARGIN, 28, shortened(title, WIDTH - 2 * MARGIN, LARGE), LARGE),
        text(MARGIN, 48, shortened(f"{span_text(scale)} {READ_IT}", WIDTH - 2 * MARGIN)),
        *(text(MARGIN, 66 + HEAD_PX * n, words, font_weight="bold") for n, words in enumerate(heads)),
        *(part for strip in strips for part in strip.behind),
        *month_lines(scale, top, bottom + 4),
        *flag_lines(scale, flags, flags_at, bottom),
        *axis(scale, top),
        *(part for strip in strips for part in strip.front),
        *axis(scale, bottom),
        keys,
        text(MARGIN, end + 8, f"{not_drawn(plan, scale)}{LAST_WORD}", SMALL, fill=QUIET_INK),
        ids=IDS,
    )


def _heads(sentences: Sequence[str]) -> list[str]:
    """What matters most, on one line where there is room for it, else a line for each sentence."""
    room = (WIDTH - 2 * MARGIN) / BOLD
    in_one = " ".join(sentences)
    lines = [in_one] if width_of(in_one, SIZE) <= room else sentences
    return [shortened(line, room) for line in lines]


def _stacked(sections: Sequence[tuple[str, Sequence[Callable[[int], Strip]]]], y: int) -> tuple[list[Strip], int]:
    """The strips of all sections below one another, each section with its heading; and where they end."""
    strips = []
    for title, parts in sections:
        if parts:
            strips.append(Strip(HEADING_PX, front=[heading(title, y)]))
            y += HEADING_PX
        for part in parts:
            strips.append(part(y))
            y += strips[-1].height
        y += SECTION_GAP if parts else 0
    return strips, y


def _scale(scenario: Scenario, lots: Sequence[LotShown], lanes: Sequence[Lane]) -> Scale:
    """The season, and the days after it on which moths fly again or comb must be protected, where they come soon."""
    marks = [lot.comb.treat_by for lot in lots if lot.comb is not None and lot.comb.treat_by is not None]
    marks += [scenario.moths.season_starts] if scenario.moths else []
    right_px = min(MOST_RIGHT_PX, max([RIGHT_PX, *(room_of(lane) for lane in lanes)]))
    return scale_of(scenario.season.from_, scenario.season.until, marks, right_px)


def _flags(scenario: Scenario, plan: Plan, scale: Scale) -> list[Flag]:
    """Days that concern everybody, in order."""
    flags = []
    if scenario.moths and scenario.moths.season_ends:
        ends = scenario.moths.season_ends
        flags.append(Flag(ends + ONE_DAY, f"moths fly until {short_day_text(ends)}", "6 3"))
    if plan.since is not None:
        since = f"{short_day_text(plan.since.date())}, {plan.since:%H:%M}"
        flags.append(Flag(plan.since.date(), f"planned anew from {since}", "2 2"))
    if scenario.moths:
        starts = scenario.moths.season_starts
        flags.append(Flag(starts, f"moths fly again from {short_day_text(starts)}", "6 3"))
    return sorted((flag for flag in flags if scale.has(flag.day)), key=lambda flag: flag.day)


def _signs(
    lots: Sequence[LotShown], needs: Sequence[NeedShown], lanes: Sequence[Lane], jobs: Sequence[tuple[str, Lane, bool]]
) -> Iterator[str]:
    """Names of the signs that occur."""
    occurring = {
        "fit": any(need.used for need in needs),
        "nobody": any(need.fit - need.used for need in needs),
        "arrived": bool(lots),
        "to come": any(lane.to_come for lane in lanes),
        "done": any(lane.done for lane in lanes),
        "round": any(is_round and lane.to_come | lane.done for _, lane, is_round in jobs),
        "tick": any(lot.comb is not None for lot in lots),
        "diamond": any(lot.comb is not None and lot.comb.safe and lot.comb.since for lot in lots),
        "cross": any(lane.left and lane.must for lane in lanes),
        "hours": True,
    }
    return (name for name, occurs in occurring.items() if occurs)
