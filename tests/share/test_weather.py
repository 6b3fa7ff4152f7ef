"""What the keeper reads of hours fit for work: months in a table, and days hour by hour."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from offseason.scenario.model import Scenario
from offseason.share.fit_days import NOT_BY_HAND, FitDays, said_of, stretches
from offseason.share.picture import MOST_DAYS
from offseason.share.terminal.weather import none_or_too_many, read_text, weather_text
from offseason.share.weather_shown import shown_of_record, shown_of_scenario
from offseason.trade.cautions import LAST_WORD
from offseason.trade.fitness import NEEDS, Limits
from offseason.weather.judge import Reason
from offseason.weather.records import Daily, Hourly, Note, Reading
from offseason.weather.winter import settle

MONDAY = date(2026, 10, 5)


def flat(text):
    return " ".join(text.split())


def day(*stretches_of_day):
    """24 reasons from (hours, reason) one after another."""
    return np.concatenate([np.full(hours, reason, np.int8) for hours, reason in stretches_of_day])


FAIR = day((9, Reason.TOO_COLD), (4, Reason.FIT), (2, Reason.RAIN_AFTER), (8, Reason.RAIN), (1, Reason.TOO_DAMP))


def shown(*days, first=MONDAY, need="painting", whole_days=False):
    return FitDays("quillet.csv", first, {need: np.stack(days)}, whole_days)


def hourly(celsius, first=datetime(2026, 10, 5, tzinfo=UTC)):
    hours = len(celsius)
    dry, unknown = np.zeros(hours), np.full(hours, np.nan)
    return Hourly(first, np.asarray(celsius, float), unknown, unknown, dry, dry, unknown)


def daily(lowest, highest):
    days = len(lowest)
    unknown = np.full(days, np.nan)
    return Daily(MONDAY, np.asarray(lowest, float), np.asarray(highest, float), unknown, np.zeros(days), unknown)


# the hours of a day


def test_a_day_is_told_in_stretches_each_with_its_first_reason():
    text = weather_text(shown(FAIR), (), asked=False)
    assert (
        "  Mon 5 Oct   00-09 too cold, 09-13 FIT, 13-15 rain after, 15-23 rain,\n              23-24 too damp\n" in text
    )


def test_a_day_that_is_all_alike_is_told_as_one():
    assert "  Mon 5 Oct   all day FIT\n" in weather_text(shown(day((24, Reason.FIT))), (), asked=False)


def test_what_after_means_is_said_where_it_stands():
    assert "'after' means in the hours after the work" in flat(weather_text(shown(FAIR), (), asked=False))
    assert "'after'" not in weather_text(shown(day((24, Reason.RAIN))), (), asked=False)


def test_a_stretch_is_never_broken_over_two_lines():
    restless = day(*[(1, Reason.COLD_AFTER), (1, Reason.NEAR_DEW_POINT)] * 12)
    lines = weather_text(shown(restless), (), asked=False).splitlines()
    told = [line.strip() for line in lines if "cold after" in line]
    assert len(told) > 3
    assert all(line[-1] in ",w" and line.rstrip(",").endswith(("cold after", "dew")) for line in told)


@pytest.mark.parametrize("code", [NOT_BY_HAND, *Reason])
def test_every_reason_has_words_in_both_tables(code):
    text = weather_text(shown(day((24, code))), (), asked=False)
    assert said_of(code)
    assert "all day " in text


def test_stretches_cover_the_day_without_a_gap():
    found = list(stretches(FAIR))
    assert found == [
        (0, 9, Reason.TOO_COLD),
        (9, 13, Reason.FIT),
        (13, 15, Reason.RAIN_AFTER),
        (15, 23, 6),
        (23, 24, 4),
    ]


# which days


def test_two_weeks_are_written_out_unasked_and_of_more_the_first_week():
    assert weather_text(shown(*[FAIR] * 14), (), asked=False).count("00-09") == 14
    longer = weather_text(shown(*[FAIR] * 15), (), asked=False)
    assert longer.count("00-09") == 7
    assert "--from 2026-10-12 --until 2026-10-18" in flat(longer)


def test_a_month_is_written_out_where_it_was_asked_for():
    assert weather_text(shown(*[FAIR] * 31), (), asked=True).count("00-09") == 31
    assert weather_text(shown(*[FAIR] * 32), (), asked=True).count("00-09") == 7


def test_other_days_offered_are_days_there_are():
    short = weather_text(shown(*[FAIR] * 15), (), asked=False)
    assert "--until 2026-10-18" in flat(short)
    assert "--until 2026-10-19" not in flat(short)


def test_a_part_of_the_days_keeps_their_dates():
    part = shown(*[day((24, reason)) for reason in Reason]).between(MONDAY + timedelta(2), MONDAY + timedelta(4))
    assert (part.first, part.last, len(part)) == (MONDAY + timedelta(2), MONDAY + timedelta(4), 3)
    assert part.reasons["painting"][:, 0].tolist() == [2, 3, 4]


@pytest.mark.parametrize(("first", "last"), [(-9, -1), (1, 9), (9, 9)])
def test_days_there_are_none_of_are_told_with_those_there_are(first, last):
    every = shown(FAIR)
    none = every.between(MONDAY + timedelta(first), MONDAY + timedelta(last))
    told = none_or_too_many(every, none, drawn=False)
    assert told == "there is no weather of these days; it goes from Mon 5 Oct 2026 to Mon 5 Oct 2026."


def test_days_around_what_there_is_show_what_there_is():
    part = shown(FAIR, FAIR).between(MONDAY - timedelta(30), MONDAY + timedelta(30))
    assert (part.first, len(part)) == (MONDAY, 2)


def test_years_are_too_many_days_for_a_picture_but_not_for_the_table():
    years = shown(*[FAIR] * (MOST_DAYS + 1))
    assert none_or_too_many(years, years, drawn=False) is None
    told = none_or_too_many(years, years, drawn=True)
    assert told == (
        "401 days are too many for one picture, which has room for 400; choose some, as in "
        "--from 2026-10-05 --until 2027-04-04."
    )
    few = years.between(None, MONDAY + timedelta(MOST_DAYS - 1))
    assert none_or_too_many(years, few, drawn=True) is None


# the months


def test_each_month_tells_hours_fit_of_those_known_and_the_commonest_reason():
    unknown = day((20, Reason.UNKNOWN), (4, Reason.UNKNOWN_AFTER))
    text = flat(weather_text(shown(FAIR, FAIR, unknown, first=date(2026, 10, 30)), (), asked=False))
    assert "Oct 2026 painting 8 48 colder than asked" in text
    assert "Nov 2026 painting 0 0 not known" in text


def test_a_month_all_fit_has_no_reason():
    assert "Oct 2026 painting 24 24 -" in flat(weather_text(shown(day((24, Reason.FIT))), (), asked=False))


def test_of_daily_records_days_are_counted_that_have_a_fit_hour():
    damp_night = day((8, Reason.NEAR_DEW_POINT), (16, Reason.FIT))
    text = weather_text(shown(damp_night, day((24, Reason.RAIN)), whole_days=True), (), asked=False)
    assert "days fit" in text
    assert "Oct 2026 painting 1 2 rain" in flat(text)


def test_years_of_records_are_told_by_the_months_of_the_calendar():
    text = weather_text(shown(*[FAIR] * 1461), (), asked=False)
    assert "All years together." in text
    assert sum(line.startswith("Oct ") for line in text.splitlines()) == 1
    assert "Oct painting 496 2,976 colder than asked" in flat(text)


def test_two_years_of_records_are_told_month_by_month():
    text = weather_text(shown(*[FAIR] * 720), (), asked=False)
    assert "All years together." not in text
    assert "Oct 2026" in text
    assert "Sep 2028" in text


# around the tables


def test_what_was_read_stands_first_and_the_label_has_the_last_word():
    text = weather_text(shown(FAIR), ("quillet.csv: 24 rows.",), asked=False)
    assert text.startswith("quillet.csv: 24 rows.\n\nFrom Mon 5 Oct 2026")
    assert text.endswith(LAST_WORD)


def test_remarks_on_a_file_are_told_with_their_row_and_not_without_end():
    notes = (Note(None, "three hours are missing."), *(Note(n, "set aside.") for n in range(1200, 1230)))
    told = read_text("quillet.csv", Reading(hourly([5.0] * 24), 1234, notes), "Europe/Dublin")
    assert told[0] == "quillet.csv: 1,234 rows, hour by hour, by the clock of Europe/Dublin."
    assert told[1:3] == ["three hours are missing.", "Row 1,200: set aside."]
    assert told[-1] == "And 19 more remarks of this kind."
    assert len(told) == 14


def test_without_a_time_zone_it_is_said_that_hours_are_those_of_utc():
    assert "by UTC (no time zone is given)" in read_text("q.csv", Reading(hourly([5.0] * 24), 24), None)[0]
    assert read_text("q.csv", Reading(daily([5], [9]), 1), None)[0] == "q.csv: 1 row, day by day."


@pytest.mark.parametrize("name", ["painting " * 40, "x" * 300, "bell\x07 and\x1b[31m escape", "ペンキ塗り" * 20])
def test_no_name_breaks_the_table(name):
    text = weather_text(shown(*[FAIR] * 20, need=name), (name,), asked=False)
    assert all(len(line) <= 80 for line in text.splitlines())
    assert all(c.isprintable() for c in text.replace("\n", ""))


# where it comes from


def test_a_record_is_shown_for_each_need_by_the_clock_on_the_wall():
    reading = Reading(hourly([20.0] * 12 + [5.0] * 36), 48)
    found = shown_of_record("q.csv", reading, {"cold": NEEDS["scraping in the cold"]}, "Asia/Tokyo")
    assert (found.first, found.whole_days) == (MONDAY, False)
    assert list(stretches(found.reasons["cold"][0])) == [(0, 9, Reason.UNKNOWN), (9, 21, Reason.TOO_WARM), (21, 24, 0)]


def test_a_record_of_days_is_shown_as_such():
    found = shown_of_record("q.csv", Reading(daily([5, 5], [9, 19]), 2), {"cold": Limits(at_most_celsius=15)}, None)
    assert found.whole_days
    assert found.reasons["cold"][:, 12].tolist() == [Reason.FIT, Reason.TOO_WARM]


def winter(**weather):
    return Scenario.model_validate(
        {
            "season": {"name": "Quillet Yard", "from": "2026-10-05", "until": "2026-10-08"},
            "crew": {"Ines": {"works": {"mon-fri": "09:00-13:00"}}},
            "tasks": {"scrape": {"minutes_each": 6, "weather": "scraping in the cold"}},
            "gear": {"boxes": {"piece": "langstroth deep box", "count": 12, "steps": ["scrape"]}},
            "weather": weather,
        }
    )


FORECAST = "day,lowest [°C],highest [°C]\n2026-10-05,5,19\n2026-10-06,5,12\n2026-10-07,5,12\n"


def test_a_scenario_is_shown_as_it_is_planned_with(tmp_path):
    (tmp_path / "forecast.csv").write_text(FORECAST, "utf-8")
    found, said = shown_of_scenario("winter.yaml", winter(forecast="forecast.csv"), tmp_path)
    assert (found.first, found.last, found.whole_days) == (MONDAY, date(2026, 10, 8), True)
    codes = found.reasons["scraping in the cold"]
    assert codes[:, 12].tolist() == [Reason.TOO_WARM, Reason.FIT, Reason.FIT, Reason.UNKNOWN]
    assert any("forecast.csv" in sentence for sentence in said)


def test_hours_by_hand_win_on_the_days_they_name_and_only_whole_hours_are_shown(tmp_path):
    (tmp_path / "forecast.csv").write_text(FORECAST, "utf-8")
    windows = {"scraping in the cold": {"2026-10-05": "08:30-11:00", "2026-10-06": []}}
    found, said = shown_of_scenario("winter.yaml", winter(forecast="forecast.csv", windows=windows), tmp_path)
    codes = found.reasons["scraping in the cold"]
    assert list(stretches(codes[0])) == [(0, 9, NOT_BY_HAND), (9, 11, Reason.FIT), (11, 24, NOT_BY_HAND)]
    assert set(codes[1].tolist()) == {NOT_BY_HAND}
    assert set(codes[2].tolist()) == {Reason.FIT}
    assert any(sentence.startswith("Hours given by hand win") for sentence in said)


def test_a_scenario_with_hours_by_hand_alone_shows_those(tmp_path):
    found, _ = shown_of_scenario("w.yaml", winter(windows={"dry": {"2026-10-05..2026-10-08": "10:00-23:59"}}), tmp_path)
    assert list(stretches(found.reasons["dry"][3])) == [(0, 10, NOT_BY_HAND), (10, 24, Reason.FIT)]
    assert not found.whole_days


def test_the_hours_shown_as_fit_are_those_the_plan_is_made_with(tmp_path):
    lines = [f"2026-10-{n // 24 + 5:02}T{n % 24:02}:00,{12 + 8 * np.sin(n / 5):.1f}" for n in range(96)]
    (tmp_path / "forecast.csv").write_text("\n".join(["time [UTC],temperature [°C]", *lines]), "utf-8")
    scenario = winter(forecast="forecast.csv")
    found, _ = shown_of_scenario("winter.yaml", scenario, tmp_path)
    _, outlook = settle(scenario, tmp_path)
    for n, (_, hours) in enumerate(sorted(outlook.windows["scraping in the cold"].items())):
        fit = {
            h
            for h in range(24)
            if any(one.start.hour <= h < (one.end.hour or 24) + one.end.minute // 59 for one in hours)
        }
        assert set(np.flatnonzero(found.reasons["scraping in the cold"][n] == Reason.FIT).tolist()) == fit
    assert 0 < (found.reasons["scraping in the cold"] == Reason.FIT).sum() < 96
