"""How large a scenario may be: far more than any winter has, and so little that checks and plans come to an end.

All bounds are ours. Some checks compare each entry with each other one, and the solver weighs each step on each day.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.hours import fit_on, hours_on, season_days
from offseason.scenario.times import can_be_planned
from offseason.scenario.yaml_tree import Node, Path

MOST_IN: Mapping[str, int] = MappingProxyType(
    {"crew": 100, "places": 100, "tasks": 200, "gear": 300, "jobs": 200, "rounds": 100, "supplies": 300}
)
"""Entries of a section."""

MOST_ELSEWHERE = 1_000
"""Entries of any other list or block: more than there are days in the longest season."""

MOST_STEPS = 40
MOST_STEPS_IN_ALL = 2_500
FEWEST_STEPS = 50
MOST_WEIGHED = 500_000
"""Steps times stretches of hours, each ended by people or weather that come or go: 20 times those of the largest winter
that comes with the program. The solver takes some 1.5 kB and 10 µs for each. Of few steps the stretches alone are
bounded, as if there were FEWEST_STEPS."""

MOST_ROUNDS = 2_000
"""Times that rounds come back, all together: each is planned by itself."""

MOST_PIECES_IN_ALL = 10_000_000
"""The audit follows each comb by itself, with some 50 bytes for each."""

_DAY_S = 86_400


def too_large(tree: Node) -> Iterator[Finding]:
    """What of the file is more than can be planned together; where there is any of it, nothing else is looked at."""
    yield from _too_long(tree, ())
    gear = tree.inside.get("gear")
    lots = [lot for lot in gear.inside.values() if isinstance(lot.data, dict)] if gear else []
    steps = [lot.data["steps"] for lot in lots if isinstance(lot.data.get("steps"), list)]
    if (number := sum(map(len, steps))) > MOST_STEPS_IN_ALL:
        text = f"the lots have {number:,} steps in all, more than the {MOST_STEPS_IN_ALL:,} that can be planned at once"
        yield Finding(("gear",), f"{text}; put lots together that go through the same work", on_key=True)
    counts = [lot.data["count"] for lot in lots if type(lot.data.get("count")) is int]
    # what one lot cannot have is told at that lot
    if (pieces := sum(count for count in counts if count <= MOST_PIECES_IN_ALL)) > MOST_PIECES_IN_ALL:
        text = f"the lots have {pieces:,} pieces in all, more than the {MOST_PIECES_IN_ALL:,} that can be planned"
        yield Finding(("gear",), f"{text}; is a count wrong?", on_key=True)


def too_many_changes(draft: Draft) -> Iterator[Finding]:
    """That rounds come back too often, or people and weather come and go too often for so many steps.

    The hours fit are those in the draft: written by hand, and once it is settled those that records tell.
    """
    season = draft.season
    if season is None or not can_be_planned(season):
        return
    windows = list(draft.weather.windows.values())
    stretches = 0
    for day in season_days(season.from_, season.until):
        hours = [one for helper in draft.crew.values() for one in hours_on(helper, day)]
        if hours:
            hours += [one for of_need in windows for one in fit_on(of_need, day)]
            stretches += len({edge for one in hours for edge in one.minutes}) - 1
    times = sum(
        season.days * _DAY_S // one.every for one in draft.rounds.values() if isinstance(one.every, int) and one.every
    )
    if times > MOST_ROUNDS:
        text = f"the rounds come back {times:,} times in all, more than the {MOST_ROUNDS:,} that can be planned"
        yield Finding(("rounds",), f"{text}; make one round of those alike, or write longer times", on_key=True)
    steps = sum(len(lot.steps) for lot in draft.gear.values()) + len(draft.jobs) + len(draft.rounds)
    if stretches * max(steps, FEWEST_STEPS) > MOST_WEIGHED:
        text = (
            f"{steps:,} steps, jobs and rounds in {stretches:,} stretches of hours, each ended by people or weather "
            "that come or go, are more than can be planned at once; let people come and go together, or put lots "
            "together"
        )
        yield Finding(("crew",), text, on_key=True)


def _too_long(node: Node, path: Path) -> Iterator[Finding]:
    """Lists and blocks with too many entries; not recursive beyond the few levels that a tree can have."""
    most = _most_at(path)
    if len(node.inside) > most:
        what = f"'{str(path[-1])[:60]}' has" if path else "the file has"
        text = f"{what} {len(node.inside):,} entries, and {most:,} is the most that can be planned at once"
        yield Finding(path, f"{text}; put together what is alike, or is this the wrong file?", on_key=True)
        return
    for key, inner in node.inside.items():
        if inner.inside:
            yield from _too_long(inner, (*path, key))


def _most_at(path: Path) -> int:
    match path:
        case (str() as section,) if section in MOST_IN:
            return MOST_IN[section]
        case ("gear", _, "steps"):
            return MOST_STEPS
    return MOST_ELSEWHERE
