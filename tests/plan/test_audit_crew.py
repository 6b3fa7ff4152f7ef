"""The audit of people: their hours, absences, skills, one place at a time, enough hands, seats and minutes."""

from __future__ import annotations

from tests.plan.winters import assert_breaks, assert_finds, assert_keeps, changed, without_line

WINTER = """
season: {from: 2026-10-05, until: 2026-10-30}
crew:
  Ines: {works: {mon-fri: [09:00-12:00, 13:00-16:00]}, away: [2026-10-12..2026-10-13], also: {2026-10-10: 09:00-11:00}}
  "Tomás, the younger": {works: {mon-thu: 09:00-12:00}, cannot: [mend]}
places:
  bench: {seats: 1}
  yard: {seats: 2}
tasks:
  scrape: {minutes_each: 6, at: bench, setup_minutes: 15}
  mend: {minutes_each: 10, share: 50%}
  lift: {minutes_each: 5, hands: 2, at: yard}
gear:
  boxes: {piece: langstroth deep box, count: 20, steps: [scrape, mend, lift]}
"""
ROWS = """
2026-10-05 09:00-10:15 | Ines | scrape 10 of boxes +15 min @ bench
2026-10-05 10:15-11:15 | Ines | scrape 10 of boxes @ bench
2026-10-05 13:00-14:40 | Ines | mend 10 of boxes
2026-10-06 09:00-10:40 | Ines + Tomás, the younger | lift 20 of boxes @ yard
"""


def test_a_plan_within_hours_seats_and_minutes_keeps_its_promises():
    assert_keeps(WINTER, ROWS)


def test_hours_added_on_a_saturday_count():
    rows = changed(ROWS, "2026-10-05 13:00-14:40", "2026-10-10 09:00-10:40")
    late = changed(rows, "2026-10-06 09:00-10:40", "2026-10-14 09:00-10:40")
    assert_keeps(WINTER, late)


def test_work_on_a_day_the_helper_does_not_come_is_named():
    rows = changed(ROWS, "2026-10-06 09:00-10:40", "2026-10-09 09:00-10:40")
    assert_breaks(WINTER, rows, "hours", 4, says="Tomás, the younger does not come on that day")


def test_work_through_the_midday_break_is_named_with_how_much():
    rows = changed(ROWS, "13:00-14:40", "11:15-12:55")
    assert_breaks(WINTER, rows, "hours", 3, says="Ines is there 09:00-12:00, 13:00-16:00 that day; 55 min of this")


def test_work_after_the_season_is_named():
    rows = changed(ROWS, "2026-10-06 09:00-10:40", "2026-11-02 09:00-10:40")
    found = "nobody works outside the season, 2026-10-05 to 2026-10-30"
    winter = changed(WINTER, "count: 20,", "count: 20, ready_by: 2026-11-30,")
    assert_breaks(winter, rows, "hours", 4, 4, says=found)


def test_work_by_someone_away_is_named_with_the_absence():
    rows = changed(ROWS, "2026-10-06 09:00-10:40", "2026-10-13 09:00-10:40")
    assert_breaks(WINTER, rows, "away", 4, says="Ines is away (2026-10-12..2026-10-13)")


def test_hours_added_on_a_day_away_do_not_count():
    winter = changed(WINTER, "also: {2026-10-10:", "also: {2026-10-13:")
    rows = changed(ROWS, "2026-10-06 09:00-10:40", "2026-10-13 09:00-10:40")
    assert_breaks(winter, rows, "away", 4)


def test_work_by_someone_who_does_not_do_it_is_named():
    rows = changed(ROWS, "2026-10-05 13:00-14:40 | Ines", "2026-10-05 10:00-11:40 | Tomás, the younger")
    rows = changed(rows, "10:15-11:15", "09:00-10:00")
    winter = changed(WINTER, "setup_minutes: 15", "setup_minutes: 0")
    winter = changed(winter, "bench: {seats: 1}", "bench: {seats: 2}")
    rows = changed(
        rows, "09:00-10:15 | Ines | scrape 10 of boxes +15 min", "09:00-10:00 | Tomás, the younger | scrape 10 of boxes"
    )
    assert_breaks(winter, rows, "able", 3, says="Tomás, the younger does not do this work (mend)")


def test_work_outside_what_someone_can_do_is_named():
    winter = changed(WINTER, "cannot: [mend]", "can: [mend, scrape]")
    assert_breaks(winter, ROWS, "able", 4, says="(lift)")


def test_a_person_at_two_places_at_once_is_named_with_the_other_row():
    rows = changed(ROWS, "13:00-14:40", "11:05-12:00")
    winter = changed(WINTER, "minutes_each: 10", "minutes_each: 5")
    assert_breaks(winter, rows, "one place at a time", 3, says="for 10 min of this (line 2, Mon 2026-10-05 10:15-11:15")


def test_a_person_at_two_places_at_once_is_found_behind_a_short_row_between():
    winter = """
season: {from: 2026-10-05, until: 2026-10-30}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
jobs:
  sweep: {hours: 2}
  sort nails: {hours: 0.25}
  oil hinges: {hours: 0.25}
"""
    rows = """
2026-10-05 09:00-11:00 | Ines | sweep 8 of sweep
2026-10-05 09:15-09:30 | Ines | sort nails 1 of sort nails
2026-10-05 10:00-10:15 | Ines | oil hinges 1 of oil hinges
"""
    assert_breaks(winter, rows, "one place at a time", 2, 3)


def test_two_people_too_few_are_named():
    winter = changed(WINTER, "hands: 2", "hands: 3")
    rows = changed(ROWS, "Ines + Tomás, the younger", "Ines")
    assert_breaks(winter, rows, "hands", 4, says="takes 3 people together, and here are 1: 2 too few")


def test_one_person_too_many_is_named():
    rows = changed(ROWS, "10:15-11:15 | Ines", "10:15-11:15 | Ines + Tomás, the younger")
    winter = changed(WINTER, "bench: {seats: 1}", "bench: {seats: 2}")
    assert_breaks(winter, rows, "hands", 2, says="1 too many")


def test_the_same_person_named_twice_is_not_two_hands():
    rows = changed(ROWS, "Ines + Tomás, the younger", "Ines + Ines")
    assert_breaks(WINTER, rows, "hands", 4, says="Ines is named twice")


def test_a_seat_taken_twice_is_named():
    rows = changed(ROWS, "10:15-11:15 | Ines", "10:14-11:14 | Tomás, the younger")
    assert_breaks(WINTER, rows, "seats", 2, says="bench has 1 seat, and 2 people are at work there: 1 too many")


def test_people_working_together_each_take_a_seat():
    winter = changed(WINTER, "yard: {seats: 2}", "yard: {seats: 1}")
    assert_breaks(winter, ROWS, "seats", 4, says="yard has 1 seat, and 2 people")


def test_one_may_sit_down_the_moment_another_gets_up():
    rows = changed(ROWS, "10:15-11:15 | Ines", "10:15-11:15 | Tomás, the younger")
    assert_keeps(WINTER, rows)


def test_a_row_too_short_for_its_pieces_is_named_with_how_much():
    rows = changed(ROWS, "13:00-14:40", "13:00-14:38")
    assert_breaks(WINTER, rows, "length", 3, says="take 1 h 40 min, and it lasts 1 h 38 min: 2 min too short")


def test_a_row_too_short_by_its_set_up_is_named():
    rows = changed(ROWS, "09:00-10:15 | Ines", "09:00-10:00 | Ines")
    assert_breaks(WINTER, rows, "length", 1, says="15 min too short")


def test_a_row_may_last_longer_than_its_work():
    assert_keeps(WINTER, changed(ROWS, "13:00-14:40", "13:00-15:30"))


def test_a_row_that_ends_before_it_begins_is_named():
    found = changed(ROWS, "13:00-14:40", "14:40-13:00")
    assert_breaks(WINTER, found, "length", 3, says="it ends before it begins")


def test_set_up_forgotten_is_named_at_the_first_row_of_the_stretch():
    rows = changed(ROWS, "scrape 10 of boxes +15 min", "scrape 10 of boxes")
    assert_breaks(WINTER, rows, "set-up", 1, says="setting up for scrape takes 15 min")


def test_set_up_counts_anew_after_the_midday_break():
    rows = changed(ROWS, "10:15-11:15", "13:00-14:00")
    rows = changed(rows, "13:00-14:40", "14:00-15:40")
    assert_breaks(WINTER, rows, "set-up", 2)
    assert_keeps(
        WINTER,
        changed(changed(rows, "13:00-14:00", "13:00-14:15"), "10 of boxes @", "10 of boxes +15 min @").replace(
            "14:00-15:40", "14:15-15:55"
        ),
    )


def test_no_one_begins_while_another_is_still_setting_up():
    winter = changed(WINTER, "bench: {seats: 1}", "bench: {seats: 2}")
    rows = changed(ROWS, "10:15-11:15 | Ines", "09:10-10:10 | Tomás, the younger")
    assert_breaks(winter, rows, "set-up", 2, says="5 min before the set-up has ended")
    assert_keeps(winter, changed(rows, "09:10-10:10", "09:15-10:15"))


def test_set_up_is_for_the_kind_of_work_not_for_each_lot():
    winter = changed(WINTER, "gear:", "gear:\n  lids: {piece: telescoping lid, count: 3, steps: [scrape]}")
    rows = ROWS + "2026-10-05 11:15-11:33 | Ines | scrape 3 of lids @ bench"
    assert_keeps(winter, rows)


def test_an_unknown_person_is_named_with_the_nearest():
    rows = changed(ROWS, "13:00-14:40 | Ines", "13:00-14:40 | Inse")
    assert_breaks(WINTER, rows, "known names", 3, says="nobody of the crew is called 'Inse'; did you mean 'Ines'?")


def test_an_unknown_lot_is_named_with_the_nearest():
    rows = ROWS + "2026-10-07 09:00-09:30 | Ines | scrape 2 of boxs"
    assert_breaks(WINTER, rows, "known names", 5, says="called 'boxs'; did you mean 'boxes'?")


def test_an_unknown_step_is_named_with_the_nearest():
    rows = ROWS + "2026-10-07 09:00-09:30 | Ines | scarpe 2 of boxes"
    assert_breaks(WINTER, rows, "known names", 5, says="boxes has no step called 'scarpe'; did you mean 'scrape'?")


def test_an_unknown_place_is_named_with_the_nearest():
    rows = changed(ROWS, "of boxes +15 min @ bench", "of boxes +15 min @ bensh")
    assert_breaks(WINTER, rows, "known names", 1, says="no place called 'bensh'; did you mean 'bench'?")


def test_work_at_another_place_than_it_is_done_at_is_named():
    rows = changed(ROWS, "of boxes +15 min @ bench", "of boxes +15 min @ yard")
    assert_breaks(WINTER, rows, "place", 1, says="this work is done at bench, not at yard")


def test_one_piece_too_many_is_named_at_the_row_that_goes_over():
    rows = ROWS + "2026-10-07 09:00-09:21 | Ines | scrape 1 of boxes +15 min"
    assert_breaks(WINTER, rows, "count", 5, says="with this row 21 are done: 1 too many here")


def test_one_piece_missing_is_named_without_a_row():
    rows = changed(ROWS, "lift 20", "lift 19")
    assert_breaks(WINTER, rows, "done", None, says="boxes, lift: 1 of 20 pieces are left undone")


def test_work_that_only_should_be_done_may_be_left():
    winter = changed(WINTER, "hands: 2,", "hands: 2, importance: should,")
    assert_keeps(winter, without_line(ROWS, 4))


def test_a_step_optional_for_the_lot_may_be_left():
    winter = changed(WINTER, "steps: [scrape, mend, lift]", "steps: [scrape, mend, lift], optional: [lift]")
    assert_keeps(winter, without_line(ROWS, 4))


def test_a_share_of_pieces_is_rounded_up_to_whole_pieces():
    winter = changed(WINTER, "share: 50%", "share: 51%")
    missing, overtaken = assert_finds(winter, ROWS, ("done", None), ("order", 4))
    assert missing.text.startswith("boxes, mend: 1 of 11 pieces are left undone")
    assert "1 piece would be in lift before being through mend; 1 of them never are" in overtaken.text


def test_work_before_the_gear_arrives_is_named():
    winter = changed(WINTER, "count: 20,", "count: 20, arrives: 2026-10-06,")
    assert_breaks(winter, ROWS, "arrival", 1, 2, 3, says="boxes arrive on 2026-10-06, 1 day later")


def test_must_work_after_ready_by_is_named():
    winter = changed(WINTER, "count: 20,", "count: 20, ready_by: 2026-10-05,")
    assert_breaks(winter, ROWS, "ready by", 4, says="boxes must be ready by 2026-10-05: 1 day too late")


def test_optional_work_may_come_after_ready_by():
    winter = changed(WINTER, "count: 20,", "count: 20, ready_by: 2026-10-05, optional: [lift],")
    assert_keeps(winter, ROWS)
