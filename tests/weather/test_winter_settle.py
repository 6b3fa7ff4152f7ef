from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from offseason.plan.audit.calendar import calendar_of
from offseason.plan.audit.clock import Clock
from offseason.scenario.model import Moths
from offseason.scenario.words import Days, parse_hours_list
from offseason.weather.records import WeatherFileError
from offseason.weather.winter import records_of, settle, settled
from offseason.workload.sessions import sessions_of
from tests.weather.made_up import days, swing, winter
from tests.weather.shipped import seattle_file

YARD = """
season: {from: 2026-10-05, until: 2027-04-09, timezone: CET}
crew: {Ines: {works: {every day: 09:00-16:00}}}
tasks: {coat: {minutes_each: 5, weather: mild}, air: {minutes_each: 5, weather: calm}}
gear: {combs: {piece: medium comb, count: 10, comb: dry, steps: [coat, air]}}
weather:
  forecast: forecast.csv
  history: [2023.csv, 2024.csv, 2025.csv]
  needs: {mild: {at_least_celsius: 10}}
  windows:
    mild: {2026-10-08: 10:00-11:00, 2026-10-20..2026-10-22: none, 2026-10-21: 09:00-10:00}
    calm: {2026-11-01..2026-11-30: 12:00-14:00}
"""
WHOLE_DAY = parse_hours_list("00:00-23:59")


def by_day(path, first, last, mean):
    rows = [f"{day},{mean(day) - 4:.1f},{mean(day) + 4:.1f},0,2" for day in days(first, last)]
    path.write_text("\n".join(["day,lowest [°C],highest [°C],rain [mm],wind [m/s]", *rows, ""]), encoding="utf-8")


def by_hour(path, first, hours, celsius):
    moments = [first + timedelta(hours=n) for n in range(hours)]
    rows = [f"{moment:%Y-%m-%d %H:%M},{celsius(moment)},60,0,2" for moment in moments]
    header = "time [UTC],temperature [°C],humidity [%],rain [mm],wind [m/s]"
    path.write_text("\n".join([header, *rows, ""]), encoding="utf-8")


@pytest.fixture
def folder(tmp_path):
    for year in (2023, 2024, 2025):
        by_day(tmp_path / f"{year}.csv", date(year, 6, 1), date(year + 1, 5, 31), lambda day: swing(day, mean=17))
    by_hour(tmp_path / "forecast.csv", datetime.fromisoformat("2026-10-04T22:00"), 24 * 5, lambda _: 20.0)
    return tmp_path


def test_without_weather_files_the_scenario_stays_as_it_is(tmp_path):
    scenario = winter(
        YARD.replace("  forecast: forecast.csv\n", "").replace("  history: [2023.csv, 2024.csv, 2025.csv]\n", "")
    )
    assert settle(scenario, tmp_path) == (scenario, None)


def test_every_day_of_the_season_gets_its_hours_and_those_by_hand_win_on_the_days_they_name(folder):
    scenario, outlook = settle(winter(YARD), folder)
    mild = scenario.weather.windows["mild"]
    every = days(date(2026, 10, 5), date(2027, 4, 9))
    assert set(mild) == {Days(day, day) for day in every}
    by_hand = {8: "10:00-11:00", 20: "none", 21: "09:00-10:00", 22: "none"}
    for day in every:
        hand = by_hand.get(day.day) if (day.year, day.month) == (2026, 10) else None
        expected = parse_hours_list(hand) if hand else outlook.windows["mild"][day]
        assert mild[Days(day, day)] == expected
    assert mild[Days(date(2026, 10, 5), date(2026, 10, 5))] == WHOLE_DAY
    assert outlook.windows["mild"][date(2026, 10, 8)] == WHOLE_DAY


def test_weather_that_no_record_tells_of_keeps_its_hours_by_hand(folder):
    scenario, outlook = settle(winter(YARD), folder)
    assert scenario.weather.windows["calm"] == winter(YARD).weather.windows["calm"]
    assert "calm" not in outlook.windows
    assert list(scenario.weather.windows) == ["mild", "calm"]


def test_sessions_and_audit_read_the_hours_that_were_filled_in(folder):
    scenario, _ = settle(winter(YARD), folder)
    fit = {day for day, hours in scenario.weather.windows["mild"].items() if hours}
    assert 10 < len(fit) < 187
    sessions = sessions_of(scenario)
    assert {Days(s.day, s.day) for s in sessions if "mild" in s.fit} == fit
    calendar = calendar_of(scenario, Clock(scenario.season.from_, ZoneInfo(scenario.season.timezone)))
    for day in days(date(2026, 10, 5), date(2027, 4, 9)):
        assert bool(calendar.fit("mild", day)) == (Days(day, day) in fit)


def test_moths_are_filled_in_only_where_the_keeper_left_them_out(folder):
    scenario, outlook = settle(winter(YARD), folder)
    assert scenario.moths == outlook.moths
    assert outlook.moths.season_starts.year == 2027
    given = winter(YARD.replace("tasks:", "moths: {season_starts: 2027-05-01}\ntasks:"))
    assert settle(given, folder)[0].moths == Moths(season_starts=date(2027, 5, 1))
    assert settled(given, outlook).moths == Moths(season_starts=date(2027, 5, 1))


def test_what_it_is_all_from_is_said_with_the_names_of_the_files(folder):
    _, outlook = settle(winter(YARD), folder)
    assert outlook.said[0].startswith("Weather of 5–9 Oct 2026 is from forecast.csv")
    assert "winters in 2023.csv, 2024.csv and 2025.csv for mild:" in outlook.said[1]
    assert len(outlook.said) == 3


def test_hours_of_the_forecast_are_shown_by_the_clock_of_the_yard(folder):
    by_hour(
        folder / "forecast.csv",
        datetime.fromisoformat("2026-10-24T22:00"),
        48,
        lambda m: 20.0 if 8 <= m.hour < 12 else 2,
    )
    _, outlook = settle(winter(YARD), folder)
    # CET: two hours ahead of UTC on 24 Oct 2026; on 25 Oct the clock goes back, and it is one
    assert outlook.windows["mild"][date(2026, 10, 25)] == parse_hours_list("09:00-13:00")
    by_hour(
        folder / "forecast.csv",
        datetime.fromisoformat("2026-10-23T22:00"),
        24,
        lambda m: 20.0 if 8 <= m.hour < 12 else 2,
    )
    _, outlook = settle(winter(YARD), folder)
    assert outlook.windows["mild"][date(2026, 10, 24)] == parse_hours_list("10:00-14:00")


def test_a_file_that_is_not_there_is_named_with_what_to_do(folder):
    (folder / "2024.csv").unlink()
    with pytest.raises(WeatherFileError, match=r"^2024\.csv: this file is not there; .* history:"):
        settle(winter(YARD), folder)
    (folder / "forecast.csv").unlink()
    with pytest.raises(WeatherFileError, match=r"^forecast\.csv: this file is not there; .* forecast:"):
        settle(winter(YARD), folder)


def test_what_was_noticed_in_the_files_is_handed_on_with_file_and_row(folder):
    text = (folder / "2023.csv").read_text(encoding="utf-8").splitlines()
    day = text[40].split(",")[0]
    text[40] = f"{day},5.0,90.0,0,2"
    (folder / "2023.csv").write_text("\n".join(text), encoding="utf-8")
    _, _, notes = records_of(winter(YARD), folder)
    assert any(note.startswith("2023.csv, row 41: ") for note in notes)
    assert settle(winter(YARD), folder)[1].notes == notes


def yard_with(history):
    return winter(YARD.replace("[2023.csv, 2024.csv, 2025.csv]", history))


def test_a_folder_among_the_past_winters_is_told_by_the_name_it_was_given(folder):
    (folder / "old").mkdir()
    for name in (".", "old"):
        with pytest.raises(WeatherFileError) as refused:
            settle(yard_with(name), folder)
        assert str(refused.value) == f"{name}: this is a folder; name the weather files in it under weather: history:"


def test_past_winters_by_the_hour_and_by_the_day_are_named(folder):
    by_hour(folder / "hours.csv", datetime.fromisoformat("2022-10-04T22:00"), 24, lambda _: 20.0)
    with pytest.raises(WeatherFileError) as refused:
        settle(yard_with("[2023.csv, hours.csv, 2024.csv]"), folder)
    told = "hours.csv is by the hour, but 2023.csv and 2024.csv are by the day"
    assert str(refused.value) == f"{told}; name files of one kind under weather: history:"


@pytest.mark.parametrize("again", ["2023.csv", "./2023.csv"])
def test_a_past_winter_named_twice_is_told(folder, again):
    with pytest.raises(WeatherFileError) as refused:
        settle(yard_with(f"[2023.csv, {again}]"), folder)
    assert str(refused.value) == f"{again}: this file is named twice under weather: history:; name it once"


def test_of_two_stations_in_one_file_a_scenario_needs_the_lines_of_one(folder):
    lines = [f"XXW0000000{n},20231001,{what},90,,,W," for n in (1, 2) for what in ("TMAX", "TMIN")]
    (folder / "raw.csv").write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(WeatherFileError) as refused:
        settle(yard_with("raw.csv"), folder)
    assert str(refused.value) == (
        "raw.csv: there are several stations here: XXW00000001 and XXW00000002; keep the lines of one in a file of "
        "its own, and name that under weather: history:"
    )


def apart(folder):
    _, _, notes = records_of(winter(YARD), folder)
    return [note for note in notes if "another unit" in note]


def test_a_forecast_in_whole_fahrenheit_beside_a_history_in_celsius_is_noticed(folder):
    winters = "2023.csv, 2024.csv and 2025.csv have"
    for year in (2023, 2024, 2025):
        by_day(folder / f"{year}.csv", date(year, 6, 1), date(year + 1, 5, 31), swing)
    usual = sum(swing(date(2024, 12, day)) for day in range(1, 22)) / 21
    by_day(folder / "forecast.csv", date(2026, 12, 1), date(2026, 12, 21), lambda day: 37 + day.day % 9)
    told = f"forecast.csv: 41 °C on average, while on the same days of the year {winters} {usual:.0f} °C"
    assert apart(folder) == [f"{told}; one of the two may be in another unit than it says"]
    by_hour(folder / "forecast.csv", datetime.fromisoformat("2026-12-01T00:00"), 24 * 21, lambda m: 36 + m.hour % 10)
    assert len(apart(folder)) == 1


def test_an_unusual_week_is_no_reason_to_doubt_a_unit_and_neither_are_four_days_of_another_age(folder):
    first = date(2026, 12, 1)
    by_day(folder / "forecast.csv", first, date(2026, 12, 7), lambda day: swing(day, mean=17) + 14.5)
    assert apart(folder) == []
    by_day(folder / "forecast.csv", first, date(2026, 12, 7), lambda day: swing(day, mean=17) + 15.5)
    assert len(apart(folder)) == 1
    by_day(folder / "forecast.csv", first, date(2026, 12, 4), lambda day: swing(day, mean=17) + 15.5)
    assert apart(folder) == []


def test_files_that_overlap_are_joined_and_it_is_handed_on(folder):
    by_day(folder / "2024.csv", date(2024, 5, 1), date(2025, 5, 31), swing)
    _, _, notes = records_of(winter(YARD), folder)
    assert any("more than one" in note for note in notes)


def test_by_the_records_of_seattle_a_yard_there_paints_in_its_poorest_winter(tmp_path):
    seattle_file(tmp_path)
    text = YARD.replace("2026-10-05, until: 2027-04-09, timezone: CET", "2026-10-05, until: 2027-04-09")
    text = text.replace("  forecast: forecast.csv\n", "").replace("[2023.csv, 2024.csv, 2025.csv]", "seattle.csv")
    text = text[: text.index("  windows:")].replace("mild: {at_least_celsius: 10}", "mild: {like: painting with oil}")
    scenario, outlook = settle(winter(text), tmp_path)
    assert outlook.said[0].startswith("Each day is as in the winter of 201")
    assert "the poorest of the 3 winters in seattle.csv for mild" in outlook.said[0]
    said = "Winters left out: 2011/12 (88 of its 187 days are missing) and 2015/16 (99 of its 187 days are missing)."
    assert said in outlook.said
    assert any(scenario.weather.windows["mild"].values())
