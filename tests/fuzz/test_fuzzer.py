"""The fuzzer itself: what it finds is made small, and shown when it is asked for."""

from __future__ import annotations

import time

import pytest

from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario
from tests.fuzz import grow, shrink


@pytest.fixture
def lost_on_honey(monkeypatch):
    """A reader that is lost on one word, and takes for ever on another."""

    def reads(_reader, data, _folder):
        if b"honey" in data:
            raise KeyError("honey")
        while b"wax" in data:
            pass

    monkeypatch.setattr(shrink, "refusal", reads)
    monkeypatch.setattr(shrink, "MOST_SECONDS_EACH", 0.05)


@pytest.mark.usefixtures("lost_on_honey")
def test_a_loss_is_cut_down_to_what_it_is_lost_on(tmp_path):
    data = b"season: 2026\n" * 50 + b"gear: honey\n" + b"crew: {}\n" * 50
    loss = shrink.loss_of("log", data, tmp_path)
    small = shrink.shrunk(data, lambda less: shrink.loss_of("log", less, tmp_path) is not None, time.monotonic() + 20)
    assert isinstance(loss, KeyError)
    assert small == b"honey"


@pytest.mark.usefixtures("lost_on_honey")
def test_what_takes_for_ever_is_a_loss_too(tmp_path):
    assert isinstance(shrink.loss_of("log", b"wax", tmp_path), shrink.TooSlowError)
    assert shrink.loss_of("log", b"propolis", tmp_path) is None


def test_two_losses_of_one_line_are_one():
    places = []
    for words in ("{a: 1}", "{a: [1]}"):
        with pytest.raises(ScenarioError) as caught:
            parse_scenario(words, "winter.yaml")
        places.append(shrink.place_of(caught.value))
    assert places[0] == places[1]
    assert "read.py:" in places[0]


def test_an_input_is_new_where_it_leads_through_other_lines(tmp_path):
    row = b"- {date: 2026-11-01, who: [Ines], lot: combs, step: freeze, pieces: %d}\n"
    one, other, torn = (grow.steps_of("log", data, tmp_path) for data in (row % 1, row % 2, b"- {date: 2026"))
    assert one == other
    assert torn - one
