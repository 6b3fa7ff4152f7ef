"""A remedy written into the keeper's own text: what is not changed stays as it was, letter by letter."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from offseason.plan.layout import name_text
from offseason.remedy.changed import changed
from offseason.remedy.lever import Change
from offseason.remedy.puts import Put, puts_of
from offseason.scenario.model import Scenario
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario
from offseason.scenario.words import Days, parse_days
from offseason.scenario.yaml_edit import CannotEditError, Changes, edited
from offseason.scenario.yaml_spans import spans_of
from offseason.scenario.yaml_tree import Node, Path, read_tree

MARK = "# remedy: "
_FILE = "the changed scenario"
_A_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(\.\.[0-9]{4}-[0-9]{2}-[0-9]{2})?")
_REMARK = re.compile(r"(?:^|\s)#\s?(.*)$", re.MULTILINE)


class CannotBePlannedError(CannotEditError):
    """Why what comes of the changes is no scenario that can be planned, in a sentence."""


def applied(text: str, scenario: Scenario, changes: Sequence[Change]) -> str:
    """The text of a scenario with the changes made, a comment above each key that they touch.

    ``scenario``: what the text reads as, not settled. Raises CannotEditError, with a sentence, where the text cannot
    be changed in place, and CannotBePlannedError where the changes themselves do not go with the scenario.
    """
    try:
        after = changed(scenario, changes)
    except (ValueError, OverflowError) as error:
        raise CannotBePlannedError(str(error)) from None
    writer = _Writer(text)
    for put in puts_of(scenario, after):
        writer.put(put)
    done = writer.written()
    try:
        again = parse_scenario(done, _FILE)
    except ScenarioError as error:
        raise CannotBePlannedError(
            f"what comes of it is no scenario that can be planned: {error.problems[0]}"
        ) from None
    if again != after:
        raise CannotEditError("it cannot be written without changing something else")
    return done


@dataclass
class _Writer:
    """Puts values where the text has a place for them, and makes a place where it has none.

    ``missing``: by the path of what is there, the blocks and values to be added in it. ``stand_ins``: words that
    stand for keys which need quotes, until all is checked.
    """

    text: str
    changes: Changes = field(default_factory=Changes)
    missing: dict[Path, dict[str, Any]] = field(default_factory=dict)
    notes: dict[Path, list[str]] = field(default_factory=dict)
    stand_ins: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.tree: Node = read_tree(self.text, _FILE)[0]
        self.spans = spans_of(self.text)

    def put(self, put: Put) -> None:
        """One value: in the place of the old one, under the key of the days that are parted, or added."""
        path = self.as_written(put.path)
        old = self.as_written((*put.path[:-1], str(put.instead_of))) if put.instead_of else None
        if old is not None and old not in self.changes.renamed:  # the first part stands in the place of the whole
            self.changes.renamed[old] = str(put.path[-1])
            path = old
        there = self.tree.at(path)
        if there is None:
            self.add(path, put)
            return
        if put.path[-1] == "holds" and str(there.data).strip().endswith("pieces"):  # a word that may be left out
            self.value(path, f"{put.text} pieces", f"{put.text} pieces")
        else:
            self.value(path, put.text, put.data)
        if put.note:
            self.changes.note(path, put.note)
        self.keep_remarks(path)

    def as_written(self, path: Path) -> Path:
        """The path with its days as the keeper wrote them, where they stand there."""
        block = self.tree.at(path[:-1])
        if block is None or not _A_DAY.fullmatch(str(path[-1])):
            return path
        days = parse_days(path[-1])
        return next(((*path[:-1], key) for key in block.keys if _parsed(key) == days), path)

    def value(self, path: Path, text: str, data: Any) -> None:
        start = self.spans[path].start if path in self.spans else 0
        space = " " if self.text[start - 1 : start] == ":" else ""  # after a key with nothing behind it
        self.changes.values[path] = (f"{space}{text}", data)

    def keep_remarks(self, path: Path) -> None:
        """Comments inside a list that is written anew, as comments above it."""
        span = self.spans.get(path)
        inside = self.text[span.start : span.end] if span else ""
        for remark in _REMARK.findall(inside) if "\n" in inside or "\r" in inside else ():
            self.changes.note(path, f"beside it stood: {' '.join(remark.split())}")

    def add(self, path: Path, put: Put) -> None:
        """Notes what is to be added to the nearest block above that is there."""
        length = max(n for n in range(len(path)) if self.tree.at(path[:n]) is not None)
        block: dict[str, Any] = self.missing.setdefault(path[:length], {})
        for key in path[length:-1]:
            block = block.setdefault(str(key), {})
        block[str(path[-1])] = (put.text, put.data)
        self.notes.setdefault(path[:length], []).extend([put.note] if put.note else [])

    def written(self) -> str:
        """The text with all of it."""
        # What lies deeper goes first: where two are added at the end of the same lines, it stands above the other.
        for path in sorted(self.missing, key=len, reverse=True):
            node, block = self.tree.at(path), self.missing[path]
            if not node or not node.inside:
                self.value(path, _flow(block), _plain(block))
                self.note_above(path)
                continue
            for key, inner in block.items():
                text = inner[0] if isinstance(inner, tuple) else _flow(inner)
                self.changes.added[*path, self.plain_key(key)] = (text, _plain(inner))
            self.note_above(path)
        done = edited(self.text, self.changes, mark=MARK)
        for word, key in self.stand_ins.items():
            done = done.replace(word, _key(key))
        return done

    def note_above(self, path: Path) -> None:
        for note in self.notes[path]:
            self.changes.note(path, note)

    def plain_key(self, key: str) -> str:
        """The key where it needs no quotes, else a word of our own that is not in the text."""
        if _key(key) == key:
            return key
        number = len(self.stand_ins)
        while (word := f"stand-in-{number}-for-a-name") in self.text or word in self.stand_ins:
            number += 1
        self.stand_ins[word] = key
        return word


def _parsed(key: str) -> Days | None:
    try:
        return parse_days(key)
    except ValueError:
        return None


def _key(key: str) -> str:
    return key if _A_DAY.fullmatch(key) else name_text(key)


def _flow(block: Mapping[str, Any]) -> str:
    each = (f"{_key(key)}: {inner[0] if isinstance(inner, tuple) else _flow(inner)}" for key, inner in block.items())
    return f"{{{', '.join(each)}}}"


def _plain(inner: Any) -> Any:
    return inner[1] if isinstance(inner, tuple) else {key: _plain(one) for key, one in inner.items()}
