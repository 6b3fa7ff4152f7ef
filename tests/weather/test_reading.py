"""The plain layout: what a keeper may write, what is refused, and with which sentence."""

import math
import os
import re
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from offseason.weather.read import read_weather_file
from offseason.weather.records import Daily, Hourly, WeatherFileError
from offseason.weather.units import UNITS
from tests.weather.files import DAYS, HOURS, hours, notes, refusal, written

ALL_HOURLY = (
    "time [UTC],temperature [°C],humidity [%],dew point [°C],rain [mm],wind [m/s],wood moisture [%]\n"
    "2026-10-05 09:00,12.5,80,9.1,0.2,3.4,17\n"
    "2026-10-05 10:00,13.5,75,9.2,0,4,16.5"
)


def test_every_column_of_an_hourly_file_is_read(tmp_path):
    reading = read_weather_file(written(tmp_path, ALL_HOURLY))
    record = reading.record
    assert isinstance(record, Hourly)
    assert reading.rows == 2
    assert record.first == datetime(2026, 10, 5, 9, tzinfo=UTC)
    assert record.celsius.tolist() == [12.5, 13.5]
    assert record.humidity_percent.tolist() == [80, 75]
    assert record.dew_point_celsius.tolist() == [9.1, 9.2]
    assert record.rain_mm.tolist() == [0.2, 0]
    assert record.wind_m_s.tolist() == [3.4, 4]
    assert record.wood_moisture_percent.tolist() == [17, 16.5]
    assert notes(reading) == "2 hours, from 2026-10-05 09:00 UTC to 2026-10-05 10:00 UTC"


def test_every_column_of_a_daily_file_is_read(tmp_path):
    lines = "day,lowest [°C],highest [°C],humidity [%],rain [mm],wind [m/s]", "2026-10-05,3.5,12,80,0.2,3"
    record = read_weather_file(written(tmp_path, *lines)).record
    assert isinstance(record, Daily)
    assert record.first == record.last == date(2026, 10, 5)
    told = record.lowest_celsius, record.highest_celsius, record.humidity_percent, record.rain_mm, record.wind_m_s
    assert [column.tolist() for column in told] == [[3.5], [12], [80], [0.2], [3]]


def test_a_column_left_out_is_unknown_and_never_dry_or_calm(tmp_path):
    record = hours(tmp_path, "2026-10-05 09:00,12.5").record
    for unknown in (
        record.humidity_percent, record.dew_point_celsius, record.rain_mm, record.wind_m_s, record.wood_moisture_percent
    ):  # fmt: skip
        assert np.isnan(unknown).all()


@pytest.mark.parametrize("missing", ["", " ", "NA", "nan", "-", "-9999", "-9999.0", "n/a", "null"])
def test_marks_for_a_missing_value_make_it_unknown(tmp_path, missing):
    header = "time [UTC],temperature [°C],rain [mm]"
    reading = hours(tmp_path, f"2026-10-05 09:00,12,{missing}", "2026-10-05 10:00,12,0.4", header=header)
    assert math.isnan(reading.record.rain_mm[0])
    assert reading.record.rain_mm[1] == 0.4
    assert "row 2: unknown: rain in 1 row" in notes(reading)


def test_a_trace_of_rain_is_not_dry(tmp_path):
    record = hours(tmp_path, "2026-10-05 09:00,12,T", header="time [UTC],temperature [°C],rain [in]").record
    assert record.rain_mm == pytest.approx([0.05])


@pytest.mark.parametrize(
    "time",
    [
        "2026-10-05 09:00", "2026-10-05T09:00", "2026-10-05 09:00:00", "2026-10-05T09:00Z", "2026-10-05T10:00+01:00",
        "2026-10-05 04:00-05:00", "2026/10/05 09:00", "2026-10-05 9:00", " 2026-10-05 09:00 ",
        "2026-10-05T09:00:00.000Z", "2026-10-05 10:00 +01:00", "2026-10-05 09:51",
    ],
)  # fmt: skip
def test_times_may_be_written_in_many_ways_and_an_offset_in_the_row_wins(tmp_path, time):
    assert hours(tmp_path, f"{time},12").record.first == datetime(2026, 10, 5, 9, tzinfo=UTC)


def test_midnight_may_be_written_as_24_hours(tmp_path):
    assert hours(tmp_path, "2026-12-31 24:00,12").record.first == datetime(2027, 1, 1, tzinfo=UTC)


@pytest.mark.parametrize("day", ["2026-10-05", "2026/10/05", "20261005", "2026-10-05 00:00", "2026-10-5"])
def test_days_may_be_written_in_many_ways(tmp_path, day):
    assert read_weather_file(written(tmp_path, DAYS, f"{day},3,12")).record.first == date(2026, 10, 5)


@pytest.mark.parametrize(("separator", "comma"), [(";", ","), (";", "."), ("\t", ","), ("\t", "."), (",", ".")])
def test_the_separator_is_found_and_decimal_commas_are_read(tmp_path, separator, comma):
    lines = separator.join(HOURS.split(",")), separator.join(["2026-10-05 09:00", f"12{comma}5"])
    assert read_weather_file(written(tmp_path, *lines)).record.celsius.tolist() == [12.5]


def test_decimal_commas_between_commas_are_told_with_the_way_out(tmp_path):
    rows = [f"2026-10-05 {hour:02}:00,{hour},5" for hour in range(9, 20)]
    text = refusal(written(tmp_path, HOURS, *rows))
    assert text.startswith("shed.csv, row 2: more fields than the 2 column names, in 11 of 11 rows")
    assert "decimal commas" in text
    assert "semicolons" in text


def test_a_decimal_comma_in_quotes_is_read(tmp_path):
    assert hours(tmp_path, '2026-10-05 09:00,"12,5"', '"2026-10-05 10:00","13"').record.celsius.tolist() == [12.5, 13]


def test_rows_in_quotes_keep_their_place_among_others(tmp_path):
    reading = hours(
        tmp_path, "2026-10-05 09:00,1", '"2026-10-05 10:00",2', "2026-10-05 11:00,3", '"2026-10-05 12:00",x'
    )
    assert reading.record.celsius[:3].tolist() == [1, 2, 3]
    assert "row 5: 'temperature' is 'x', not a number; taken as unknown" in notes(reading)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_the_degree_sign_is_understood_however_the_file_was_saved(tmp_path, encoding):
    path = written(tmp_path, HOURS.replace("°C", "°F"), "2026-10-05 09:00,50", encoding=encoding)
    assert read_weather_file(path).record.celsius == pytest.approx([10])


def test_ends_of_lines_and_empty_lines_do_not_matter(tmp_path):
    path = tmp_path / "shed.csv"
    path.write_bytes(b"\r\n" + HOURS.encode() + b"\r\n2026-10-05 09:00,12\r\n\r\n2026-10-05 10:00,13\r\n,\r\n\r\n")
    reading = read_weather_file(path)
    assert reading.rows == 2
    assert reading.record.celsius.tolist() == [12, 13]


def test_columns_that_are_not_used_are_named(tmp_path):
    header = "time [UTC],temperature [°C],pressure [hPa],wind gust [m/s],soil temperature [°C],"
    reading = hours(tmp_path, "2026-10-05 09:00,12,1013,80,9,", header=header)
    assert "row 1: not used: 'pressure', 'wind gust', 'soil temperature'" in notes(reading)
    assert np.isnan(reading.record.wind_m_s).all()


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("time [UTC],temperature", "row 1: the column 'temperature' does not say its unit"),
        ("time [UTC],temperature", "write 'temperature' and [°C], [°F], [K] or [tenths °C]"),
        ("time [UTC],temperature [°C],rain", "write 'rain' and [mm], [in] or [tenths mm]"),
        ("time [UTC],temperature [°C],wind [m/z]", "'m/z' is not a unit of 'wind'; did you mean 'm/s'?"),
        ("time [UTC],temperature [parsec]", "units of this column: °C, °F, K, tenths °C"),
        ("time [UTC],temprature [°C]", "the column 'temprature' is not known; did you mean 'temperature'?"),
        ("time,temperature [°C]", "the column 'time' does not say by which clock; write time [UTC], time [local]"),
        ("time [Middle/Nowhere],temperature [°C]", "'Middle/Nowhere' is not a time zone known here"),
        ("time [+25:00],temperature [°C]", "'+25:00' is not a clock"),
        ("time [UTC],rain [mm]", "there is no column temperature [°C]"),
        ("day,rain [mm]", "there is no column lowest [°C] and highest [°C]"),
        ("day [UTC],lowest [°C],highest [°C]", "write day alone"),
        ("when,temperature [°C]", "no column says when"),
        ("timme [UTC],temperature [°C]", "did you mean 'time' by 'timme'?"),
        ("time [UTC],day,temperature [°C]", "there is a column 'time' and a column 'day'"),
        ("time [UTC],temperature [°C],temperature [°F]", "two columns are called 'temperature'"),
        ("time [UTC] temperature [°C]", "the columns are not set apart"),
        ("2026-10-05 09:00,12", "the file begins with data; put a line of column names first"),
        (";;", "the columns have no names"),
        ("time [UTC],temperature °C", "in brackets; write temperature [°C] for 'temperature °C'"),
        ("time UTC,temp_x,temperature_F", "write time [UTC] for 'time UTC' and temperature [°F] for 'temperature_F'"),
        ("date,lowest °C,highest °C,wind speed km/h", "lowest [°C] for 'lowest °C', highest [°C] for 'highest °C' and"),
        ("time [UTC],temperature in °C", "write temperature [°C] for 'temperature in °C'"),
        ("time [UTC],temperature tenths °C", "write temperature [tenths °C] for 'temperature tenths °C'"),
    ],
)  # fmt: skip
def test_a_header_that_cannot_be_used_is_refused_with_what_to_write(tmp_path, header, said):
    text = refusal(written(tmp_path, header, "2026-10-05 09:00,12"))
    assert text.startswith("shed.csv, row 1: ")
    assert said in text


@pytest.mark.parametrize("word", ["rain", "Rainfall", "precip", "precipitation"])
def test_rain_may_be_called_by_other_names(tmp_path, word):
    header = f"time [UTC],temperature [°C],{word} [mm]"
    assert hours(tmp_path, "2026-10-05 09:00,12,0.4", header=header).record.rain_mm.tolist() == [0.4]


@pytest.mark.parametrize(
    ("above", "said"),
    [
        (["Weather at Quillet Yard"], "row 1: the column names stand in row 2; delete row 1, above them,"),
        (
            ["Quillet Yard, 120 m", "", "# made at noon"],
            "row 1: the column names stand in row 4; delete the lines above them, rows 1 to 3,",
        ),
        (["", "Quillet Yard", ""], "row 2: the column names stand in row 4; delete the lines above them, rows 2 to 3,"),
    ],
)
def test_lines_above_the_column_names_are_to_be_deleted(tmp_path, above, said):
    assert said in refusal(written(tmp_path, *above, HOURS, "2026-10-05 09:00,12"))
    read_weather_file(written(tmp_path, HOURS, "2026-10-05 09:00,12"))


def test_lines_above_names_that_are_not_known_are_to_be_deleted_too(tmp_path):
    text = refusal(written(tmp_path, "Quillet Yard", "when,warmth", "2026-10-05 09:00,12"))
    assert "row 1: this is no line of column names; delete the lines above the names" in text


def test_what_is_said_of_rows_is_said_in_their_order(tmp_path):
    rows = [f"2026-10-{day:02} {hour:02}:00,12,0" for day in range(1, 9) for hour in range(24)]
    rows[40], rows[30], rows[20], rows[10] = "gone", "2026-10-02 06:00,400,0", "2026-10-01 20:00,12,x", rows[9]
    told = hours(tmp_path, *rows, header="time [UTC],temperature [°C],rain [mm]").notes
    order = [note.row or 0 for note in told]
    assert order == sorted(order)
    assert {0, 12, 22, 32, 42} <= set(order)


def test_a_folder_named_by_a_dot_is_told_by_it():
    with pytest.raises(WeatherFileError, match=r"^\.: this is a folder; name the weather file itself$"):
        read_weather_file(Path())


def test_a_few_rows_that_cannot_be_read_are_set_aside_with_their_row(tmp_path):
    rows = [f"2026-10-{day:02} {hour:02}:00,12" for day in range(1, 9) for hour in range(24)]
    rows[10], rows[20], rows[30] = "05.10.2026 09:00,12", "2026-10-01 20:00", "2026-10-02 06:00,mild"
    reading = hours(tmp_path, *rows)
    assert reading.rows == len(rows)
    said = notes(reading)
    assert "row 12: '05.10.2026 09:00' is not a time such as 2026-10-05 09:00; the row is set aside" in said
    assert "row 22: fewer fields than column names; the row is set aside" in said
    assert "row 32: 'temperature' is 'mild', not a number; taken as unknown" in said
    assert np.flatnonzero(np.isnan(reading.record.celsius)).tolist() == [10, 20, 30]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            "05.10.2026 {:02}:00,12",
            "row 2: '05.10.2026 00:00' is not a time; so in 20 rows of 20. Write year-month-day",
        ),
        ("2026-10-05,{}", "is not a time"),
        ("0026-10-05 {:02}:00,12", "is not a time"),
        ("2026-13-05 {:02}:00,12", "is not a time"),
        ("2026-10-05 {:02}:60,12", "is not a time"),
        ("2026-10-05 {:02}:00,mild", "row 2: 'temperature' is 'mild', which is not a number; so in 20 rows of 20"),
        ("2026-10-05 {:02}:00,inf", "which is not a number"),
        ("2026-10-05 {:02}:00", "fewer fields than the 2 column names"),
    ],
)
def test_many_rows_that_cannot_be_read_are_a_mistake_about_the_file(tmp_path, row, said):
    assert said in refusal(written(tmp_path, HOURS, *(row.format(hour) for hour in range(20))))


def test_too_many_fields_between_semicolons_are_told(tmp_path):
    rows = [f"2026-10-05 {hour:02}:00;12;4;" for hour in range(20)]
    text = refusal(written(tmp_path, "time [UTC];temperature [°C]", *rows))
    assert "more fields than the 2 column names, in 20 of 20 rows; strike out what is too much" in text


def test_a_quotation_mark_that_is_never_closed_costs_its_row_only(tmp_path):
    rows = [f"2026-10-{day:02} {hour:02}:00,12" for day in range(1, 9) for hour in range(24)]
    rows[10] = '2026-10-01 10:00,"12'
    rows[20] = '2026-10-01 20:00,"' + "1" * 200_000
    reading = hours(tmp_path, *rows)
    assert np.flatnonzero(np.isnan(reading.record.celsius)).tolist() == [20]
    assert "row 22: fewer fields than column names; the row is set aside" in notes(reading)


def test_files_that_are_none_are_told_in_a_sentence(tmp_path):
    (tmp_path / "folder.csv").mkdir()
    os.mkfifo(tmp_path / "pipe.csv")
    for name, data, said in (
        ("empty.csv", b"", "the file is empty"),
        ("blank.csv", b"\n \r\n", "the file is empty"),
        ("header.csv", HOURS.encode() + b"\n", "there is no row of data below the column names"),
        ("nul.csv", HOURS.encode() + b"\n2026-10-05 09:00,\0 12\n", "this is not a text file"),
        ("packed.csv", b"\x1f\x8b\x08 whatever", "packed (gzip)"),
        ("book.csv", b"PK\x03\x04 whatever", "save it as CSV"),
        ("long.csv", b"x," * 50_000, "far too long for column names"),
        ("folder.csv", None, "this is a folder"),
        ("pipe.csv", None, "this is not a file"),
        ("nowhere.csv", None, "there is no file of this name"),
    ):
        if data is not None:
            (tmp_path / name).write_bytes(data)
        assert said in refusal(tmp_path / name)


def test_wide_letters_with_empty_ones_among_them_are_told_with_what_to_save(tmp_path):
    path = tmp_path / "wide.csv"
    path.write_bytes(f"{HOURS}\n2026-10-05 09:00,\0 12\n".encode("utf-16"))
    assert "its letters cannot be read; save the file as CSV in UTF-8 and try again" in refusal(path)


def test_a_file_larger_than_any_record_of_one_place_is_told(tmp_path, monkeypatch):
    path = written(tmp_path, HOURS, "2026-10-05 09:00,12")
    read_weather_file(path)
    monkeypatch.setattr("offseason.weather.lines.MAX_BYTES", 40)
    assert "MB; keep one place's rows only" in refusal(path)


def test_where_no_row_is_left_that_can_be_read_it_is_told(tmp_path):
    path = written(tmp_path, HOURS.replace("UTC", "local"), "2026-03-29 02:30,12")  # the hour left out in spring
    assert "there is no row of data that can be read" in refusal(path, timezone="CET")


def test_a_name_no_file_can_have_is_told_in_a_sentence(tmp_path):
    with pytest.raises(WeatherFileError, match="cannot be read"):
        read_weather_file(tmp_path / "a\0b.csv")


def test_a_year_that_is_wrong_by_centuries_is_refused_with_its_row(tmp_path):
    text = refusal(written(tmp_path, HOURS, "1826-10-05 09:00,12", "2026-10-05 10:00,12", "2126-10-05 11:00,12"))
    assert text.startswith("shed.csv, row 2: the records run from 1826-10-05 09:00 UTC to 2126-10-05 11:00 UTC (row 4)")


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=300))
def test_no_bytes_whatever_end_in_anything_but_a_sentence(tmp_path, data):
    path = tmp_path / "any.csv"
    path.write_bytes(data)
    with pytest.raises(WeatherFileError):
        read_weather_file(path)


@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(st.text(',;"\n\r\t [°C]0123456789-:.TZé\u2028\x85', max_size=40), max_size=12),
    st.sampled_from([HOURS, DAYS, HOURS.replace(",", ";"), "time [local],temperature [K],rain [in]", ""]),
)
def test_no_rows_whatever_end_in_anything_but_a_sentence(tmp_path, rows, header):
    path = written(tmp_path, header, *rows, name="any.csv")
    try:
        reading = read_weather_file(path, timezone="CET")
    except WeatherFileError as error:
        told = str(error).startswith("any.csv")
    else:
        told = len(reading.record) >= 1
    assert told


def test_the_examples_of_the_manual_are_read_without_a_complaint(tmp_path):
    manual = Path(__file__).parents[2].joinpath("docs", "weather-files.md").read_text(encoding="utf-8")
    examples = re.findall(r"```csv\n(.*?)```", manual, re.DOTALL)
    lengths = [len(read_weather_file(written(tmp_path, example.strip())).record) for example in examples]
    assert lengths == [3, 2, 1]
    for units in UNITS.values():
        assert all(f"`{unit.word}`" in manual for unit in units)
