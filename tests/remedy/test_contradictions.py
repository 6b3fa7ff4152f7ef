"""Lines that cannot all be true are named, all of them and none too many; what is only short is not called so."""

from __future__ import annotations

from collections import Counter
from copy import deepcopy
from datetime import date, timedelta
from pathlib import Path
from unittest.mock import patch

import pytest
import yaml
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from offseason.cli import main
from offseason.remedy import contradiction
from offseason.remedy.contradiction import _day_text, contradictions
from offseason.remedy.statements import statements_of
from offseason.scenario.draft import draft_of
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario
from offseason.scenario.yaml_tree import read_tree
from offseason.share.terminal.contradiction import contradiction_text
from offseason.solver import solve
from offseason.solver.fits import fits
from offseason.weather.winter import settle
from offseason.workload.build import build_workload
from offseason.workload.sessions import day_starts_s
from tests.remedy.contradicting import BOXES, COAT, COMBS, FREEZE, SCRAPE, WINTERS, YARD
from tests.remedy.drawn_by_time import winters_by_time
from tests.solver import drawn

each_winter = pytest.mark.parametrize("winter", WINTERS, ids=lambda winter: winter.name)

# These must stand in a file, so they cannot be taken out: put so far off that they hold nothing up.
FAR = {"from": "2024-01-01", "until": "2029-12-31", "season_starts": "2029-12-31"}


def found_in(text: str):
    """The contradictions of a text whose values are sound, whatever the checks between its entries say."""
    tree, _ = read_tree(text, "winter.yaml")
    scenario = draft_of(tree)[2]
    assert scenario is not None, text
    return contradictions(tree, scenario, None, "winter.yaml")


def less(text: str, numbers) -> str:
    """The text without the lines of these numbers."""
    lines = text.splitlines()
    for number in sorted(numbers, reverse=True):
        indent, key = len(lines[number - 1]) - len(lines[number - 1].lstrip()), lines[number - 1].split(":")[0].strip()
        section = next(line for line in reversed(lines[:number]) if line[0] != " ")
        if section in ("season:", "moths:") and key in FAR:
            lines[number - 1] = f"{' ' * indent}{key}: {FAR[key]}"
        else:
            del lines[number - 1]
    return "\n".join(lines) + "\n"


def told(text: str) -> list[str]:
    """What reading says: the line, and the sentence."""
    with pytest.raises(ScenarioError) as raised:
        parse_scenario(text, "winter.yaml")
    return [f"{problem.line}: {problem.text}" for problem in raised.value.problems]


# as drawn, not made smaller: each solves
DRAWN = (Phase.explicit, Phase.generate)


# what is written and cannot be, line by line


def test_there_are_enough_kinds_of_contradiction():
    assert len(WINTERS) >= 12
    assert len({winter.core for winter in WINTERS}) == len(WINTERS)


@each_winter
def test_the_file_is_read_and_its_contradiction_is_named_by_all_its_lines(winter):
    text = winter.scenario
    (found,) = contradictions(text, parse_scenario(text, "winter.yaml"), None, "winter.yaml")
    written = text.splitlines()
    assert sorted(written[line.line - 1].strip() for line in found.lines) == sorted(winter.core)
    for line in found.lines:  # of an item of a list, its own place
        said = line.said.partition(": ")[2] if isinstance(line.path[-1], int) else line.said
        assert written[line.line - 1][line.column - 1 :] == said
    assert winter.says in found.sentence


@each_winter
def test_no_line_of_a_core_can_be_left_out(winter):
    (found,) = found_in(winter.scenario)
    for line in found.lines:
        assert found_in(less(winter.scenario, [line.line])) == (), f"without line {line.line} ({line.said})"


@each_winter
def test_a_core_stands_alone_with_all_else_left_out(winter):
    (found,) = found_in(winter.scenario)
    tree, _ = read_tree(winter.scenario, "winter.yaml")
    scenario = draft_of(tree)[2]
    every = [*statements_of(scenario, {*scenario.gear, *scenario.jobs}), ("season", "from")]
    core = [line.path for line in found.lines]
    others = {
        tree.place(path, of_key=not isinstance(path[-1], int))[0]
        for path in every
        if path not in core
        and tree.at(path) is not None
        and path[-1] not in ("minutes_each", "hours", "from", "comb", "celsius")
    }
    (alone,) = found_in(less(winter.scenario, others))
    # where no arrival is written any more, the first day of the season is one
    added = {(line.owner, line.said) for line in alone.lines} ^ {(line.owner, line.said) for line in found.lines}
    assert added <= {("season", "from: 2026-10-05")}


@pytest.mark.slow
@each_winter
def test_no_plan_can_do_what_contradicts_itself(winter):
    workload = build_workload(parse_scenario(winter.scenario, "winter.yaml"))
    assert not fits(workload, 2, workers=1).yes


# what reading already refuses: all the lines are named there


def test_ready_before_it_arrives_names_both_lines():
    text = YARD + SCRAPE + BOXES + "    arrives: 2027-03-10\n    ready_by: 2027-03-01\n    steps: [scrape]\n"
    assert told(text) == [
        "21: ready_by: 2027-03-01 is earlier than arrives: 2027-03-10 (line 20); which of the two is meant?"
    ]
    for number in (20, 21):
        parse_scenario(less(text, [number]), "winter.yaml")


def test_a_job_due_before_it_may_begin_names_both_lines():
    text = YARD + "jobs:\n  sweep:\n    hours: 1\n    by: 2026-11-01\n    from: 2026-12-01\n"
    assert told(text) == ["14: by: 2026-11-01 is earlier than from: 2026-12-01 (line 15); which of the two is meant?"]


def test_a_season_that_ends_before_it_begins_names_both_lines():
    assert told(YARD.replace("2027-04-09", "2026-04-09")) == [
        "3: the season ends on 2026-04-09, before it begins on 2026-10-05 (line 2); which year is meant?"
    ]


def test_a_day_outside_the_season_names_the_line_that_ends_it():
    text = YARD + SCRAPE + BOXES + "    arrives: 2027-05-01\n    steps: [scrape]\n"
    assert told(text) == [
        "20: 2027-05-01 is outside the season (2026-10-05 to 2027-04-09, as line 3 says); write a day of it"
    ]


RING = """\
jobs:
  order wood:
    hours: 1
    after:
      - build stands
  build stands:
    hours: 2
    after:
      - level the ground
  level the ground:
    hours: 2
    after:
      - order wood
      - sweep
  sweep:
    hours: 1
"""


def test_a_ring_of_jobs_names_every_line_that_closes_it_and_no_other():
    (said,) = told(YARD + RING)
    assert said.endswith("each comes before the next, so none can be first; change line 15, 19 or 23")
    for number in (15, 19, 23):
        parse_scenario(less(YARD + RING, [number]), "winter.yaml")
    told(less(YARD + RING, [24]))  # the one that is not named does not help


def test_a_ring_through_the_steps_of_a_lot_names_only_the_steps_that_close_it():
    text = (
        YARD
        + "tasks:\n  scrape: {minutes_each: 6}\n  mend: {minutes_each: 6}\n  oil: {minutes_each: 6}\n"
        + BOXES
        + "    steps:\n      - scrape\n      - mend\n      - oil\n"
        "jobs:\n  clear the bench:\n    hours: 1\n    before:\n      - scrape\n    after:\n      - oil\n"
    )
    (said,) = told(text)
    assert said.endswith("change line 21, 23, 28 or 30")  # not 22: mend may stay or go
    for number in (21, 23, 28, 30):
        parse_scenario(less(text, [number]), "winter.yaml")
    told(less(text, [22]))


def test_steps_that_need_one_another_name_both_lines():
    text = (
        YARD
        + "tasks:\n  scrape:\n    minutes_each: 6\n    needs: [mend]\n"
        + "  mend:\n    minutes_each: 6\n    needs: [scrape]\n"
    )
    (said,) = told(text)
    assert said.endswith("each needs the next, so none can be first; change line 14 or 17")


# what is short is not a contradiction


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(
            "tasks:\n" + FREEZE + COMBS.replace("20", "800") + "    ready_by: 2026-10-09\n    steps: [freeze, seal]\n",
            id="a freezer too small",
        ),
        pytest.param(
            SCRAPE.replace(" 6", " 400")
            + BOXES.replace(" 4", " 90")
            + "    ready_by: 2026-10-06\n    steps: [scrape]\n",
            id="too few hours of help",
        ),
        pytest.param("jobs:\n  dig:\n    hours: 300\n    from: 2026-10-05\n    by: 2026-10-06\n", id="too few people"),
        pytest.param(
            SCRAPE + "    weather: dry\n" + BOXES + "    ready_by: 2026-10-06\n    steps: [scrape]\n"
            "weather: {windows: {dry: {2026-11-01: 09:00-12:00}}}\n",
            id="no fit day",
        ),
    ],
)
def test_what_more_help_or_space_or_weather_would_mend_is_no_contradiction(text):
    assert contradictions(YARD + text, parse_scenario(YARD + text, "w"), None, "w") == ()


def test_work_that_could_be_left_contradicts_nothing():
    winter = next(winter for winter in WINTERS if winter.name == "cure longer than what is left")
    text = winter.scenario.replace("  put away:\n", "  put away:\n    importance: could\n")
    assert found_in(text) == ()


def test_a_day_more_is_enough_where_a_day_was_missing():
    winter = next(winter for winter in WINTERS if winter.name == "cure longer than what is left")
    assert found_in(winter.scenario.replace("2027-03-10", "2027-03-20")) != ()
    assert found_in(winter.scenario.replace("2027-03-10", "2027-03-21")) == ()  # 1 March and 20 days


def test_pieces_that_need_not_wait_are_not_held_up_by_those_that_must():
    # a fifth is glued and dries for 20 days; the others are oiled and coated meanwhile
    text = (
        "tasks:\n  glue: {minutes_each: 2, share: 20%, then: {wait: 20 d}}\n"
        "  oil: {minutes_each: 1, importance: could}\n"
        "  coat: {minutes_each: 2, share: {share}, needs: [oil]}\n"
        + BOXES.replace(" 4", " 10")
        + "    ready_by: 2026-10-20\n    steps: [glue, oil, coat]\n"
    )
    assert found_in(YARD + text.replace("{share}", "80%")) == ()
    assert found_in(YARD + text.replace("{share}", "90%")) != ()


# more than one, and how it reads


TWO = (
    SCRAPE
    + COAT
    + """\
gear:
  boxes: {piece: langstroth deep box, count: 4, arrives: 2027-03-01, ready_by: 2027-03-10, steps: [coat, put away]}
  lids: {piece: telescoping lid, count: 4, arrives: 2027-03-02, ready_by: 2027-03-10, steps: [coat, put away]}
  floors: {piece: floor, count: 4, steps: [coat, put away]}
"""
)


def test_every_lot_that_contradicts_itself_is_told():
    found = found_in(YARD + TWO)
    assert [{line.owner for line in one.lines} for one in found] == [{"coat", "boxes"}, {"coat", "lids"}]


def test_the_lines_are_told_with_their_numbers_within_80_columns():
    text = contradiction_text(found_in(YARD + TWO))
    assert max(map(len, text.splitlines())) <= 80
    assert "line 18     coat: wait: 20 d" in text
    assert "line 22     boxes: steps: coat and put away" in text


def test_check_tells_the_contradiction_and_that_no_plan_can_help(tmp_path, capsys):
    file = tmp_path / "winter.yaml"
    file.write_text(WINTERS[0].scenario, "utf-8")
    assert main(["check", str(file)]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "cannot all be true, whatever help, space or weather there is" in out
    assert WINTERS[0].says in out


def test_no_more_contradictions_are_told_at_once_than_somebody_mends_at_once(monkeypatch):
    monkeypatch.setattr(contradiction, "MOST", 2)
    entry = "{piece: telescoping lid, count: 4, ready_by: 2026-10-12, steps: [coat, put away]}"
    lids = "".join(f"  lids {n}: {entry}\n" for n in (1, 2, 3))
    found = found_in(YARD + SCRAPE + COAT + "gear:\n" + lids)
    assert ["lids 1" in one.sentence for one in found] == [True, False]
    assert ["lids 2" in one.sentence for one in found] == [False, True]


@pytest.mark.parametrize(
    ("season", "begins", "hours_on_that_day"),
    [
        ("from: 2026-10-05, until: 2027-04-25", date(2026, 10, 5), {25}),
        ("from: 2026-11-02, until: 2027-04-25", date(2026, 11, 2), {23}),
    ],
    ids=["clocks go back, then forward", "clocks go forward"],
)
def test_a_moment_is_told_by_its_day_also_after_the_clocks_have_changed(season, begins, hours_on_that_day):
    scenario = parse_scenario(f"season: {{{season}, timezone: CET}}\n{BARE}", "winter.yaml")
    lengths = set()
    for n in range((scenario.season.until - begins).days):
        day = begins + timedelta(days=n)
        first, ends = day_starts_s(scenario, day), day_starts_s(scenario, day + timedelta(days=1))
        told = f"{day:%a} {day.day} {day:%b %Y}"
        assert {_day_text(scenario, first), _day_text(scenario, ends - 1)} == {told}
        lengths.add((ends - first) // 3_600)
    assert hours_on_that_day | {24} <= lengths


BARE = """
crew: {Ilva: {works: {sat: 09:00-12:00}}}
jobs: {sort the nails: {hours: 1}}
"""


def test_a_wait_beyond_all_years_is_told_in_words():
    by_day, by_season = found_in(WINTERS[0].scenario.replace("20 d", "999999999 w"))[::-1]
    assert "cannot be done for more than a year, and must be by Wed 10 Mar 2027" in by_day.sentence
    assert "cannot be done for more than a year, and must be by Fri 9 Apr 2027" in by_season.sentence


@pytest.mark.parametrize("name", ["hobby", "sideline", "commercial"])
def test_the_winters_that_come_with_it_contradict_nothing(name):
    file = Path(__file__).parents[2] / "scenarios" / f"{name}.yaml"
    scenario, outlook = settle(parse_scenario(file.read_bytes(), str(file)), file.parent)
    assert contradictions(file.read_bytes(), scenario, outlook, str(file)) == ()


# drawn winters


@st.composite
def written(draw, **size) -> dict:
    """What a keeper might write, with waits and dates that are often too much for one winter."""
    with patch.object(drawn, "_read", lambda data: data):
        data = deepcopy(draw(drawn.winters(**size)))
    for task in data["tasks"].values():
        if "wait" in task.get("then", {}) and "kills" not in task:
            task["then"]["wait"] = draw(st.sampled_from(["40 min", "30 h", "3 d", "6 d"]))
        if draw(st.integers(0, 3)) == 0:
            task["within"] = draw(st.sampled_from(["20 h", "40 h"]))
    for lot in data["gear"].values():
        if draw(st.booleans()):
            lot["ready_by"] = drawn._days(draw(st.integers(1, 4)))
    return data


def dumped(data: dict) -> str:
    return yaml.safe_dump(data, allow_unicode=True, sort_keys=False)


def without_path(data: dict, path) -> dict:
    data = deepcopy(data)
    *above, last = path
    at = data
    for key in above:
        at = at[key]
    if path[0] in ("season", "moths") and last in FAR:
        at[last] = FAR[last]
    elif last in ("minutes_each", "hours"):
        at[last] = 1e-9  # so little that it takes no time
    else:
        del at[last]
    return data


@pytest.mark.slow
@settings(max_examples=80, deadline=None, derandomize=True, phases=DRAWN, suppress_health_check=list(HealthCheck))
@given(winters_by_time())
def test_where_only_time_can_be_short_a_plan_leaves_something_just_where_the_file_contradicts_itself(text):
    try:
        scenario = parse_scenario(text, "winter.yaml")
    except ScenarioError:
        assume(False)
    found = contradictions(text, scenario, None, "winter.yaml")
    schedule = solve(build_workload(scenario), seconds=4, workers=1)
    assert schedule.left or not found  # a contradiction is one: no plan does it all
    if "share:" not in text and "could" not in text:
        # none is overlooked; where some pieces go another way than others, which of them does can matter besides
        assert found or not (schedule.left and schedule.certain)


@pytest.mark.slow
def test_a_winter_with_a_plan_that_leaves_nothing_has_no_contradiction():
    seen = Counter()

    @settings(max_examples=40, deadline=None, derandomize=True, phases=DRAWN, suppress_health_check=list(HealthCheck))
    @given(written(days=6, most=3, lots=2, helpers=1))
    def each(data):
        text = dumped(data)
        try:
            scenario = parse_scenario(text, "winter.yaml")
        except ScenarioError:
            assume(False)
        found = contradictions(text, scenario, None, "winter.yaml")
        fit = fits(build_workload(scenario), 2, workers=1).yes
        assert not (fit and found)
        seen[fit, bool(found)] += 1

    each()
    assert min(seen[True, False], seen[False, True]) >= 5, seen


@pytest.mark.slow
@settings(max_examples=120, deadline=None, derandomize=True, phases=DRAWN, suppress_health_check=list(HealthCheck))
@given(st.one_of(written(lots=2, helpers=1), winters_by_time().map(yaml.safe_load)))
def test_no_line_of_a_drawn_core_can_be_left_out(data):
    found = found_in(dumped(data))
    for one in found:
        assert one.lines
        assert one.sentence
        others = {line.path for line in one.lines}
        for line in one.lines:
            left = found_in(dumped(without_path(data, line.path)))
            assert others - {line.path} not in [{other.path for other in other_one.lines} for other_one in left]
