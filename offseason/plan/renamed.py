"""Helpers who are called otherwise in the scenario than in the plan: what was promised to them stays theirs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from offseason.plan.document import Row
from offseason.scenario.hours import hours_on
from offseason.scenario.model import HelperEntry, Scenario
from offseason.scenario.nearest import nearest

LEAST_SHARE = 0.5
"""Of the rows planned for the one, the other could do at least so many at their hours: else they are two. Ours."""

NO_WORSE_SHARE = 0.75
"""And at least so many of the rows that any other new one could do: else it is not clear which one it is. Ours."""


def renamed(rows: Iterable[Row], scenario: Scenario) -> dict[str, str]:
    """Old name -> new name of helpers that are called otherwise now, where that is clear.

    ``rows``: all of a plan, done or not. Names of work to come that the scenario does not have are matched with names
    of the crew that no row has: those spelled alike where no other is; else the only one gone with the only one new.
    Either must be able to do most of that work at its hours, and nobody else new much more of it. Nobody is matched
    twice.
    """
    rows = tuple(rows)
    ahead = [row for row in rows if not row.done]
    there = {name for row in rows for name in row.who}
    gone = sorted({name for row in ahead for name in row.who} - scenario.crew.keys())
    new = sorted(scenario.crew.keys() - there)
    pairs = dict(_alike(gone, new))
    if not pairs and len(gone) == len(new) == 1:
        pairs = {gone[0]: new[0]}
    return {old: name for old, name in pairs.items() if _could_do_most(scenario, name, old, ahead, new)}


def in_new_names(rows: Iterable[Row], names: Mapping[str, str]) -> tuple[Row, ...]:
    """The rows with the new names in what is to come; what is done was done by whom it says.

    Where the helper cannot do a row any more, or is not there, the row is theirs all the same: as one that cannot be.
    """
    return tuple(row if row.done else replace(row, who=tuple(names.get(n, n) for n in row.who)) for row in rows)


def said_of_renamed(names: Mapping[str, str]) -> tuple[str, ...]:
    """A sentence for each helper that is taken for another; names as they were written, not yet cleaned."""
    return tuple(
        f"{old} is no longer in the scenario and {new} is new there: taken for the same person."
        for old, new in sorted(names.items())
    )


def _alike(gone: list[str], new: list[str]) -> Iterator[tuple[str, str]]:
    """Pairs spelled alike of which neither is like any other."""
    for old in gone:
        name = _only_one_like(old, new)
        if name is not None and _only_one_like(name, gone) == old:
            yield old, name


def _only_one_like(word: str, known: list[str]) -> str | None:
    found = nearest(word, known)
    others = [name for name in known if name != found]
    return found if nearest(word, others) is None else None


def _could_do_most(scenario: Scenario, name: str, old: str, ahead: Iterable[Row], new: Iterable[str]) -> bool:
    """Whether ``name`` could do most of the work of ``old``, and no other new one much more of it."""
    own = [row for row in ahead if old in row.who]
    could = {one: sum(_able_and_there(scenario.crew[one], row) for row in own) for one in new}
    return could[name] >= max(LEAST_SHARE * len(own), NO_WORSE_SHARE * max(could.values()))


def _able_and_there(helper: HelperEntry, row: Row) -> bool:
    able = (helper.can is None or row.step in helper.can) and row.step not in helper.cannot
    start, end = row.start.replace(fold=0), row.end.replace(fold=0)
    return able and any(hours.start <= start and end <= hours.end for hours in hours_on(helper, row.day))
