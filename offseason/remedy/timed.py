"""The lots and jobs of a scenario as time alone sees them, with some of its lines left out."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import timedelta

from offseason.remedy.by_time import Clash, clash_of
from offseason.remedy.relaxed import no_harder, orders_kept
from offseason.remedy.statements import SEASON_FROM, SEASON_UNTIL, without
from offseason.scenario.model import Scenario
from offseason.scenario.yaml_tree import Path
from offseason.weather.outlook import Outlook
from offseason.workload.drying import Drying
from offseason.workload.gear import gear_lot
from offseason.workload.jobs import job_lot, orders_of
from offseason.workload.model import Lot, Order
from offseason.workload.sessions import day_ends_s
from offseason.workload.stores import drying_in

_LONG_AGO_S = -(10**9)


@dataclass(frozen=True)
class Case:
    """Some lots and jobs of a scenario and the orders among them; ``until_s`` None: the season has no end."""

    scenario: Scenario
    lots: tuple[Lot, ...]
    orders: tuple[Order, ...]
    until_s: int | None

    def clash(self) -> Clash | None:
        """What time forbids here."""
        return clash_of(self.lots, self.orders, self.until_s)


class Cases:
    """Makes the cases of one scenario, which is settled; ``outlook``: what its records tell.

    How things dry is worked out once for each place.
    """

    def __init__(self, scenario: Scenario, outlook: Outlook | None) -> None:
        self._scenario = scenario
        self._outlook = outlook
        self._dryings: dict[tuple[str | None, bool, str], Drying | None] = {}
        self._full = self._lots(scenario, {*scenario.gear, *scenario.jobs})
        self._full_orders = orders_of(scenario, self._full)

    def case(self, names: Collection[str], left_out: Collection[Path] = ()) -> Case:
        """These lots and jobs with these lines left out; nothing is asked of them that the whole does not ask."""
        scenario = without(self._scenario, left_out)
        full = {lot.name: lot for lot in self._full}
        lots = tuple(
            self._let_go(scenario, no_harder(lot, full[lot.name]), left_out) for lot in self._lots(scenario, names)
        )
        jobs = {name: job for name, job in scenario.jobs.items() if name in names}
        orders = orders_of(scenario.model_copy(update={"jobs": jobs}), lots)
        orders = orders_kept(orders, lots, self._full_orders, self._full)
        until_s = None if SEASON_UNTIL in left_out else day_ends_s(scenario, scenario.season.until)
        return Case(scenario, lots, orders, until_s)

    def _lots(self, scenario: Scenario, names: Collection[str]) -> tuple[Lot, ...]:
        found = [self._gear_lot(scenario, name) for name in scenario.gear if name in names]
        found += [job_lot(scenario, name, job) for name, job in scenario.jobs.items() if name in names]
        return tuple(found)

    def _gear_lot(self, scenario: Scenario, name: str) -> Lot:
        def drying_at(place: str | None, kind: str) -> Drying | None:
            entry = scenario.places.get(place or "")
            key = (place, entry is None or entry.celsius is None, kind)
            if key not in self._dryings:
                self._dryings[key] = drying_in(scenario, entry, kind, self._outlook)
            return self._dryings[key]

        # without sessions: whoever is there, and when, is no matter of time alone
        return gear_lot(scenario, name, scenario.gear[name], (), self._outlook, drying_at)

    def _let_go(self, scenario: Scenario, lot: Lot, left_out: Collection[Path]) -> Lot:
        """The lot with no time taken by work whose minutes are left out, and free to come before the season too."""
        section, key = ("jobs", "hours") if lot.name in scenario.jobs else ("tasks", "minutes_each")
        steps = (replace(s, seconds_each=0) if (section, s.task, key) in left_out else s for s in lot.steps)
        lot = replace(lot, steps=tuple(steps))
        gear, job = scenario.gear.get(lot.name), scenario.jobs.get(lot.name)
        own_day = gear.arrives if gear is not None else job.from_ if job is not None else None
        if SEASON_FROM not in left_out or own_day is not None:
            return lot
        treat_by_s = lot.treat_by_s
        if gear is not None and treat_by_s is not None and self._goes_by_arrival(scenario, lot.name):
            treat_by_s += _LONG_AGO_S
        return replace(lot, arrives_s=_LONG_AGO_S, treat_by_s=treat_by_s)

    def _goes_by_arrival(self, scenario: Scenario, name: str) -> bool:
        """Whether comb that came in a day later might be made safe later too."""
        second_day = scenario.season.from_ + timedelta(days=1)
        later = scenario.gear[name].model_copy(update={"arrives": second_day})
        moved = scenario.model_copy(update={"gear": {name: later}})
        return self._gear_lot(moved, name).treat_by_s != self._gear_lot(scenario, name).treat_by_s
