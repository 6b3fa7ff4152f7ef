"""How full places are at the end of each day: what the keeper would count there in the evening."""

from datetime import date, timedelta

import pytest

from offseason.plan.filled import filled
from tests.plan.winters import plan, winter

COMBS = """
season: {from: 2026-10-05, until: 2026-10-11}
moths: {season_starts: 2027-04-20}
crew: {Ines: {works: {mon-sun: 09:00-13:00}}}
places: {freezer: {holds: 60 combs, celsius: -18}, shed: {holds: 40 boxes}, attic: {holds: 5}, bench: {seats: 2}}
tasks:
  freeze: {minutes_each: 1, then: {wait: 24 h, in: freezer}, kills: true}
  seal: {minutes_each: 1, seals: true, then: {in: shed}}
gear: {combs: {piece: medium comb, count: 100, comb: dry, rests: shed, arrives: 2026-10-06, steps: [freeze, seal]}}
"""
ROWS = """
2026-10-07 09:00-09:45 | Ines | freeze 45 of combs
2026-10-09 09:00-09:45 | Ines | seal 45 of combs
2026-10-09 10:00-10:55 | Ines | freeze 55 of combs
"""


def by_day(place, rows=ROWS, scenario=COMBS):
    (found,) = (one for one in filled(winter(scenario), plan(rows), None) if one.place == place)
    return [found.share[date(2026, 10, 5) + timedelta(days=n)] for n in range(7)]


def test_combs_are_in_the_freezer_from_the_evening_they_go_in_until_they_are_sealed():
    assert by_day("freezer") == pytest.approx([0, 0, 45 / 60, 45 / 60, 55 / 60, 55 / 60, 55 / 60])


def test_combs_lie_in_the_shed_from_the_day_they_come_in_and_again_once_they_are_sealed():
    boxes = [0, 100, 55, 55, 45, 45, 45]
    assert by_day("shed") == pytest.approx([combs / 400 for combs in boxes])


def test_a_place_nothing_is_put_in_or_that_holds_any_number_is_not_in_the_list():
    assert [one.place for one in filled(winter(COMBS), plan(ROWS), None)] == ["freezer", "shed"]


def test_more_than_a_place_holds_is_more_than_the_whole():
    rows = ROWS.replace("09:45 | Ines | freeze 45", "10:30 | Ines | freeze 90")
    assert by_day("freezer", rows)[2] == pytest.approx(90 / 60)


def test_how_much_there_is_room_for_is_said_as_the_keeper_wrote_it():
    freezer, shed = filled(winter(COMBS), plan(ROWS), None)
    assert (freezer.holds, freezer.most, shed.holds) == ("60 combs", pytest.approx(55 / 60), "40 boxes")
