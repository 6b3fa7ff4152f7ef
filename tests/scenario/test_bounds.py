"""A scenario may be far larger than any winter, and not so large that nobody can wait for what is said of it."""

from __future__ import annotations

import pytest

from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario

SEASON = "season: {from: 2026-10-05, until: 2027-03-28}\nmoths: {season_starts: 2027-04-20}\n"
CREW = "crew: {Ines: {works: {mon-sun: 09:00-17:00}}}\n"


def named(section: str, number: int, entry: str) -> str:
    return f"{section}:\n" + "".join(f"  {section} {n}: {{{entry}}}\n" for n in range(number))


def told(text: str) -> str:
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(text, "winter.yaml")
    return str(caught.value)


LOTS = "piece: feeder, count: 1"


@pytest.mark.parametrize(
    ("section", "number", "entry"),
    [
        ("gear", 301, LOTS),
        ("jobs", 201, "hours: 1"),
        ("rounds", 101, "every: 14 d, minutes: 5"),
        ("places", 101, "seats: 1"),
        ("tasks", 201, "minutes_each: 1"),
    ],
)
def test_more_than_can_be_planned_at_once_is_told_in_one_sentence(section, number, entry):
    assert told(SEASON + CREW + named(section, number, entry)) == (
        f"winter.yaml:4:1: '{section}' has {number} entries, and {number - 1} is the most that can be planned at once; "
        "put together what is alike, or is this the wrong file?"
    )


def test_as_much_as_may_be_is_read():
    scenario = parse_scenario(SEASON + CREW + named("gear", 300, LOTS), "winter.yaml")
    assert len(scenario.gear) == 300


def test_too_many_people():
    assert "'crew' has 101 entries, and 100 is the most" in told(
        SEASON + named("crew", 101, "works: {mon: 09:00-10:00}")
    )


def test_a_list_longer_than_any_season():
    away = ", ".join(["2026-11-01"] * 1_001)
    assert told(f"{SEASON}crew: {{Ines: {{works: {{mon: 09:00-10:00}}, away: [{away}]}}}}\n").startswith(
        "winter.yaml:3:42: 'away' has 1,001 entries, and 1,000 is the most"
    )


def test_pieces_of_all_lots_together():
    text = SEASON + CREW + named("gear", 2, "piece: feeder, count: 5000001")
    assert told(text) == (
        "winter.yaml:4:1: the lots have 10,000,002 pieces in all, more than the 10,000,000 that can be planned; "
        "is a count wrong?"
    )


def test_steps_of_all_lots_together():
    tasks = named("tasks", 40, "minutes_each: 1")
    steps = ", ".join(f"tasks {n}" for n in range(40))
    assert "the lots have 2,520 steps in all, more than the 2,500" in told(
        SEASON + CREW + tasks + named("gear", 63, f"{LOTS}, steps: [{steps}]")
    )


def test_people_who_come_and_go_at_each_minute():
    hours = ", ".join(f"{hour:02}:{{n:02}}-{hour:02}:{{m:02}}" for hour in range(24))
    crew = "".join(f"  Person {n}: {{works: {{mon-sun: [{hours.format(n=n, m=n + 30)}]}}}}\n" for n in range(1, 29))
    stretches = (28 * 2 * 24 - 1) * 175  # people, comings and goings of each, days of the season
    assert told(f"{SEASON}crew:\n{crew}{named('jobs', 2, 'hours: 6')}") == (
        f"winter.yaml:3:1: 2 steps, jobs and rounds in {stretches:,} stretches of hours, each ended by people or "
        "weather that come or go, are more than can be planned at once; let people come and go together, or put lots "
        "together"
    )


def test_rounds_that_come_back_each_day():
    assert told(SEASON + CREW + named("rounds", 12, "every: 1 d, minutes: 5")) == (
        "winter.yaml:4:1: the rounds come back 2,100 times in all, more than the 2,000 that can be planned; make one "
        "round of those alike, or write longer times"
    )


def test_more_stretches_in_a_day_than_it_has_hours():
    hours = ", ".join(f"{n // 60:02}:{n % 60:02}-{n // 60:02}:{n % 60 + 1:02}" for n in range(0, 50, 2))
    assert "25 stretches of hours in one day are too many; write 24 at most" in told(
        f"{SEASON}crew: {{Ines: {{works: {{mon: [{hours}]}}}}}}\n"
    )


def test_of_thousands_of_mistakes_a_hundred_are_told_and_that_there_are_more():
    lines = told(SEASON + CREW + "".join(f"wether {n}: 1\n" for n in range(900))).splitlines()
    assert len(lines) == 101
    assert lines[-1] == "winter.yaml: there are more mistakes; put these 100 right, and they are told"
