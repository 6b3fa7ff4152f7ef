"""What a keeper reads of the pace so far, and of whether the winter still fits at it."""

from __future__ import annotations

from datetime import date

from offseason.plan.progress.entry import Entry
from offseason.plan.progress.likelihood import likelihood
from offseason.plan.progress.pace import Unused, paces
from offseason.share.terminal.pace import likelihood_text, pace_text
from offseason.workload.build import build_workload
from tests.plan.winters import changed, plan, winter

YARD = """
season: {from: 2026-10-05, until: 2026-12-06}
crew:
  Ines: {works: {mon-fri: 09:00-12:00}}
  Tove: {works: {mon-fri: 09:00-12:00}, cannot: [coat]}
places: {bench: {seats: 1}}
tasks:
  scrape: {minutes_each: 6, at: bench}
  coat: {minutes_each: 5, weather: painting}
gear:
  boxes: {piece: langstroth deep box, count: 20, steps: [scrape, coat]}
jobs:
  mend the rack: {hours: 2, by: 2026-10-16}
rounds:
  look at the mice: {every: 14 d, minutes: 20}
weather: {windows: {painting: {2026-10-12: 09:00-12:00, 2026-10-13: 09:00-12:00}}}
"""
FIRST = date(2026, 10, 5)
PLANNED = plan("2026-10-05 09:00-11:00 | Ines | scrape 20 of boxes")


def row(step: str, pieces: int, minutes: float | None, lot: str = "boxes", day: int = 5, who: str = "Ines") -> Entry:
    return Entry(f"{step}{pieces}{minutes}{day}{who}", date(2026, 10, day), (who,), lot, step, pieces, None, minutes)


def told(text: str = YARD, *rows: Entry, on: date = FIRST) -> str:
    workload = build_workload(winter(text))
    learnt = paces(workload, rows)
    said = likelihood_text(likelihood(workload, PLANNED, rows, learnt, FIRST, on), learnt)
    assert max(map(len, said.splitlines())) <= 80
    return " ".join(said.split())


def test_before_the_first_day_of_work_nothing_is_said_of_what_was_planned():
    assert "The plan had" not in told()
    assert told(on=date(2026, 10, 6)).startswith(
        "The plan had 2.0 h of work before Tue 6 Oct 2026. 6.0 h of help were offered in these days."
    )


def test_a_job_whose_day_is_past_is_told_as_late_and_still_to_be_done():
    assert "2.0 h of work that must be done are late: their day is past." in told(on=date(2026, 10, 19))
    assert "late" not in told()


def test_rounds_whose_days_went_by_without_a_row_of_the_log_are_named_with_how_many():
    assert "Not in the log, and their days are past: look at the mice (2)." in told(on=date(2026, 11, 2))
    seen = row("look at the mice", 1, None, "look at the mice")
    assert "look at the mice (1)" in told(YARD, seen, on=date(2026, 11, 2))


def test_when_all_is_done_but_rounds_that_is_all_that_is_said_of_the_rest():
    all_done = [row("scrape", 20, None), row("coat", 20, None), row("mend the rack", 8, None, "mend the rack")]
    said = told(YARD, *all_done)
    assert said == "Apart from rounds, no work that must be done is left."


def test_the_tightest_day_is_told_first_and_then_what_is_to_spare_by_the_last():
    # by 16 Oct the rack and a round, of 60 hours of help; by the end scraping, coating and all rounds of 270
    fine = ", ".join(f"2026-10-{day}: 09:00-12:00" for day in range(12, 17))
    busy = changed(changed(YARD, "count: 20", "count: 30"), "hours: 2,", "hours: 24,")
    said = told(changed(busy, "2026-10-12: 09:00-12:00, 2026-10-13: 09:00-12:00", fine))
    assert "As planned the must-work needs 24.0 h by Fri 16 Oct 2026; 60.0 h of help are left until then" in said
    assert "it fits with 36.0 h to spare; by Sun 6 Dec 2026 there are 239.2 h." in said


def test_hours_enough_in_all_are_no_comfort_where_fit_weather_seats_or_skill_are_short():
    wet = told(changed(YARD, ", 2026-10-13: 09:00-12:00", "").replace("count: 20", "count: 90"))
    assert "Weather for painting: 7.5 h of must-work for 6.0 h fit for it while somebody is here." in wet
    assert "it will not fit otherwise:" in wet
    crowded = told(changed(YARD, "count: 20", "count: 1700"))
    assert "Seats at bench: 170.0 h of must-work for 135.0 h open." in crowded
    assert "coat: 141.7 h, but 135.0 h of help by Ines." in crowded
    nobody = told(changed(YARD, "09:00-12:00}}\n  Tove", "09:00-12:00}, cannot: [coat]}\n  Tove"))
    assert "coat: 1.7 h, but 0.0 h of help by nobody." in nobody
    enough = told()
    assert "otherwise" not in enough
    assert "Seats" not in enough


def test_a_piece_of_a_job_is_explained_where_a_job_was_learnt_from():
    workload = build_workload(winter(YARD))
    jobs = ["mend the rack"]
    learnt = paces(workload, [row("mend the rack", 4, 80, "mend the rack"), row("scrape", 10, 70)])
    assert "A piece of a job is an equal part of it" in pace_text(learnt, {Unused.NO_MINUTES: 1}, jobs)
    assert "A piece of a job" not in pace_text(paces(workload, [row("scrape", 10, 70)]), {}, jobs)
