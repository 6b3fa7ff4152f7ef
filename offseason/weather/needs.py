"""What each kind of weather in a scenario must be like, for those that records can tell of."""

from __future__ import annotations

from offseason.scenario.fit import limits_of
from offseason.scenario.model import NeedEntry, Scenario
from offseason.trade.fitness import NEEDS, Limits


def asked_for(scenario: Scenario) -> tuple[str, ...]:
    """The kinds of weather some work cannot do without, in the order of the scenario."""
    needs = [task.weather for task in scenario.tasks.values()]
    needs += [job.weather for job in scenario.jobs.values()]
    needs += [inspection.weather for inspection in scenario.rounds.values()]
    return tuple(dict.fromkeys(need for need in needs if need is not None))


def needs_of(scenario: Scenario) -> dict[str, Limits]:
    """The kinds of weather that can be judged from records, and their limits.

    Those are: each one described under ``needs``, and each one that work asks for or likes if it is a word of
    ``trade.fitness.NEEDS``. Any other has no limits to judge it by, and is fit only in its windows by hand.
    """
    liked = (task.likes_weather for task in scenario.tasks.values() if task.likes_weather is not None)
    used = dict.fromkeys((*asked_for(scenario), *liked))
    entries = {name: NeedEntry() for name in used if name in NEEDS} | scenario.weather.needs
    return {name: limits_of(name, entry) for name, entry in entries.items()}
