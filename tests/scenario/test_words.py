"""Small words: durations, dates, hours, weekdays, shares, spaces, temperatures."""

from __future__ import annotations

from datetime import date, time

import pytest

from offseason.scenario.model import HelperEntry, PlaceEntry
from offseason.scenario.weather_entry import WeatherEntry
from offseason.scenario.words import (
    Celsius,
    Days,
    Holds,
    Hours,
    parse_celsius,
    parse_days,
    parse_duration,
    parse_flag,
    parse_holds,
    parse_hours,
    parse_hours_list,
    parse_lasting,
    parse_share,
    parse_wait,
    parse_weekdays,
    shown,
)


@pytest.mark.parametrize(
    ("written", "seconds"),
    [("90 min", 5_400), ("24 h", 86_400), ("14d", 1_209_600), (" 2 w ", 1_209_600), ("0.5 h", 1_800)],
)
def test_lengths_of_time_are_seconds(written, seconds):
    assert parse_duration(written) == seconds


def test_a_wait_may_be_the_freezer_stay_and_protection_may_last_the_season():
    assert parse_wait("Freezer stay") == "freezer stay"
    assert parse_wait("24 h") == 86_400
    assert parse_lasting("season") == "season"


def test_a_span_of_days_holds_both_its_ends():
    days = parse_days("2026-12-31..2027-01-01")
    assert days.each() == [date(2026, 12, 31), date(2027, 1, 1)]
    assert date(2027, 1, 2) not in days
    assert parse_days("2026-10-17") == Days(date(2026, 10, 17), date(2026, 10, 17))


def test_hours_are_put_in_order_and_none_means_no_hours():
    morning, afternoon = parse_hours_list(["13:00-16:00", "9:00-12:30"])
    assert (morning, str(afternoon)) == (Hours(time(9), time(12, 30)), "13:00-16:00")
    assert parse_hours_list("none") == parse_hours_list(None) == ()


def test_hours_that_touch_do_not_overlap():
    assert len(parse_hours_list(["09:00-12:00", "12:00-13:00"])) == 2


def test_weekdays_may_go_round_the_end_of_the_week():
    assert parse_weekdays("fri-mon") == (0, 4, 5, 6)
    assert parse_weekdays("sat, sun") == (5, 6)
    assert parse_weekdays("every day") == tuple(range(7))


def test_yes_and_no_are_understood_where_true_and_false_are_meant():
    assert [parse_flag(word) for word in (True, False, "yes", "No")] == [True, False, True, False]


def test_share_space_and_temperature():
    assert parse_share("20%") == 0.2
    assert parse_holds("40 boxes") == Holds(40, "boxes")
    assert parse_holds(40) == Holds(40, "pieces")
    assert parse_celsius("-20..-18") == Celsius(-20, -18)
    assert parse_celsius(-18) == Celsius(-18, -18)


@pytest.mark.parametrize(
    ("model", "written"),
    [
        (HelperEntry, {"works": {"mon-fri": ["09:00-12:00", "13:00-15:00"]}, "also": {"2026-11-14": "09:00-12:00"}}),
        (HelperEntry, {"works": {"sat": "09:00-12:00"}, "away": ["2026-12-21..2027-01-03"]}),
        (PlaceEntry, {"holds": "60 combs", "celsius": "-20..-18"}),
        (WeatherEntry, {"forecast": "week.csv", "windows": {"painting": {"2026-10-17": "none"}}}),
    ],
)
def test_an_entry_takes_its_own_values_as_well_as_the_words_for_them(model, written):
    entry = model.model_validate(written)
    assert model(**{key: getattr(entry, key) for key in written}) == entry


def test_hours_that_were_read_already_are_put_in_order_and_held_against_one_another_too():
    morning, afternoon = Hours(time(9), time(12)), Hours(time(13), time(16))
    assert parse_hours_list([afternoon, morning]) == (morning, afternoon)
    with pytest.raises(ValueError, match="overlap; write them as one stretch"):
        parse_hours_list([morning, "11:00-12:30"])


@pytest.mark.parametrize(
    "parse",
    [parse_duration, parse_days, parse_hours, parse_weekdays, parse_share, parse_holds, parse_celsius, parse_flag],
)
@pytest.mark.parametrize(
    "value", [None, [], {}, ["x"], "", "٣", "9" * 400, "9" * 400 + " h", "-1 h", "..", "-", 1e308, "nan"]
)
def test_nonsense_is_a_sentence_whatever_it_is(parse, value):
    with pytest.raises(ValueError, match=r"[a-z]{3,} .*(;|calendar)"):
        parse(value)


def test_long_values_are_cut_where_they_are_shown():
    assert shown("x" * 100) == f"'{'x' * 60}…'"
