from datetime import UTC, date, datetime, timedelta, timezone

import numpy as np
import pytest

from offseason.trade.fitness import NEEDS, Limits
from offseason.weather.judge import Reason, judge_hours
from offseason.weather.wall import hours_shown_twice, wall_of
from tests.weather.made_up import daily, days, hourly

WARM = {"warm": Limits(at_least_celsius=10)}


def shown(record, zone):
    return wall_of(record, WARM, zone)


def test_an_hour_of_utc_stands_where_the_clock_on_the_wall_shows_it():
    record = hourly(datetime(2026, 10, 10, tzinfo=UTC), 48, lambda moment: moment.hour)
    wall = shown(record, "EST5EDT")
    assert wall.first == date(2026, 10, 9)
    assert wall.air.celsius[1, 8] == 12
    assert wall.air.celsius[0, 20] == 0
    assert np.isnan(wall.air.celsius[0, 19])
    assert wall.reasons["warm"][1, 5] == Reason.TOO_COLD
    assert wall.reasons["warm"][1, 6] == Reason.FIT
    assert wall.reasons["warm"][0, 0] == Reason.UNKNOWN


def test_without_a_time_zone_the_hours_of_the_file_are_those_on_the_wall():
    wall = shown(hourly(datetime(2026, 10, 10, 6, tzinfo=UTC), 24, lambda moment: moment.hour), None)
    assert wall.first == date(2026, 10, 10)
    assert wall.air.celsius[0, 6] == 6
    assert wall.air.celsius[1, 5] == 5


def test_of_the_hour_that_comes_twice_in_autumn_the_worse_counts():
    # CET: on 25 Oct 2026 01:00 UTC the clock goes from 3:00 back to 2:00, so 0:00 and 1:00 UTC are both 2:00.
    cold_again = hourly(datetime(2026, 10, 24, 12, tzinfo=UTC), 48, lambda m: 4 if (m.day, m.hour) == (25, 1) else 20)
    wall = shown(cold_again, "CET")
    assert wall.reasons["warm"][1, 1:4].tolist() == [Reason.FIT, Reason.TOO_COLD, Reason.FIT]
    assert wall.air.celsius[1, 2] == 12
    cold_first = hourly(datetime(2026, 10, 24, 12, tzinfo=UTC), 48, lambda m: 4 if (m.day, m.hour) == (25, 0) else 20)
    assert shown(cold_first, "CET").reasons["warm"][1, 2] == Reason.TOO_COLD


def test_the_hour_left_out_in_spring_is_not_known_and_the_day_still_has_a_mean():
    wall = shown(hourly(datetime(2027, 3, 27, 12, tzinfo=UTC), 48, lambda _: 20), "CET")
    assert wall.reasons["warm"][1].tolist().count(Reason.UNKNOWN) == 1
    assert wall.reasons["warm"][1, 2] == Reason.UNKNOWN
    assert np.isnan(wall.air.celsius[1, 2])
    assert wall.air.mean_celsius[1] == 20


def test_clocks_change_in_autumn_and_spring_of_the_other_half_of_the_earth_too():
    # EST5EDT: on 1 Nov 2026 6:00 UTC from 2:00 back to 1:00; on 14 Mar 2027 7:00 UTC from 2:00 on to 3:00.
    record = hourly(datetime(2026, 10, 31, tzinfo=UTC), 24 * 150, lambda _: 20)
    wall = shown(record, "EST5EDT")
    left_out = [(n, h) for n in range(1, 149) for h in range(24) if wall.reasons["warm"][n, h] == Reason.UNKNOWN]
    assert left_out == [((date(2027, 3, 14) - wall.first).days, 2)]


def test_where_clocks_are_off_by_half_an_hour_an_hour_is_as_bad_as_the_worse_half(monkeypatch):
    # Five hours and a half ahead of UTC: the cold hour from 12:00 UTC lasts from 17:30 to 18:30 there.
    monkeypatch.setattr("offseason.weather.wall.ZoneInfo", lambda _: timezone(timedelta(hours=5, minutes=30)))
    record = hourly(datetime(2026, 10, 10, tzinfo=UTC), 24, lambda m: 4 if m.hour == 12 else 20)
    wall = shown(record, "half past")
    assert wall.reasons["warm"][0, 16:20].tolist() == [Reason.FIT, Reason.TOO_COLD, Reason.TOO_COLD, Reason.FIT]
    assert wall.air.celsius[0, 17] == 12
    assert wall.reasons["warm"][0, 5] == Reason.UNKNOWN  # its first half is not recorded


def test_the_hour_shown_twice_is_known_for_each_clock():
    season = days(date(2026, 10, 5), date(2027, 4, 9))
    assert hours_shown_twice(season, "CET") == {date(2026, 10, 25): 2}
    assert hours_shown_twice(season, "EST5EDT") == {date(2026, 11, 1): 1}
    assert hours_shown_twice(season, "UTC") == hours_shown_twice(season, None) == {}


@pytest.mark.parametrize("zone", [None, "UTC", "CET", "EST5EDT"])
def test_every_recorded_hour_keeps_its_reason_whatever_the_clock(zone):
    rng = np.random.default_rng(7)
    record = hourly(datetime(2026, 9, 1, 5, tzinfo=UTC), 24 * 40, lambda _: rng.uniform(0, 20))
    before_any_change = {need: judge_hours(record, limits) for need, limits in WARM.items()}["warm"]
    flat = shown(record, zone).reasons["warm"].ravel()
    begins = int((flat != Reason.UNKNOWN).argmax())
    assert flat[begins : begins + len(record)].tolist() == before_any_change.tolist()


def test_the_mean_of_a_day_is_known_from_18_of_its_hours_on():
    def missing(hours):
        return hourly(datetime(2026, 10, 10, tzinfo=UTC), 24, lambda m: np.nan if m.hour < hours else 12.0)

    assert shown(missing(6), None).air.mean_celsius[0] == 12
    assert np.isnan(shown(missing(7), None).air.mean_celsius[0])


def test_humidity_is_worked_out_from_the_dew_point_where_only_that_is_recorded():
    record = hourly(datetime(2026, 10, 10, tzinfo=UTC), 24, lambda _: 20.0, humidity=np.nan)
    record.dew_point_celsius[:] = 9.255  # published check: 20 °C and 50 % give 9.255 °C
    assert wall_of(record, {}, None).air.humidity_percent[0, 12] == pytest.approx(50, abs=0.01)


def test_a_day_too_cold_at_its_coldest_is_fit_when_it_has_warmed_up_and_its_mean_is_half_way():
    # 9 °C at 6:00, 17 °C at 15:00: by half a cosine 9.9 °C at 8:00 and 11.0 °C at 9:00
    wall = wall_of(daily(date(2026, 10, 10), date(2026, 10, 12), lambda _: 13.0), WARM, "CET")
    assert wall.reasons["warm"][1, 6:16].tolist() == [Reason.TOO_COLD] * 3 + [Reason.FIT] * 7
    assert wall.air.mean_celsius.tolist() == [13, 13, 13]


def test_a_dry_warm_day_is_near_its_dew_point_in_the_early_morning_only():
    wall = wall_of(daily(date(2026, 6, 10), date(2026, 6, 13), lambda _: 18.0), NEEDS, None)
    painting = wall.reasons["painting with latex"][1]
    assert painting[12:16].tolist() == [Reason.FIT] * 4
    # dew point = the day's lowest, so at 6:00 the air is at it; too damp says the same
    assert painting[6] in (Reason.TOO_DAMP, Reason.NEAR_DEW_POINT)
    assert (wall.reasons["painting with latex"][3] == Reason.FIT).sum() == 0  # what follows the last day is not known


def test_wood_moisture_is_not_asked_of_days_which_never_have_it():
    record = daily(date(2026, 10, 5), date(2026, 10, 7), lambda _: 12.0, wet=lambda day: day.day == 6)
    dry_wood = {"dry wood": Limits(no_rain=True, at_most_wood_moisture_percent=18)}
    assert wall_of(record, dry_wood, None).reasons["dry wood"][:, 12].tolist() == [Reason.FIT, Reason.RAIN, Reason.FIT]
