"""What a plan comes to, for a tired person: is the comb safe, what is left out, who comes when, what is needed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise

from offseason.plan.document import Plan
from offseason.plan.load import Bottleneck, bottleneck
from offseason.plan.reading import Unplanned, comb_safety, left_over, no_room_said, presences, tightest
from offseason.scenario.fit import has_records
from offseason.scenario.foundation import foundation_remarks
from offseason.scenario.lots import kind_of
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.share.terminal.care import care_text
from offseason.share.terminal.layout import (
    clean,
    count_text,
    day_text,
    days_by_month,
    hours_text,
    paragraph,
    percent_text,
    remarks_text,
)
from offseason.share.terminal.supplies import supplies_text
from offseason.workload.model import Workload

INDENT = 15
DAYS_OF_A_WEEK = 7


def summary(scenario: Scenario, workload: Workload, plan: Plan) -> str:
    """The end of ``offseason plan``; the workload is the one the plan was made of."""
    season = scenario.season
    title = f"{clean(season.name)}, {day_text(season.from_)} to {day_text(season.until)}"
    facts = [
        ("Comb", _comb(scenario, workload, plan)),
        *_left_out(scenario, workload, plan),
        ("Bottleneck", _bottleneck(bottleneck(workload, plan))),
        ("Best possible", distance_text(plan, workload)),
    ]
    parts = [
        paragraph(title),
        "\n".join(paragraph(said) for said in plan.weather),
        "\n".join(paragraph(text, INDENT, label) for label, text in facts),
        _who_comes(workload, plan),
        supplies_text(scenario, plan),
        remarks_text(foundation_remarks(scenario)),
        care_text(scenario, plan.rows),
    ]
    return "\n\n".join(part for part in parts if part)


def distance_text(plan: Plan, workload: Workload) -> str:
    """How far from the best possible the plan can be, in one line: the first aim that is not proven best decides."""
    open_aims = [aim for aim in plan.aims if aim.gap_percent > 0]
    if plan.since is not None and not open_aims:
        return "kept as it was, or moved as little as can be: no plan moves less work away from its day"
    if plan.proven or not open_aims:
        if not plan.proven:
            return "not known"
        changes = any(one.ends_s == two.starts_s for one, two in pairwise(workload.sessions))
        carried = " that carries no piece of a lot over a change of people or weather" if changes else ""
        return f"this is it: proven that no plan{carried} does better"
    first = open_aims[0]
    away = "less than 0.1" if first.gap_percent < 0.1 else f"{first.gap_percent:.1f}"
    return f"at most {away} % away (in {clean(first.aim)})"


def _comb(scenario: Scenario, workload: Workload, plan: Plan) -> str:
    lots = comb_safety(workload, plan)
    if not lots:
        return "none to protect" if scenario.moths else _why_no_moths(scenario)
    open_lots = [lot for lot in lots if not lot.safe]
    if open_lots:
        return f"NOT protected at the end of the plan: {listed([clean(lot.lot) for lot in open_lots])}"
    combs = count_text(sum(lot.combs for lot in lots), "comb")
    least = tightest(lots)
    if least is None or least.treat_by is None or least.days_in_hand is None:
        return f"{combs}, protected ever since they arrived"
    text = f"all protected ({combs}) by {day_text(max(lot.since for lot in lots if lot.since is not None))}"
    if least.days_in_hand < 0:
        return f"{text}; {clean(least.lot)} had to be by {day_text(least.treat_by)}"
    starts = scenario.moths.season_starts if scenario.moths else None
    if starts is not None and least.treat_by + timedelta(days=1) == starts:
        spare = count_text(least.days_in_hand + 1, "day")
        return f"{text}: {spare} in hand before the moth season starts on {day_text(starts)}"
    spare = count_text(least.days_in_hand, "day")
    return f"{text}: {spare} in hand before {clean(least.lot)} must be, by {day_text(least.treat_by)}"


def _why_no_moths(scenario: Scenario) -> str:
    has_comb = any(kind_of(lot) == "comb" for lot in scenario.gear.values())
    if has_comb and has_records(scenario.weather):
        return (
            "the weather files do not tell when moths fly, so no protection is planned; write moths: and in it "
            "season_starts: with the day they first fly here"
        )
    return "no moth season is given, so no protection is planned"


def _left_out(scenario: Scenario, workload: Workload, plan: Plan) -> Iterator[tuple[str, str]]:
    full = [one for one in plan.left if one.how == "overfull"]
    for number, place in enumerate(full):
        yield "" if number else "No room", clean(no_room_said(place, scenario))
    left = left_over(workload, plan)
    if not left:
        yield "Left out", "nothing: all the work fits"
    for number, one in enumerate(left):
        yield "" if number else "Left out", f"{left_text(scenario, one)} ({one.importance})"


def left_text(scenario: Scenario, left: Unplanned) -> str:
    """``scrape: 12 of 64 brood boxes, 1.2 h``; of a job the hours, of a round how many times."""
    if left.lot in scenario.gear:
        return f"{clean(left.step)}: {left.pieces:,} of {left.of_pieces:,} {clean(left.lot)}, {hours_text(left.hours)}"
    if left.lot in scenario.rounds:
        return f"{clean(left.lot)}: {left.pieces} of {count_text(left.of_pieces, 'time')}, {hours_text(left.hours)}"
    return f"{clean(left.lot)}: {hours_text(left.hours)}"


def _bottleneck(most: Bottleneck | None) -> str:
    if most is None:
        return "none: no work is planned"
    kind = {
        "person": f"{most.name}'s hours",
        "place": f"seats at {most.name}",
        "weather": f"hours fit for {most.name}",
        "space": f"space in {most.name}",
    }[most.what]
    weeks = (most.last_week - most.first_week).days // DAYS_OF_A_WEEK + 1
    when = f"in the week from {day_text(most.first_week)}"
    if weeks > 1:
        when = f"in the {weeks} weeks from {day_text(most.first_week)}"
    return f"{clean(kind)}: {percent_text(most.share)} taken {when}"


def _who_comes(workload: Workload, plan: Plan) -> str:
    lines = ["Who comes when"]
    for person in presences(workload, plan):
        hours = f"{hours_text(person.hours)} of the {hours_text(person.offered_hours)} offered"
        text = f"{count_text(len(person.days), 'day')}, {hours}" if person.days else f"not called, {hours}"
        lines.append(paragraph(text, INDENT, f"  {clean(person.name)}"))
        lines += [paragraph(month, INDENT + 10, " " * INDENT) for month in days_by_month(person.days)]
    return "\n".join(lines)
