"""A file from someone else names other files: none is waited for, read without end, or read where it must not be."""

from __future__ import annotations

import os
from datetime import UTC, datetime

import pytest

from offseason.plan.document import Plan, WeatherFile
from offseason.plan.origin import records_changed_since
from offseason.plan.parse import PlanFileError, parse_plan
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario, read_scenario
from offseason.weather.records import WeatherFileError
from offseason.weather.winter import settle

DIGEST = "0" * 64
WINTER = """
season: {{from: 2026-10-05, until: 2027-03-28{season}}}
crew: {{Ines: {{works: {{sat: 09:00-12:00}}}}}}
weather: {{history: {history}}}
"""


@pytest.fixture
def folder(tmp_path):
    """A folder with all that can stand where a file should be."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "folder").mkdir()
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "endless").symlink_to("/dev/zero")
    return tmp_path


NO_FILES = ("pipe", "folder", "loop", "endless")


@pytest.mark.parametrize("name", [*NO_FILES, "/dev/zero", "nowhere", "a" * 5_000])
def test_weather_that_a_plan_names_is_looked_at_only_where_it_is_a_file(name, folder):
    files = (WeatherFile(name, DIGEST),)
    plan = Plan(
        "winter.yaml", DIGEST, datetime(2026, 10, 1, tzinfo=UTC), "", proven=False, aims=(), rows=(), records=files
    )
    assert records_changed_since(plan, folder) == (name,)


@pytest.mark.parametrize("name", NO_FILES)
def test_weather_that_a_scenario_names_is_read_only_where_it_is_a_file(name, folder):
    scenario = parse_scenario(WINTER.format(season="", history=name), "winter.yaml")
    with pytest.raises(WeatherFileError, match=f"^{name}: "):
        settle(scenario, folder)


@pytest.mark.parametrize("name", NO_FILES)
def test_a_scenario_that_a_plan_names_is_read_only_where_it_is_a_file(name, folder):
    with pytest.raises(ScenarioError):
        read_scenario(folder / name)


@pytest.mark.parametrize(
    "name", ["../records.csv", "a/../../records.csv", "/etc/hostname", r"C:\records.csv", r"\\host\records.csv"]
)
def test_weather_elsewhere_is_not_read(name):
    with pytest.raises(ScenarioError, match="is not beside this file"):
        parse_scenario(WINTER.format(season="", history=f"'{name}'"), "winter.yaml")


@pytest.mark.parametrize(
    "zone", ["../../etc/hostname", "/etc/hostname", "Nowhere/At All", "CET/..", "''", "' '", "NUL"]
)
def test_a_time_zone_is_no_way_to_another_file(zone):
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(WINTER.format(season=f", timezone: {zone}", history="records.csv"), "winter.yaml")
    assert "winter.yaml:2:" in str(caught.value)


@pytest.mark.parametrize(
    "line",
    [
        'made: "0001-01-01 00:00:00+14:00"',
        'made: "9999-12-31 23:59:59-14:00"',
        'made: "2026-10-01 08:00:00+00:00"\nsince: "0001-01-01 00:00"',
        'made: "2026-10-01 08:00:00+00:00"\nsince: "9999-12-31 23:59"',
    ],
)
def test_a_plan_of_the_first_or_last_year_of_the_calendar_is_refused(line):
    head = f'format: 1\nscenario: winter.yaml\nsha256: "{DIGEST}"\nproven: false\n{line}\n'
    with pytest.raises(PlanFileError, match="is in a year no winter is planned for"):
        parse_plan(f"{head}work: []\nend: of the plan\n", "winter.plan.yaml")
