"""The audit of comb: rack and freezer not overfull, whole loads, the freezer stay, safe from moths until spring."""

from __future__ import annotations

from tests.plan.winters import assert_breaks, assert_finds, assert_keeps, changed, without_line

# Moths fly until 20 October: comb off the hives on the 5th must be safe 7 days later, by the end of the 12th (derived).
WINTER = """
season: {from: 2026-10-05, until: 2026-11-06}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {mon-fri: [09:00-12:00, 13:00-16:00]}}, Tomas: {works: {mon-fri: 09:00-12:00}}}
places:
  loft: {holds: 40 combs, celsius: 8..18}
  freezer: {holds: 10 combs, celsius: -18}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 1, seals: true, within: 3 d, then: {in: loft}}
gear:
  combs: {piece: deep comb, count: 20, comb: dry, rests: loft, steps: [freeze, seal]}
"""
FROZEN = """
2026-10-05 09:00-09:10 | Ines | freeze 10 of combs
2026-10-06 09:30-09:40 | Ines | seal 10 of combs
2026-10-06 09:40-09:50 | Ines | freeze 10 of combs
2026-10-07 10:00-10:10 | Ines | seal 10 of combs
"""


def test_two_loads_frozen_and_sealed_in_time_keep_their_promises():
    assert_keeps(WINTER, FROZEN)


def test_comb_taken_from_the_freezer_too_early_is_named():
    rows = changed(FROZEN, "2026-10-07 10:00-10:10", "2026-10-07 09:30-09:40")
    assert_breaks(WINTER, rows, "waiting", 4, says="1 d in the freezer after freeze are needed, 11 min are missing")


def test_comb_with_pollen_stays_two_days_in_the_freezer():
    winter = changed(WINTER, "comb: dry", "comb: pollen")
    # Carrying eggs, it is due a day sooner where the store is warm: 75 degree-days at 18 °C are 10 days, so not here.
    assert_breaks(winter, FROZEN, "waiting", 2, 4, says="2 d in the freezer after freeze are needed")


def test_a_freezer_overfull_is_named_with_the_moment_and_how_many():
    rows = changed(FROZEN, "09:00-09:10 | Ines | freeze 10", "09:00-09:12 | Ines | freeze 12")
    rows = changed(rows, "09:40-09:50 | Ines | freeze 10", "09:40-09:48 | Ines | freeze 8")
    told = "freezer holds 10 comb spaces, and from Mon 2026-10-05 09:11 up to 12 are in it: 2 too many"
    found = assert_finds(WINTER, rows, ("space", 1), ("whole loads", 3))
    assert told in found[0].text


def test_a_piece_leaves_at_the_start_of_its_work_so_the_next_may_take_its_room():
    winter = changed(WINTER, "celsius: -18}", "celsius: 4}")
    winter = changed(winter, "wait: freezer stay, ", "")
    # Out one by one from 09:30, in one by one from 09:31: never more than ten.
    assert_keeps(winter, changed(FROZEN, "09:40-09:50 | Ines", "09:30-09:40 | Tomas"))
    rows = changed(FROZEN, "09:40-09:50 | Ines", "09:29-09:39 | Tomas")
    assert_keeps(winter, rows)
    rows = changed(FROZEN, "09:40-09:50 | Ines", "09:28-09:38 | Tomas")
    assert_breaks(winter, rows, "space", 3, says="from Tue 2026-10-06 09:29 up to 11 are in it: 1 too many")


def test_a_loft_overfull_with_gear_as_it_arrives_is_named_without_a_row():
    winter = changed(WINTER, "holds: 40 combs", "holds: 19 combs")
    assert_breaks(winter, FROZEN, "space", None, 4, says="loft holds 19 comb spaces")


def test_space_for_boxes_counts_ten_combs_each():
    winter = changed(WINTER, "holds: 40 combs", "holds: 2 boxes")
    assert_keeps(winter, FROZEN)
    assert_breaks(changed(winter, "2 boxes", "1 boxes"), FROZEN, "space", None, 2, 4, says="loft holds 10 comb spaces")


def test_space_for_pieces_counts_each_piece_once():
    winter = changed(
        changed(WINTER, "holds: 40 combs", "holds: 20"),
        "piece: deep comb, count: 20",
        "piece: deep comb, count: 20, spaces: 3",
    )
    winter = changed(winter, "holds: 10 combs", "holds: 30 combs")
    assert_keeps(winter, FROZEN)


def test_topping_up_a_half_frozen_load_is_named_with_when_it_began():
    winter = changed(WINTER, "holds: 10 combs", "holds: 20 combs")
    rows = """
2026-10-05 09:00-09:10 | Ines | freeze 10 of combs
2026-10-05 13:00-13:10 | Ines | freeze 10 of combs
2026-10-06 15:00-15:20 | Ines | seal 20 of combs
"""
    assert_breaks(
        winter,
        rows,
        "whole loads",
        2,
        says="10 pieces would go into freezer on top of the load begun at Mon 2026-10-05 09:01",
    )
    assert_keeps(winter, changed(rows, "13:00-13:10", "11:50-12:00"))


TOPPED_UP = """
2026-10-05 08:00-08:10 | Ines | freeze 10 of combs
2026-10-05 17:50-18:00 | Ines | freeze 10 of combs
2026-10-06 08:10-08:20 | Ines | seal 10 of combs
2026-10-07 08:10-08:20 | Ines | seal 10 of combs
"""


def test_the_stay_of_a_load_counts_from_when_the_last_of_it_went_in():
    winter = changed(WINTER, "holds: 10 combs", "holds: 20 combs").replace("[09:00-12:00, 13:00-16:00]", "08:00-18:00")
    told = "too soon for 10 pieces: 1 d in the freezer are needed from when the last of the load went in"
    assert_breaks(winter, TOPPED_UP, "whole loads", 3, says=f"{told} (Mon 2026-10-05 18:00), 9 h 50 min are missing")
    assert_keeps(winter, changed(TOPPED_UP, "2026-10-06 08:10-08:20", "2026-10-07 08:00-08:10"))


def test_combs_put_in_over_ten_minutes_all_come_out_a_day_after_the_last():
    one_load = changed(WINTER, "count: 20", "count: 10")
    rows = """
2026-10-05 09:00-09:10 | Ines | freeze 10 of combs
2026-10-06 09:10-09:20 | Ines | seal 10 of combs
"""
    assert_keeps(one_load, rows)
    # Each piece has had its own day when it comes out, but the nine before the last to go in not a day with that one.
    early = changed(rows, "09:10-09:20", "09:01-09:11")
    assert_breaks(one_load, early, "whole loads", 2, says="too soon for 9 pieces")
    no_whole_loads = changed(one_load, "celsius: -18}", "celsius: -18, whole_loads: false}")
    assert_keeps(no_whole_loads, early)


def test_what_goes_into_an_empty_freezer_does_not_prolong_the_stay_of_the_load_before():
    rows = changed(FROZEN, "2026-10-07 10:00-10:10", "2026-10-07 09:50-10:00")
    assert_keeps(WINTER, rows)
    assert_breaks(
        WINTER, changed(rows, "10-07 09:50-10:00", "10-07 09:45-09:55"), "whole loads", 4, says="too soon for 5 pieces"
    )


def test_a_load_put_in_while_the_last_comb_of_the_old_one_is_still_there_is_named():
    rows = changed(FROZEN, "09:30-09:40 | Ines | seal 10", "09:30-09:39 | Ines | seal 9")
    rows = changed(rows, "09:40-09:50 | Ines | freeze 10", "09:40-09:49 | Ines | freeze 9")
    rows += "2026-10-07 11:00-11:01 | Ines | freeze 1 of combs"
    rows = changed(rows, "2026-10-07 10:00-10:10 | Ines | seal 10", "2026-10-08 11:30-11:41 | Ines | seal 11")
    winter = changed(changed(WINTER, "holds: 10 combs", "holds: 11 combs"), "within: 3 d", "within: 5 d")
    assert_breaks(winter, rows, "whole loads", 3, 5, says="on top of the load begun at Mon 2026-10-05 09:01")


def test_a_place_said_to_take_no_whole_loads_may_be_topped_up():
    winter = changed(WINTER, "{holds: 10 combs, celsius: -18}", "{holds: 20 combs, celsius: -18, whole_loads: false}")
    rows = """
2026-10-05 09:00-09:10 | Ines | freeze 10 of combs
2026-10-05 13:00-13:10 | Ines | freeze 10 of combs
2026-10-06 15:00-15:20 | Ines | seal 20 of combs
"""
    assert_keeps(winter, rows)


def test_a_place_said_to_take_whole_loads_may_not_be_topped_up_however_warm():
    winter = changed(WINTER, "{holds: 10 combs, celsius: -18}", "{holds: 20 combs, celsius: 4, whole_loads: true}")
    rows = """
2026-10-05 09:00-09:10 | Ines | freeze 10 of combs
2026-10-05 13:00-13:10 | Ines | freeze 10 of combs
2026-10-06 15:00-15:20 | Ines | seal 20 of combs
"""
    assert_breaks(winter, rows, "whole loads", 2)


def test_a_comb_late_is_named_at_the_row_that_comes_late():
    rows = changed(FROZEN, "2026-10-06 09:40-09:50", "2026-10-13 09:40-09:50")
    rows = changed(rows, "2026-10-07 10:00-10:10", "2026-10-14 10:00-10:10")
    told = "up to 10 combs are open to moths at the end of Mon 2026-10-12 and 1 day in all, as it came in loft"
    assert_breaks(WINTER, rows, "protection", 3, says=told)
    assert_keeps(WINTER, changed(rows, "2026-10-13 09:40-09:50", "2026-10-12 09:40-09:50").replace("10-14", "10-13"))


def test_comb_with_webbing_must_be_safe_the_day_it_arrives():
    winter = changed(WINTER, "comb: dry", "comb: dry, webbing_seen: true")
    assert_breaks(winter, FROZEN, "protection", 3, says="all must be protected by the end of Mon 2026-10-05")


def test_out_of_the_moth_season_comb_has_until_the_eve_of_the_next():
    winter = changed(WINTER, ", season_ends: 2026-10-20", "")
    rows = (
        FROZEN.replace("2026-10-0", "2026-11-0")
        .replace("11-05", "11-02")
        .replace("11-06", "11-03")
        .replace("11-07", "11-04")
    )
    assert_keeps(winter, rows)
    # On its last day somebody can still make it safe; nobody comes between then and the eve of the moths.
    optional = changed(winter, "steps: [freeze, seal]", "steps: [freeze, seal], optional: [freeze, seal]")
    told = "up to 20 combs are open to moths at the end of Fri 2026-11-06 and 1 day in all, as it came in loft"
    assert_breaks(optional, "", "protection", None, says=told)


def test_comb_whose_freezing_and_sealing_were_struck_out_is_named_though_the_plan_ends_before_the_moths_fly():
    winter = """
season: {from: 2026-10-03, until: 2027-03-28}
moths: {season_starts: 2027-04-20}
crew: {Odile: {works: {sat: [09:30-12:00, 13:00-16:00], sun: 10:00-12:30}}}
places: {kitchen freezer: {holds: 20 combs, celsius: -18}, spare room: {holds: 60 boxes, celsius: 10..18}}
tasks:
  freeze: {minutes_each: 0.5, importance: could, kills: true, then: {wait: freezer stay, in: kitchen freezer}}
  seal: {minutes_each: 0.5, importance: could, needs: [freeze], seals: true, then: {in: spare room}}
gear: {super combs: {piece: medium comb, count: 20, comb: dry, rests: spare room, steps: [freeze, seal]}}
"""
    rows = """
2026-10-17 09:30-09:40 | Odile | freeze 20 of super combs
2026-10-18 10:00-10:10 | Odile | seal 20 of super combs
"""
    assert_keeps(winter, rows)
    told = "super combs: up to 20 combs are open to moths at the end of Sun 2027-03-28 and 1 day in all"
    assert_breaks(winter, "", "protection", None, says=told)
    assert_keeps(winter, rows.replace("2026-10-17", "2027-03-27").replace("2026-10-18", "2027-03-28"))


def test_nothing_is_asked_of_comb_that_must_be_ready_before_moths_can_get_at_it():
    winter = changed(WINTER, ", season_ends: 2026-10-20", "")
    winter = changed(winter, "steps: [freeze, seal]", "steps: [freeze, seal], optional: [freeze, seal]")
    assert_keeps(changed(winter, "comb: dry", "comb: dry, ready_by: 2026-11-05"), "")
    assert_breaks(changed(winter, "comb: dry", "comb: dry, ready_by: 2026-11-06"), "", "protection", None)


def test_without_a_moth_season_no_protection_is_asked():
    winter = changed(WINTER, "moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}", "")
    winter = changed(winter, "steps: [freeze, seal]", "steps: [freeze, seal], optional: [freeze, seal]")
    assert_keeps(winter, "")
    with_moths = changed(WINTER, "steps: [freeze, seal]", "steps: [freeze, seal], optional: [freeze, seal]")
    assert_breaks(with_moths, "", "protection", None, says="combs: up to 20 combs are open to moths")


def test_comb_as_it_came_in_a_cold_store_is_safe():
    winter = changed(WINTER, "celsius: 8..18", "celsius: 4..12")
    late = (
        FROZEN.replace("2026-10-", "2026-11-")
        .replace("11-05", "11-02")
        .replace("11-06", "11-03")
        .replace("11-07", "11-04")
    )
    assert_keeps(winter, late)


def test_comb_frozen_but_never_sealed_is_named_though_it_is_safe_in_the_freezer():
    found = assert_finds(WINTER, without_line(FROZEN, 4), ("done", None))
    assert found[0].text.startswith("combs, seal: 10 of 20 pieces are left undone")


THAWED = changed(
    WINTER,
    "  seal: {minutes_each: 1, seals: true, within: 3 d, then: {in: loft}}",
    """  take out: {minutes_each: 1, then: {in: loft}}
  seal: {minutes_each: 1, seals: true, within: 24 h}""",
).replace("steps: [freeze, seal]", "steps: [freeze, take out, seal]")
THAWED_ROWS = """
2026-10-05 09:00-09:10 | Ines | freeze 10 of combs
2026-10-06 09:30-09:40 | Ines | take out 10 of combs
2026-10-06 09:40-09:50 | Ines | freeze 10 of combs
2026-10-07 09:00-09:10 | Ines | seal 10 of combs
2026-10-07 10:00-10:10 | Ines | take out 10 of combs
2026-10-08 09:00-09:10 | Ines | seal 10 of combs
"""


def test_comb_kept_closed_while_thawing_is_safe_where_it_is_sealed_within_a_day():
    assert_keeps(THAWED, THAWED_ROWS)


def test_comb_sealed_more_than_a_day_after_the_freezer_is_named():
    rows = changed(THAWED_ROWS, "2026-10-08 09:00-09:10", "2026-10-09 09:00-09:10")
    assert_breaks(
        THAWED, rows, "not too late after", 6, says="due within 1 d after take out and comes up to 23 h later"
    )


def test_comb_frozen_and_left_open_is_at_risk_again_after_the_thaw():
    winter = changed(THAWED, "within: 24 h", "within: 10 d")
    rows = changed(THAWED_ROWS, "2026-10-08 09:00-09:10", "2026-10-14 09:00-09:10")
    found = assert_finds(winter, rows, ("protection", 6), ("protection", 4))
    assert (
        "up to 10 combs are open to moths at the end of Mon 2026-10-12 and 2 days in all, after take out in loft"
        in found[0].text
    )
    # Moths have been at it while it lay open, so sealing it now shuts them in.
    assert "after seal in loft" in found[1].text


def test_comb_opened_again_after_it_was_sealed_is_at_risk():
    winter = changed(WINTER, "gear:", "  sort: {minutes_each: 1}\ngear:")
    winter = changed(winter, "steps: [freeze, seal]", "steps: [freeze, seal, sort]")
    rows = FROZEN + "2026-10-16 09:00-09:20 | Ines | sort 20 of combs"
    assert_breaks(
        winter,
        rows,
        "protection",
        5,
        says="up to 20 combs are open to moths at the end of Fri 2026-10-16 and 22 days in all, after sort",
    )


def test_comb_melted_down_needs_neither_protection_nor_room():
    winter = changed(WINTER, "gear:", "  melt: {minutes_each: 1, uses_up: true}\ngear:")
    winter = changed(winter, "steps: [freeze, seal]", "steps: [freeze, melt]")
    rows = FROZEN.replace("seal 10", "melt 10")
    assert_keeps(winter, rows)
    kept = changed(winter, "uses_up: true", "then: {in: loft}")
    assert_breaks(kept, rows, "protection", 4, says="after melt")


def test_comb_opened_again_in_a_cold_store_stays_safe():
    winter = changed(WINTER, "gear:", "  sort: {minutes_each: 1}\ngear:")
    winter = changed(winter, "steps: [freeze, seal]", "steps: [freeze, seal, sort]")
    winter = changed(winter, "celsius: 8..18", "celsius: 4..12")
    assert_keeps(winter, FROZEN + "2026-10-16 09:00-09:20 | Ines | sort 20 of combs")


def test_sealing_comb_that_was_never_frozen_protects_from_nothing():
    winter = changed(WINTER, "steps: [freeze, seal]", "steps: [seal]")
    rows = "2026-10-05 09:00-09:20 | Ines | seal 20 of combs"
    found = assert_finds(winter, rows, ("protection", 1))
    assert "after seal in loft" in found[0].text


TREATED = changed(
    WINTER,
    "gear:",
    "  treat: {minutes_each: 1, protects: 2 w, treatment: sulphur, authorised: true, then: {in: loft}}\ngear:",
).replace("steps: [freeze, seal]", "steps: [treat]")
TREATED_ROWS = """
2026-10-08 09:00-09:20 | Ines | treat 20 of combs
2026-10-21 09:00-09:20 | Ines | treat 20 of combs
2026-11-03 09:00-09:20 | Ines | treat 20 of combs
"""


def test_a_treatment_renewed_before_it_wears_off_keeps_comb_safe():
    assert_keeps(TREATED, TREATED_ROWS)


def test_a_treatment_that_has_worn_off_is_named_at_the_renewal_that_comes_late():
    rows = changed(TREATED_ROWS, "2026-10-21", "2026-10-23")
    told = (
        "up to 20 combs are open to moths at the end of Thu 2026-10-22 and 1 day in all, when treat no longer protects"
    )
    assert_breaks(TREATED, rows, "protection", 2, says=told)


def test_some_combs_forgotten_at_the_renewal_are_counted():
    rows = changed(TREATED_ROWS, "2026-10-21 09:00-09:20 | Ines | treat 20", "2026-10-21 09:00-09:15 | Ines | treat 15")
    assert_breaks(TREATED, rows, "protection", 3, says="up to 5 combs are open")


def test_renewals_more_often_than_twice_in_the_time_a_treatment_lasts_are_combs_that_are_not_there():
    days = ("08", "15", "21", "28")
    rows = "\n".join(f"2026-10-{day} 09:00-09:20 | Ines | treat 20 of combs" for day in days)
    rows += "\n2026-11-03 09:00-09:20 | Ines | treat 20 of combs"
    assert_keeps(TREATED, rows)
    more = rows + "\n2026-11-05 09:00-09:01 | Ines | treat 1 of combs"
    assert_breaks(TREATED, more, "count", 6, says="there are 100 pieces to do, and with this row 101 are done")


def test_a_treatment_for_the_season_lasts():
    winter = changed(TREATED, "protects: 2 w", "protects: season")
    assert_keeps(winter, without_line(without_line(TREATED_ROWS, 3), 2))
    assert_breaks(winter, TREATED_ROWS, "count", 2, 3, says="20 too many here")


SHEDS = """
season: {from: 2026-10-05, until: 2026-11-06}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places:
  shed: {holds: 100 boxes, celsius: 2..20}
  meadow: {holds: 100 boxes, open_air: true}
  outhouse: {holds: 10 boxes}
tasks:
  air: {minutes_each: 1, then: {in: meadow}}
  store: {minutes_each: 1, then: {in: shed}}
gear:
  boxes: {piece: langstroth deep box, count: 3, rests: shed, steps: [store]}
  wax sheets: {piece: foundation sheet, count: 3, rests: shed, steps: [store]}
  buckets: {piece: bucket, count: 3, rests: meadow, steps: [store]}
  sick combs: {piece: deep comb, count: 30, rests: outhouse, foulbrood: suspected}
"""
STORED = """
2026-10-05 09:00-09:03 | Ines | store 3 of boxes
2026-10-05 09:03-09:06 | Ines | store 3 of wax sheets
2026-10-05 09:06-09:09 | Ines | store 3 of buckets
"""


def test_gear_that_rests_where_it_may_keeps_the_promise():
    assert_keeps(SHEDS, STORED)


def test_boxes_left_out_in_sun_and_rain_are_named_at_the_row_that_leaves_them():
    winter = changed(
        SHEDS, "count: 3, rests: shed, steps: [store]}\n  wax", "count: 3, rests: shed, steps: [air, store]}\n  wax"
    )
    rows = changed(STORED, "2026-10-05 09:00-09:03", "2026-10-05 09:12-09:15")
    rows += "2026-10-05 09:09-09:12 | Ines | air 3 of boxes"
    assert_breaks(winter, rows, "shelter", 4, says="boxes would rest at meadow, out in sun and rain")


def test_boxes_that_arrive_in_the_open_are_named_without_a_row():
    winter = changed(
        SHEDS, "langstroth deep box, count: 3, rests: shed", "langstroth deep box, count: 3, rests: meadow"
    )
    assert_breaks(winter, STORED, "shelter", None, says="boxes: boxes would rest at meadow")


def test_foundation_where_the_cold_is_unknown_or_outside_its_range_is_named():
    for celsius in ("", ", celsius: -3..20", ", celsius: 10..31"):
        winter = changed(SHEDS, ", celsius: 2..20", celsius)
        assert_breaks(winter, STORED, "shelter", None, says="wax sheets: wax sheets would rest at shed")
    carried = changed(
        SHEDS, "sheet, count: 3, rests: shed, steps: [store]", "sheet, count: 3, rests: shed, steps: [air]"
    )
    rows = changed(STORED, "store 3 of wax sheets", "air 3 of wax sheets")
    assert_breaks(carried, rows, "shelter", 2, says="wax sheets would rest at meadow")


def test_work_on_gear_suspected_of_foulbrood_is_named():
    winter = changed(SHEDS, "foulbrood: suspected", "foulbrood: suspected, steps: [store]")
    rows = STORED + "2026-10-06 09:00-09:30 | Ines | store 30 of sick combs"
    assert_breaks(
        winter, rows, "foulbrood", 4, says="sick combs is suspected of foulbrood: it is set apart and not worked"
    )
    assert_keeps(winter, STORED)


def test_gear_brought_to_where_suspected_gear_is_set_apart_is_named():
    winter = changed(SHEDS, "then: {in: shed}", "then: {in: outhouse}").replace("[store]}\n  sick", "[]}\n  sick")
    winter = winter.replace("rests: shed, steps: [store]}\n  buckets", "rests: shed}\n  buckets")
    rows = without_line(without_line(STORED, 3), 2)
    assert_breaks(winter, rows, "foulbrood", 1, says="boxes would rest at outhouse, where sick combs are set apart")


def test_comb_suspected_of_foulbrood_is_not_asked_to_be_protected():
    winter = changed(SHEDS, "crew:", "moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}\ncrew:")
    assert_keeps(winter, STORED)
