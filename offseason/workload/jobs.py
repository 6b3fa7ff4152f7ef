"""One-off jobs, rounds that come back, and the order between jobs, gear and kinds of work."""

from __future__ import annotations

from datetime import date, timedelta

from offseason.scenario.model import JobEntry, RoundEntry, Scenario
from offseason.workload import model
from offseason.workload.sessions import day_ends_s, day_starts_s

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


def round_lots(scenario: Scenario, name: str, entry: RoundEntry) -> tuple[model.Lot, ...]:
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
        for first, last in periods(opens, closes, max(1, entry.every // 86_400))
    )


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
