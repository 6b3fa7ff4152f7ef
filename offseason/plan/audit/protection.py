"""The hard promise: from its treat-by date until spring, every comb is safe from moths at the end of every day.

Where the plan ends before that date, nobody comes any more: comb must be safe by the end of the last day of the plan.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from offseason.plan.audit.broken import Broken, Promise, broken, day_text, declared_text
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

    Of comb that must be ready sooner, and so is on the hives again before moths can get at it, nothing is asked; nor of
    as many combs of a lot as the plan says lie open.
    """
    for lot in case.yard.lots.values():
        days = _days(case, lot)
        if days:
            yield from _lot(case, lot, days)


def most_open(case: Case, lot: Lot) -> int:
    """The most combs of the lot that are open at the end of one and the same day at which none should be."""
    ends = _ends(case, _days(case, lot))
    if not len(ends):
        return 0
    found = [combs for _, _, combs in _open(case, lot, ends)]
    return int(np.max(sum(found))) if found else 0


def worn_off(case: Case, lot: Lot, step: Step) -> bool:
    """Whether protection by this step wears off, by the clock, of any comb that should be safe then."""
    ends = _ends(case, _days(case, lot))
    if not len(ends) or not isinstance(step.protects, int):
        return False
    moments = [case.timeline.of(lot, step).finishes, case.timeline.again(lot, step).finishes]
    over = np.sort(np.concatenate([ends[:1], *(finished + step.protects for finished in moments)]))
    over = over[(over >= ends[0]) & (over < ends[-1])]
    return any(guard.stage.after == step.index and np.any(combs > 0) for guard, _, combs in _open(case, lot, over))


def _days(case: Case, lot: Lot) -> list[date]:
    """The days at whose ends every comb of the lot must be safe."""
    if lot.treat_by is None:
        return []
    due = max(lot.treat_by, lot.opens)
    if case.since is not None and due < case.begins_day:  # found open then, it is safe within a week
        due = max(case.since_day + timedelta(days=LONGEST_UNTREATED_DAYS), case.begins_day)
    first = min(due, case.scenario.season.until)
    return [first + timedelta(days=n) for n in range((lot.closes - first).days + 1)]


def _ends(case: Case, days: list[date]) -> Moments:
    return np.array([case.clock.midnight_after(day) for day in days], dtype=np.int64)


def guards_of(scenario: Scenario, lot: Lot) -> tuple[Guard, ...]:
    """Walks the steps of a lot and says of each stage whether comb is safe there."""
    arrival, *others = lot.stages
    stage_after = {stage.after: stage for stage in others}
    guards = [Guard(arrival, _cold(scenario, arrival))]
    clean = sealed = treated = False
    for step in lot.steps:
        stage = stage_after.get(step.index)
        if stage is None:  # what only some combs have protects the others from nothing
            continue
        clean = clean or step.kills
        sealed = step.seals and clean
        treated = treated or step.protects == "season"
        lasts_s = step.protects if isinstance(step.protects, int) else None
        kept = sealed or treated or (clean and step.index + 1 in stage_after and _sealed_while_thawing(lot, step))
        safe = step.uses_up or kept or _cold(scenario, stage)
        guards.append(Guard(stage, safe or lasts_s is not None, None if safe else lasts_s))
        clean = clean and (safe or lasts_s is not None)
    return tuple(guards)


def _cold(scenario: Scenario, stage: Stage) -> bool:
    place = scenario.places.get(stage.place or "")
    return place is not None and place.celsius is not None and place.celsius.highest <= ARRESTED_CELSIUS


def _sealed_while_thawing(lot: Lot, step: Step) -> bool:
    following = lot.steps[step.index + 1]
    return following.seals and following.within_s is not None and following.within_s <= _THAWING_S


def _lot(case: Case, lot: Lot, days: list[date]) -> Iterator[Broken]:
    found = [
        (guard, following, combs, combs > _declared_worn_off(case, lot, guard))
        for guard, following, combs in _open(case, lot, _ends(case, days))
    ]
    declared = case.declared_open(lot.name)
    too_many = sum(np.where(counts, combs, 0) for _, _, combs, counts in found) > declared
    for guard, following, combs, counts in found:
        bad = np.flatnonzero(counts & too_many & (combs > 0)).tolist()
        if bad:
            row = _row_to_look_at(case, lot, guard, following, days[bad[0]])
            said = f"{_open_combs(int(combs[bad].max()), days[bad[0]], len(bad))}, {_state(lot, guard)}"
            said += f"; all must be protected by the end of {day_text(days[0])}{declared_text(declared, 'open')}"
            yield broken(Promise.PROTECTION, row, said, about=lot.name)


def _declared_worn_off(case: Case, lot: Lot, guard: Guard) -> int:
    """Combs at this stage whose protection, as the plan says, is renewed too late."""
    if guard.stage.after is None or guard.lasts_s is None:
        return 0
    return case.declared(lot.name, lot.steps[guard.stage.after].name, "late")


def _open(case: Case, lot: Lot, ends: Moments) -> list[tuple[Guard, Guard | None, Moments]]:
    """Each stage at which combs can be open, the one after it, and how many are open there at each of the moments."""
    guards = guards_of(case.scenario, lot)
    return [
        (
            guard,
            following,
            np.maximum(0, _open_at(case, lot, guard, ends) - _count(_leaving(case, lot, following), ends)),
        )
        for guard, following in zip(guards, [*guards[1:], None], strict=True)
        if not guard.safe or guard.lasts_s is not None
    ]


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
