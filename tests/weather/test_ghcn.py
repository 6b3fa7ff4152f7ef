"""Raw GHCN-Daily: tenths, flags, several stations; against the same days in whole units."""

from datetime import date

import numpy as np
import pytest

from offseason.weather.read import read_weather_file
from offseason.weather.records import Daily
from tests.weather.files import notes, refusal, written
from tests.weather.shipped import seattle_file

SEATTLE = "USW00024233"
NAMES = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME"


def line(day, element, value, flags="", station=SEATTLE):
    """One raw line; ``flags``: measurement and quality flag, as in 'T' or ' G'."""
    measured, quality = flags.ljust(2)
    return f"{station},{day},{element},{value},{measured.strip()},{quality.strip()},W,2400"


def days(count, lowest=50, highest=128):
    return [
        line(f"201201{day:02}", element, value)
        for day in range(1, count + 1)
        for element, value in (("TMAX", highest), ("TMIN", lowest), ("PRCP", 0), ("AWND", 47))
    ]


# Published: readme of GHCN-Daily. The values are those of Seattle-Tacoma on 2012-01-01 in the raw yearly file.
def test_a_raw_day_is_read_in_whole_units(tmp_path):
    raw = line("20120101", "TMAX", 128), line("20120101", "TMIN", 50), line("20120101", "PRCP", 0)
    record = read_weather_file(written(tmp_path, *raw, line("20120101", "AWND", 47))).record
    assert isinstance(record, Daily)
    assert record.first == date(2012, 1, 1)
    told = record.lowest_celsius, record.highest_celsius, record.rain_mm, record.wind_m_s
    assert [column.tolist() for column in told] == [[5.0], [12.8], [0.0], [4.7]]
    assert np.isnan(record.humidity_percent).all()


# vega-datasets 0.9.0 (MIT) has the same station's days in whole units: all 1,461 must come out alike.
def test_four_years_of_raw_rows_equal_the_same_days_in_whole_units(tmp_path):
    path = seattle_file(tmp_path)
    whole = read_weather_file(path).record
    raw = [NAMES]
    for row in path.read_text(encoding="utf-8").splitlines()[1:]:
        day, *values = row.split(",")
        for element, value in zip(("TMIN", "TMAX", "PRCP", "AWND"), values, strict=True):
            raw.append(line(day.replace("-", ""), element, round(float(value) * 10)))
    reading = read_weather_file(written(tmp_path, *raw, name="raw.csv"))
    assert reading.rows == 4 * 1461
    assert (reading.record.first, len(reading.record)) == (whole.first, len(whole)) == (date(2012, 1, 1), 1461)
    for name in ("lowest_celsius", "highest_celsius", "rain_mm", "wind_m_s"):
        np.testing.assert_array_equal(getattr(reading.record, name), getattr(whole, name))


@pytest.mark.parametrize("names", [[], [NAMES], ['"ID","DATE","ELEMENT","DATA_VALUE"']])
def test_raw_files_are_known_with_and_without_a_line_of_names(tmp_path, names):
    assert len(read_weather_file(written(tmp_path, *names, *days(3))).record) == 3


def test_lines_may_end_after_the_value_and_come_in_any_order(tmp_path):
    raw = [",".join(row.split(",")[:4]) for row in days(5)]
    record = read_weather_file(written(tmp_path, *reversed(raw))).record
    assert record.highest_celsius.tolist() == [12.8] * 5


def test_humidity_is_read_in_whole_per_cent_and_other_elements_are_not_read(tmp_path):
    raw = [*days(1), line("20120101", "RHAV", 81), line("20120101", "SNWD", 30), line("20120101", "TAVG", 77)]
    assert read_weather_file(written(tmp_path, *raw)).record.humidity_percent.tolist() == [81]


def test_missing_and_doubtful_values_are_unknown_and_the_doubtful_are_told(tmp_path):
    raw = days(30)
    raw[1] = line("20120101", "TMIN", -9999)
    raw[8] = line("20120103", "TMAX", 250, " G")
    raw[12] = line("20120104", "TMAX", 999, " G")
    reading = read_weather_file(written(tmp_path, *raw))
    assert np.flatnonzero(np.isnan(reading.record.lowest_celsius)).tolist() == [0]
    assert np.flatnonzero(np.isnan(reading.record.highest_celsius)).tolist() == [2, 3]
    said = notes(reading)
    assert "row 9: doubtful after quality control (flag G); taken as unknown; the same in row 13" in said
    assert "lowest in 1 row" in said
    assert "highest in 2 rows" in said


def test_a_trace_of_rain_is_not_dry_and_rain_presumed_to_be_none_is_unknown(tmp_path):
    raw = days(3)
    raw[2] = line("20120101", "PRCP", 0, "T")
    raw[6] = line("20120102", "PRCP", 0, "P")
    reading = read_weather_file(written(tmp_path, *raw))
    assert reading.record.rain_mm[[0, 2]] == pytest.approx([0.05, 0])
    assert np.isnan(reading.record.rain_mm[1])
    assert "row 7: rain was not measured but presumed to be none (flag P); taken as unknown" in notes(reading)


def test_of_several_stations_one_must_be_named(tmp_path):
    other = [row.replace(SEATTLE, "XXW00000001").replace("128", "200") for row in days(2)]
    path = written(tmp_path, *days(2), *other)
    text = refusal(path)
    assert f"there are several stations here: {SEATTLE} and XXW00000001; " in text
    assert f"say which with --station, as in --station {SEATTLE}, or keep the lines of one" in text
    assert read_weather_file(path, station="XXW00000001").record.highest_celsius.tolist() == [20, 20]
    assert f"did you mean '{SEATTLE}'?" in refusal(path, station="USW00024234")


def test_a_day_with_nothing_is_a_gap_and_a_value_told_twice_stands_as_first_told(tmp_path):
    raw = [*days(10)[:8], *days(10)[12:], line("20120101", "TMAX", 300)]
    reading = read_weather_file(written(tmp_path, *raw))
    assert len(reading.record) == 10
    assert np.flatnonzero(np.isnan(reading.record.highest_celsius)).tolist() == [2]
    assert reading.record.highest_celsius[0] == 12.8
    said = notes(reading)
    assert "1 day of 10 missing, at most 1 together (from 2012-01-03)" in said
    assert "row 37: this value of that day was there before; the first stands" in said


def test_raw_lines_that_are_no_raw_lines_are_refused(tmp_path):
    whole = [row.replace(",128,", ",12.8,").replace(",50,", ",5.0,") for row in days(5)]
    text = refusal(written(tmp_path, *whole))
    assert "TMAX is not a whole number, as raw values in tenths are" in text
    assert "Raw, 128 is 12.8 °C: take the file as it is published, or write the days in the plain layout" in text
    assert "this is not a day" in refusal(written(tmp_path, *(row.replace("201201", "201213") for row in days(5))))
    assert "not the eight fields" in refusal(written(tmp_path, *days(1), *["cut off"] * 5))
    assert "has no TMIN that can be used" in refusal(written(tmp_path, *(row for row in days(5) if "TMIN" not in row)))
    assert "has no TMAX and TMIN" in refusal(written(tmp_path, line("20120101", "PRCP", 0)))
    assert "the unit is not tenths °C" in refusal(written(tmp_path, *days(5, lowest=5000, highest=6800)))


def test_a_torn_line_among_many_is_set_aside(tmp_path):
    raw = days(20)
    raw[3] = f"{SEATTLE},2012"
    assert "row 4: not the eight fields of raw GHCN-Daily; the line is set aside" in notes(
        read_weather_file(written(tmp_path, *raw))
    )


@pytest.mark.parametrize("names", ["STATION,DATE,TMAX,TMIN,PRCP", '"STATION","DATE","TMAX","TMIN","PRCP"'])
def test_a_wide_table_is_told_to_come_one_value_a_line_or_with_its_units(tmp_path, names):
    text = refusal(written(tmp_path, names, f"{SEATTLE},2012-01-01,128,50,0"))
    assert "TMAX, TMIN and PRCP as columns: this is a wide table, and does not say its units" in text
    assert "one value a line, as in XXW00000001,20120101,TMAX,128,,,W," in text
    assert "as in day,lowest [°C],highest [°C],rain [mm]" in text
