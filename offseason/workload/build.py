"""From what the keeper wrote to what the solver plans."""

from __future__ import annotations

from functools import cache

from offseason.scenario.model import Scenario
from offseason.weather.outlook import Outlook
from offseason.workload.drying import Drying
from offseason.workload.gear import gear_lot, places_of
from offseason.workload.jobs import job_lot, orders_of, round_lots
from offseason.workload.model import Helper, Lot, Prefer, Workload
from offseason.workload.sessions import day_ends_s, sessions_of
from offseason.workload.stores import drying_in


def build_workload(scenario: Scenario, outlook: Outlook | None = None) -> Workload:
    """The workload of a scenario whose names and dates have been checked, in the weather to be expected.

    ``outlook``: what is known from records, with which the scenario has been settled; None: only what is written.
    """
    sessions = sessions_of(scenario)

    @cache
    def drying(place: str | None, kind: str) -> Drying | None:
        return drying_in(scenario, scenario.places.get(place or ""), kind, outlook)

    lots: list[Lot] = [
        gear_lot(scenario, name, gear, sessions, outlook, drying) for name, gear in scenario.gear.items()
    ]
    lots += [job_lot(scenario, name, job) for name, job in scenario.jobs.items()]
    for name, each in scenario.rounds.items():
        lots += round_lots(scenario, name, each, outlook)
    return Workload(
        sessions=sessions,
        helpers=helpers_of(scenario),
        places=places_of(scenario),
        lots=tuple(lots),
        orders=orders_of(scenario, tuple(lots)),
        prefer=Prefer(scenario.prefer.value),
        until_s=day_ends_s(scenario, scenario.season.until),
    )


def helpers_of(scenario: Scenario) -> tuple[Helper, ...]:
    """The crew with what each may do, all kinds of work spelled out where something is excepted."""
    every = frozenset({*scenario.tasks, *scenario.jobs, *scenario.rounds})
    found = []
    for name, entry in scenario.crew.items():
        can = None if entry.can is None else frozenset(entry.can)
        if entry.cannot:
            can = (every if can is None else can) - frozenset(entry.cannot)
        found.append(Helper(name, can))
    return tuple(found)
