"""Why work could not stay where it was: the promises it would break there by the winter as it is now.

The audit says so of each row, in its own words; here they are only shortened and put in order.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime

from offseason.plan.audit import Broken, Promise, audit
from offseason.plan.audit.broken import named
from offseason.plan.changes.entries import minutes_of, planned_from
from offseason.plan.changes.model import Cause, Reason, Side
from offseason.plan.document import Plan, Row
from offseason.scenario.model import Scenario

_CAUSES = {
    Promise.KNOWN_NAMES: Cause.GONE,
    Promise.FOULBROOD: Cause.GEAR,
    Promise.PAINT_WHEN_DUE: Cause.ASKED,
    Promise.AWAY: Cause.PERSON,
    Promise.ABLE: Cause.PERSON,
    Promise.HOURS: Cause.PERSON,
    Promise.WEATHER: Cause.WEATHER,
    Promise.ARRIVAL: Cause.GEAR,
    Promise.READY_BY: Cause.GEAR,
    Promise.JOB_DAYS: Cause.ASKED,
    Promise.ROUNDS: Cause.ASKED,
    Promise.PLACE: Cause.PLACE,
    Promise.SHELTER: Cause.PLACE,
    Promise.HANDS: Cause.PERSON,
    Promise.COUNT: Cause.GEAR,
    Promise.LENGTH: Cause.PACE,
    Promise.SET_UP: Cause.PACE,
    Promise.SPACE: Cause.PLACE,
    Promise.WHOLE_LOADS: Cause.PLACE,
    Promise.SEATS: Cause.PLACE,
    Promise.WAITING: Cause.ORDER,
    Promise.NOT_TOO_LATE_AFTER: Cause.ORDER,
    Promise.ORDER: Cause.ORDER,
    Promise.BEFORE_AND_AFTER: Cause.ORDER,
    Promise.PROTECTION: Cause.GEAR,
    Promise.ONE_PLACE_AT_A_TIME: Cause.PERSON,
}
_RANK = {str(promise): rank for rank, promise in enumerate(_CAUSES)}

_POSSIBLE_NOW = frozenset(
    str(promise)
    for promise in (
        Promise.KNOWN_NAMES, Promise.FOULBROOD, Promise.AWAY, Promise.ABLE, Promise.HOURS, Promise.WEATHER,
        Promise.ARRIVAL, Promise.READY_BY, Promise.JOB_DAYS, Promise.PLACE, Promise.SPACE,
    )
)  # fmt: skip


def broken_now(old: Plan, new: Side, since: datetime | None) -> Mapping[Row, Reason]:
    """Rows of the old plan that break a promise of the new scenario, after what is done by now, each with the worst.

    What the new plan breaks just as much is no reason. Empty where the new scenario is not known.
    """
    if new.scenario is None:
        return {}
    ahead = planned_from(old, since)
    carried_on = replace(old, rows=(*(row for row in new.plan.rows if row.done), *ahead), since=since)
    still = _still_broken(new)
    worst = worst_of(b for b in audit(new.scenario, carried_on, new.outlook) if fault(b) not in still)
    return {row: reason_of(new.scenario, row, worst[row]) for row in ahead if row in worst}


def impossible_before(old: Side, new: Side) -> Mapping[Row, Reason]:
    """Rows of the new plan that the old winter would not have let be, and the new one does; empty where not known."""
    if old.scenario is None or old.scenario == new.scenario:
        return {}
    broken = (b for b in audit(old.scenario, new.plan, old.outlook) if b.promise in _POSSIBLE_NOW)
    still = _still_broken(new)
    found = worst_of(b for b in broken if fault(b) not in still)
    return {
        row: Reason(Cause.POSSIBLE_NOW, f"not possible before: {_sentence(old.scenario, row, broken, now=False)}")
        for row, broken in found.items()
        if not row.done
    }


def _still_broken(new: Side) -> set[tuple[str, str, str]]:
    return set(map(fault, audit(new.scenario, new.plan, new.outlook))) if new.scenario is not None else set()


def fault(broken: Broken) -> tuple[str, str, str]:
    """What is broken of which work, wherever it stands."""
    return (broken.promise, broken.row.lot, broken.row.step) if broken.row else (broken.promise, broken.text, "")


def worst_of(found: Iterable[Broken]) -> dict[Row, Broken]:
    """For each row the broken promise that tells most."""
    worst: dict[Row, Broken] = {}
    for broken in found:
        row = broken.row
        if row is not None and (row not in worst or rank_of(broken) < rank_of(worst[row])):
            worst[row] = broken
    return worst


def rank_of(broken: Broken) -> int:
    """The lower, the more it tells."""
    return _RANK.get(str(broken.promise), len(_RANK))


def reason_of(scenario: Scenario, row: Row, broken: Broken) -> Reason:
    """The promise that this row breaks as a reason."""
    return Reason(_CAUSES.get(Promise(broken.promise), Cause.FIT), _sentence(scenario, row, broken, now=True))


def _sentence(scenario: Scenario, row: Row, broken: Broken, *, now: bool) -> str:
    said = broken.text.removeprefix(f"{named(row)}: ")
    match broken.promise:
        case Promise.KNOWN_NAMES:
            return _gone(scenario, row, "no longer" if now else "not yet")
        case Promise.AWAY:
            return said if now else said.replace(" is away", " was away")
        case Promise.LENGTH if row.step in scenario.tasks and row.pieces:
            each, was = scenario.tasks[row.step].minutes_each, minutes_of(row) / row.pieces
            return f"it takes {each:.3g} min each now, not {was:.3g}" if each > was else said
        case _:
            return said


def _gone(scenario: Scenario, row: Row, word: str) -> str:
    if told := gone(scenario, row.lot, row.step, word):
        return told
    for name in row.who:
        if name not in scenario.crew:
            return f"{name} is {word} in the crew"
    if row.at is not None and row.at not in scenario.places:
        return f"{row.at}: {word} in the scenario"
    return f"{row.lot}: {row.step} is {word} asked for"


def gone(scenario: Scenario, lot: str, step: str, word: str = "no longer") -> str | None:
    """That the gear, job or round is not in the scenario, or the step not asked for; None where both are there."""
    if lot not in {*scenario.gear, *scenario.jobs, *scenario.rounds}:
        return f"{lot}: {word} in the scenario"
    if lot in scenario.gear and step not in scenario.gear[lot].steps:
        return f"{lot}: {step} is {word} asked for"
    return None
