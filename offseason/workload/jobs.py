"""One-off jobs, rounds that come back, and the order between jobs, gear and kinds of work."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date, timedelta

from offseason.scenario.hours import season_days
from offseason.scenario.model import JobEntry, RoundEntry, Scenario
from offseason.trade.moths import UNKNOWN_STORE_CELSIUS, inspection_days
from offseason.weather.outlook import Outlook
from offseason.workload import model
from offseason.workload.sessions import day_ends_s, day_starts_s
from offseason.workload.stores import store_by_day

ROUNDING = 1e-9

PARTS_S = (900, 300, 60)
"""A divisible job is worked in equal parts of one of these lengths: the longest that divides it."""


def job_lot(scenario: Scenario, name: str, job: JobEntry) -> model.Lot:
    """A job as a lot: one piece, or equal parts where it may be spread over days."""
    whole_s = round(job.hours * 3_600)
    part_s = next((p for p in PARTS_S if whole_s % p == 0), whole_s) if job.divisible else whole_s
    step = _step(scenario, name, job, whole_s // part_s, part_s)
    arrives_s = day_starts_s(scenario, job.from_ or scenario.season.from_)
    ready_by_s = None if job.by is None else day_ends_s(scenario, job.by)
    return model.Lot(name, name, step.pieces, (step,), arrives_s, ready_by_s)


def round_lots(
    scenario: Scenario, name: str, entry: RoundEntry, outlook: Outlook | None = None
) -> tuple[model.Lot, ...]:
    """One lot of one piece for each period in which the round is due."""
    opens, closes = entry.from_ or scenario.season.from_, entry.until or scenario.season.until
    step = _step(scenario, name, entry, 1, round(entry.minutes * 60))
    return tuple(
        model.Lot(
            f"{name} {first}",
            name,
            1,
            (step,),
            day_starts_s(scenario, first),
            day_ends_s(scenario, last),
            period=(first, last),
        )
        for first, last in _when_due(scenario, entry, outlook, opens, closes)
    )


def _when_due(
    scenario: Scenario, entry: RoundEntry, outlook: Outlook | None, opens: date, closes: date
) -> list[tuple[date, date]]:
    if isinstance(entry.every, int):
        return periods(opens, closes, max(1, entry.every // 86_400))
    place = scenario.places.get(entry.looks_at or "")
    by_day = store_by_day(place, outlook)
    if by_day is None:
        # as warm as the place ever gets: a look too many harms nothing
        warmest = place.celsius.highest if place is not None and place.celsius is not None else math.nan
        by_day = dict.fromkeys(season_days(opens, closes), warmest)
    return periods_by_warmth(opens, closes, by_day)


def periods_by_warmth(opens: date, closes: date, celsius: Mapping[date, float]) -> list[tuple[date, date]]:
    """Stretches in which comb in a store so warm is to be looked at once; a day of unknown warmth counts as warm.

    Each day is a part of such a stretch: a 14th where moths are active, a 30th where arrested, none where it is cold.
    The last one, cut short by the end, is left out unless it is the only one.
    """
    found, first, part = [], opens, 0.0
    for day in season_days(opens, closes):
        mean = celsius.get(day, math.nan)
        days = inspection_days(UNKNOWN_STORE_CELSIUS if math.isnan(mean) else mean)
        part += 0.0 if days is None else 1 / days
        if part >= 1 - ROUNDING:
            found.append((first, day))
            first, part = day + timedelta(days=1), 0.0
    return found if found or part == 0 else [(opens, closes)]


def periods(opens: date, closes: date, days: int) -> list[tuple[date, date]]:
    """Stretches of so many days; one cut short by the end is left out, unless it is the only one."""
    whole = ((closes - opens).days + 1) // days
    if whole < 1:
        return [(opens, closes)]
    return [(opens + timedelta(days=n * days), opens + timedelta(days=(n + 1) * days - 1)) for n in range(whole)]


def _step(scenario: Scenario, name: str, entry: JobEntry | RoundEntry, pieces: int, seconds_each: int) -> model.Step:
    return model.Step(
        task=name,
        pieces=pieces,
        seconds_each=seconds_each,
        hands=entry.hands,
        at=None if entry.at is None else list(scenario.places).index(entry.at),
        need=entry.weather,
        importance=model.Importance(entry.importance.value),
        worth=entry.worth,
    )


def orders_of(scenario: Scenario, lots: tuple[model.Lot, ...]) -> tuple[model.Order, ...]:
    """What ``before`` and ``after`` of the jobs come to, between steps of lots."""
    orders: dict[model.Order, None] = {}
    for name, job in scenario.jobs.items():
        (own,) = [i for i, lot in enumerate(lots) if lot.stated == name and lot.period is None]
        for other in job.before:
            for then in _steps_named(scenario, other, lots):
                orders[model.Order((own, 0), then)] = None
        for other in job.after:
            for first in _steps_named(scenario, other, lots, last=True):
                orders[model.Order(first, (own, 0))] = None
    return tuple(orders)


def _steps_named(
    scenario: Scenario, name: str, lots: tuple[model.Lot, ...], last: bool = False
) -> list[tuple[int, int]]:
    """Steps a name stands for: of a task in every lot; of gear or a job all steps, or those that end it (the musts)."""
    if name in scenario.tasks:
        return [(i, s) for i, lot in enumerate(lots) for s, step in enumerate(lot.steps) if step.task == name]
    found: list[tuple[int, int]] = []
    for i, lot in enumerate(lots):
        if lot.stated == name and lot.steps:
            steps = [(i, s) for s in range(len(lot.steps))]
            must = [(i, s) for _, s in steps if lot.steps[s].importance is model.Importance.MUST]
            found += (must or steps) if last else steps
    return found
