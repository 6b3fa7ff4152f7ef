"""Winters with a plan made by hand that the audit accepts: they are never said to be proven not to fit.

In each somebody comes, goes, or the weather changes while work is in hand, and nobody stops for that.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest

from offseason.plan.audit import audit
from offseason.plan.document import Plan, Row
from offseason.scenario.read import parse_scenario
from offseason.solver import solve
from offseason.workload.build import build_workload

SEASON = "season: {from: 2026-10-05, until: 2026-10-06}\n"

TOMAS_COMES = """
crew: {Ines: {works: {mon: 09:00-12:00}}, Tomas: {works: {mon: 11:00-12:00}, cannot: [clean]}}
tasks: {clean: {minutes_each: 25}}
gear: {tools: {piece: hive tool, count: 7, steps: [clean]}}
"""

FINE_FROM_TEN = """
crew: {Ines: {works: {mon: 09:00-12:00}}}
places: {yard: {seats: 1, open_air: true}, shed: {holds: 10 boxes}}
tasks: {clean: {minutes_each: 25}, paint: {minutes_each: 5, weather: painting, paint: latex, at: yard}}
gear:
  tools: {piece: hive tool, count: 7, steps: [clean]}
  lids: {piece: telescoping lid, count: 1, rests: shed, last_painted: never, steps: [paint]}
weather: {windows: {painting: {2026-10-05: 10:00-12:00}}}
"""

SET_UP_AND_SOMEBODY_COMES = """
crew: {Ines: {works: {mon: 09:00-12:00}}, Tomas: {works: {mon: 09:20-10:00}, cannot: [clean]}}
tasks: {clean: {minutes_each: 10, setup_minutes: 30}}
gear: {tools: {piece: hive tool, count: 15, steps: [clean]}}
"""

TWO_JOBS_IN_ONE_GO = """
crew: {Ines: {works: {mon: 09:00-12:00}}, Tomas: {works: {mon: 10:00-11:00}, cannot: [melt down, mend the roof]}}
jobs: {melt down: {hours: 1.5, divisible: false}, mend the roof: {hours: 1.5, divisible: false}}
"""

ONE_JOB_BEFORE_THE_OTHER = """
crew: {Ines: {works: {mon: 09:00-12:00}}, Tomas: {works: {mon: 10:00-11:00}}}
jobs:
  fetch the wood: {hours: 0.5, divisible: false, before: [build the rack]}
  build the rack: {hours: 2.5, divisible: false}
"""

A_JOB_IN_QUARTERS = """
crew: {Ines: {works: {mon: 09:00-10:10}}, Tomas: {works: {mon: 09:20-10:00}, cannot: [sweep]}}
jobs: {sweep: {hours: 1}}
"""

ONE_LOAD = """
moths: {season_starts: 2027-04-20}
crew:
  Ines: {works: {mon: 09:00-10:00, tue: 10:00-11:00}}
  Tomas: {works: {mon: 09:30-10:00}, cannot: [freeze, seal]}
places: {loft: {holds: 400 combs}, freezer: {holds: 20 combs, celsius: -18}}
tasks:
  freeze: {minutes_each: 3, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 3, seals: true, then: {in: loft}}
gear: {combs: {piece: deep comb, comb: dry, count: 20, rests: loft, steps: [freeze, seal]}}
"""


def row(hours: str, lot: str, step: str, pieces: int, *, day: int = 5, at: str | None = None, set_up: float = 0) -> Row:
    """Work of Ines on a day of the season."""
    begins, ends = (time.fromisoformat(hour) for hour in hours.split("-"))
    return Row(date(2026, 10, day), begins, ends, ("Ines",), lot, step, pieces, at=at, set_up_minutes=set_up)


BY_HAND = {
    "the fifth tool is in hand when Tomas comes": (TOMAS_COMES, [row("09:00-11:55", "tools", "clean", 7)]),
    "the third tool is in hand when the day turns fine": (
        FINE_FROM_TEN,
        [row("09:00-11:55", "tools", "clean", 7), row("11:55-12:00", "lids", "paint", 1, at="yard")],
    ),
    "the set-up goes on when Tomas comes": (
        SET_UP_AND_SOMEBODY_COMES,
        [row("09:00-12:00", "tools", "clean", 15, set_up=30)],
    ),
    "one job ends and the next begins while Tomas is there": (
        TWO_JOBS_IN_ONE_GO,
        [row("09:00-10:30", *["melt down"] * 2, 1), row("10:30-12:00", *["mend the roof"] * 2, 1)],
    ),
    "a long job begins half an hour into the morning": (
        ONE_JOB_BEFORE_THE_OTHER,
        [row("09:00-09:30", *["fetch the wood"] * 2, 1), row("09:30-12:00", *["build the rack"] * 2, 1)],
    ),
    "a quarter of a job is in hand when Tomas comes and when he goes": (
        A_JOB_IN_QUARTERS,
        [row("09:00-10:00", "sweep", "sweep", 4)],
    ),
    "a load goes on into the freezer when Tomas comes": (
        ONE_LOAD,
        [row("09:00-10:00", "combs", "freeze", 20), row("10:00-11:00", "combs", "seal", 20, day=6)],
    ),
}


@pytest.mark.parametrize(("text", "rows"), BY_HAND.values(), ids=BY_HAND)
def test_what_can_be_done_by_hand_is_not_said_to_be_proven_impossible(text, rows):
    scenario = parse_scenario(SEASON + text, "winter.yaml")
    made = datetime(2026, 10, 1, tzinfo=UTC)
    plan = Plan("winter.yaml", "0" * 64, made, "by hand", proven=False, aims=(), rows=tuple(rows))
    assert audit(scenario, plan) == ()
    schedule = solve(build_workload(scenario), seconds=3)
    assert not (schedule.left and schedule.certain), f"said proven impossible: {schedule.left} is left"
