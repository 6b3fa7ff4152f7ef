"""Until when comb must be made safe from moths, and how often a treatment that wears off may have to be renewed."""

from __future__ import annotations

import math
from datetime import date

from offseason.plan.audit.airs import means_from
from offseason.scenario.model import GearEntry, Scenario
from offseason.trade.moths import treat_by
from offseason.weather.outlook import Outlook

_SECONDS_PER_DAY = 86_400
# A winter may be an hour longer than its days where the clocks go back.
_CLOCKS_GO_BACK_S = 3_600


def treat_by_day(scenario: Scenario, gear: GearEntry, outlook: Outlook | None) -> date | None:
    """The last day by whose end comb must be safe; None where no moth season is known, so that nothing is asked.

    The store comb lies in when it comes in is as warm as it is said to be, or as the weather makes it day by day.
    """
    if scenario.moths is None:
        return None
    place = scenario.places.get(gear.rests or "")
    arrives = gear.arrives or scenario.season.from_
    means = means_from(place, outlook, arrives)
    constant = place.celsius.highest if place and place.celsius else None
    return treat_by(
        arrives,
        scenario.moths.season_starts,
        scenario.moths.season_ends,
        gear.comb.value if gear.comb else None,
        gear.webbing_seen,
        means if means is not None else constant,
        mean_celsius=place.celsius.mean if place and place.celsius else None,
    )


def renewals(treat_by_: date | None, closes: date, lasts: int | str | None) -> int:
    """How many times a treatment that lasts so many seconds may be renewed from its treat-by day to the last day.

    Each renewal comes no sooner than half-way through the one before: more would be pieces counted that are not there.
    """
    if treat_by_ is None or not isinstance(lasts, int) or lasts <= 0 or closes <= treat_by_:
        return 0
    return math.ceil(((closes - treat_by_).days * _SECONDS_PER_DAY + _CLOCKS_GO_BACK_S) / (lasts / 2))
