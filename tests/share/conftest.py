"""A small invented winter, its plan as written by hand, and what the plan was made of."""

from datetime import UTC, date, datetime, time

import pytest

from offseason.plan.document import Aim, Plan, Row
from offseason.scenario.model import Scenario
from offseason.workload.model import Helper, Importance, Lot, Place, Session, Stay, Step, Workload

DAY_S = 86_400


@pytest.fixture
def scenario():
    return Scenario.model_validate(
        {
            "season": {"name": "Winter at Quillet Yard", "from": "2026-10-05", "until": "2027-03-31"},
            "moths": {"season_starts": "2027-04-20"},
            "crew": {
                "Ines": {"works": {"mon-fri": "09:00-13:00"}},
                'Noël "the Younger", of Farther Quillet': {"works": {"mon": "09:00-13:00"}},
            },
            "places": {"bench": {"seats": 2}, "freezer": {"holds": "60 combs", "celsius": -18}},
            "tasks": {
                "scrape": {"minutes_each": 6, "at": "bench", "caution": ["dust"], "importance": "could"},
                "first coat": {"minutes_each": 6, "paint": "oil", "weather": "painting", "setup_minutes": 20},
                "mend frames": {"minutes_each": 4, "uses": {"nails": 10}},
                "freeze": {"minutes_each": 0.3, "kills": True, "then": {"wait": "24 h", "in": "freezer"}},
            },
            "gear": {
                "brood boxes": {
                    "piece": "langstroth deep box",
                    "count": 12,
                    "last_painted": 2019,
                    "steps": ["scrape", "first coat"],
                },
                "super combs": {"piece": "medium comb", "count": 60, "steps": ["freeze"]},
            },
            "jobs": {"rebuild the rack": {"hours": 2}},
            "rounds": {"look at the combs": {"every": "30 d", "minutes": 30}},
        }
    )


@pytest.fixture
def workload():
    boxes = (
        Step("scrape", 12, 360, at=0, importance=Importance.COULD),
        Step("first coat", 12, 360, setup_s=1200, need="painting"),
    )
    sessions = [
        Session(
            date(2026, 10, day), (day - 5) * DAY_S + 32_400, (day - 5) * DAY_S + 46_800, (0, 1), frozenset({"painting"})
        )
        for day in (5, 12, 13, 14)
    ]
    return Workload(
        tuple(sessions),
        (Helper("Ines"), Helper('Noël "the Younger", of Farther Quillet')),
        (Place("bench", seats=2), Place("freezer", holds=60, whole_loads=True)),
        (
            Lot("brood boxes", "brood boxes", 12, boxes),
            Lot(
                "super combs",
                "super combs",
                60,
                (Step("freeze", 60, 18, wait_s=DAY_S, stays=(Stay(1),), protected=True),),
                treat_by_s=197 * DAY_S,
            ),
            Lot("rebuild the rack", "rebuild the rack", 8, (Step("rebuild the rack", 8, 900),)),
            Lot("look 1", "look at the combs", 1, (Step("look at the combs", 1, 1800, importance=Importance.SHOULD),)),
        ),
        until_s=178 * DAY_S,
    )


@pytest.fixture
def plan():
    noel = 'Noël "the Younger", of Farther Quillet'
    return Plan(
        scenario_file="winter.yaml",
        scenario_sha256="0" * 64,
        made=datetime(2026, 10, 1, 8, tzinfo=UTC),
        made_with="by hand",
        proven=False,
        aims=(Aim("comb exposure", "degree-days", 0, 0, 0), Aim("done early", "piece-days", 103, 100, 2.9)),
        rows=(
            Row(date(2026, 10, 5), time(9), time(9, 18), ("Ines",), "super combs", "freeze", 60),
            Row(date(2026, 10, 5), time(9, 18), time(10, 6), ("Ines",), "brood boxes", "scrape", 8, "bench"),
            Row(date(2026, 10, 12), time(9), time(10, 32), (noel,), "brood boxes", "first coat", 12, None, 20),
            Row(date(2026, 10, 13), time(9), time(11), ("Ines", noel), "rebuild the rack", "rebuild the rack", 8),
        ),
    )
