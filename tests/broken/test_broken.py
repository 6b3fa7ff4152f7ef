"""Each broken scenario here gives exactly the messages written beside it, and never anything but a ScenarioError."""

from __future__ import annotations

from pathlib import Path

import pytest

from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import read_scenario

HERE = Path(__file__).parent
FILES = sorted(HERE.glob("*.yaml"))


def test_there_are_enough_broken_scenarios_each_with_its_messages():
    assert len(FILES) >= 65
    assert [f.stem for f in FILES] == sorted(f.stem for f in HERE.glob("*.expected"))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_broken_scenario_gives_exactly_its_messages(file):
    with pytest.raises(ScenarioError) as raised:
        read_scenario(file)
    told = [str(problem).replace(f"{file}:", "", 1).strip() for problem in raised.value.problems]
    assert told == file.with_suffix(".expected").read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_messages_are_sentences_for_a_keeper(file):
    for line in file.with_suffix(".expected").read_text(encoding="utf-8").splitlines():
        text = line.split(": ", 1)[-1]
        for word in ("Input should", "pydantic", "Traceback", "NoneType", "dict", "Entry", "Error", "None"):
            assert word not in text
        assert len(text) > 20
        assert not text.endswith(".")


def test_problems_stand_in_the_order_of_the_file():
    with pytest.raises(ScenarioError) as raised:
        read_scenario(next(f for f in FILES if "all_at_once" in f.stem))
    places = [(problem.line, problem.column) for problem in raised.value.problems]
    assert len(places) >= 8
    assert places == sorted(places)
