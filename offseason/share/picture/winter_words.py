"""The winter at a glance in words: the line above it, and all of it for those who have the picture read to them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from offseason.plan.document import Plan
from offseason.plan.filled import Filled
from offseason.plan.load import Resource
from offseason.plan.reading import left_said
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.share.picture.winter_facts import outside
from offseason.share.picture.winter_lots import Lane, LotShown
from offseason.share.picture.winter_scale import Flag, Scale
from offseason.share.picture.winter_strips import NeedShown
from offseason.share.terminal.layout import clean, count_text, day_text, percent_text, short_day_text

MOST_NAME = 60
"""Letters of a name that are read out."""


def span_text(scale: Scale) -> str:
    """The season, from its first to its last day."""
    return f"{day_text(scale.first)} to {day_text(scale.until)}."


def headline(lots: Sequence[LotShown], plan: Plan) -> list[str]:
    """What matters most, in few words: a sentence on each."""
    said = [_comb(lots, plan)]
    said += [] if plan.rows else ["The plan holds no work."]
    crossed = sum(one.how != "overfull" for one in plan.left)
    said += [_does_not_fit(crossed)] if crossed else []
    full = [_name(one.place) for one in plan.left if one.how == "overfull"]
    said += [f"Too little room for what arrives: {listed(full)}."] if full else []
    return [part for part in said if part]


def not_drawn(plan: Plan, scale: Scale) -> str:
    """How much of the plan lies on other days, with a space after it; empty where all is drawn."""
    beyond = outside(plan, scale.first, scale.last)
    return f"{count_text(beyond, 'row')} of the plan on other days: not shown here. " if beyond else ""


def told(
    scale: Scale,
    plan: Plan,
    scenario: Scenario,
    flags: Sequence[Flag],
    needs: Sequence[NeedShown],
    lots: Sequence[LotShown],
    jobs: Sequence[tuple[str, Lane, bool]],
    places: Sequence[Filled],
    help_: Resource,
) -> str:
    """The whole picture in sentences, with its main figures."""
    used, offered = sum(help_.used.values()), sum(help_.open.values())
    return " ".join(
        (
            span_text(scale),
            *headline(lots, plan),
            not_drawn(plan, scale).strip(),
            *(f"{clean(words)}." for words in left_said(plan, scenario)),
            *(f"{flag.words[0].upper()}{flag.words[1:]}." for flag in flags),
            *(
                f"{_name(need.need)}: {count_text(len(need.fit), 'day')} fit, {len(need.used)} while somebody is there."
                for need in needs
            ),
            f"Help: {used:,.0f} of {offered:,.0f} hours offered are called.",
            *(f"{_name(p.place)}: at most {percent_text(p.most)} full in the evening." for p in places),
            *(sentence for lot in lots for sentence in _lot(lot)),
            *(f"{_name(name)}: {_when(lane)}{_left(lane)}." for name, lane, _ in jobs),
        )
    )


def _comb(lots: Sequence[LotShown], plan: Plan) -> str:
    combs = [lot.comb for lot in lots if lot.comb is not None]
    said_open = {left.lot for left in plan.left if left.how == "open"}
    late = [comb for comb in combs if comb.days_in_hand is not None and comb.days_in_hand < 0]
    unsafe = [comb for comb in combs if not comb.safe or comb in late or comb.lot in said_open]
    if unsafe:
        return f"Comb NOT all protected in time: {listed([_name(comb.lot) for comb in unsafe])}."
    since = [comb.since for comb in combs if comb.since is not None]
    if not combs:
        return ""
    return f"All comb is protected by {day_text(max(since))}." if since else "All comb is protected all along."


def _does_not_fit(count: int) -> str:
    words = "thing does" if count == 1 else "things do"
    return f"{count:,} {words} not fit: crosses at the right edge."


def _lot(lot: LotShown) -> Iterator[str]:
    parts = [f"{_name(lane.step)} {_when(lane)}{_left(lane)}" for lane in lot.lanes]
    yield f"{_name(lot.name)}: {'; '.join(parts) or 'nothing to do'}."
    if lot.comb is not None and lot.comb.treat_by is not None:
        how = "is never all protected" if not lot.comb.safe else "is protected all along"
        if lot.comb.safe and lot.comb.since is not None:
            how = f"is protected on {short_day_text(lot.comb.since)}"
        yield f"It must be protected by {short_day_text(lot.comb.treat_by)} and {how}."


def _when(lane: Lane) -> str:
    days = sorted(lane.to_come | lane.done)
    if not days:
        return "on no day"
    done = f", done on {len(lane.done)}" if lane.done else ""
    return f"on {count_text(len(days), 'day')}, {_span(days[0], days[-1])}{done}"


def _span(first: date, last: date) -> str:
    short = f"{first.day} {first:%b}"
    return short if first == last else f"{short} to {last.day} {last:%b}"


def _left(lane: Lane) -> str:
    return f", {lane.left}" if lane.left else ""


def _name(name: str) -> str:
    name = clean(name)
    return name if len(name) <= MOST_NAME else f"{name[: MOST_NAME - 1].rstrip()}…"
