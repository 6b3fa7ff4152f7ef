"""The independent audit: every promise of a plan is checked from scratch, from scenario, weather and plan alone.

It shares no code with what made the plan and knows nothing of any solver, so that a mistake there cannot hide here.
"""

from __future__ import annotations

from offseason.plan.audit.broken import Broken, Promise
from offseason.plan.audit.case import case_of
from offseason.plan.audit.counts import left_undone, missed_rounds, too_early_or_late, too_many, wrongly_marked_done
from offseason.plan.audit.crew import hands, outside_hours, two_places_at_once, unable
from offseason.plan.audit.jobs import job_order
from offseason.plan.audit.left import left_as_said
from offseason.plan.audit.loads import out_too_soon, topped_up
from offseason.plan.audit.minutes import set_up_forgotten, too_short
from offseason.plan.audit.names import unknown_names
from offseason.plan.audit.order import left_too_long, overtaken
from offseason.plan.audit.protection import at_risk
from offseason.plan.audit.seats import seats_taken_twice
from offseason.plan.audit.shelter import beside_foulbrood, wrong_shelter
from offseason.plan.audit.space import overfull
from offseason.plan.audit.weather import unfit_weather
from offseason.plan.document import Plan
from offseason.scenario.model import Scenario
from offseason.weather.outlook import Outlook

__all__ = ["Broken", "Promise", "audit"]

_CHECKS = (
    unknown_names,
    outside_hours,
    unable,
    two_places_at_once,
    hands,
    too_short,
    set_up_forgotten,
    seats_taken_twice,
    unfit_weather,
    too_early_or_late,
    too_many,
    left_undone,
    missed_rounds,
    overtaken,
    left_too_long,
    job_order,
    overfull,
    topped_up,
    out_too_soon,
    wrong_shelter,
    beside_foulbrood,
    at_risk,
    left_as_said,
)


def audit(scenario: Scenario, plan: Plan, outlook: Outlook | None = None) -> tuple[Broken, ...]:
    """Every promise that the plan breaks, each with its row and a sentence; empty for a plan that keeps them all.

    The scenario is one that ``offseason check`` accepts, with its fit hours and moth season filled in where they come
    from records; ``outlook`` is the weather of these records (None: there are none). Work that only should or could
    be done may be left undone; other work as far as the plan says what of it is left, and that must be true.
    """
    case = case_of(scenario, plan, outlook)
    found = (broken for check in _CHECKS for broken in check(case))
    # of a plan made anew in mid-winter nothing is held against what was done
    held = (broken for broken in found if broken.row is None or not broken.row.done)
    return (*wrongly_marked_done(case), *held)
