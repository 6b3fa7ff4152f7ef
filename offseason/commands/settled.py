"""A scenario as the commands plan and judge by it: what its weather files tell filled in, and checked once more."""

from __future__ import annotations

from pathlib import Path

from offseason.scenario.model import Scenario
from offseason.scenario.read import check_settled
from offseason.weather.outlook import Outlook
from offseason.weather.winter import settle


def settled(scenario: Scenario, path: Path) -> tuple[Scenario, Outlook | None]:
    """The scenario of the file at ``path`` settled, and what its records tell beyond it; None: it names none."""
    filled_in, outlook = settle(scenario, path.parent)
    if outlook is not None:
        check_settled(filled_in, path)
    return filled_in, outlook
