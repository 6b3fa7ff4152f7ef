"""What is sent twice is recorded once, also where nothing would be left of it to record."""

from __future__ import annotations

from offseason.plan.progress.known import known
from offseason.plan.progress.log import Log
from offseason.plan.progress.short_line import asked_of_line
from offseason.plan.progress.taking import Offered, take
from offseason.plan.progress.words import parts_of_line
from tests.plan.progress.yards import NOW, TODAY, WORK, YARD


def test_a_line_that_says_all_is_known_when_it_is_sent_once_more_though_nothing_is_left():
    line = Offered(
        "notes.txt:1", asked_of_line(parts_of_line("Maren scrape all deep boxes, sound"), known(YARD, WORK), TODAY)
    )
    once = take([line], WORK, YARD, Log(), NOW)
    assert [entry.pieces for entry in once.entries] == [60]
    again = take([line], WORK, YARD, Log(once.entries), NOW)
    assert (again.entries, again.problems) == ((), ())
    (told,) = again.known
    assert told.startswith("notes.txt:1: recorded before (2026-10-17")
