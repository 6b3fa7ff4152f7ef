"""A job done in one go is not stopped because somebody else comes, goes, or the weather turns fit for other work.

Every plan here is judged by the audit. The rules are our own; no source.
"""

from datetime import UTC, datetime

import pytest

from offseason.plan.audit import audit
from offseason.plan.make import plan_from
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario
from offseason.solver import solve
from offseason.workload.build import build_workload

SEASON = "season: {from: 2026-10-05, until: 2026-10-06}\n"


def rows_of(text: str):
    """Solve and audit; the rows as (day, from, to, who, step), or None where no plan was found."""
    scenario = parse_scenario(SEASON + text, "winter.yaml")
    workload = build_workload(scenario)
    schedule = solve(workload, seconds=5)
    if schedule.left_undone:
        return None
    plan = plan_from(
        workload,
        schedule,
        scenario_file="winter.yaml",
        scenario_sha256="",
        made=datetime(2026, 10, 1, tzinfo=UTC),
        made_with="test",
    )
    assert audit(scenario, plan) == ()
    return [(r.day.day, f"{r.start:%H:%M}-{r.end:%H:%M}", r.who, r.step) for r in plan.rows]


def test_an_indivisible_job_goes_on_while_another_helper_comes_and_goes():
    rows = rows_of("""
crew: {Ines: {works: {mon-fri: 09:00-12:00}}, Tomas: {works: {mon-fri: 10:00-11:00}}}
jobs: {melt down old comb: {hours: 2, divisible: false}}
""")
    assert rows == [(5, "09:00-11:00", ("Ines",), "melt down old comb")]


def test_a_job_that_fills_the_morning_spans_three_sessions():
    rows = rows_of("""
crew: {Ines: {works: {mon-fri: 09:00-12:00}}, Tomas: {works: {mon-fri: 10:00-11:00}}}
jobs: {melt down old comb: {hours: 3, divisible: false}, sweep: {hours: 1, by: 2026-10-05}}
""")
    assert rows == [(5, "09:00-12:00", ("Ines",), "melt down old comb"), (5, "10:00-11:00", ("Tomas",), "sweep")]


def test_a_paint_window_that_opens_does_not_stop_a_job_indoors():
    rows = rows_of("""
crew: {Ines: {works: {mon-fri: 09:00-11:00}}}
places: {stand: {seats: 1, open_air: true}, shed: {holds: 9}}
tasks: {paint: {minutes_each: 6, at: stand, weather: painting, paint: latex}}
weather: {windows: {painting: {2026-10-05: 10:00-12:00, 2026-10-06: 09:00-11:00}}}
gear: {lids: {piece: telescoping lid, count: 2, rests: shed, steps: [paint]}}
jobs: {service the extractor: {hours: 2, divisible: false}}
""")
    assert sorted(row[3] for row in rows) == ["paint", "service the extractor"]


def test_a_job_of_two_people_needs_the_same_two_from_beginning_to_end():
    crew = """
crew:
  Ines: {works: {mon: 09:00-11:00}}
  Tomas: {works: {mon: 09:00-10:00}}
  Jan: {works: {mon: 10:00-11:00}}
jobs: {lift the roof: {hours: 2, divisible: false, hands: 2}}
"""
    assert rows_of(crew) is None
    rows = rows_of(crew.replace("10:00-11:00", "08:00-11:00"))
    assert rows == [(5, "09:00-11:00", ("Ines", "Jan"), "lift the roof")]


def test_nobody_works_through_the_midday_break():
    jobs = "\njobs: {melt down old comb: {hours: 3, divisible: false}}"
    crew = "crew: {Ines: {works: {mon-fri: [09:00-11:00, 12:00-14:00]}}}"
    with pytest.raises(ScenarioError, match="takes 180 minutes at a stretch"):
        rows_of(crew + jobs)
    rows = rows_of(crew.replace("12:00-14:00", "12:00-15:00") + jobs)
    assert rows == [(5, "12:00-15:00", ("Ines",), "melt down old comb")]


def test_a_seat_stays_taken_while_a_long_job_goes_on():
    rows = rows_of("""
crew: {Ines: {works: {mon: 09:00-12:00}}, Tomas: {works: {mon: 10:00-12:00}}}
places: {bench: {seats: 1}}
jobs: {fit a motor: {hours: 2, divisible: false, at: bench}, sharpen the tools: {hours: 1, divisible: false, at: bench}}
""")
    assert sorted(row[1] for row in rows) in (["09:00-11:00", "11:00-12:00"], ["09:00-10:00", "10:00-12:00"])


def test_a_job_that_must_come_first_is_done_before_a_long_one_begins():
    rows = rows_of("""
crew: {Ines: {works: {mon-tue: 09:00-11:00}}, Tomas: {works: {mon-tue: 10:00-10:30}}}
jobs: {fetch the wood: {hours: 0.5, before: [build the rack]}, build the rack: {hours: 2, divisible: false}}
""")
    assert [row[0] for row in rows if row[3] == "build the rack"] == [6]
    assert {row[0] for row in rows if row[3] == "fetch the wood"} == {5}
