"""Order that bites its own tail: needs, before and after."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, islice
from typing import TypeVar

from offseason.scenario.core import smallest
from offseason.scenario.draft import Draft, Finding
from offseason.scenario.nearest import listed
from offseason.scenario.yaml_tree import Path

Unit = tuple[str, str]
"""A step of a lot (lot, step), or a job (its name, "")."""
U = TypeVar("U", bound=Hashable)

_MOST_RINGS = 20
"""Rings that are looked at; nobody mends more before asking again. Ours."""


def order_findings(draft: Draft) -> Iterator[Finding]:
    """Every ring of work that waits for itself, once each, with all the lines that close it."""
    needs = {name: [n for n in task.needs if n in draft.tasks] for name, task in draft.tasks.items()}
    for tasks in _rings(needs):
        paths: list[Path] = [
            ("tasks", task, "needs", draft.tasks[task].needs.index(need))
            for task, need in zip(tasks, [*tasks[1:], tasks[0]], strict=True)
        ]
        text = f"{_shown([*tasks, tasks[0]])}: each needs the next, so none can be first{_change_one(draft, paths)}"
        yield Finding(("tasks", tasks[0], "needs"), text)
    waits = _waits(draft)
    told: set[Path] = set()
    for any_ring in islice(_rings(_after(waits)), _MOST_RINGS):
        core = _core(waits, any_ring)
        ring = next(_rings(_after(core)))
        paths = sorted({path for wait in core for path in wait.said}, key=draft.tree.place)
        orders = [path for path in paths if path[0] == "jobs"]
        if orders and told.isdisjoint(orders):
            told.update(orders)
            # what waits leads back in time; the keeper reads forward
            begins = ring.index(min(ring, key=lambda unit: _written_at(draft, unit)))
            ring = [*ring[begins:], *ring[:begins]]
            words = [step or name for name, step in (ring[0], *reversed(ring[1:]), ring[0])]
            text = f"{_shown(words)}: each comes before the next, so none can be first{_change_one(draft, paths)}"
            yield Finding(orders[0], text)


def _written_at(draft: Draft, unit: Unit) -> tuple[tuple[int, int], int]:
    name, step = unit
    section = "gear" if step else "jobs"
    return draft.tree.place((section, name), of_key=True), draft.gear[name].steps.index(step) if step else 0


def _change_one(draft: Draft, paths: Sequence[Path]) -> str:
    """The end of a sentence about lines that cannot all be true; nothing where they are on one line."""
    lines = sorted({draft.tree.place(path)[0] for path in paths})
    return f"; change line {listed(map(str, lines), 'or')}" if len(lines) > 1 else ""


def _shown(words: Sequence[str]) -> str:
    return " → ".join(f"'{word[:60]}'" for word in words)


@dataclass(frozen=True)
class _Wait:
    """``then`` waits for ``first``, by these lines together."""

    then: Unit
    first: Unit
    said: frozenset[Path]


def _core(waits: Sequence[_Wait], ring: Sequence[Unit]) -> list[_Wait]:
    """The waits of the fewest lines that still close a ring, of those that close this one."""
    pairs = set(zip(ring, [*ring[1:], ring[0]], strict=True))
    of_ring = [wait for wait in waits if (wait.then, wait.first) in pairs]
    lines = list(dict.fromkeys(path for wait in of_ring for path in wait.said))

    def standing(kept: Sequence[Path]) -> list[_Wait]:
        known = set(kept)
        return [wait for wait in waits if wait.said <= known]

    return standing(smallest(lines, lambda kept: next(_rings(_after(standing(kept))), None) is not None))


def _after(waits: Sequence[_Wait]) -> dict[Unit, list[Unit]]:
    after: dict[Unit, list[Unit]] = {unit: [] for wait in waits for unit in (wait.first, wait.then)}
    for wait in waits:
        after[wait.then].append(wait.first)
    return after


def _waits(draft: Draft) -> list[_Wait]:
    """What waits for what, and where the scenario says so: steps of a lot for all that stand before them."""
    lots = {name: list(dict.fromkeys(lot.steps)) for name, lot in draft.gear.items()}
    units: dict[Unit, frozenset[Path]] = {(name, ""): frozenset() for name in draft.jobs}
    found: list[_Wait] = []
    for name, steps in lots.items():
        at = draft.gear[name].steps.index
        said: dict[str, Path] = {step: ("gear", name, "steps", at(step)) for step in steps}
        units |= {(name, step): frozenset({said[step]}) for step in steps}
        # neighbours first: a ring is then told with every step it goes through
        pairs = sorted(combinations(range(len(steps)), 2), key=lambda pair: pair[1] - pair[0])
        found += [
            _Wait((name, steps[n]), (name, steps[m]), frozenset({said[steps[n]], said[steps[m]]})) for m, n in pairs
        ]

    def named(word: str) -> list[Unit]:
        return [(word, "")] if word in draft.jobs else [unit for unit in units if unit[1] and word in unit]

    for name, job in draft.jobs.items():
        me = (name, "")
        for n, word in enumerate(job.before):
            path: Path = ("jobs", name, "before", n)
            found += [_Wait(unit, me, units[unit] | {path}) for unit in named(word)]
        for n, word in enumerate(job.after):
            path = ("jobs", name, "after", n)
            found += [_Wait(me, unit, units[unit] | {path}) for unit in named(word)]
    return found


def _rings(after: Mapping[U, Sequence[U]]) -> Iterator[list[U]]:
    """Rings in a graph, one for each way back to something already waited for; walked without recursion."""
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
                yield steps[steps.index(here) :]
            elif here not in done:
                trail[here] = None
                ahead.append(iter(after[here]))
