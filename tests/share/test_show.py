"""The plan for reading: by day, by person, by lot."""

from dataclasses import replace
from datetime import date, time

import pytest

from offseason.share.terminal import Selection, show_text
from offseason.trade.cautions import CAUTIONS, LAST_WORD


def flat(text):
    return " ".join(text.split())


def test_a_day_lists_who_does_what_when_and_where(scenario, plan):
    text = show_text(scenario, plan, "day")
    assert "Mon 5 Oct 2026\n" in text
    assert "09:18-10:06 Ines scrape: 8 brood boxes bench [lead, dust]" in flat(text)


def test_days_stand_in_order_even_when_rows_of_the_file_do_not(scenario, plan):
    text = show_text(scenario, replace(plan, rows=plan.rows[::-1]), "day")
    assert text.index("Mon 5 Oct") < text.index("Mon 12 Oct") < text.index("Tue 13 Oct")


def test_set_up_is_said_beside_the_work_it_belongs_to(plan):
    ines = replace(plan, rows=(replace(plan.rows[2], who=("Ines",)),))
    text = flat(show_text(None, ines, "day"))
    assert "first coat: 12 brood boxes (set-up 20 min)" in text


def test_a_job_is_said_by_its_name_alone(scenario, plan):
    text = show_text(scenario, plan, "day", Selection(first=date(2026, 10, 13)))
    assert "rebuild the rack -" in flat(text)


def test_a_person_sees_with_whom_the_work_is_done(scenario, plan):
    together = replace(plan, rows=(replace(plan.rows[3], who=("Ines", "Tomas", "Noor")),))
    text = flat(show_text(scenario, together, "person", Selection(who="Ines")))
    assert "rebuild the rack, with Tomas and Noor" in text


def test_a_person_sees_only_their_own_work_with_their_days_and_hours(scenario, plan):
    text = show_text(scenario, plan, "person", Selection(who="Ines"))
    assert text.startswith("Ines: 2 days, 3.1 h")
    assert "first coat" not in text


def test_a_lot_shows_how_far_it_has_come(scenario, plan):
    text = flat(show_text(scenario, plan, "lot"))
    assert "scrape 8 8 of 12 Ines" in text
    assert "first coat 12 12 of 12" in text


def test_pieces_done_before_the_shown_days_count_as_done(scenario, plan):
    later = replace(plan.rows[1], day=date(2026, 10, 14), pieces=4)
    both = replace(plan, rows=(*plan.rows, later))
    text = show_text(scenario, both, "lot", Selection(first=date(2026, 10, 14)))
    assert "scrape 4 12 of 12" in flat(text)


def test_only_days_asked_for_are_shown(scenario, plan):
    text = show_text(scenario, plan, "day", Selection(date(2026, 10, 12), date(2026, 10, 12)))
    assert "Mon 12 Oct" in text
    assert "Mon 5 Oct" not in text
    assert "Tue 13 Oct" not in text


def test_days_without_work_say_so(scenario, plan):
    text = show_text(scenario, plan, "day", Selection(date(2027, 1, 4), date(2027, 1, 10)))
    assert text == "No work is planned from Mon 4 Jan 2027 until Sun 10 Jan 2027."


def test_cautions_below_are_those_of_the_work_shown_and_no_others(scenario, plan):
    text = flat(show_text(scenario, plan, "day", Selection(last=date(2026, 10, 5))))
    assert CAUTIONS["dust"] in text
    assert CAUTIONS["oily rags"] not in text


def test_a_plan_without_its_scenario_still_ends_with_the_last_word(plan):
    assert flat(show_text(None, plan, "day")).endswith(LAST_WORD)


@pytest.mark.parametrize("by", ["day", "person", "lot"])
def test_every_view_fits_eighty_columns(scenario, plan, by):
    long = replace(plan.rows[2], lot="old boxes from the lower yard " * 4, step="scrape")
    text = show_text(scenario, replace(plan, rows=(*plan.rows, long)), by)
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize("by", ["day", "person", "lot"])
def test_a_name_cannot_steer_the_terminal(scenario, plan, by):
    rude = replace(plan.rows[0], who=("Ines\x1b[2J\nTomas",))
    text = show_text(scenario, replace(plan, rows=(rude,)), by)
    assert "\x1b" not in text
    assert "Ines?[2J Tomas" in flat(text)


def test_a_single_piece_is_one_of_its_lot(plan):
    one = replace(plan, rows=(replace(plan.rows[1], pieces=1),))
    assert "scrape: one of the brood boxes" in flat(show_text(None, one, "day"))


def at_the_change(plan, day, start, end):
    return replace(plan, rows=(replace(plan.rows[1], day=day, start=start, end=end),))


def test_an_hour_the_clock_shows_twice_is_told_apart(scenario, plan):
    autumn = at_the_change(plan, date(2026, 10, 25), time(2, 30), time(2, 30, fold=1))
    assert "02:30-02:30 again" in flat(show_text(scenario, autumn))
    assert "1 day, 1.0 h" in show_text(None, autumn, "person")


@pytest.mark.parametrize(
    ("day", "start", "end", "hours"),
    [
        (date(2026, 10, 25), time(1), time(4), "4.0 h"),
        (date(2027, 3, 28), time(1), time(4), "2.0 h"),
        (date(2026, 10, 24), time(1), time(4), "3.0 h"),
    ],
)
def test_hours_are_those_that_pass_also_when_the_clocks_change(scenario, plan, day, start, end, hours):
    season = scenario.season.model_copy(update={"timezone": "CET"})
    in_zone = scenario.model_copy(update={"season": season})
    assert f"1 day, {hours}" in show_text(in_zone, at_the_change(plan, day, start, end), "person")


def test_the_second_showing_of_an_hour_stands_below_the_first(scenario, plan):
    second = replace(plan.rows[1], start=time(2, 10, fold=1), end=time(2, 40, fold=1))
    first = replace(plan.rows[1], start=time(2, 30), end=time(2, 50))
    text = show_text(scenario, replace(plan, rows=(second, first)))
    assert text.index("02:30-02:50") < text.index("02:10 again-02:40 again")


def test_one_person_alone_at_the_torch_is_said_in_the_caution(scenario, plan):
    tasks = {**scenario.tasks, "torch inside": scenario.tasks["scrape"]}
    torching = replace(plan, rows=(replace(plan.rows[1], step="torch inside"),))
    text = flat(show_text(scenario.model_copy(update={"tasks": tasks}), torching))
    assert CAUTIONS["torch"] in text
    assert "torch inside: planned for one person alone: give it `hands: 2`." in text


def test_a_treatment_brings_its_caution_even_if_the_keeper_wrote_none(scenario, plan):
    treat = scenario.tasks["scrape"].model_copy(update={"treatment": "acetic acid 80 %", "caution": ()})
    text = flat(show_text(scenario.model_copy(update={"tasks": {**scenario.tasks, "scrape": treat}}), plan))
    assert CAUTIONS["acids"] in text
