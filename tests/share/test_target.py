"""Where files may be written: never over what one may not change, and what a list of files of ours has to say."""

from __future__ import annotations

import json
import os

import pytest

from offseason.plan.unwritten import shown
from offseason.share.folder import STATE, ours_in
from offseason.share.target import is_plan, of_another_scenario, unfit_for_plan
from tests.plan.test_plan_file import TEXT


def test_a_plan_that_one_may_not_change_is_left_and_another_name_asked_for(tmp_path, monkeypatch):
    scenario, target = tmp_path / "winter.yaml", tmp_path / "winter.plan.yaml"
    scenario.write_text("season: {}\n", encoding="utf-8")
    target.write_text(TEXT, encoding="utf-8")
    assert unfit_for_plan(target, scenario) is None
    assert is_plan(target)
    monkeypatch.setattr(os, "access", lambda *_: False)
    told = unfit_for_plan(target, scenario)
    assert told is not None
    assert "is a file you may not change; it was left as it is. Name another file with --to." in told
    assert not is_plan(target)


def test_a_list_of_our_files_that_does_not_tell_what_we_wrote_in_them_still_tells_whose_they_are(tmp_path):
    listed = {"format": 1, "winter": "abc", "files": {"Ines.ics": "Ines", "../elsewhere.ics": "Ines"}}
    (tmp_path / STATE).write_text(json.dumps(listed), encoding="utf-8")
    ours = ours_in(tmp_path)
    assert (dict(ours.files), dict(ours.prints)) == ({"Ines.ics": "Ines"}, {})
    (tmp_path / STATE).write_text(json.dumps({**listed, "prints": {"Ines.ics": ["1"], "x": 3}}), encoding="utf-8")
    assert dict(ours_in(tmp_path).prints) == {"Ines.ics": ("1",)}


HEAD = "# A winter's plan\nformat: 1\nscenario: {}\nwork:\n  - {{day: never, pieces: some}}\n"


@pytest.mark.parametrize("name", ["winter.yml", '"winter.yml"', "../yard/winter.yml", "./winter.yml"])
@pytest.mark.parametrize("letters", ["utf-8", "utf-16"])
def test_whose_plan_a_file_is_stands_in_its_first_lines_however_they_are_written(tmp_path, name, letters):
    yard = tmp_path / "yard"
    yard.mkdir()
    (yard / "winter.yaml").write_text("season: {}\n")
    (yard / "winter.yml").write_text("season: {}\n")
    plan = yard / "winter.plan.yaml"
    plan.write_bytes(HEAD.format(name).encode(letters))
    told = of_another_scenario(plan, yard / "winter.yaml")
    assert told is not None
    assert told.startswith(f"{shown(plan)} is the plan of ")
    assert of_another_scenario(plan, yard / "winter.yml") is None


@pytest.mark.parametrize("name", ["gone.yaml", "folder", "''", "[", "!!python/name:os.system", "linked.yaml", "1"])
def test_a_plan_of_a_scenario_that_is_not_there_or_is_this_one_is_of_no_other(tmp_path, name):
    scenario = tmp_path / "winter.yaml"
    scenario.write_text("season: {}\n")
    (tmp_path / "folder").mkdir()
    (tmp_path / "linked.yaml").symlink_to(scenario)
    plan = tmp_path / "winter.plan.yaml"
    assert of_another_scenario(plan, scenario) is None
    plan.write_text(HEAD.format(name))
    assert of_another_scenario(plan, scenario) is None
