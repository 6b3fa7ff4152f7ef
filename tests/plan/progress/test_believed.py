"""What a log may say and what of it is counted: gear, work and people that this winter does not have any more."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

from offseason.plan.progress.believed import believed
from offseason.plan.progress.pieces import pieces_of
from offseason.plan.progress.short_line import Asked
from offseason.plan.progress.standing import done_of, done_rows
from offseason.plan.promised import promised, wanted_by
from tests.plan.progress.yards import NOW, TODAY, WORK, YARD, entry, log_of
from tests.plan.winters import plan

SOLD = entry(12, "scrape", "hives that were sold", 6)
NO_MORE = entry(5, "polish", "super combs", 7)


def test_rows_of_gear_or_work_that_is_no_more_are_kept_and_count_for_nothing():
    sorted_out = entry(100, "sort out", "super combs", 8)
    assert believed(WORK, [SOLD, NO_MORE, sorted_out]) == ((SOLD, NO_MORE, sorted_out), ())
    assert [row.lot for row in done_rows(YARD, WORK, [SOLD, NO_MORE, sorted_out], NOW)] == ["super combs"]
    assert [done.pieces for done in done_of(YARD, WORK, [SOLD, NO_MORE, sorted_out], NOW)] == [100]


def test_a_row_of_which_nothing_can_be_true_is_left_out_and_told():
    all_of_them, once_more = entry(400, "sort out", "super combs", 8), entry(20, "sort out", "super combs", 9)
    found, said = believed(WORK, [all_of_them, once_more])
    assert found == (all_of_them,)
    (told,) = said
    assert told.startswith("The log has 420 of 'sort out' of super combs, more than there are")
    assert "400 are counted" in told


def test_only_what_is_too_much_is_told():
    found, said = believed(WORK, [entry(80, "sort out", "super combs", 8), entry(100, "freeze", "super combs", 9)])
    assert [one.pieces for one in found] == [80, 80]
    assert [one.partition(",")[0] for one in said] == ["The log has 100 of 'freeze' of super combs"]


PLANNED = plan("""
2026-10-06 09:00-10:00 | Maren | sort out 100 of super combs
2026-10-07 09:00-10:00 | Maren | polish 5 of super combs
2026-10-08 09:00-10:00 | Rurik | sort out 100 of super combs
""").rows


def test_what_was_promised_of_work_or_to_people_that_are_no_more_is_kept_by_nobody():
    assert [work.pieces for work in promised(YARD, WORK, PLANNED)] == [100]
    assert list(wanted_by(WORK, PLANNED).values()) == [200]  # whoever does it, it is still wanted


def test_work_that_is_not_done_to_a_lot_is_told_as_that_before_pieces_are_counted():
    asked = Asked(("Maren",), "super combs", "scrape", 5, rest=False, day=TODAY)
    assert pieces_of("super combs", "scrape", asked, WORK, log_of()) == (
        "'scrape' is not done to 'super combs' this winter"
    )


def test_a_row_until_an_hour_stands_as_done_until_then():
    (row,) = done_rows(YARD, WORK, [replace(entry(10, "sort out", "super combs", 8), until=time(11))], NOW)
    assert (row.end, row.done) == (time(11), True)
