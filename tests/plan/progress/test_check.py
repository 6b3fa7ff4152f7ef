"""What cannot have been is refused with the reason; what is only odd is kept and remarked."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

from offseason.plan.progress.check import entry_problems, entry_remarks
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.room import too_full
from offseason.scenario.read import parse_scenario
from offseason.workload.build import build_workload
from tests.plan.progress.yards import NOW, SCENARIO, WORK, YARD, entry, log_of

SORTED = entry(400, "sort out", "super combs", 7)


def problems(new: Entry, *before: Entry) -> str:
    return " | ".join(entry_problems(WORK, YARD, log_of(*before), new, NOW))


def remarks(new: Entry, *before: Entry) -> str:
    assert problems(new, *before) == ""
    return " | ".join(entry_remarks(WORK, YARD, log_of(*before), new))


def test_what_can_be_is_taken_without_a_word():
    assert remarks(entry(80, "freeze", "super combs"), SORTED) == ""


def test_no_more_pieces_than_there_are():
    told = problems(entry(10, "sort out", "super combs"), entry(395, "sort out", "super combs"))
    assert told == "of 400 'super combs' for 'sort out' 395 are done and 5 are left, and this says 10"
    assert problems(entry(5, "sort out", "super combs"), entry(395, "sort out", "super combs")) == ""


def test_a_share_has_no_more_pieces_than_the_share():
    scraped = entry(40, "scrape", "deep boxes, old paint", 6)
    assert problems(entry(10, "mend", "deep boxes, old paint"), scraped) == ""
    assert "0 are done and 10 are left, and this says 11" in problems(
        entry(11, "mend", "deep boxes, old paint"), scraped
    )


def test_pieces_taken_back_can_be_done_again():
    done, lost = entry(400, "sort out", "super combs"), entry(-80, "sort out", "super combs", 13)
    assert problems(entry(80, "sort out", "super combs", 14), done, lost) == ""
    assert "and this says 81" in problems(entry(81, "sort out", "super combs", 14), done, lost)


def test_no_more_is_taken_back_than_was_done_by_then():
    done = entry(80, "sort out", "super combs", 12)
    assert problems(entry(-80, "sort out", "super combs", 12), done) == ""
    assert "81 cannot be taken back" in problems(entry(-81, "sort out", "super combs", 13), done)
    told = problems(entry(-80, "sort out", "super combs", 11), done)
    assert told == "80 cannot be taken back: of 'super combs' for 'sort out' 0 are done by 2026-10-11"


def test_no_step_goes_before_the_one_before_it():
    frozen = entry(80, "freeze", "super combs", 12)
    told = problems(entry(100, "seal", "super combs", 14), SORTED, frozen)
    assert told.startswith("only 80 of 'super combs' are through 'freeze' by 2026-10-14, and with this 100 would be")
    assert problems(entry(80, "seal", "super combs", 14), SORTED, frozen) == ""
    assert "only 0 of" in problems(entry(80, "seal", "super combs", 11), SORTED, frozen)


def test_a_row_recorded_late_may_not_take_what_later_rows_have_taken():
    rows = (SORTED, entry(80, "freeze", "super combs", 8), entry(80, "seal", "super combs", 14))
    assert "only 80 of 'super combs' are through 'freeze'" in problems(entry(40, "seal", "super combs", 10), *rows)


def test_what_is_sealed_already_is_not_taken_out_of_the_freezer_again():
    rows = (SORTED, entry(80, "freeze", "super combs", 8), entry(60, "seal", "super combs", 14))
    assert problems(entry(-20, "freeze", "super combs", 15), *rows) == ""
    told = problems(entry(-80, "freeze", "super combs", 15), *rows)
    assert told.startswith("then 0 of 'super combs' would be through 'freeze' by 2026-10-15, but 60 are through 'seal'")


def test_optional_work_and_shares_may_be_passed_by():
    scraped = entry(40, "scrape", "deep boxes, old paint", 6)
    assert problems(entry(30, "first coat", "deep boxes, old paint"), scraped) == ""
    told = problems(entry(31, "first coat", "deep boxes, old paint"), scraped)
    assert "only 0 of 'deep boxes, old paint' are through 'mend'" in told


def test_nothing_is_done_tomorrow_or_before_the_gear_is_there():
    assert "2026-10-18 is still to come: today is 2026-10-17" in problems(entry(1, "sort out", "super combs", 18))
    assert "'super combs' come in on 2026-10-06, after 2026-10-05" in problems(entry(1, "sort out", "super combs", 5))
    assert "is before this winter" in problems(entry(1, "scrape", "deep boxes, sound", 4))
    long_ago = replace(entry(1, "clean the extractor", "clean the extractor"), day=date(2025, 10, 12))
    assert "is before this winter, which begins on 2026-10-05; is the year right?" in problems(long_ago)


def test_names_nobody_knows_are_told_with_the_nearest():
    assert "did you mean 'Maren'?" in problems(entry(1, "sort out", "super combs", who="Marne + Joss"))
    assert "did you mean 'super combs'?" in problems(entry(1, "sort out", "super comb"))
    assert "did you mean 'freeze'?" in problems(entry(1, "freez", "super combs"))
    told = problems(entry(1, "first coat", "deep boxes, sound"))
    assert told == "'first coat' is not done to 'deep boxes, sound' this winter; its work is: scrape"


def test_who_is_away_or_unable_did_it_all_the_same():
    assert remarks(entry(1, "sort out", "super combs", 12, "Joss")) == (
        "by the scenario Joss is not there on Mon 2026-10-12"
    )
    rows = entry(40, "scrape", "deep boxes, old paint", 6), entry(4, "rebuild the rack", "rebuild the rack", 6)
    told = remarks(entry(1, "first coat", "deep boxes, old paint", 17, "Joss"), *rows)
    assert "by the scenario Joss cannot do 'first coat'" in told
    assert "'rebuild the rack' was to come first, and 4 of its 16 pieces are done" in told
    alone = entry(1, "press the cappings", "press the cappings")
    assert remarks(alone) == "'press the cappings' takes 2 people, and Maren is named alone"


def test_combs_taken_from_the_freezer_too_soon_are_remarked():
    frozen = entry(80, "freeze", "super combs", 12, until=time(9))
    assert "80 of them have not waited long enough after 'freeze'" in remarks(
        entry(80, "seal", "super combs", 12, until=time(11)), SORTED, frozen
    )
    assert remarks(entry(80, "seal", "super combs", 16), SORTED, frozen) == ""


def test_a_clock_that_was_set_back_is_remarked_unless_the_day_was_written():
    new, before = entry(1, "sort out", "super combs", 9), entry(1, "sort out", "super combs", 12)
    assert "it is dated 2026-10-09, before the last one in the log (2026-10-12): is the clock right?" in remarks(
        new, before
    )
    assert entry_remarks(WORK, YARD, log_of(before), new, dated=True) == ()


def test_the_same_said_twice_counts_twice_and_is_remarked():
    before = entry(5, "sort out", "super combs", line=7)
    told = remarks(entry(5, "sort out", "super combs"), before)
    assert told.startswith("the same was recorded before (line 7), and now counts twice")
    assert "take it back with -5" in told


def test_a_round_is_made_once_at_a_time_and_once_more_does_no_harm():
    look = entry(1, "look over stored comb", "look over stored comb", 6)
    assert remarks(look) == ""
    assert "is done already for 2026-10-05 to 2026-10-25" in remarks(
        replace(look, id="n", day=date(2026, 10, 12)), look
    )
    assert "it is made once at a time, not 2 times" in problems(replace(look, pieces=2))
    assert "is not in the log, so it cannot be taken back" in problems(replace(look, pieces=-1))
    assert problems(replace(look, id="n", pieces=-1), look) == ""


def test_work_through_later_than_the_clock_shows_is_still_to_come():
    new = entry(5, "sort out", "super combs", 17, until=time(15, 45))
    told = entry_problems(WORK, YARD, log_of(), new, datetime.fromisoformat("2026-10-17 15:44:30"))
    assert told == ("15:45 is still to come: it is 15:44 now; only what was done is recorded",)
    assert entry_problems(WORK, YARD, log_of(), new, datetime.fromisoformat("2026-10-17 15:45")) == ()
    yesterday = replace(new, day=date(2026, 10, 16))
    assert entry_problems(WORK, YARD, log_of(), yesterday, datetime.fromisoformat("2026-10-17 09:00")) == ()


def test_in_the_hour_that_comes_twice_the_first_is_before_the_second():
    yard = YARD.model_copy(update={"season": YARD.season.model_copy(update={"timezone": "CET"})})
    first = entry(5, "sort out", "super combs", 25, until=time(2, 30))
    now = datetime.fromisoformat("2026-10-25 02:10").replace(fold=1)
    assert entry_problems(WORK, yard, log_of(), first, now) == ()
    again = replace(first, until=time(2, 30, fold=1))
    (told,) = entry_problems(WORK, yard, log_of(), again, now)
    assert told.startswith("02:30 again is still to come: it is 02:10 again now")


def test_more_than_the_freezer_holds_at_once_is_remarked():
    assert remarks(entry(80, "freeze", "super combs"), SORTED) == ""
    told = remarks(entry(81, "freeze", "super combs"), SORTED)
    assert told == (
        "'chest freezer' holds 80 combs at once, and with this there were 81 in it on 2026-10-12; is the number right?"
    )


def test_what_went_into_the_freezer_before_counts_as_long_as_it_must_still_be_in_it():
    same_day = entry(50, "freeze", "super combs", 12)
    assert "there were 90 in it on 2026-10-12" in remarks(entry(40, "freeze", "super combs", 12), SORTED, same_day)
    lost = entry(-50, "freeze", "super combs", 12)
    assert remarks(entry(40, "freeze", "super combs", 12), SORTED, same_day, lost) == ""
    long_ago = entry(80, "freeze", "super combs", 9)
    assert remarks(entry(80, "freeze", "super combs", 12), SORTED, long_ago) == ""


def test_a_rack_that_can_be_filled_twice_a_day_is_not_too_full_with_two_loads():
    small = parse_scenario(SCENARIO.replace("rack: {holds: 40, celsius: 15}", "rack: {holds: 20, celsius: 15}"), "w")
    work = build_workload(small)
    coat = next(s for lot in work.lots if lot.name == "deep boxes, old paint" for s in lot.steps if s.waits)
    assert 24 * 3600 > coat.wait_s > 12 * 3600  # two loads can follow one another in a day
    forty = entry(40, "first coat", "deep boxes, old paint")
    assert list(too_full(work, small, log_of(), forty)) == []
    (told,) = too_full(work, small, log_of(), replace(forty, pieces=41))
    assert told.startswith("'rack' holds 20 pieces at once, and with this there were 21 in it")


def test_a_job_done_before_its_day_or_after_the_winter_and_a_round_that_is_not_due_are_remarked():
    text = SCENARIO.replace("clean the extractor: {hours: 3}", "clean the extractor: {hours: 3, from: 2026-11-02}")
    yard = parse_scenario(text.replace("{every: 21 d,", "{every: 21 d, from: 2026-11-02,"), "winter.yaml")
    work = build_workload(yard)

    def told(new: Entry) -> str:
        return " | ".join(entry_remarks(work, yard, log_of(), new))

    job = entry(1, "clean the extractor", "clean the extractor", 17)
    assert told(job) == "'clean the extractor' was to be done from 2026-11-02 on"
    assert told(replace(job, day=date(2026, 11, 2))) == ""
    look = entry(1, "look over stored comb", "look over stored comb", 17)
    assert (
        told(look) == "'look over stored comb' is not due on 2026-10-17; it does no harm, and stands for no other day"
    )
    late = entry(80, "sort out", "super combs")
    assert "2027-03-29 is after the last day of this winter (2027-03-28)" in told(replace(late, day=date(2027, 3, 29)))
