"""How full each place with room for gear is at the end of each day of a plan, as the audit counts what is in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from offseason.plan.audit.case import case_of
from offseason.plan.audit.space import capacity, traffic_of
from offseason.plan.document import Plan
from offseason.scenario.hours import season_days
from offseason.scenario.model import Scenario
from offseason.weather.outlook import Outlook


@dataclass(frozen=True)
class Filled:
    """A place and the part of it that is taken at the end of each day of the season (1: full, more: too full).

    ``holds``: what there is room for, in words.
    """

    place: str
    holds: str
    share: Mapping[date, float]

    @property
    def most(self) -> float:
        """The largest part that is ever taken at the end of a day."""
        return max(self.share.values(), default=0.0)


def filled(scenario: Scenario, plan: Plan, outlook: Outlook | None) -> tuple[Filled, ...]:
    """Every place that holds so much and no more and that gear is put in, in the order of the scenario.

    The scenario is settled; ``outlook`` is the weather of its records (None: there are none).
    """
    case = case_of(scenario, plan, outlook)
    days = season_days(scenario.season.from_, scenario.season.until)
    nights = np.array([case.clock.midnight_after(day) for day in days])
    found = []
    for name, place in scenario.places.items():
        if place.holds is None:
            continue
        traffic = traffic_of(case, name, place.holds)
        if not len(traffic.moments):
            continue
        holds, _ = capacity(place.holds)
        inside = np.concatenate([[0], traffic.inside])[np.searchsorted(traffic.moments, nights, side="left")]
        said = f"{place.holds.spaces:,} {place.holds.unit}"
        found.append(Filled(name, said, dict(zip(days, (inside / holds).tolist(), strict=True))))
    return tuple(found)
