"""Order that bites its own tail: needs, before and after."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import TypeVar

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.yaml_tree import Path

Unit = tuple[str, str]
"""A step of a lot (lot, step), or a job (its name, "")."""
U = TypeVar("U", bound=Hashable)


def order_findings(draft: Draft) -> Iterator[Finding]:
    """Every ring of work that waits for itself, once each."""
    needs = {name: [n for n in task.needs if n in draft.tasks] for name, task in draft.tasks.items()}
    for tasks in _rings(needs):
        text = f"{_shown([*tasks, tasks[0]])}: each needs the next, so none can be first"
        yield Finding(("tasks", tasks[0], "needs"), text)
    after, where = _waits(draft)
    told: set[Path] = set()
    for ring in _rings(after):
        paths = [where[pair] for pair in zip(ring, [*ring[1:], ring[0]], strict=True) if pair in where]
        if told.isdisjoint(paths) and paths:
            told.update(paths)
            path = min(paths, key=draft.tree.place)
            # `after` leads back in time; the keeper reads forward.
            forward = [ring[0], *reversed(ring[1:]), ring[0]]
            words = [step or name for name, step in forward]
            yield Finding(path, f"{_shown(words)}: each comes before the next, so none can be first")


def _shown(words: Sequence[str]) -> str:
    return " → ".join(f"'{word[:60]}'" for word in words)


def _waits(draft: Draft) -> tuple[dict[Unit, list[Unit]], dict[tuple[Unit, Unit], Path]]:
    """What each unit waits for, and where the scenario says so (steps of one lot simply follow one another)."""
    lots = {name: list(dict.fromkeys(lot.steps)) for name, lot in draft.gear.items()}
    after: dict[Unit, list[Unit]] = {(name, step): [] for name, steps in lots.items() for step in steps}
    after |= {(name, ""): [] for name in draft.jobs}
    where: dict[tuple[Unit, Unit], Path] = {}
    for name, steps in lots.items():
        for one, two in pairwise(steps):
            after[(name, two)].append((name, one))

    def units(word: str) -> list[Unit]:
        if word in draft.jobs:
            return [(word, "")]
        return [unit for unit in after if unit[1] and word in unit]

    for name, job in draft.jobs.items():
        me = (name, "")
        for n, word in enumerate(job.before):
            for unit in units(word):
                after[unit].append(me)
                where.setdefault((unit, me), ("jobs", name, "before", n))
        for n, word in enumerate(job.after):
            for unit in units(word):
                after[me].append(unit)
                where.setdefault((me, unit), ("jobs", name, "after", n))
    return after, where


def _rings(after: Mapping[U, Sequence[U]]) -> list[list[U]]:
    """Rings in a graph, one for each way back to something already waited for; walked without recursion."""
    rings: list[list[U]] = []
    done: set[U] = set()
    for start in after:
        trail: dict[U, None] = {}
        ahead = [iter([start])]
        while ahead:
            here = next(ahead[-1], None)
            if here is None:
                ahead.pop()
                if trail:
                    done.add(trail.popitem()[0])
            elif here in trail:
                steps = list(trail)
                rings.append(steps[steps.index(here) :])
            elif here not in done:
                trail[here] = None
                ahead.append(iter(after[here]))
    return rings
