"""The hard promise: from its treat-by date until spring, every comb is safe from moths at the end of every day.

Where the plan ends before that date, nobody comes any more: comb must be safe by the end of the last day of the plan.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from offseason.plan.audit.broken import Broken, Promise, broken, day_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.timeline import Moments
from offseason.plan.audit.yard import Lot, Stage, Step
from offseason.plan.document import Row
from offseason.scenario.model import Scenario
from offseason.trade.moths import ARRESTED_CELSIUS, LONGEST_UNTREATED_DAYS

_THAWING_S = 24 * 3_600


@dataclass(frozen=True)
class Guard:
    """A stage of comb and whether moths cannot get at it there; ``lasts_s``: only for so long after its finish."""

    stage: Stage
    safe: bool
    lasts_s: int | None = None


def at_risk(case: Case) -> Iterator[Broken]:
    """From the end of the treat-by day, no comb is at a stage that is not protected, at the end of any day.

    Of comb that must be ready sooner, and so is on the hives again before moths can get at it, nothing is asked.
    """
    for lot in case.yard.lots.values():
        if lot.treat_by is not None:
            due = max(lot.treat_by, lot.opens)
            if case.since is not None and due < case.begins_day:  # found open then, it is safe within a week
                due = max(case.since_day + timedelta(days=LONGEST_UNTREATED_DAYS), case.begins_day)
            yield from _lot(case, lot, min(due, case.scenario.season.until))


def guards_of(scenario: Scenario, lot: Lot) -> tuple[Guard, ...]:
    """Walks the steps of a lot and says of each stage whether comb is safe there."""
    arrival, *others = lot.stages
    stage_after = {stage.after: stage for stage in others}
    guards = [Guard(arrival, _cold(scenario, arrival))]
    clean = sealed = treated = False
    for step in lot.steps:
        clean = clean or step.kills
        sealed = step.seals and clean
        treated = treated or step.protects == "season"
        stage = stage_after.get(step.index)
        if stage is None:
            continue
        lasts_s = step.protects if isinstance(step.protects, int) else None
        kept = sealed or treated or (clean and _sealed_while_thawing(lot, step))
        safe = step.uses_up or kept or _cold(scenario, stage)
        guards.append(Guard(stage, safe or lasts_s is not None, None if safe else lasts_s))
        clean = clean and (safe or lasts_s is not None)
    return tuple(guards)


def _cold(scenario: Scenario, stage: Stage) -> bool:
    place = scenario.places.get(stage.place or "")
    return place is not None and place.celsius is not None and place.celsius.highest <= ARRESTED_CELSIUS


def _sealed_while_thawing(lot: Lot, step: Step) -> bool:
    following = lot.steps[step.index + 1] if step.index + 1 < len(lot.steps) else None
    if following is None or following.within_s is None:
        return False
    return following.seals and following.within_s <= _THAWING_S


def _lot(case: Case, lot: Lot, first: date) -> Iterator[Broken]:
    days = [first + timedelta(days=n) for n in range((lot.closes - first).days + 1)]
    if not days:
        return
    ends = np.array([case.clock.midnight_after(day) for day in days], dtype=np.int64)
    guards = guards_of(case.scenario, lot)
    for guard, following in zip(guards, [*guards[1:], None], strict=True):
        if guard.safe and guard.lasts_s is None:
            continue
        open_then = _open_at(case, lot, guard, ends) - _count(_leaving(case, lot, following), ends)
        bad = np.flatnonzero(open_then > 0).tolist()
        if bad:
            row = _row_to_look_at(case, lot, guard, following, days[bad[0]])
            said = f"{_open_combs(int(open_then.max()), days[bad[0]], len(bad))}, {_state(lot, guard)}"
            said += f"; all must be protected by the end of {day_text(first)}"
            yield broken(Promise.PROTECTION, row, said, about=lot.name)


def _open_at(case: Case, lot: Lot, guard: Guard, ends: Moments) -> Moments:
    """Combs that have come to this stage and are open at each of these moments, were none to leave it again.

    Where protection wears off, the combs treated longest ago are treated anew first.
    """
    if guard.stage.after is None:
        return np.where(ends >= case.clock.midnight_before(lot.opens), lot.count, 0)
    step = lot.steps[guard.stage.after]
    first, again = case.timeline.of(lot, step).finishes, case.timeline.again(lot, step).finishes
    treated = np.sort(np.concatenate([first, again]))
    safe = _count(treated, ends) - _count(treated + guard.lasts_s, ends) if guard.lasts_s is not None else 0
    return _count(first, ends) - np.minimum(safe, lot.count)


def _count(moments: Moments, ends: Moments) -> Moments:
    """How many of the moments, in order, lie at or before each end."""
    return np.searchsorted(moments, ends, "right").astype(np.int64)


def _leaving(case: Case, lot: Lot, following: Guard | None) -> Moments:
    if following is None or following.stage.after is None:
        return np.empty(0, dtype=np.int64)
    return case.timeline.of(lot, lot.steps[following.stage.after]).begins


def _open_combs(combs: int, since: date, days: int) -> str:
    number = "1 comb is" if combs == 1 else f"up to {combs} combs are"
    lasting = "1 day" if days == 1 else f"{days} days"
    return f"{number} open to moths at the end of {day_text(since)} and {lasting} in all"


def _state(lot: Lot, guard: Guard) -> str:
    where = f" in {guard.stage.place}" if guard.stage.place else ""
    if guard.stage.after is None:
        return f"as it came{where}"
    step = lot.steps[guard.stage.after].name
    return f"when {step} no longer protects{where}" if guard.lasts_s is not None else f"after {step}{where}"


def _row_to_look_at(case: Case, lot: Lot, guard: Guard, following: Guard | None, day: date) -> Row | None:
    """The row that comes too late for these combs; where none ever comes, the row that left them at risk."""
    end = case.clock.midnight_after(day)
    last = following.stage.after if following is not None else guard.stage.after if guard.lasts_s is not None else None
    if last is not None:
        for stint in case.timeline.of_step(lot, lot.steps[last]):
            if stint.first_piece >= end and stint.row.pieces > 0:
                return stint.row
    if guard.stage.after is None:
        return None
    before = [s for s in case.timeline.of_step(lot, lot.steps[guard.stage.after]) if s.first_piece < end]
    return before[-1].row if before else None
