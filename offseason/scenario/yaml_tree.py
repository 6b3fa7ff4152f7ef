"""YAML as a keeper means it: plain data with the line and column of every key and value.

Scalars are read as in the YAML 1.2 core schema, cut down: only ``true`` and ``false`` are booleans, ``12:30``, dates,
``no``, ``on`` and ``off`` stay text, whole and decimal numbers are decimal. Built from parser events without
recursion, so that neither deep nesting nor aliases of aliases can exhaust the machine.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from offseason.scenario.decode import decoded
from offseason.scenario.problems import MOST_TOLD, Problem, ScenarioError
from offseason.scenario.yaml_words import syntax_problem

MAX_DEPTH = 20
MAX_NODES = 20_000  # keys and values; the largest winter that comes with the program has 1,000
# The C parser is some ten times faster; its errors are told again by the Python one, whose wording is known to us.
_FAST = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_MAX_CHARACTERS_TOLD_AGAIN = 300_000

_NULLS = {"", "~", "null", "Null", "NULL"}
_BOOLS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_INT = re.compile(r"[-+]?[0-9]{1,300}")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]{1,300}(\.[0-9]*)?)([eE][-+]?[0-9]{1,4})?")
_NO_SPACE = re.compile(r"([^:]+):[\[{]")
# Categories Cc and Cs of Unicode, and signs that turn the direction of what is written.
_ODD = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff\u202a-\u202e\u2066-\u2069]")

Mark = tuple[int, int]
Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Node:
    """A value of the file: its place, what it is as plain data, its text if a scalar, and what is inside it.

    ``keys``: the place of each key. ``aside``: what stands under a key that was already there.
    """

    mark: Mark
    data: Any
    text: str | None = None
    inside: dict[str | int, Node] = field(default_factory=dict)
    keys: dict[str, Mark] = field(default_factory=dict)
    aside: dict[str, Node] = field(default_factory=dict)
    size: int = 1
    depth: int = 1

    def at(self, path: Path) -> Node | None:
        """The value at a path of keys and list indices; None where the file has none."""
        node: Node | None = self
        for step in path:
            node = node.inside.get(step) if node else None
        return node

    def place(self, path: Path, *, of_key: bool = False) -> Mark:
        """Line and column of the value at ``path``, or of its key; where there is none, of the nearest key above."""
        for length in range(len(path), 0, -1):
            above, last = self.at(path[: length - 1]), path[length - 1]
            if above is None or last not in above.inside:
                continue
            if isinstance(last, str) and (of_key or length < len(path)):
                return above.keys[last]
            return above.inside[last].mark
        return self.mark


@dataclass
class _Open:
    """A list or block of lines that is still being read."""

    mark: Mark
    anchor: str | None
    is_block: bool
    inside: dict[str | int, Node] = field(default_factory=dict)
    keys: dict[str, Mark] = field(default_factory=dict)
    aside: dict[str, Node] = field(default_factory=dict)
    key: str | None = None
    awaits_value: bool = False
    size: int = 1
    depth: int = 1

    def closed(self) -> Node:
        data: Any = {k: n.data for k, n in self.inside.items()}
        if not self.is_block:
            data = list(data.values())
        return Node(self.mark, data, None, self.inside, self.keys, self.aside, self.size, self.depth + 1)


def read_tree(source: str | bytes, file: str, *, most_entries: int = MAX_NODES) -> tuple[Node, list[Problem]]:
    """The tree of a file, and mistakes that leave the rest readable (equal keys, tags, odd characters).

    ``most_entries``: keys and values, aliases written out, beyond which the file is refused.
    Raises ScenarioError where the file cannot be read on: no YAML, nothing in it, too deep, too much by aliases.
    """
    text = decoded(source, file)
    tell_again = _FAST is not yaml.SafeLoader and len(text) <= _MAX_CHARACTERS_TOLD_AGAIN
    for loader in (_FAST, yaml.SafeLoader) if tell_again else (_FAST,):
        builder = _Builder(file, most_entries)
        try:
            return builder.build(yaml.parse(text, Loader=loader))
        except (yaml.YAMLError, ValueError, OverflowError) as error:
            problems = [*builder.problems, syntax_problem(error, text, file)]
    raise ScenarioError(problems)


class _Builder:
    """Puts the events of the parser together."""

    def __init__(self, file: str, most_entries: int) -> None:
        self.file = file
        self.most_entries = most_entries
        self.problems: list[Problem] = []
        self.anchors: dict[str, Node | None] = {}
        self.open: list[_Open] = []
        self.root: Node | None = None
        self.entries = 0

    def build(self, events: Iterator[Any]) -> tuple[Node, list[Problem]]:
        for event in events:
            mark = (event.start_mark.line + 1, event.start_mark.column + 1)
            if isinstance(event, yaml.DocumentStartEvent) and self.root is not None:
                raise self.stopped(mark, "a second document begins here (---); keep one to a file")
            if isinstance(event, yaml.AliasEvent):
                self.add(self.alias(event.anchor, mark), mark)
            elif isinstance(event, yaml.NodeEvent):
                self.node(event, mark)
            elif isinstance(event, yaml.CollectionEndEvent):
                closed = self.open.pop()
                self.add(self.anchored(closed.anchor, closed.closed()), closed.mark)
        if self.root is None or (self.root.data is None and self.root.text == ""):
            raise self.stopped((0, 0), "the file is empty; `offseason start` writes a scenario to begin with")
        return self.root, self.problems

    def node(self, event: Any, mark: Mark) -> None:
        self.count(1, mark)
        if event.tag is not None:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            self.say(
                mark,
                f"'{tag[:60]}' begins with !, which has a meaning of its own; delete it, or put the text in quotes",
            )
        if event.anchor is not None:
            self.anchors[event.anchor] = None
        if isinstance(event, yaml.ScalarEvent):
            self.scalar(event, mark)
            return
        if len(self.open) >= MAX_DEPTH:
            raise self.stopped(mark, f"blocks and lists are nested more than {MAX_DEPTH} deep; 6 are enough")
        self.open.append(_Open(mark, event.anchor, isinstance(event, yaml.MappingStartEvent)))

    def scalar(self, event: Any, mark: Mark) -> None:
        text = event.value
        odd = _ODD.search(text)
        if odd and odd[0] in "\n\r":
            self.say(mark, "this text runs over several lines; write it on one")
        elif odd:
            self.say(mark, f"this text has a character that cannot be printed (U+{ord(odd[0]):04X}); delete it")
        plain = event.implicit[0] and not event.style
        self.add(self.anchored(event.anchor, Node(mark, scalar_value(text) if plain else text, text)), mark)

    def alias(self, anchor: str | None, mark: Mark) -> Node:
        if anchor is None or anchor not in self.anchors:
            self.say(mark, f"'*{anchor}' refers to '&{anchor}', which is not above; in plain text put it in quotes")
            return Node(mark, None)
        node = self.anchors[anchor]
        if node is None:
            raise self.stopped(mark, f"'*{anchor}' stands inside what it refers to; write it out")
        if len(self.open) + node.depth > MAX_DEPTH:
            raise self.stopped(mark, f"blocks and lists are nested more than {MAX_DEPTH} deep; 6 are enough")
        self.count(node.size, mark)
        return node

    def count(self, entries: int, mark: Mark) -> None:
        self.entries += entries
        if self.entries > self.most_entries:
            raise self.stopped(
                mark, f"the file comes to more than {self.most_entries:,} entries by here; is this the right file?"
            )

    def anchored(self, anchor: str | None, node: Node) -> Node:
        if anchor is not None:
            self.anchors[anchor] = node
        return node

    def add(self, node: Node, mark: Mark) -> None:
        if not self.open:
            self.root = node
            return
        parent = self.open[-1]
        parent.size += node.size
        parent.depth = max(parent.depth, node.depth)
        if not parent.is_block:
            parent.inside[len(parent.inside)] = node
        elif not parent.awaits_value:
            parent.key = self.key_of(node, mark, parent)
            parent.awaits_value = True
        else:
            parent.awaits_value = False
            if parent.key is not None:
                (parent.aside if parent.key in parent.inside else parent.inside)[parent.key] = node

    def key_of(self, node: Node, mark: Mark, parent: _Open) -> str | None:
        if node.text is None:
            self.say(
                mark, "a list or block cannot be a key; write a name before the colon, in quotes if it has brackets"
            )
            return None
        if node.text == "" or (node.data is None and node.text == "~"):
            self.say(mark, "the name before the colon is missing")
            return None
        if node.text == "<<":
            self.say(mark, "merging blocks with << is not understood here; write the lines out")
            return None
        if stuck := _NO_SPACE.match(node.text):
            self.say(mark, f"the colon after '{stuck[1][:60]}' wants a space after it")
            parent.keys.setdefault(stuck[1], mark)
            return None
        if node.text in parent.keys:
            first = parent.keys[node.text][0]
            self.say(
                mark,
                f"'{node.text[:60]}' is already written on line {first}; keep one of the two, or put them together",
            )
        parent.keys.setdefault(node.text, mark)
        return node.text

    def say(self, mark: Mark, text: str) -> None:
        self.problems.append(Problem(self.file, *mark, text))
        if len(self.problems) > MOST_TOLD:
            raise ScenarioError(self.problems)

    def stopped(self, mark: Mark, text: str) -> ScenarioError:
        self.say(mark, text)
        return ScenarioError(self.problems)


def scalar_value(text: str) -> str | int | float | bool | None:
    """What an unquoted word means: nothing, true or false, a number, else text."""
    if text in _NULLS:
        return None
    if text in _BOOLS:
        return _BOOLS[text]
    if _INT.fullmatch(text):
        return int(text)
    if _FLOAT.fullmatch(text):
        number = float(text)
        return number if math.isfinite(number) else text
    return text
