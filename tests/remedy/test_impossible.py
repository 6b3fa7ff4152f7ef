"""Winters impossible for one known reason each: it is named, and the remedy is right to the unit and proved anew.

How much each is short of is worked out by hand beside it, and checked twice: by the planner and by a mixed-integer
programme written apart.
"""

from __future__ import annotations

from datetime import UTC, datetime
from functools import cache

import pytest

from offseason.plan.audit import audit
from offseason.plan.make import plan_from
from offseason.remedy.changed import changed
from offseason.remedy.edits import CannotBePlannedError, applied
from offseason.remedy.lever import Change, Found, Kind, Remedy
from offseason.remedy.search import find_remedies
from offseason.remedy.yard import Yard
from offseason.scenario.model import Scenario
from offseason.scenario.read import parse_scenario
from offseason.share.terminal.shortfall import shortfall_text
from offseason.solver import solve
from offseason.workload.build import build_workload
from offseason.workload.model import Schedule
from tests.remedy.impossible import Impossible
from tests.remedy.winters_of_too_much import FEWER, OPTIONAL
from tests.remedy.winters_short_of_help import HELP
from tests.remedy.winters_short_of_room import SEATS, SPACE
from tests.remedy.winters_short_of_time import EARLIER, INDOORS, LATER
from tests.remedy.winters_short_of_two_things import TOGETHER
from tests.solver.milp import possible

SINGLE = (*SPACE, *SEATS, *HELP, *INDOORS, *EARLIER, *LATER, *FEWER, *OPTIONAL)
ALL = (*SINGLE, *TOGETHER)
SECONDS = 4
SEARCH_SECONDS = 20

each_winter = pytest.mark.parametrize("case", ALL, ids=lambda case: case.name)
each_single = pytest.mark.parametrize("case", SINGLE, ids=lambda case: case.name)
each_together = pytest.mark.parametrize("case", TOGETHER, ids=lambda case: case.name)
each_search = pytest.mark.parametrize(
    "case",
    [*SINGLE, *(pytest.param(case, marks=pytest.mark.slow) for case in TOGETHER)],
    ids=lambda case: case.name,
)


def read(text: str) -> Scenario:
    return parse_scenario(text, "winter.yaml")


@cache
def planned(scenario_text: str) -> Schedule:
    return solve(build_workload(read(scenario_text)), seconds=SECONDS)


@cache
def found(case: Impossible) -> Found:
    return find_remedies(Yard(read(case.as_made)), planned(case.as_made), seconds=SEARCH_SECONDS)


def told(case: Impossible) -> str:
    scenario = read(case.as_made)
    return " ".join(shortfall_text(scenario, build_workload(scenario), planned(case.as_made)).split())


def what(change: Change) -> tuple[Kind, str, tuple[str, ...], int]:
    return change.lever.kind, change.lever.about, change.lever.steps, change.size


def wanted(case: Impossible) -> list[tuple[Kind, str, tuple[str, ...], int]]:
    return [(short.kind, short.about, short.steps, short.size) for short in case.short]


def sizes(case: Impossible) -> list[int]:
    return [short.size for short in case.short]


def one_less(numbers: list[int], of: int) -> list[int]:
    return [number - (place == of) for place, number in enumerate(numbers)]


def test_there_are_winters_of_every_kind_and_three_dozen_at_least():
    assert {short.kind for case in ALL for short in case.short} == set(Kind)
    assert len({case.as_made for case in ALL}) >= 36


@each_winter
def test_it_fits_with_what_it_lacks_and_not_with_one_unit_less(case):
    assert planned(case.text(*sizes(case))).left == ()
    assert possible(build_workload(read(case.text(*sizes(case)))))
    for n in range(len(case.short)):
        less = case.text(*one_less(sizes(case), n))
        assert planned(less).left
        assert planned(less).certain is case.proven
        assert not possible(build_workload(read(less)))


@each_winter
def test_what_is_left_is_named_with_its_pieces(case):
    for words in case.says:
        assert words in told(case)
    assert ("this is proven" in told(case)) is case.proven


@each_single
def test_the_remedy_is_named_to_the_unit(case):
    (short,) = wanted(case)
    alike = [one for one in found(case).singles if what(one.changes[0])[:3] == short[:3]]
    assert [what(one.changes[0]) for one in alike] == [short]
    assert alike[0].least
    assert found(case).together is None


@each_single
def test_single_remedies_are_one_change_each_cheapest_first_and_no_more_than_five(case):
    singles = found(case).singles
    assert 1 <= len(singles) <= 5
    assert all(len(one.changes) == 1 for one in singles)
    assert [one.price for one in singles] == sorted(one.price for one in singles)
    assert len({what(one.changes[0])[:3] for one in singles}) == len(singles)


@pytest.mark.slow
@each_together
def test_where_nothing_is_enough_alone_the_cheapest_together_is_named_to_the_unit(case):
    assert found(case).singles == ()
    together = found(case).together
    assert together is not None
    assert sorted(map(what, together.changes)) == sorted(wanted(case))
    assert together.price == pytest.approx(case.price)
    assert together.least


def promises_broken(scenario: Scenario, schedule: Schedule) -> list[str]:
    plan = plan_from(
        build_workload(scenario),
        schedule,
        scenario_file="winter.yaml",
        scenario_sha256="0" * 64,
        made=datetime(2026, 10, 1, tzinfo=UTC),
        made_with="a test",
    )
    return [broken.text for broken in audit(scenario, plan)]


def smaller(remedy: Remedy) -> list[list[Change]]:
    """The remedy with one unit less of one of its changes, for each of them."""
    counts = [change.size for change in remedy.changes]
    return [
        [Change(change.lever, size) for change, size in zip(remedy.changes, one_less(counts, n), strict=True) if size]
        for n in range(len(counts))
    ]


@each_search
def test_with_every_remedy_there_is_a_plan_that_keeps_every_promise_and_with_less_there_is_none(case):
    scenario = read(case.as_made)
    assert found(case).remedies
    for remedy in found(case).remedies:
        mended = changed(scenario, remedy.changes)
        schedule = solve(build_workload(mended), seconds=SECONDS)
        assert schedule.left == (), remedy
        assert promises_broken(mended, schedule) == [], remedy
        for less in smaller(remedy) if remedy.least else ():
            still_short = build_workload(changed(scenario, less))
            assert not possible(still_short), remedy
            assert solve(still_short, seconds=SECONDS).left, remedy


@each_search
def test_a_remedy_written_into_the_file_is_the_same_winter_and_keeps_the_remarks(case):
    text, scenario = case.as_made, read(case.as_made)
    remarks = [line.partition("#")[2] for line in text.splitlines() if "#" in line]
    for remedy in found(case).remedies:
        try:
            written = applied(text, scenario, remedy.changes)
        except CannotBePlannedError:
            assert leaves_out_what_moves(scenario, remedy)
            assert [what(change) for change in remedy.changes] != wanted(case)
            continue
        assert read(written) == changed(scenario, remedy.changes), remedy
        assert [remark for remark in remarks if remark not in written] == []


def leaves_out_what_moves(scenario: Scenario, remedy: Remedy) -> bool:
    """Whether a step that brings gear to a place before the next step is left out: a file that says so is refused."""
    return any(
        step != scenario.gear[change.lever.about].steps[-1] and scenario.tasks[step].then.rests is not None
        for change in remedy.changes
        for step in change.lever.steps
    )
