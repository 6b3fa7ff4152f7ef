"""The audit of whole loads at their edges: one comb at a time, two helpers, gear that arrives, a second too soon."""

from __future__ import annotations

from tests.plan.winters import assert_breaks, assert_finds, assert_keeps, changed

FREEZER = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}, Tomas: {works: {mon-fri: 12:00-15:00}}}
places: {loft: {}, freezer: {celsius: -18}}
tasks:
  freeze: {minutes_each: 1, then: {wait: 24 h, in: freezer}}
  take out: {minutes_each: 1, then: {in: loft}}
gear: {frames: {piece: deep frame, count: 2, rests: loft, steps: [freeze, take out]}}
"""
ONE_BY_ONE = """
2026-10-05 09:00-09:01 | Ines | freeze 1 of frames
2026-10-06 09:01-09:02 | Ines | take out 1 of frames
2026-10-06 09:02-09:03 | Ines | freeze 1 of frames
2026-10-07 09:03-09:04 | Ines | take out 1 of frames
"""


def test_one_frame_after_the_other_is_a_load_of_one_each():
    assert_keeps(FREEZER, ONE_BY_ONE)
    assert_keeps(changed(FREEZER, "count: 2", "count: 1"), "\n".join(ONE_BY_ONE.splitlines()[:3]))
    then_two = ONE_BY_ONE.replace("10-06 09:02-09:03 | Ines | freeze 1", "10-06 09:02-09:04 | Ines | freeze 2")
    then_two = then_two.replace("10-07 09:03-09:04 | Ines | take out 1", "10-07 09:04-09:06 | Ines | take out 2")
    assert_keeps(changed(FREEZER, "count: 2", "count: 3"), then_two)


TOGETHER = """
2026-10-05 09:00-09:01 | Ines | freeze 1 of frames
2026-10-05 14:00-14:01 | Tomas | freeze 1 of frames
2026-10-06 14:01-14:03 | Tomas | take out 2 of frames
"""


def test_a_load_is_put_in_by_one_helper_and_by_the_next_where_one_comes_as_the_other_goes():
    assert_keeps(FREEZER, TOGETHER)
    apart = changed(FREEZER, "12:00-15:00", "12:01-15:00")
    says = "1 piece would go into freezer on top of the load begun at Mon 2026-10-05 09:01, before it is taken out"
    assert_breaks(apart, TOGETHER, "whole loads", 2, says=says)


def test_a_freezer_is_one_from_seven_degrees_below_zero_on_however_little_colder():
    warm = changed(FREEZER, "Tomas: {works: {mon-fri: 12:00-15:00}}", "Tomas: {works: {mon-fri: 13:00-15:00}}")
    assert_breaks(changed(warm, "-18", "-7"), TOGETHER, "whole loads", 2)
    assert_breaks(changed(warm, "-18", "-20..-7"), TOGETHER, "whole loads", 2)
    assert_keeps(changed(warm, "-18", "-6.9"), TOGETHER)


def test_what_comes_after_hours_all_counts_as_one_stretch():
    rows = TOGETHER.replace("09:00-09:01", "20:00-20:01").replace(
        "10-05 14:00-14:01 | Tomas", "10-05 21:00-21:01 | Ines"
    )
    rows = rows.replace("10-06 14:01-14:03 | Tomas", "10-07 09:00-09:02 | Ines")
    assert_finds(FREEZER, rows, ("hours", 1), ("hours", 2))


def test_gear_that_comes_in_by_way_of_the_freezer_is_a_load_by_itself():
    brought = changed(FREEZER, "rests: loft", "rests: freezer").replace("[freeze, take out]", "[take out]")
    rows = "2026-10-05 09:00-09:02 | Ines | take out 2 of frames"
    assert_keeps(brought, rows)
    more = changed(
        brought, "gear: {", "gear: {boxes: {piece: bucket, count: 3, rests: loft, steps: [freeze, take out]}, "
    )
    rows = """
2026-10-05 09:00-09:03 | Ines | freeze 3 of boxes
2026-10-06 09:10-09:12 | Ines | take out 2 of frames
2026-10-06 09:12-09:15 | Ines | take out 3 of boxes
"""
    says = "3 pieces would go into freezer on top of the load begun at Mon 2026-10-05 00:00, before it is taken out"
    assert_breaks(more, rows, "whole loads", 1, says=says)


def test_gear_that_comes_in_on_top_of_a_load_is_named_without_a_row():
    late = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {loft: {}, freezer: {celsius: -18}}
tasks: {freeze: {minutes_each: 1, then: {in: freezer}}, take out: {minutes_each: 1, then: {in: loft}}}
gear:
  frames: {piece: deep frame, count: 2, rests: loft, steps: [freeze, take out]}
  meat: {piece: bucket, count: 3, arrives: 2026-10-07, rests: freezer}
"""
    rows = """
2026-10-06 09:00-09:02 | Ines | freeze 2 of frames
2026-10-08 09:00-09:02 | Ines | take out 2 of frames
"""
    found = assert_finds(late, rows, ("whole loads", None))
    assert found[0].text == (
        "gear as it arrives: 3 pieces would go into freezer on top of the load begun at Tue 2026-10-06 09:01, "
        "before it is taken out"
    )


def test_a_frame_is_forgiven_one_second_of_the_stay_beside_the_last_of_its_load_and_not_two():
    rows = """
2026-10-05 09:00-09:02 | Ines | freeze 2 of frames
2026-10-06 09:01:59-09:03:59 | Ines | take out 2 of frames
"""
    assert_keeps(FREEZER, rows)
    early = rows.replace("09:01:59-09:03:59", "09:01:58-09:03:58")
    says = "too soon for 1 piece: 1 d of waiting are needed from when the last of the load went in"
    assert_breaks(FREEZER, early, "whole loads", 2, says=f"{says} (Mon 2026-10-05 09:02), 2 s are missing")
    # Here the second that is forgiven is one of its own stay; that of the load is a minute longer.
    early = rows.replace("09:01:59-09:03:59", "09:00:59-09:02:59")
    assert_breaks(FREEZER, early, "whole loads", 2, says=f"{says} (Mon 2026-10-05 09:02), 1 min 1 s are missing")


def test_a_piece_whose_own_stay_is_too_short_is_told_of_once():
    rows = """
2026-10-05 09:00-09:02 | Ines | freeze 2 of frames
2026-10-06 09:00:58-09:02:58 | Ines | take out 2 of frames
"""
    assert_breaks(FREEZER, rows, "waiting", 2, says="1 d of waiting after freeze are needed, 2 s are missing")


def test_each_row_that_comes_out_too_soon_is_named():
    rows = """
2026-10-05 09:00-09:01 | Ines | freeze 1 of frames
2026-10-05 09:30-09:31 | Ines | freeze 1 of frames
2026-10-05 09:40-09:41 | Ines | freeze 1 of frames
2026-10-06 09:02-09:03 | Ines | take out 1 of frames
2026-10-06 09:32-09:33 | Ines | take out 1 of frames
2026-10-06 09:41-09:42 | Ines | take out 1 of frames
"""
    three = changed(FREEZER, "count: 2", "count: 3")
    found = assert_finds(three, rows, ("whole loads", 4), ("whole loads", 5))
    assert [b.text.rpartition(", ")[2] for b in found] == ["39 min are missing", "9 min are missing"]
    assert all("(Mon 2026-10-05 09:41)" in b.text for b in found)


def test_how_long_a_load_stays_is_counted_from_its_own_last_piece_and_not_from_that_of_a_load_before():
    two_loads = """
2026-10-05 09:00-09:01 | Ines | freeze 1 of frames
2026-10-06 09:01-09:02 | Ines | take out 1 of frames
2026-10-06 09:02-09:03 | Ines | freeze 1 of frames
2026-10-06 10:00-10:01 | Ines | freeze 1 of frames
2026-10-07 09:30-09:31 | Ines | take out 1 of frames
2026-10-07 10:31-10:32 | Ines | take out 1 of frames
"""
    says = "from when the last of the load went in (Tue 2026-10-06 10:01), 31 min are missing"
    assert_breaks(changed(FREEZER, "count: 2", "count: 3"), two_loads, "whole loads", 5, says=says)
