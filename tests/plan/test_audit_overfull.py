"""A plan of a winter with too little room for what arrives says so; the audit holds it to exactly that."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time
from functools import cache

import pytest

from offseason.plan.audit import audit
from offseason.plan.audit.left import left_by_now
from offseason.plan.document import LeftOver, Plan
from offseason.plan.make import plan_from
from offseason.scenario.read import parse_scenario
from offseason.solver import solve
from offseason.workload.build import build_workload
from offseason.workload.model import Schedule
from tests.plan.drawn_crowded import crowded_winters
from tests.plan.winters import changed, plan, winter

# 8 lids stay in a shed of 10, and 5 boxes come to them on Wednesday the 7th: 3 spaces too few from then on (by hand)
WINTER = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {shed: {holds: 10}, loft: {holds: 40}}
tasks:
  wipe: {minutes_each: 1}
  put away: {minutes_each: 1, then: {in: loft}}
  bring back: {minutes_each: 1, then: {in: shed}}
gear:
  lids: {piece: flat lid, count: 8, rests: shed, steps: [wipe]}
  boxes: {piece: national super, count: 5, arrives: 2026-10-07, rests: shed, steps: [put away]}
  floors: {piece: floor, count: 2, rests: loft, steps: [bring back]}
"""
ROWS = """
2026-10-05 09:00-09:08 | Ines | wipe 8 of lids
2026-10-08 09:00-09:05 | Ines | put away 5 of boxes
2026-10-09 09:00-09:02 | Ines | bring back 2 of floors
"""
WEDNESDAY = date(2026, 10, 7)
NUMBERS = range(120, 250)
FAST_BEFORE = 170
"""Winters drawn by a lower number are solved in the fast suite too."""


def full(spaces: int, since: date = WEDNESDAY, place: str = "shed") -> LeftOver:
    return LeftOver("", "", spaces, "overfull", place, since)


def judged(*left: LeftOver, rows: str = ROWS, scenario: str = WINTER, since: datetime | None = None):
    said = replace(plan(rows), left=left, since=since)
    return [(str(one.promise), one.text) for one in audit(winter(scenario), said)]


def test_a_place_too_small_for_what_arrives_is_named_where_the_plan_does_not_say_so():
    ((promise, text),) = judged()
    assert promise == "space"
    assert text == (
        "gear as it arrives: shed holds 10 pieces, and from Wed 2026-10-07 00:00 up to 13 are in it: 3 too many"
    )


def test_it_may_be_so_where_the_plan_says_it():
    assert judged(full(3)) == []


def test_one_more_than_the_plan_says_is_named_with_both_numbers():
    ((promise, text),) = judged(full(2))
    assert promise == "space"
    assert text.endswith("3 too many; the plan says that it has 2 too few from Wed 2026-10-07 00:00")


def test_a_plan_does_not_say_more_than_is_so():
    about = "what is left, room in shed (overfull"
    assert judged(full(4)) == [("left over", f"{about} 4): it has at most 3 too many in it")]
    assert judged(full(3, date(2026, 10, 6))) == [
        ("left over", f"{about} 3): it is too full only from Wed 2026-10-07 on")
    ]
    cleared = changed(WINTER, "steps: [wipe]", "steps: [put away]")
    rows = changed(ROWS, "wipe 8", "put away 8")
    assert judged(full(3), rows=rows, scenario=cleared) == [("left over", f"{about} 3): it is never too full")]


def test_before_the_day_the_plan_says_nothing_is_too_full():
    ((promise, text),) = judged(full(3, date(2026, 10, 8)))
    assert (promise, "from Wed 2026-10-07 00:00 up to 13 are in it" in text) == ("space", True)


def test_what_is_said_of_one_place_is_no_excuse_for_another():
    found = judged(full(3, place="loft"))
    assert [promise for promise, _ in found] == ["space", "left over"]
    assert found[1][1] == "what is left, room in loft (overfull 3): it is never too full"


def test_a_place_that_is_not_there_is_named():
    found = dict(judged(full(3), full(2, place="shde")))
    assert found == {
        "known names": "what is left, room in shde (overfull 2): there is no place called 'shde'; did you mean 'shed'?"
    }


def test_nothing_is_put_into_a_place_that_is_too_full_already():
    # one of the two floors, and they come while 13 are in it, or 12
    early = changed(ROWS, "2026-10-09 09:00-09:02", "2026-10-07 09:00-09:02")
    ((promise, text),) = judged(full(5), rows=early)
    assert promise == "space"
    assert text.endswith("shed is too full for what arrives, and from Wed 2026-10-07 09:01 more is put into it")


def test_what_is_worked_on_where_it_rests_goes_back_into_a_place_too_full():
    late = changed(ROWS, "2026-10-05 09:00-09:08", "2026-10-07 10:00-10:08")
    assert judged(full(3), rows=late) == []


BY_THURSDAY = datetime.combine(date(2026, 10, 8), time(9, 3))
MOVED = changed(ROWS, "2026-10-08 09:00-09:05 | Ines | put away 5", "2026-10-08 09:00-09:03 | Ines | put away 3")
MOVED += "2026-10-08 09:03-09:05 | Ines | put away 2 of boxes\n"


def anew(since: datetime, *left: LeftOver) -> Plan:
    """The winter planned anew at that moment, with all before it done."""
    made = plan(MOVED)
    rows = tuple(replace(row, done=datetime.combine(row.day, row.end) <= since) for row in made.rows)
    return replace(made, rows=rows, since=since, left=left)


@pytest.mark.parametrize(
    ("since", "still"),
    [
        (datetime.combine(date(2026, 10, 6), time()), 3),  # on Tuesday it is still to come
        (datetime.combine(WEDNESDAY, time(12)), 3),  # on Wednesday it is so
        (BY_THURSDAY, 0),  # when three boxes are out it is so no more
    ],
)
def test_of_a_winter_planned_anew_only_what_is_too_full_from_then_on_is_to_be_said(since, still):
    scenario = winter(WINTER)
    now = left_by_now(scenario, anew(since, full(3)))
    assert now == ((full(still),) if still else ())
    assert audit(scenario, anew(since, *now)) == ()
    assert [str(one.promise) for one in audit(scenario, anew(since))] == (["space"] if still else [])
    if still:
        assert [str(one.promise) for one in audit(scenario, anew(since, full(still + 1)))] == ["left over"]


def test_a_place_that_is_no_more_or_never_full_is_left_no_more():
    told = replace(plan(ROWS), left=(full(3), full(2, place="attic"), full(1, place="loft")))
    assert left_by_now(winter(WINTER), told) == (full(3),)
    assert left_by_now(winter(WINTER), replace(told, left=(full(7, date(2026, 10, 5)),))) == (full(3),)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(text, id=f"winter {number}", marks=[pytest.mark.slow] if number >= FAST_BEFORE else [])
        for number, text in crowded_winters(NUMBERS)
    ],
)
def test_plans_of_winters_with_a_tight_shed_are_held_to_exactly_what_they_tell(text):
    scenario = parse_scenario(text, "winter.yaml")
    made = plan_from(
        build_workload(scenario),
        planned(text),
        scenario_file="winter.yaml",
        scenario_sha256="0" * 64,
        made=datetime(2026, 10, 1, tzinfo=UTC),
        made_with="a test",
    )
    assert audit(scenario, made) == ()
    for one in made.left:
        if one.how == "overfull":
            others = tuple(other for other in made.left if other != one)
            less = (replace(one, pieces=one.pieces - 1),) if one.pieces > 1 else ()
            assert "space" in promises(scenario, replace(made, left=(*others, *less)))
            more = replace(one, pieces=one.pieces + 1)
            assert promises(scenario, replace(made, left=(*others, more))) == {"left over"}


@cache
def planned(text: str) -> Schedule:
    return solve(build_workload(parse_scenario(text, "winter.yaml")), seconds=3)


def promises(scenario, made: Plan) -> set[str]:
    return {str(one.promise) for one in audit(scenario, made)}


@pytest.mark.slow
def test_winters_with_too_little_room_are_among_those_drawn():
    kinds = [crowded(text) for _, text in crowded_winters(NUMBERS)]
    assert kinds.count(True) >= 15
    assert kinds.count(False) >= 15


def crowded(text: str) -> bool:
    return any(one.place >= 0 for one in planned(text).left)
