"""The audit of order: steps not overtaken, paint dry, nothing left too long, fit weather, jobs and rounds in time."""

from __future__ import annotations

from tests.plan.winters import assert_breaks, assert_finds, assert_keeps, changed, without_line

# Latex on the rack at 10 °C and 70 % (derived from a published 4 h at 25 °C and 50 %) dries 4 * 2^1.5 * 5/3 = 18.86 h.
PAINTING = """
season: {from: 2026-10-05, until: 2026-10-30, climate: moderate}
crew: {Ines: {works: {mon-fri: [09:00-12:00, 13:00-16:00]}}}
places:
  rack: {holds: 20}
tasks:
  scrape: {minutes_each: 6, importance: should}
  first coat:
    {minutes_each: 6, weather: painting, needs: [scrape], paint: latex, then: {dries: latex, on: rack}, within: 2 d}
  second coat: {minutes_each: 6, weather: painting, paint: latex, then: {dries: latex, on: rack}}
  put away: {minutes_each: 1}
gear:
  boxes: {piece: langstroth deep box, count: 5, last_painted: 2022, steps: [scrape, first coat, second coat, put away]}
weather:
  windows:
    painting: {2026-10-05..2026-10-30: 09:00-15:00, 2026-10-09: none}
"""
PAINTED = """
2026-10-05 09:00-09:30 | Ines | scrape 5 of boxes
2026-10-05 10:00-10:30 | Ines | first coat 5 of boxes
2026-10-06 10:00-10:30 | Ines | second coat 5 of boxes
2026-10-07 10:00-10:05 | Ines | put away 5 of boxes
"""


def test_two_coats_each_dry_and_in_fit_weather_keep_their_promises():
    assert_keeps(PAINTING, PAINTED)


def test_a_coat_still_wet_is_named_with_the_hours_missing():
    rows = changed(PAINTED, "2026-10-06 10:00-10:30", "2026-10-05 13:00-13:30")
    assert_breaks(PAINTING, rows, "waiting", 3, says="18 h 51 min of drying (latex) after first coat are needed, 15 h")


def test_paint_dries_faster_in_a_warm_dry_room():
    winter = changed(PAINTING, "rack: {holds: 20}", "rack: {holds: 20, celsius: 25, humidity_percent: 50}")
    rows = changed(PAINTED, "2026-10-06 10:00-10:30", "2026-10-05 14:30-15:00")
    assert_keeps(winter, rows)
    hasty = changed(PAINTED, "2026-10-06 10:00-10:30", "2026-10-05 14:00-14:30")
    assert_breaks(
        winter, hasty, "waiting", 3, says="4 h of drying (latex) after first coat are needed, 6 min are missing"
    )


def test_the_coldest_a_drying_place_gets_decides():
    winter = changed(PAINTING, "rack: {holds: 20}", "rack: {holds: 20, celsius: 5..25, humidity_percent: 50}")
    rows = changed(PAINTED, "2026-10-06 10:00-10:30", "2026-10-05 14:30-15:00")
    assert_breaks(winter, rows, "waiting", 3)


def test_a_piece_put_away_still_wet_is_named():
    rows = changed(PAINTED, "2026-10-07 10:00-10:05", "2026-10-06 13:00-13:05")
    assert_breaks(PAINTING, rows, "waiting", 4, says="after second coat")


def test_a_step_overtaken_is_named_with_how_many_and_how_early():
    rows = changed(PAINTED, "2026-10-05 09:00-09:30", "2026-10-05 10:30-11:00")
    assert_breaks(
        PAINTING, rows, "order", 2, says="5 pieces would be in first coat before being through scrape; 36 min"
    )


def test_pieces_may_follow_one_another_through_two_steps_at_once():
    rows = changed(PAINTED, "2026-10-05 10:00-10:30", "2026-10-05 09:06-09:36")
    two = changed(PAINTING, "crew: {Ines:", "crew: {Tomas: {works: {mon-fri: 09:00-12:00}}, Ines:")
    assert_keeps(two, changed(rows, "09:06-09:36 | Ines", "09:06-09:36 | Tomas"))


def test_work_that_another_step_needs_is_not_left_out_though_it_only_should_be_done():
    told = assert_finds(PAINTING, without_line(PAINTED, 1), ("order", 1))
    assert "5 of them never are" in told[0].text


def test_work_that_nothing_needs_may_be_skipped_by_later_steps():
    winter = changed(PAINTING, "needs: [scrape], ", "")
    winter = changed(winter, ", within: 2 d", "")
    assert_keeps(winter, without_line(PAINTED, 1))


def test_skippable_work_that_is_done_comes_first_for_as_many_pieces_as_get_it():
    winter = changed(changed(PAINTING, "needs: [scrape], ", ""), ", within: 2 d", "")
    some = changed(PAINTED, "09:00-09:30 | Ines | scrape 5", "09:00-09:12 | Ines | scrape 2")
    assert_keeps(winter, some)
    # Two of the five are scraped, so three coats need not wait; the fourth begins at 10:18, the fifth at 10:24.
    two = changed(winter, "crew: {Ines:", "crew: {Tomas: {works: {mon-fri: 09:00-12:00}}, Ines:")
    late = changed(some, "09:00-09:12 | Ines", "10:06-10:18 | Tomas")
    assert_keeps(two, late)
    assert_breaks(two, changed(late, "10:06-10:18", "10:18-10:30"), "order", 2, says="2 pieces would be in first coat")


def test_a_share_of_pieces_mended_holds_up_only_those_that_come_last():
    winter = """
season: {from: 2026-10-05, until: 2026-10-30}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}, Tomas: {works: {mon-fri: 09:00-12:00}}}
tasks:
  scrape: {minutes_each: 6}
  mend: {minutes_each: 10, share: 20%, then: {wait: 30 min}}
  stack: {minutes_each: 6}
gear:
  boxes: {piece: langstroth deep box, count: 10, steps: [scrape, mend, stack]}
"""
    rows = """
2026-10-05 09:00-10:00 | Ines | scrape 10 of boxes
2026-10-05 09:12-09:32 | Tomas | mend 2 of boxes
2026-10-05 10:00-11:00 | Ines | stack 10 of boxes
"""
    assert_keeps(winter, rows)
    # The ninth is stacked at 10:48 and needs one mended and half an hour waited out; the tenth at 10:54 needs both.
    assert_keeps(winter, changed(rows, "09:12-09:32", "10:04-10:24"))
    assert_breaks(winter, changed(rows, "09:12-09:32", "10:08-10:28"), "waiting", 3, says="too soon for 1 piece:")
    assert_breaks(winter, changed(rows, "09:12-09:32", "10:44-11:04"), "order", 3, says="2 pieces would be in stack")


GLUED = """
season: {from: 2026-10-05, until: 2026-10-07}
crew: {Ines: {works: {mon-wed: 09:00-12:00}}}
tasks:
  scrape: {minutes_each: 60}
  mend: {minutes_each: 60, share: 50%, needs: [scrape], then: {dries: glue}}
  put away: {minutes_each: 60}
gear: {floors: {piece: floor, count: 2, last_painted: 2026, steps: [scrape, mend, put away]}}
"""
GLUED_ROWS = """
2026-10-05 09:00-10:00 | Ines | scrape 1 of floors
2026-10-05 10:00-11:00 | Ines | mend 1 of floors
2026-10-06 09:00-10:00 | Ines | scrape 1 of floors
2026-10-06 10:00-11:00 | Ines | put away 1 of floors
2026-10-06 11:00-12:00 | Ines | put away 1 of floors
"""


def test_one_floor_glued_while_the_other_is_put_away_keeps_its_promises():
    assert_keeps(GLUED, GLUED_ROWS)


def test_the_only_floor_scraped_is_not_put_away_while_its_glue_dries():
    rows = changed(GLUED_ROWS, "2026-10-06 10:00-11:00", "2026-10-05 11:00-12:00")
    told = "1 piece would have begun put away while 1 piece of floors still is in mend or waiting after it"
    assert_breaks(GLUED, rows, "order", 4, says=f"{told}, and only 1 is through scrape: 1 too many")
    # A day later the other one is scraped, but the glue of the first has not dried before 11:00.
    assert_keeps(GLUED, changed(rows, "2026-10-05 11:00-12:00", "2026-10-07 11:00-12:00"))


def test_work_that_may_be_skipped_holds_up_the_piece_it_is_done_to():
    winter = changed(changed(GLUED, "share: 50%, needs: [scrape], ", ""), "mend: {", "mend: {importance: could, ")
    assert_keeps(winter, GLUED_ROWS)
    rows = changed(GLUED_ROWS, "2026-10-06 10:00-11:00", "2026-10-05 11:00-12:00")
    assert_breaks(winter, rows, "order", 4, says="1 too many")


def test_a_floor_already_put_away_is_not_mended_in_place_of_one_not_yet_scraped():
    rows = changed(GLUED_ROWS, "2026-10-05 10:00-11:00", "2026-10-05 11:00-12:00")
    rows = changed(rows, "2026-10-06 10:00-11:00", "2026-10-05 10:00-11:00")
    rows = changed(rows, "2026-10-06 11:00-12:00", "2026-10-07 11:00-12:00")
    assert_breaks(GLUED, rows, "order", 2, says="1 too many")


def test_of_gear_as_it_arrives_no_piece_is_at_two_steps_at_once():
    winter = changed(GLUED, "steps: [scrape, mend, put away]", "steps: [mend, put away]")
    rows = """
2026-10-05 09:00-10:00 | Ines | mend 1 of floors
2026-10-05 10:00-12:00 | Ines | put away 2 of floors
"""
    assert_breaks(winter, rows, "waiting", 2)
    assert_keeps(winter, rows.replace("10:00-12:00 | Ines | put away 2", "10:00-11:00 | Ines | put away 1")
                 + "2026-10-06 10:00-11:00 | Ines | put away 1 of floors")  # fmt: skip


def test_a_step_behind_a_share_still_follows_the_last_full_step():
    winter = """
season: {from: 2026-10-05, until: 2026-10-30}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
tasks: {scrape: {minutes_each: 6}, mend: {minutes_each: 10, share: 20%}, stack: {minutes_each: 6}}
gear: {boxes: {piece: langstroth deep box, count: 10, steps: [scrape, mend, stack]}}
"""
    rows = """
2026-10-05 10:00-11:00 | Ines | scrape 10 of boxes
2026-10-05 11:00-11:20 | Ines | mend 2 of boxes
2026-10-05 09:00-10:00 | Ines | stack 10 of boxes
"""
    found = assert_finds(winter, rows, ("order", 3), ("order", 3))
    assert "through mend" in found[0].text
    assert "through scrape" in found[1].text


def test_bare_wood_left_too_long_before_its_first_coat_is_named():
    late = changed(PAINTED, "2026-10-05 10:00-10:30", "2026-10-08 10:00-10:30")
    late = changed(late, "2026-10-06 10:00-10:30", "2026-10-12 10:00-10:30")
    late = changed(late, "2026-10-07 10:00-10:05", "2026-10-13 10:00-10:05")
    assert_breaks(
        PAINTING, late, "not too late after", 2, says="due within 2 d after scrape and comes up to 1 d 1 h later"
    )


def test_within_counts_from_the_step_before_where_nothing_is_needed():
    winter = changed(
        PAINTING, "then: {dries: latex, on: rack}}\n  put", "then: {dries: latex, on: rack}, within: 20 h}\n  put"
    )
    assert_breaks(
        winter, PAINTED, "not too late after", 3, says="due within 20 h after first coat and comes up to 4 h later"
    )


def test_painting_in_weather_unfit_for_it_is_named_with_the_fit_hours():
    rows = changed(PAINTED, "2026-10-06 10:00-10:30", "2026-10-06 14:45-15:15").replace("2026-10-07", "2026-10-08")
    assert_breaks(PAINTING, rows, "weather", 3, says="the weather is fit for painting only 09:00-15:00 that day")


def test_a_single_day_overrides_a_span_of_fit_weather():
    rows = changed(changed(PAINTED, "2026-10-06", "2026-10-09"), "2026-10-07", "2026-10-12")
    assert_breaks(PAINTING, rows, "weather", 3, says="no hour of that day is fit for painting")


def test_weather_of_a_day_not_named_is_not_fit():
    winter = changed(PAINTING, "2026-10-05..2026-10-30: 09:00-15:00, 2026-10-09: none", "2026-10-05: 09:00-15:00")
    assert_breaks(winter, PAINTED, "weather", 3)


def test_painting_boxes_that_are_not_due_is_named():
    winter = changed(PAINTING, "last_painted: 2022", "last_painted: 2023")
    assert_breaks(winter, PAINTED, "paint when due", 2, 3, says="painting is not due on boxes this winter")
    assert_keeps(winter, without_line(without_line(PAINTED, 2), 2))


JOBS = """
season: {from: 2026-10-05, until: 2026-10-30}
crew: {Ines: {works: {mon-fri: [09:00-12:00, 13:00-16:00]}}, Tomas: {works: {mon-fri: 09:00-12:00}}}
tasks:
  scrape: {minutes_each: 6, then: {wait: 1 h}}
  stack: {minutes_each: 6}
gear:
  boxes: {piece: langstroth deep box, count: 5, steps: [scrape, stack]}
  lids: {piece: telescoping lid, count: 5, steps: [scrape]}
jobs:
  rebuild the rack: {hours: 1.5, by: 2026-10-09, before: [scrape]}
  lift the shed: {hours: 2, divisible: false, hands: 2, from: 2026-10-12, after: [boxes, rebuild the rack]}
"""
WORKED = """
2026-10-05 09:00-10:00 | Ines | rebuild the rack 4 of rebuild the rack
2026-10-06 09:00-09:30 | Ines | rebuild the rack 2 of rebuild the rack
2026-10-06 09:30-10:00 | Ines | scrape 5 of boxes
2026-10-06 10:00-10:30 | Ines | scrape 5 of lids
2026-10-06 11:00-11:30 | Ines | stack 5 of boxes
2026-10-12 09:00-11:00 | Ines + Tomas | lift the shed 1 of lift the shed
"""


def test_jobs_in_parts_and_in_one_go_keep_their_promises():
    assert_keeps(JOBS, WORKED)


def test_a_task_begun_before_the_job_it_waits_for_is_named():
    rows = changed(WORKED, "2026-10-06 09:30-10:00", "2026-10-05 11:00-11:30")
    assert_breaks(
        JOBS,
        rows,
        "before and after",
        3,
        says="rebuild the rack comes before this and is through at Tue 2026-10-06 09:30",
    )


def test_a_job_begun_before_its_predecessor_has_waited_is_named():
    winter = changed(JOBS, "from: 2026-10-12, after: [boxes, rebuild the rack]", "after: [lids]")
    soon = """
2026-10-05 09:00-10:30 | Ines | rebuild the rack 6 of rebuild the rack
2026-10-06 09:00-09:30 | Ines | scrape 5 of lids
2026-10-06 10:00-12:00 | Ines + Tomas | lift the shed 1 of lift the shed
2026-10-07 09:00-09:30 | Ines | scrape 5 of boxes
2026-10-07 11:00-11:30 | Ines | stack 5 of boxes
"""
    assert_breaks(
        winter,
        soon,
        "before and after",
        3,
        says="scrape of lids comes before this and is through at Tue 2026-10-06 10:30: 30 min",
    )


def test_a_job_after_a_lot_waits_for_all_its_steps():
    winter = changed(JOBS, "from: 2026-10-12, ", "")
    rows = changed(WORKED, "2026-10-06 11:00-11:30 | Ines | stack", "2026-10-13 11:00-11:30 | Ines | stack")
    assert_breaks(winter, rows, "before and after", 6, says="stack of boxes comes before this")


def test_a_job_after_its_last_day_is_named():
    winter = changed(JOBS, "by: 2026-10-09", "by: 2026-10-05")
    assert_breaks(winter, WORKED, "job days", 2, says="1 day too late")


def test_a_job_before_its_first_day_is_named():
    winter = changed(JOBS, "from: 2026-10-12", "from: 2026-10-14")
    assert_breaks(winter, WORKED, "job days", 6, says="2 days too early")


def test_a_job_left_unfinished_is_named_and_so_is_what_follows_it():
    rows = changed(
        WORKED,
        "2026-10-06 09:00-09:30 | Ines | rebuild the rack 2",
        "2026-10-06 09:00-09:15 | Ines | rebuild the rack 1",
    )
    found = assert_finds(JOBS, rows, ("done", None), *(("before and after", line) for line in (3, 4, 6)))
    assert found[0].text.startswith("rebuild the rack: 1 of 6 pieces are left undone")


def test_a_job_in_one_go_is_not_done_by_half():
    rows = changed(WORKED, "09:00-11:00 | Ines + Tomas", "09:00-10:00 | Ines + Tomas")
    assert_breaks(JOBS, rows, "length", 6, says="1 h too short")


def test_a_job_of_odd_hours_is_counted_in_the_largest_part_that_divides_it():
    winter = """
season: {from: 2026-10-05, until: 2026-10-30}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
jobs: {sharpen: {hours: 0.85}}
"""
    # 51 minutes: neither quarter-hours nor fives, so minutes.
    assert_keeps(winter, "2026-10-05 09:00-09:51 | Ines | sharpen 51 of sharpen")
    assert_breaks(winter, "2026-10-05 09:00-09:50 | Ines | sharpen 50 of sharpen", "done", None, says="1 of 51 pieces")


ROUNDS = """
season: {from: 2026-10-05, until: 2026-11-06}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
rounds:
  look at the comb: {every: 2 w, minutes: 20}
"""
LOOKED = """
2026-10-05 09:00-09:20 | Ines | look at the comb 1 of look at the comb
2026-10-30 09:00-09:20 | Ines | look at the comb 1 of look at the comb
"""


def test_a_round_in_each_whole_period_keeps_the_promise_and_the_short_rest_asks_for_none():
    assert_keeps(ROUNDS, LOOKED)


def test_a_missed_round_is_named_with_its_period():
    rows = changed(LOOKED, "2026-10-30", "2026-10-16")
    assert_breaks(ROUNDS, rows, "rounds", None, says="look at the comb: it is not made in 2026-10-19..2026-11-01")


def test_a_round_made_more_often_than_asked_is_no_fault():
    rows = LOOKED + "2026-11-05 09:00-09:20 | Ines | look at the comb 1 of look at the comb"
    assert_keeps(ROUNDS, rows)


def test_a_round_in_its_only_period_cut_short_is_still_asked_for():
    winter = changed(ROUNDS, "every: 2 w", "every: 8 w")
    assert_keeps(winter, without_line(LOOKED, 1))
    assert_breaks(winter, "", "rounds", None, says="not made in 2026-10-05..2026-11-06")


def test_a_round_that_only_should_be_made_may_be_missed():
    winter = changed(ROUNDS, "minutes: 20", "minutes: 20, importance: should")
    assert_keeps(winter, without_line(LOOKED, 1))


def test_a_round_outside_its_days_is_named():
    winter = changed(ROUNDS, "minutes: 20", "minutes: 20, from: 2026-10-06, importance: could")
    assert_breaks(winter, LOOKED, "rounds", 1, says="1 day too early")
