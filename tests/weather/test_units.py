"""Units are declared; a column in another unit than it says is found out where the numbers can tell."""

import math
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from offseason.trade.air import dew_point_celsius
from offseason.weather.read import read_weather_file
from offseason.weather.units import UNITS, unit_named
from tests.weather.files import HOURS, hours, notes, refusal, written
from tests.weather.shipped import newark_file, seattle_file

# Exact by the definitions of the units (an inch is 25.4 mm, a nautical mile 1852 m, a mile 1609.344 m, 0 °C 273.15 K).
IN_SI = [
    ("temperature", "°F", 50, 10), ("temperature", "°F", -40, -40), ("temperature", "K", 273.15, 0),
    ("temperature", "tenths °C", 128, 12.8), ("rain", "in", 1, 25.4), ("rain", "tenths mm", 109, 10.9),
    ("wind", "km/h", 36, 10), ("wind", "mph", 10, 4.4704), ("wind", "kn", 36, 18.52), ("wind", "tenths m/s", 47, 4.7),
    ("per cent", "fraction", 0.85, 85),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "word", "value", "si"), IN_SI)
def test_a_value_in_any_unit_is_what_the_unit_means(kind, word, value, si):
    unit = unit_named(word, kind)
    assert unit.si(np.array([float(value)])) == pytest.approx([si])
    assert unit.written(si) == pytest.approx(value)


@pytest.mark.parametrize(
    ("word", "kind", "meant"),
    [
        ("C", "temperature", "°C"), ("degC", "temperature", "°C"), ("deg F", "temperature", "°F"),
        ("º C", "temperature", "°C"), ("Â°F", "temperature", "°F"), ("Celsius", "temperature", "°C"),
        ("k", "temperature", "K"), ("0.1 °C", "temperature", "tenths °C"), ("tenths of °C", "temperature", "tenths °C"),
        ("inches", "rain", "in"), ("MM", "rain", "mm"), ("knots", "wind", "kn"), ("kph", "wind", "km/h"),
        ("tenths m/s", "wind", "tenths m/s"), ("percent", "per cent", "%"),
    ],
)  # fmt: skip
def test_units_are_understood_as_people_write_them(word, kind, meant):
    assert unit_named(word, kind).word == meant


def test_no_two_units_of_a_kind_are_taken_for_one_another():
    for kind, units in UNITS.items():
        assert [unit_named(unit.word, kind) for unit in units] == list(units)


hourly_values = st.tuples(st.floats(-50, 50), st.floats(2, 100), st.floats(0, 150), st.floats(0, 55), st.floats(2, 150))
COLUMNS = {
    "temperature": "temperature",
    "humidity": "per cent",
    "rain": "rain",
    "wind": "wind",
    "wood moisture": "per cent",
}


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(st.one_of(st.none(), hourly_values), min_size=1, max_size=30).filter(lambda rows: rows[0] and rows[-1]),
    st.fixed_dictionaries({name: st.sampled_from(UNITS[kind]) for name, kind in COLUMNS.items()}),
    st.sampled_from([",", ";", "\t"]),
    st.integers(-12, 14),
    st.randoms(use_true_random=False),
)
def test_a_record_written_in_any_units_and_any_order_is_read_back_the_same(
    tmp_path, rows, units, separator, ahead, mix
):
    first = datetime(2026, 10, 5, 9, tzinfo=UTC)
    told_in = [(name, units[name]) for name in COLUMNS]
    names = [f"time [{ahead:+03}:00]", *(f"{name} [{unit.word}]" for name, unit in told_in)]
    lines = []
    for place, values in enumerate(rows):
        if values is not None:
            clock = first + timedelta(hours=place + ahead)
            told = [repr(unit.written(value)) for (_, unit), value in zip(told_in, values, strict=True)]
            lines.append(separator.join([f"{clock:%Y-%m-%d %H:%M}", *told]))
    mix.shuffle(lines)
    record = read_weather_file(written(tmp_path, separator.join(names), *lines)).record
    assert record.first == first
    wanted = np.array([values or (math.nan,) * len(COLUMNS) for values in rows]).T
    read = [
        record.celsius, record.humidity_percent, record.rain_mm, record.wind_m_s, record.wood_moisture_percent
    ]  # fmt: skip
    np.testing.assert_allclose(read, wanted, rtol=1e-9, atol=1e-9)


def test_a_year_in_fahrenheit_declared_as_celsius_is_refused_with_the_unit_it_is_in(tmp_path):
    path = newark_file(tmp_path)
    path.write_text(path.read_text(encoding="utf-8").replace("°F", "°C"), encoding="utf-8")
    text = refusal(path)
    assert "temperature 51.08 °C, and 5,023 more of 8,703 values: no place has the like so often" in text
    assert "the unit is not °C; these look like [°F]" in text


def test_raw_tenths_declared_as_whole_are_refused_with_the_unit_they_are_in(tmp_path):
    path = seattle_file(tmp_path)
    header, *rows = path.read_text(encoding="utf-8").splitlines()
    tenths = [",".join([row[:10], *(str(round(float(value) * 10)) for value in row[11:].split(","))]) for row in rows]
    assert "the unit is not °C; these look like [tenths °C]" in refusal(written(tmp_path, header, *tenths))
    only_wind = "day,lowest [tenths °C],highest [tenths °C],rain [tenths mm],wind [m/s]"
    assert "the unit is not m/s; these look like [tenths m/s]" in refusal(written(tmp_path, only_wind, *tenths))
    right = read_weather_file(written(tmp_path, only_wind.replace("[m/s]", "[tenths m/s]"), *tenths)).record
    whole = read_weather_file(path).record
    np.testing.assert_allclose(right.highest_celsius, whole.highest_celsius)
    np.testing.assert_allclose(right.wind_m_s, whole.wind_m_s)


def test_kelvin_declared_as_celsius_is_refused_and_celsius_declared_as_kelvin(tmp_path):
    rows = [f"2026-10-05 {hour:02}:00,{280 + hour / 4}" for hour in range(24)]
    assert "these look like [K]" in refusal(written(tmp_path, HOURS, *rows))
    rows = [f"2026-10-05 {hour:02}:00,{7 + hour / 4}" for hour in range(24)]
    assert "these look like [°C]" in refusal(written(tmp_path, HOURS.replace("°C", "K"), *rows))


def test_rain_in_tenths_and_per_cent_declared_as_fractions_are_refused_with_the_unit_they_are_in(tmp_path):
    header = "time [UTC],temperature [°C],rain [in],humidity [%]"
    rows = [f"2026-10-05 {hour:02}:00,12,{hour},{60 + hour}" for hour in range(24)]
    assert "the unit is not in; these look like [tenths mm]" in refusal(written(tmp_path, header, *rows))
    header = "time [UTC],temperature [°C],rain [mm],humidity [fraction]"
    assert "the unit is not fraction; these look like [%]" in refusal(written(tmp_path, header, *rows))


def test_whole_numbers_that_may_be_fahrenheit_or_tenths_are_told_to_be_either(tmp_path):
    rows = [f"2026-10-05 {hour:02}:00,{60 + 2 * hour}" for hour in range(24)]
    assert "these look like [°F] or [tenths °C]" in refusal(written(tmp_path, HOURS, *rows))


def test_a_mild_winter_in_fahrenheit_is_found_out_by_how_often_it_would_be_hot(tmp_path):
    rows = [f"2026-12-{1 + hour // 24:02} {hour % 24:02}:00,{46 + 8 * math.sin(hour / 4):.1f}" for hour in range(480)]
    text = refusal(written(tmp_path, HOURS, *rows))
    assert "temperature 51.5 °C, and 156 more of 480 values: no place has the like so often" in text
    assert "the unit is not °C; these look like [°F]" in text
    record = hours(tmp_path, *rows, header=HOURS.replace("°C", "°F")).record
    assert 3 < record.celsius.min() < record.celsius.max() < 13


def test_fractions_declared_as_per_cent_are_refused(tmp_path):
    rows = [f"2026-10-05 {hour:02}:00,12,{0.6 + hour / 100}" for hour in range(24)]
    text = refusal(written(tmp_path, "time [UTC],temperature [°C],humidity [%]", *rows))
    assert "these look like fractions; write humidity [fraction]" in text


def winter(unit, dew_unit):
    """Three winter days, too cold for any unit to be told from the temperatures alone."""
    celsius = [3 + 4 * math.sin(hour / 4) for hour in range(72)]
    air, dew = unit_named(unit, "temperature"), unit_named(dew_unit, "temperature")
    return [
        f"2026-01-{5 + hour // 24:02} {hour % 24:02}:00,{air.written(t):.1f},70,{dew.written(point):.1f}"
        for hour, (t, point) in enumerate((t, dew_point_celsius(t, 70)) for t in celsius)
    ]


@pytest.mark.parametrize("declared", ["°C", "°F"])
def test_in_winter_the_dew_points_beside_them_tell_a_wrong_unit(tmp_path, declared):
    other = "°F" if declared == "°C" else "°C"
    header = f"time [UTC],temperature [{declared}],humidity [%],dew point [{declared}]"
    text = refusal(written(tmp_path, header, *winter(other, other)))
    assert f"they agree if the columns are written temperature [{other}] and dew point [{other}]" in text
    read_weather_file(written(tmp_path, header, *winter(declared, declared)))


def test_dew_points_in_another_unit_than_the_temperatures_are_told(tmp_path):
    header = "time [UTC],temperature [°C],humidity [%],dew point [°C]"
    assert "the dew point is above the temperature" in refusal(written(tmp_path, header, *winter("°C", "°F")))


def test_dew_points_of_another_place_are_refused(tmp_path):
    rows = [f"2026-10-05 {hour:02}:00,{10 + hour / 5},95,{hour / 7}" for hour in range(24)]
    text = refusal(written(tmp_path, "time [UTC],temperature [°C],humidity [%],dew point [°C]", *rows))
    assert "°C off what the temperatures and humidities beside them give" in text
    assert "strike out 'dew point'" in text


def test_dew_points_of_a_gauge_that_is_a_degree_off_are_taken(tmp_path):
    rows = [row.rpartition(",") for row in winter("°C", "°C")]
    off = [f"{rest},{float(dew) - 1.2:.1f}" for rest, _, dew in rows]
    reading = read_weather_file(written(tmp_path, "time [UTC],temperature [°C],humidity [%],dew point [°C]", *off))
    assert len(reading.record.celsius) == 72


def test_a_few_values_no_place_has_are_set_aside_with_row_and_reason(tmp_path):
    header = "time [UTC],temperature [°C],humidity [%],dew point [°C],rain [mm],wind [km/h],wood moisture [%]"
    rows = [f"2026-10-{1 + hour // 24:02} {hour % 24:02}:00,12,70,6.7,0,10,18" for hour in range(240)]
    rows[3] = "2026-10-01 03:00,75,70,6.7,0,10,18"
    rows[5] = "2026-10-01 05:00,12,140,6.7,0,10,18"
    rows[7] = "2026-10-01 07:00,12,70,19,0,10,18"
    rows[9] = "2026-10-01 09:00,12,70,6.7,-1,10,18"
    rows[11] = "2026-10-01 11:00,12,70,6.7,0,900,18"
    rows[12] = "2026-10-01 12:00,12,103,6.7,201,10,18"
    rows[13] = "2026-10-01 13:00,12,70,6.7,0,10,201"
    reading = hours(tmp_path, *rows, header=header)
    said = notes(reading)
    assert "row 5: temperature 75 °C is outside -60 to 60 °C; taken as unknown" in said
    assert "row 7: humidity 140 % is outside 0 to 100 %; taken as unknown" in said
    assert "row 9: the dew point is above the temperature, which cannot be; the dew point is taken as unknown" in said
    assert "row 11: rain -1 mm is outside 0 to 200 mm; taken as unknown; the same in row 14" in said
    assert "row 13: wind 900 km/h (250.0 m/s) is outside 0 to 60 m/s; taken as unknown" in said
    assert "row 15: wood moisture 201 % is outside 0 to 200 %" in said
    record = reading.record
    assert np.flatnonzero(np.isnan(record.celsius)).tolist() == [3]
    assert np.flatnonzero(np.isnan(record.humidity_percent)).tolist() == [5]
    assert np.flatnonzero(np.isnan(record.rain_mm)).tolist() == [9, 12]
    assert np.flatnonzero(np.isnan(record.wind_m_s)).tolist() == [11]
    # A sensor in saturated air reads a little over 100 per cent; that is damp, not unknown.
    assert record.humidity_percent[12] == 100


def test_a_day_whose_lowest_is_above_its_highest_is_unknown_and_many_are_a_mistake(tmp_path):
    rows = [f"2026-10-{day:02},{day / 10},12" for day in range(1, 31)]
    rows[4] = "2026-10-05,12,3"
    header = "day,lowest [°C],highest [°C]"
    reading = read_weather_file(written(tmp_path, header, *rows))
    assert "row 6: the lowest temperature of the day is above the highest; both are taken as unknown" in notes(reading)
    assert np.isnan([reading.record.lowest_celsius[4], reading.record.highest_celsius[4]]).all()
    text = refusal(written(tmp_path, "day,highest [°C],lowest [°C]", *rows))
    assert "are the two columns the wrong way round" in text


def test_a_year_that_is_never_warm_and_a_year_of_endless_rain_are_noticed(tmp_path):
    path = seattle_file(tmp_path)
    text = path.read_text(encoding="utf-8")
    assert "right unit" not in notes(read_weather_file(path))
    cold = read_weather_file(written(tmp_path, text.replace("°C", "°F").strip()))
    assert "is [°F] the right unit?" in notes(cold)
    wet = read_weather_file(written(tmp_path, text.replace("rain [mm]", "rain [in]").strip()))
    assert "mm a year; is [in] the right unit?" in notes(wet)
    rows = [f"2026-10-{1 + hour // 24:02} {hour % 24:02}:00,12,{15 + hour % 9}" for hour in range(480)]
    stormy = hours(tmp_path, *rows, header="time [UTC],temperature [°C],wind [m/s]")
    assert "m/s or more; is [m/s] the right unit?" in notes(stormy)
