"""The audit of stores that warm with the weather: when comb must be safe, what counts as cold, when to look at it."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from tests.plan.outdoors import FIRST, assert_breaks, assert_keeps, from_means, told
from tests.plan.winters import changed

# Moths fly until 20 October: comb off the hives on the 5th is due within 7 days, or when larvae may feed (derived).
COMB = """
season: {from: 2026-10-05, until: 2026-11-20}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {every day: 09:00-12:00}}}
places: {lean-to: {outdoors_plus_k: 5}, freezer: {celsius: -18}, loft: {celsius: 8..18}}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear: {combs: {piece: deep comb, count: 10, comb: dry, rests: lean-to, steps: [freeze, seal]}}
"""
SEALED = """
2026-10-12 09:00-09:10 | Ines | freeze 10 of combs
2026-10-14 09:00-09:10 | Ines | seal 10 of combs
"""


def test_comb_in_a_warm_lean_to_must_be_made_safe_sooner():
    assert_keeps(COMB, SEALED, None)
    assert_keeps(COMB, SEALED, from_means(FIRST, *[12.0] * 60))
    # 25 °C in the lean-to: 15 degree-days a day make 75 on the fifth day after the comb came in (derived).
    said = "10 combs are open to moths at the end of Sat 2026-10-10 and 2 days in all"
    assert_breaks(COMB, SEALED, from_means(FIRST, *[20.0] * 60), "protection", 1, said)
    in_time = SEALED.replace("2026-10-12", "2026-10-10")
    assert_keeps(COMB, in_time, from_means(FIRST, *[20.0] * 60))


def test_warm_days_before_the_comb_came_in_do_not_count():
    hot_until_then = from_means(FIRST, *[30.0] * 5, *[10.0] * 55)
    assert_keeps(COMB, SEALED, hot_until_then)
    assert_breaks(COMB, SEALED, from_means(FIRST, *[30.0] * 10, *[10.0] * 50), "protection", 1, "Thu 2026-10-08")


def test_a_store_with_a_temperature_of_its_own_is_judged_by_that():
    given = changed(COMB, "lean-to: {outdoors_plus_k: 5}", "lean-to: {open_air: true, celsius: 10..15}")
    assert_keeps(given, SEALED, from_means(FIRST, *[30.0] * 60))


def test_pollen_comb_put_by_after_the_season_is_due_before_spring_in_a_warm_autumn():
    late = changed(COMB, "comb: dry, rests", "comb: pollen, arrives: 2026-10-26, rests")
    rows = SEALED.replace("2026-10-12", "2026-11-10").replace("2026-10-14", "2026-11-13")
    # 15 °C in the lean-to: 75 degree-days after 15 days, the day it came in counted: by the end of 9 November.
    warm = from_means(FIRST, *[10.0] * 60)
    assert_breaks(late, rows, warm, "protection", 1, "all must be protected by the end of Mon 2026-11-09")
    assert_keeps(late, rows.replace("2026-11-10", "2026-11-09"), warm)
    assert_keeps(late, rows, from_means(FIRST, *[5.0] * 60))
    assert_keeps(changed(late, "pollen", "dry"), rows, warm)


def test_a_store_that_follows_the_weather_is_never_taken_as_cold_for_good():
    bitter = from_means(FIRST, *[-15.0] * 60)
    outdoors = changed(COMB, "seals: true, then: {in: loft}", "then: {in: lean-to}")
    assert_breaks(outdoors, SEALED, bitter, "protection", 2, "open to moths at the end of Wed 2026-10-14")
    cold = outdoors.replace("lean-to: {outdoors_plus_k: 5}", "lean-to: {celsius: 2..12}")
    assert_keeps(cold, SEALED, bitter)


def test_comb_sealed_clean_is_safe_in_a_store_that_follows_the_weather():
    outdoors = changed(COMB, "then: {in: loft}", "then: {in: lean-to}")
    assert_keeps(outdoors, SEALED, from_means(FIRST, *[15.0] * 60))
    unfrozen = changed(outdoors, "kills: true, ", "")
    found = told(unfrozen, SEALED, from_means(FIRST, *[12.0] * 60))
    assert [(p, line) for p, line, _ in found] == [("protection", 2)]


def test_a_store_that_follows_the_weather_neither_takes_whole_loads_nor_keeps_foundation_by_itself():
    frosty = """
season: {from: 2026-10-05, until: 2026-10-30}
crew: {Ines: {works: {every day: 09:00-12:00}}}
places: {porch: {outdoors_plus_k: 2}}
tasks: {stack: {minutes_each: 1, then: {in: porch}}}
gear:
  frames: {piece: deep frame, count: 2, steps: [stack]}
  wax sheets: {piece: foundation sheet, count: 5, rests: porch}
"""
    rows = """
2026-10-05 09:00-09:01 | Ines | stack 1 of frames
2026-10-06 09:00-09:01 | Ines | stack 1 of frames
"""
    assert_breaks(frosty, rows, from_means(FIRST, *[-20.0] * 60), "shelter", None, "wax sheets would rest at porch")
    mild = from_means(FIRST, *[15.0] * 60)
    assert_breaks(frosty, rows, mild, "shelter", None, "only where it is known to stay")


LOOKS = """
season: {from: 2027-02-01, until: 2027-03-31}
crew: {Ines: {works: {every day: 09:00-12:00}}}
places: {loft: {outdoors_plus_k: 3}}
rounds: {look at the comb: {every: as the store warms, minutes: 20, looks_at: loft}}
"""
LOOKED = """
2027-03-04 09:00-09:20 | Ines | look at the comb 1 of look at the comb
2027-03-18 09:00-09:20 | Ines | look at the comb 1 of look at the comb
"""
# The loft: 10 days at 4 °C, 15 at 8 °C, then 15 °C. No look up to 5 °C (published), one in 30 days up to 12 °C
# (derived), one in 14 above (published). So 15/30 and 7/14 make the first due by 4 March, 14/14 the next by 18 March.
WARMING = from_means(date(2027, 2, 1), *[1.0] * 10, *[5.0] * 15, *[12.0] * 40)


def test_looks_at_stored_comb_become_due_as_the_store_warms():
    assert_keeps(LOOKS, LOOKED, WARMING)
    assert_keeps(LOOKS, LOOKED.replace("2027-03-04", "2027-02-01").replace("2027-03-18", "2027-03-05"), WARMING)
    late = changed(LOOKED, "2027-03-18", "2027-03-19")
    assert_breaks(LOOKS, late, WARMING, "rounds", None, "it is not made in 2027-03-05..2027-03-18")
    assert_breaks(LOOKS, changed(LOOKED, "2027-03-04", "2027-03-05"), WARMING, "rounds", None, "2027-02-01..2027-03-04")


def test_a_last_stretch_that_is_not_full_asks_for_no_look():
    # From 19 March to 31 March are 13 days at 15 °C; one more day makes it a whole stretch.
    longer = changed(LOOKS, "until: 2027-03-31", "until: 2027-04-01")
    assert_breaks(longer, LOOKED, WARMING, "rounds", None, "it is not made in 2027-03-19..2027-04-01")


def test_a_store_cold_all_winter_asks_for_no_look():
    assert_keeps(LOOKS, "", from_means(date(2027, 2, 1), *[2.0] * 70))
    assert_keeps(LOOKS, LOOKED, from_means(date(2027, 2, 1), *[2.0] * 70))


def test_a_store_that_warms_only_at_the_end_asks_for_one_look():
    brief = from_means(date(2027, 2, 1), *[2.0] * 58, 9.0)
    assert_breaks(LOOKS, "", brief, "rounds", None, "it is not made in 2027-02-01..2027-03-31")


@pytest.mark.parametrize("place", ["{outdoors_plus_k: 3}", "{open_air: true}", "{holds: 9}", "{celsius: 4..15}"])
def test_where_a_store_may_be_warm_it_is_looked_at_every_fortnight(place):
    scenario = changed(LOOKS, "{outdoors_plus_k: 3}", place)
    unknown = from_means(date(2027, 2, 1), *[np.nan] * 10)
    found = [text for _, _, text in told(scenario, "", unknown)]
    days = ["2027-02-01..2027-02-14", "2027-02-15..2027-02-28", "2027-03-01..2027-03-14", "2027-03-15..2027-03-28"]
    assert found == [f"look at the comb: it is not made in {period}" for period in days]


def test_a_store_of_given_cold_is_looked_at_as_its_warmest_asks():
    arrested = changed(LOOKS, "{outdoors_plus_k: 3}", "{celsius: 2..12}")
    assert_breaks(arrested, "", WARMING, "rounds", None, "2027-02-01..2027-03-02")
    assert_keeps(changed(LOOKS, "{outdoors_plus_k: 3}", "{celsius: 2..5}"), "", WARMING)
