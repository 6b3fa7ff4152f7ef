"""Minutes of tasks and rounds written anew into a scenario's own text; all else stays as it was, letter by letter."""

from __future__ import annotations

from collections.abc import Mapping

from offseason.scenario.model import Scenario
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario
from offseason.scenario.yaml_edit import CannotEditError, Changes, edited


def minutes_path(scenario: Scenario, name: str) -> tuple[str, str, str] | None:
    """Where the minutes of this task or round stand; None for a job, whose hours are those of one winter."""
    if name in scenario.tasks:
        return ("tasks", name, "minutes_each")
    return ("rounds", name, "minutes") if name in scenario.rounds else None


def with_minutes(text: str, file: str, minutes: Mapping[str, float]) -> str:
    """The text of a scenario with these minutes for one piece of these tasks, or for one of these rounds.

    Raises CannotEditError where it cannot be done without changing more, or where the changed scenario has mistakes.
    """
    scenario = parse_scenario(text, file)
    paths = {name: minutes_path(scenario, name) for name in minutes}
    changed = edited(
        text, Changes(values={path: (f"{minutes[name]:g}", minutes[name]) for name, path in paths.items() if path})
    )
    try:
        parse_scenario(changed, file)
    except ScenarioError as error:
        raise CannotEditError(f"with these minutes it would not hold together: {error.problems[0]}") from None
    return changed
