"""Marks for a missing value in the files of other stations are no weather, and say nothing about a unit."""

import numpy as np
import pytest

from tests.weather.files import hours, notes, refusal, written

ALL = "time [UTC],temperature [°C],humidity [%],rain [mm],wind [km/h],wood moisture [%]"
NAMES = ["temperature", "humidity", "rain", "wind", "wood moisture"]


def rows(count=240, every=10, **marks):
    """Mild hours; in one of ``every`` each column named holds its mark."""
    for n in range(count):
        told = {"temperature": 8 + n % 7, "humidity": 70 + n % 20, "rain": 0, "wind": 5 + n % 9, "wood moisture": 17}
        if n % every == 3:
            told |= {name.replace("_", " "): mark for name, mark in marks.items()}
        yield ",".join([f"2026-10-{1 + n // 24:02} {n % 24:02}:00", *map(str, told.values())])


def columns(record):
    return dict(zip(NAMES, (record.celsius, record.humidity_percent, record.rain_mm, record.wind_m_s,
                            record.wood_moisture_percent), strict=True))  # fmt: skip


@pytest.mark.parametrize("mark", ["-99.9", "-99", "-999", "-999.9", "999", "999.9", "999.90", "9999", "99999", "-9999"])
@pytest.mark.parametrize("name", ["temperature", "humidity", "rain", "wind", "wood_moisture"])
def test_a_number_of_nines_that_no_place_has_is_unknown_and_said_so(tmp_path, name, mark):
    reading = hours(tmp_path, *rows(**{name: mark}), header=ALL)
    word = name.replace("_", " ")
    for other, column in columns(reading.record).items():
        unknown = np.flatnonzero(np.isnan(column)).tolist()
        assert unknown == (list(range(3, 240, 10)) if other == word else [])
    if mark != "-9999":
        said = f"row 5: {word} {float(mark):g} is taken as a mark for missing, not as a measurement: unknown in 24 rows"
        assert said in notes(reading)
    assert "unit" not in notes(reading)


def test_several_marks_in_one_file_are_each_told(tmp_path):
    told = [*rows(temperature="-99.9"), "2026-11-01 00:00,9999,70,0,5,17"]
    said = notes(hours(tmp_path, *told, header=ALL))
    assert "temperature -99.9 is taken as a mark for missing, not as a measurement: unknown in 24 rows" in said
    assert "row 242: temperature 9999 is taken as a mark for missing, not as a measurement: unknown in 1 row" in said


def test_a_station_without_a_sensor_has_marks_in_every_row(tmp_path):
    every = [line.replace(",17", ",999") for line in rows()]
    assert np.isnan(hours(tmp_path, *every, header=ALL).record.wood_moisture_percent).all()


def test_rain_and_wind_of_nines_again_and_again_are_marks_though_a_cloudburst_may_be_like_it(tmp_path):
    header = "day,lowest [°C],highest [°C],rain [mm],wind [m/s]"
    told = [
        f"2026-10-{day:02},5,12,{999.9 if day % 5 == 1 else 0},{99.9 if day % 5 == 2 else 3}" for day in range(1, 31)
    ]
    said = notes(hours(tmp_path, *told, header=header))
    assert "rain 999.9 is taken as a mark for missing, not as a measurement: unknown in 6 rows" in said
    assert "wind 99.9 is taken as a mark for missing, not as a measurement: unknown in 6 rows" in said


def test_what_can_be_measured_stays_though_it_is_written_in_nines(tmp_path):
    told = rows(temperature=9.9, humidity=99, rain=9.9, wind=9.99, wood_moisture=99)
    for column in columns(hours(tmp_path, *told, header=ALL).record).values():
        assert np.isfinite(column).all()


@pytest.mark.parametrize(("name", "mark"), [("temperature", -888), ("rain", -1), ("humidity", 500), ("wind", 32767)])
def test_any_other_number_no_place_has_again_and_again_looks_like_a_mark_and_no_unit_is_blamed(tmp_path, name, mark):
    text = refusal(written(tmp_path, ALL, *rows(**{name: mark})))
    assert f"{name} {mark}" in text
    assert f"{mark} again and again looks like a mark for missing; leave the field empty where nothing is known" in text
    assert "the unit is not" not in text


def test_fahrenheit_is_found_out_though_ninety_nine_and_marks_are_among_it(tmp_path):
    told = [f"2026-10-{1 + n // 24:02} {n % 24:02}:00,{999.9 if n % 10 == 3 else 50 + n % 51}" for n in range(240)]
    text = refusal(written(tmp_path, "time [UTC],temperature [°C]", *told))
    assert "the unit is not °C; these look like [°F]" in text


def test_damp_air_beyond_the_full_is_damp_beside_marks_as_well(tmp_path):
    told = [f"2026-10-{1 + n // 24:02} {n % 24:02}:00,9,{999 if n % 10 == 3 else 103},0,5,17" for n in range(240)]
    record = hours(tmp_path, *told, header=ALL).record
    assert set(record.humidity_percent[np.isfinite(record.humidity_percent)]) == {100}
