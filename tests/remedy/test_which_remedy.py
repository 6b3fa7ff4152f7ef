"""Which remedy is named where several could be: the right week, the smaller of two, and at what price."""

from __future__ import annotations

import pytest

from offseason.remedy.lever import Kind
from offseason.remedy.levers import families_of
from offseason.remedy.search import find_remedies
from offseason.remedy.yard import Yard
from offseason.scenario.read import parse_scenario
from offseason.solver import solve
from offseason.workload.build import build_workload

BENCH = "places: {bench: {seats: 1}}\n"

# An hour on each of three Saturdays up to the 25th. Sorting may be done on any of them, packing only on the last.
# Sorting alone lacks a quarter of an hour, in any week; both together lack one and a half hours, and packing must
# wait for the week of the 19th: only there they help.
LATER_WEEK = f"""
season: {{from: 2026-10-05, until: 2026-11-29}}
crew: {{Ottilie: {{works: {{sat: 10:00-11:00}}}}}}
{BENCH}
jobs:
  sort: {{hours: 3.25, by: 2026-10-25, at: bench}}
  pack: {{hours: 1.25, from: 2026-10-20, by: 2026-10-25, at: bench}}
"""
LACKING_HOURS = 3.25 + 1.25 - 3 * 1

# Two people of different trades lack a quarter of an hour each before the 11th, and again at the season's end.
TWO_TRADES_TWICE = """
season: {from: 2026-10-05, until: 2026-10-25}
crew:
  Ottilie: {works: {sat: 10:00-19:45}, cannot: [solder, solder again]}
  Bruno: {works: {sat: 10:00-19:45}, cannot: [wire, wire again]}
jobs:
  wire: {hours: 10, by: 2026-10-11}
  solder: {hours: 10, by: 2026-10-11}
  wire again: {hours: 10, from: 2026-10-19}
  solder again: {hours: 10, from: 2026-10-19}
prices: {hour: 40, day_later: 1.9, hour_left: 300}
"""


def remedies_of(text: str, seconds: float = 20):
    scenario = parse_scenario(text, "winter.yaml")
    schedule = solve(build_workload(scenario), seconds=5)
    assert schedule.left
    return find_remedies(Yard(scenario), schedule, seconds=seconds)


@pytest.fixture(scope="module")
def later_week():
    return remedies_of(LATER_WEEK)


def test_help_is_asked_for_in_the_week_in_which_it_serves_all_that_is_short(later_week):
    help_ = next(one for one in later_week.singles if one.changes[0].lever.kind is Kind.HELP)
    (change,) = help_.changes
    assert change.size == LACKING_HOURS * 4
    assert help_.least
    assert {day.isocalendar().week for day, _ in change.lever.slots} == {43}, "the week of Monday 19 October 2026"


def test_what_may_be_left_out_is_priced_as_if_all_of_it_were():
    yard = Yard(parse_scenario(LATER_WEEK, "winter.yaml"))
    workload = yard.workload()
    levers = [lever for family in families_of(yard, workload, workload.lots, ()) for lever in family.variants]
    prices = {lever.about: lever.price_each for lever in levers if lever.kind is Kind.OPTIONAL}
    # hours at the price of an hour of must-work left: 30, as the scenario gives none
    assert prices == {"sort": pytest.approx(3.25 * 30), "pack": pytest.approx(1.25 * 30)}


@pytest.mark.slow
def test_a_longer_season_may_be_part_of_what_is_cheapest_but_then_nothing_is_called_proven():
    together = remedies_of(TWO_TRADES_TWICE).together
    # a quarter of an hour each before the 11th, and another Saturday: six days later than Sunday 25 October
    assert together.price == pytest.approx(2 * 40 / 4 + 6 * 1.9)
    assert not together.least, "a season that is longer may ask for one more round, so more of it may be worse"


def test_painting_that_may_be_left_out_for_the_second_coat_alone_is_not_offered_for_both():
    found = remedies_of("""
season: {from: 2026-10-05, until: 2026-10-11}
crew: {Ottilie: {works: {mon-sun: 09:00-11:00}}}
places: {rack: {holds: 8}, shed: {holds: 40}}
tasks:
  first coat: {minutes_each: 5, weather: painting, paint: latex, then: {wait: 20 h}}
  second coat: {minutes_each: 5, weather: painting, paint: latex, then: {wait: 20 h}}
gear: {floors: {piece: floor, count: 4, rests: shed, last_painted: never, steps: [first coat, second coat]}}
weather: {windows: {painting: {2026-10-06: 09:00-11:00}}}
""")
    left_out = [one.changes[0].lever.steps for one in found.singles if one.changes[0].lever.kind is Kind.OPTIONAL]
    assert ("second coat",) in left_out
    assert ("first coat", "second coat") not in left_out
