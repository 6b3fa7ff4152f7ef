"""Thirty years of hourly records are read and judged while one waits: less than three seconds."""

from __future__ import annotations

import random
import time
from datetime import UTC, datetime, timedelta

import pytest

from offseason.trade.fitness import NEEDS
from offseason.weather.judge import judge_hours
from offseason.weather.read import read_weather_file

YEARS_30_H = 262_800


@pytest.mark.slow
def test_thirty_years_of_hours_are_read_and_judged_for_every_kind_of_work_in_three_seconds(tmp_path):
    draw, begins = random.Random(30), datetime(1995, 7, 1, tzinfo=UTC)
    lines = ["time [UTC],temperature [°C],humidity [%],rain [mm],wind [m/s]"]
    lines += [
        f"{begins + timedelta(hours=hour):%Y-%m-%d %H:%M},{draw.uniform(-9, 31):.1f},{draw.uniform(30, 99):.0f},"
        f"{max(0, draw.gauss(-1, 1)):.1f},{draw.uniform(0, 9):.1f}"
        for hour in range(YEARS_30_H)
    ]
    path = tmp_path / "thirty-years.csv"
    path.write_text("\n".join(lines), encoding="utf-8")

    begun = time.process_time()
    reading = read_weather_file(path)
    judged = {need: judge_hours(reading.record, limits) for need, limits in NEEDS.items()}
    took_s = time.process_time() - begun

    assert reading.rows == YEARS_30_H
    assert {len(reasons) for reasons in judged.values()} == {YEARS_30_H}
    assert took_s < 3, f"it took {took_s:.1f} s"
