"""A scenario as far as it can be read: the sound entries, and which ones hold a mistake.

So that checks between entries can run on the rest, and a name written in a mistaken entry still counts as known.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from offseason.scenario.model import (
    Entry,
    GearEntry,
    HelperEntry,
    JobEntry,
    Moths,
    PlaceEntry,
    PricesEntry,
    RoundEntry,
    Scenario,
    Season,
    SupplyEntry,
    TaskEntry,
    WeatherEntry,
)
from offseason.scenario.nearest import nearest
from offseason.scenario.plain_words import SECTIONS, fields_of, model_at, sentence
from offseason.scenario.problems import MOST_TOLD
from offseason.scenario.yaml_tree import Node, Path

E = TypeVar("E", bound=Entry)
T = TypeVar("T")


@dataclass(frozen=True)
class Finding:
    """A mistake at a path of the file: on the key there, or on its value."""

    path: Path
    text: str
    on_key: bool = False


@dataclass(frozen=True)
class Draft:
    """What could be read. ``season`` and ``moths`` are None where missing or mistaken.

    ``broken``: (section, name) of entries with a mistake in them; they appear here without the mistaken values, or
    with an example in place of one that must be there. ``mistaken``: (section, name, key) of those values.
    """

    tree: Node
    season: Season | None
    moths: Moths | None
    weather: WeatherEntry
    prices: PricesEntry
    crew: dict[str, HelperEntry]
    places: dict[str, PlaceEntry]
    tasks: dict[str, TaskEntry]
    gear: dict[str, GearEntry]
    jobs: dict[str, JobEntry]
    rounds: dict[str, RoundEntry]
    supplies: dict[str, SupplyEntry]
    broken: frozenset[tuple[str, str]] = frozenset()
    mistaken: frozenset[tuple[str, str, str]] = frozenset()

    def names(self, section: str) -> list[str]:
        """All names written in a section: also in mistaken entries, and where the section is written twice or amiss."""
        blocks = [self.tree.inside.get(section), self.tree.aside.get(section)]
        blocks += [node for key, node in self.tree.inside.items() if _meant(str(key)) == section]
        return [name for node in blocks if node for name in node.keys]

    def sound(self, section: str, name: str) -> bool:
        """Whether the entry is there and holds no mistake of its own."""
        return name in getattr(self, section) and (section, name) not in self.broken

    def sound_in(self, section: str, name: str, *keys: str) -> bool:
        """Whether the entry is there and none of these values is mistaken, whatever else in it is."""
        return name in getattr(self, section) and not any((section, name, key) in self.mistaken for key in keys)

    def readable(self, section: str) -> bool:
        """Whether the section as a whole is a block of names, so that a name missing from it is really missing."""
        return (section, "") not in self.broken

    def line(self, *path: str) -> int:
        """Line of the key at a path."""
        return self.tree.place(path, of_key=True)[0]

    def keyed(self, path: Path, parse: Callable[[str], T]) -> list[tuple[str, T]]:
        """The keys of the block at ``path`` as written and as understood; those not understood are left out."""
        node, found = self.tree.at(path), []
        for key in node.keys if node else ():
            try:
                found.append((key, parse(key)))
            except ValueError:
                continue
        return found


def _meant(key: str) -> str | None:
    return nearest(key, SECTIONS) if key not in fields_of(Scenario) else None


def draft_of(tree: Node) -> tuple[Draft, list[Finding], Scenario | None]:
    """The draft, the mistakes within single values, and the scenario itself where there are none."""
    data = without_empty(tree.data)
    try:
        scenario, errors = Scenario.model_validate(data), []
    except ValidationError as error:
        scenario, errors = None, error.errors(include_url=False)
    findings: dict[tuple[Path, bool], Finding] = {}
    bad: dict[tuple[str, str], set[str]] = {}
    for detail in errors:
        if len(findings) <= MOST_TOLD:
            finding = _finding(detail, tree)
            findings.setdefault((finding.path, finding.on_key and detail["type"] != "missing"), finding)
        path = (*(str(p) for p in detail["loc"]), "", "", "")
        bad.setdefault((path[0], path[1] if path[0] in SECTIONS else ""), set()).add(
            path[2] if path[0] in SECTIONS else path[1]
        )

    def block(key: str, model: type[E]) -> E | None:
        return _repaired(model, data.get(key), bad.get((key, ""), set()))

    def section(key: str, model: type[E]) -> dict[str, E]:
        entries = data.get(key)
        made = {
            name: _repaired(model, value, bad.get((key, name), set()))
            for name, value in (entries.items() if isinstance(entries, dict) else ())
        }
        return {name: entry for name, entry in made.items() if entry is not None}

    draft = Draft(
        tree,
        block("season", Season) if ("season", "") not in bad else None,
        block("moths", Moths) if ("moths", "") not in bad else None,
        block("weather", WeatherEntry) or WeatherEntry(),
        block("prices", PricesEntry) or PricesEntry(),
        section("crew", HelperEntry),
        section("places", PlaceEntry),
        section("tasks", TaskEntry),
        section("gear", GearEntry),
        section("jobs", JobEntry),
        section("rounds", RoundEntry),
        section("supplies", SupplyEntry),
        frozenset(bad),
        frozenset((*entry, key) for entry, keys in bad.items() for key in keys),
    )
    return draft, list(findings.values()), scenario


def draft_of_scenario(scenario: Scenario, tree: Node) -> Draft:
    """A sound scenario as a draft, for checks on what was added to it after reading; ``tree``: the file it is from."""
    return Draft(
        tree=tree,
        season=scenario.season,
        moths=scenario.moths,
        weather=scenario.weather,
        prices=scenario.prices,
        crew=scenario.crew,
        places=scenario.places,
        tasks=scenario.tasks,
        gear=scenario.gear,
        jobs=scenario.jobs,
        rounds=scenario.rounds,
        supplies=scenario.supplies,
    )


def without_empty(value: Any, path: Path = ()) -> Any:
    """The data less keys with nothing after them, and no names known: a key left empty counts as left out.

    Only in blocks whose keys are described; ``2026-10-18:`` in a list of hours means no hours.
    """
    if not isinstance(value, dict):
        return {} if value is None and path and _holds_names(path[:-1]) else value
    model = model_at(path)
    named = _holds_names(path)
    return {
        key: without_empty(inner, (*path, key)) if model or named else inner
        for key, inner in value.items()
        if not (model and inner is None and key in fields_of(model))
    }


def _holds_names(path: Path) -> bool:
    """Whether the keys of the block at this path are names, each with a described block of its own."""
    return path in (("weather", "needs"), ("prices", "new")) or (len(path) == 1 and path[0] in SECTIONS)


def _finding(detail: ErrorDetails, tree: Node) -> Finding:
    location = detail["loc"]
    on_key = location[-1] == "[key]" or detail["type"] in ("extra_forbidden", "missing")
    path: Path = location[:-1] if location[-1] == "[key]" else location
    while detail["type"] != "missing" and path and tree.at(path) is None:
        path = path[:-1]
    text = sentence(detail, path, tree)
    node = tree.at(path)
    if not on_key and node and isinstance(node.data, list):
        culprit = (k for k, n in node.inside.items() if n.text and text.startswith(f"'{n.text[:60]}"))
        path = (*path, *list(culprit)[:1])
    return Finding(path, text, on_key)


def _repaired(model: type[E], value: Any, mistaken: set[str]) -> E | None:
    """The entry less its mistaken values, an example in place of those it needs; None where it is no entry at all."""
    if not isinstance(value, dict):
        return None
    needed = {key: (f.examples or [None])[0] for key, f in fields_of(model).items() if f.is_required()}
    try:
        return model.model_validate(
            {key: needed[key] for key in mistaken & needed.keys()}
            | {key: known for key, known in value.items() if key not in mistaken}
        )
    except ValidationError:
        return None
