"""Makes up the weather records that the sideline scenario carries: python tests/tools/invented_weather.py

A cold, rather dry inland climate that is nowhere: a yearly course, days that resemble the day before, dry and wet
spells. The same seed gives the same files; tests/test_scenarios.py checks that the files are those this program writes.
"""

from __future__ import annotations

import math
import random
from datetime import date, datetime, timedelta
from pathlib import Path

FOLDER = Path(__file__).parents[2] / "scenarios" / "weather"
SEED = 2016
HISTORY = (date(2016, 7, 1), date(2026, 9, 30))
FORECAST = (date(2026, 10, 4), date(2026, 10, 15))
YEARLY_MEAN_CELSIUS, HALF_YEARLY_RANGE_K, COLDEST_DAY_OF_YEAR = 9.5, 12.5, 20


def days(first: date, last: date, rng: random.Random) -> list[dict[str, float]]:
    """Lowest and highest °C, mean per cent humidity, mm of rain and mean m/s of wind for each day."""
    found, anomaly, wet = [], 0.0, False
    for n in range((last - first).days + 1):
        day_of_year = (first + timedelta(days=n)).timetuple().tm_yday
        course = -math.cos(2 * math.pi * (day_of_year - COLDEST_DAY_OF_YEAR) / 365.25)
        anomaly = 0.75 * anomaly + rng.gauss(0, 2.6)
        wet = rng.random() < (0.55 if wet else 0.22)
        mean = YEARLY_MEAN_CELSIUS + HALF_YEARLY_RANGE_K * course + anomaly
        half_range = max(1.5, rng.gauss(3.0 if wet else 5.8, 1.2))
        found.append(
            {
                "lowest": mean - half_range,
                "highest": mean + half_range,
                "humidity": min(99.0, max(35.0, rng.gauss(86 if wet else 68, 7))),
                "rain": max(0.2, rng.expovariate(1 / 5)) if wet else 0.0,
                "wind": max(0.3, rng.gauss(3.4, 1.3)),
            }
        )
    return found


def history_text() -> str:
    """Ten winters day by day."""
    lines = ["day,lowest [°C],highest [°C],humidity [%],rain [mm],wind [m/s]"]
    for n, day in enumerate(days(*HISTORY, random.Random(SEED))):
        written = (HISTORY[0] + timedelta(days=n)).isoformat()
        lines.append(written + "".join(f",{value:.1f}" for value in day.values()))
    return "\n".join(lines) + "\n"


def forecast_text() -> str:
    """The first days of the season hour by hour; rain falls in the afternoon of a wet day."""
    rng = random.Random(SEED + 1)
    lines = ["time [local],temperature [°C],humidity [%],rain [mm],wind [m/s]"]
    for n, day in enumerate(days(*FORECAST, rng)):
        midnight = datetime.combine(FORECAST[0] + timedelta(days=n), datetime.min.time())
        mean, half_range = (day["lowest"] + day["highest"]) / 2, (day["highest"] - day["lowest"]) / 2
        for hour in range(24):
            course = math.cos(2 * math.pi * (hour - 15) / 24)
            celsius = mean + half_range * course
            humidity = min(99.0, max(30.0, day["humidity"] - 2.2 * half_range * course))
            rain = day["rain"] / 6 if day["rain"] and 12 <= hour < 18 else 0.0
            wind = max(0.0, day["wind"] * (1 + 0.4 * course))
            at = (midnight + timedelta(hours=hour)).strftime("%Y-%m-%d %H:%M")
            lines.append(f"{at},{celsius:.1f},{humidity:.0f},{rain:.1f},{wind:.1f}")
    return "\n".join(lines) + "\n"


FILES = {"harrow-bend-history.csv": history_text, "harrow-bend-forecast.csv": forecast_text}

if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, text in FILES.items():
        (FOLDER / name).write_text(text(), encoding="utf-8")
        print(FOLDER / name)
