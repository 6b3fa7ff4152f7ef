"""Several weather files as one."""

from datetime import UTC, date, datetime

import numpy as np
import pytest

from offseason.weather.join import joined
from offseason.weather.read import read_weather_file
from offseason.weather.records import Daily, WeatherFileError
from tests.weather.files import DAYS, hours, written


def days(tmp_path, *rows):
    return read_weather_file(written(tmp_path, DAYS, *rows)).record


def test_one_record_is_itself(tmp_path):
    record = days(tmp_path, "2026-10-05,3,12")
    assert joined([record]) == (record, ())


def test_two_years_are_one_record_with_what_lies_between_unknown(tmp_path):
    early, late = days(tmp_path, "2020-10-05,3,12"), days(tmp_path, "2020-10-08,4,13", "2020-10-09,5,14")
    for order in ([early, late], [late, early]):
        record, said = joined(order)
        assert isinstance(record, Daily)
        assert (record.first, record.last) == (date(2020, 10, 5), date(2020, 10, 9))
        np.testing.assert_array_equal(record.lowest_celsius, [3, np.nan, np.nan, 4, 5])
        np.testing.assert_array_equal(record.highest_celsius, [12, np.nan, np.nan, 13, 14])
        assert said == ()


def test_where_two_overlap_the_first_named_stands_and_it_is_said(tmp_path):
    first = hours(tmp_path, "2026-10-05 09:00,1", "2026-10-05 11:00,3").record
    second = hours(tmp_path, "2026-10-05 09:00,7", "2026-10-05 10:00,8", "2026-10-05 12:00,9").record
    record, said = joined([first, second])
    assert record.first == datetime(2026, 10, 5, 9, tzinfo=UTC)
    assert record.celsius.tolist() == [1, 8, 3, 9]
    assert said == ("1 hour stood in more than one weather file; the file named first was taken",)
    assert joined([second, first])[0].celsius.tolist() == [7, 8, 3, 9]


def test_an_hour_is_taken_whole_from_one_file(tmp_path):
    header = "time [UTC],temperature [°C],rain [mm]"
    first = hours(tmp_path, "2026-10-05 09:00,1,", header=header).record
    second = hours(tmp_path, "2026-10-05 09:00,7,0", header=header).record
    assert np.isnan(joined([first, second])[0].rain_mm).all()


def test_what_was_joined_is_left_as_it_was(tmp_path):
    first, second = days(tmp_path, "2026-10-05,3,12"), days(tmp_path, "2026-10-06,4,13")
    joined([first, second])
    assert (len(first), first.lowest_celsius.tolist()) == (1, [3])


def test_hours_and_days_cannot_be_joined(tmp_path):
    with pytest.raises(WeatherFileError, match="name files of one kind"):
        joined([days(tmp_path, "2026-10-05,3,12"), hours(tmp_path, "2026-10-05 09:00,1").record])


def test_files_centuries_apart_cannot_be_joined(tmp_path):
    with pytest.raises(WeatherFileError, match="more than 200 years apart"):
        joined([days(tmp_path, "1812-10-05,3,12"), days(tmp_path, "2026-10-05,3,12")])


def test_nothing_cannot_be_joined():
    with pytest.raises(ValueError, match="no records to join"):
        joined([])
