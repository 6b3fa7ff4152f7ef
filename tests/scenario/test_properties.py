"""Whatever the file holds, the answer is a scenario or a list of sentences with places in the file."""

from __future__ import annotations

from datetime import date

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from offseason.scenario.model import Scenario
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario
from offseason.scenario.starter import starter_text
from offseason.scenario.yaml_tree import read_tree

SMALL = """\
season: {from: 2026-10-05, until: 2027-04-09, climate: mild}
moths: {season_starts: 2027-03-01}
crew:
  Tom: {also: {2026-10-06: 18:00-20:00, 2027-01-20..2027-01-21: [9:00-10:30, 11:00-12:00]}, can: [stroll]}
  Ines: {works: {sat: [09:00-12:00, 13:00-16:00]}, away: [2026-12-21..2027-01-03], cannot: [stroll]}
places:
  bench: {seats: 1}
  freezer: {holds: 60 combs, celsius: -18}
  loft: {holds: 400 combs, celsius: 2..12, humidity_percent: 70}
tasks:
  scrape: {minutes_each: 6, at: bench, share: 20%, weather: dry}
  freeze: {minutes_each: 0.5, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 0.5, seals: yes, within: 3 d, needs: [freeze], uses: {bags: 0.1}, then: {in: loft, wait: 1 d}}
gear:
  combs: {piece: medium comb, comb: dry, count: 60, rests: loft, steps: [scrape, freeze, seal], optional: [scrape]}
jobs:
  tidy: {hours: 1.5, before: [scrape], by: 2026-11-01}
rounds:
  look: {every: 30 d, minutes: 10, looks_at: loft}
  stroll: {every: 12 w, minutes: 9.5, hands: 1}
weather: {windows: {dry: {2026-10-05..2026-10-31: 10:00-15:00, 2026-10-17: none}}}
prefer: few days
"""
WORDS = [
    *{word for word in SMALL.replace(":", " ").split() if word},
    "12:30",
    "no",
    "-1",
    "1e400",
    "null",
    "[]",
    "{}",
    "\t",
    "&a",
    "*a",
]
QUICK = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def answer(source: str | bytes) -> Scenario | ScenarioError:
    """What reading says; anything else than a scenario or a ScenarioError fails the test by itself."""
    try:
        return parse_scenario(source, "winter.yaml")
    except ScenarioError as error:
        found = error
    places = [(problem.line, problem.column) for problem in found.problems]
    assert places
    assert all(problem.text for problem in found.problems)
    assert all(place == (0, 0) or min(place) >= 1 for place in places)
    if isinstance(source, str) and "\r" not in source:
        assert max(places)[0] <= source.count("\n") + 1
    return found


@QUICK
@given(st.text())
def test_any_text(text):
    answer(text)


@QUICK
@given(st.binary(max_size=400))
def test_any_bytes(source):
    answer(source)


@QUICK
@given(st.text(alphabet="ab: -[]{}&*!|>'\"%@`#,?\n\t~<0.", max_size=120))
def test_any_text_of_the_signs_of_yaml(text):
    answer(text)


@QUICK
@given(st.data())
def test_a_scenario_with_words_exchanged(data):
    lines = SMALL.splitlines(keepends=True)
    for _ in range(data.draw(st.integers(1, 3))):
        number = data.draw(st.integers(0, len(lines) - 1))
        parts = lines[number].split(" ")
        parts[data.draw(st.integers(0, len(parts) - 1))] = data.draw(st.sampled_from(WORDS))
        lines[number] = " ".join(parts)
    answer("".join(lines))


@QUICK
@given(st.integers(0, len(SMALL) - 1), st.integers(0, 12), st.text(max_size=5))
def test_a_scenario_with_a_stretch_cut_out_or_overwritten(start, length, instead):
    answer(SMALL[:start] + instead + SMALL[start + length :])


VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.dates().map(str)
    | st.sampled_from(WORDS)
    | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(WORDS) | st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)


@pytest.mark.slow
@QUICK
@given(st.data(), VALUES)
def test_a_scenario_with_one_value_of_any_shape(data, value):
    tree = read_tree(SMALL, "winter.yaml")[0].data
    block = tree
    while True:
        key = data.draw(st.sampled_from(sorted(block, key=str) if isinstance(block, dict) else range(len(block))))
        if isinstance(block[key], (dict, list)) and block[key] and data.draw(st.booleans()):
            block = block[key]
            continue
        block[key] = value
        break
    answer(yaml.safe_dump(tree, allow_unicode=True))


def test_the_small_scenario_and_the_starter_have_no_mistake():
    assert isinstance(answer(SMALL), Scenario)
    assert isinstance(answer(starter_text(date(2026, 1, 1))), Scenario)
