"""A plan knows the scenario it was made from."""

import os
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from offseason.plan.document import Plan, WeatherFile
from offseason.plan.origin import changed_since, digest_of, name_beside, records_said, scenario_beside

PLAN = Plan("winter.yaml", "", datetime(2026, 10, 1, tzinfo=UTC), "by hand", proven=False, aims=(), rows=())


def test_the_scenario_is_looked_for_beside_the_plan(tmp_path):
    assert scenario_beside(PLAN, tmp_path / "old" / "x.plan.yaml") == tmp_path / "old" / "winter.yaml"


def test_one_changed_sign_in_the_scenario_is_noticed(tmp_path):
    file = tmp_path / "winter.yaml"
    file.write_bytes(b"season: {}\n")
    plan = replace(PLAN, scenario_sha256=digest_of(file))
    assert not changed_since(plan, file)
    file.write_bytes(b"season: { }\n")
    assert changed_since(plan, file)


def test_the_digest_is_the_one_other_programs_work_out_too(tmp_path):
    file = tmp_path / "winter.yaml"
    file.write_bytes(b"abc")
    # published: FIPS 180-4 example, SHA-256 of "abc"
    assert digest_of(file) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_a_file_larger_than_any_that_is_read_here_has_no_digest(tmp_path, monkeypatch):
    monkeypatch.setattr("offseason.plan.origin.MAX_BYTES", 3)
    file = tmp_path / "winter.yaml"
    file.write_bytes(b"abc")
    assert digest_of(file)
    file.write_bytes(b"abcd")
    with pytest.raises(OSError, match="the file is larger than"):
        digest_of(file)


def test_a_plan_written_into_another_folder_still_finds_its_scenario(tmp_path):
    plan_path, scenario_path = tmp_path / "plans" / "x.plan.yaml", tmp_path / "winter.yaml"
    plan_path.parent.mkdir()
    scenario_path.write_bytes(b"season: {}\n")
    assert name_beside(scenario_path, plan_path) == "../winter.yaml"
    plan = replace(PLAN, scenario_file=name_beside(scenario_path, plan_path))
    assert scenario_beside(plan, plan_path).samefile(scenario_path)


def test_a_weather_file_that_was_replaced_or_taken_away_is_no_longer_what_the_plan_was_made_with(tmp_path):
    files = [tmp_path / "forecast.csv", tmp_path / "past.csv"]
    for file in files:
        file.write_bytes(b"day,rain [mm]\n")
    plan = replace(PLAN, records=tuple(WeatherFile(file.name, digest_of(file)) for file in files))
    assert records_said(plan, tmp_path) is None
    files[0].write_bytes(b"day,rain [in]\n")
    assert records_said(plan, tmp_path) == "forecast.csv has changed since this plan was made"
    files[1].unlink()
    assert records_said(plan, tmp_path) == "forecast.csv and past.csv have changed since this plan was made"


def test_a_name_that_is_no_text_makes_a_plan_that_can_be_read_all_the_same(tmp_path):
    scenario_path = tmp_path / Path(os.fsdecode(b"gr\xf6sser.yaml"))
    assert name_beside(scenario_path, tmp_path / "x.plan.yaml") == "gr\ufffdsser.yaml"
