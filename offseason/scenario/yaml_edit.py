"""Changes to a YAML text in place: what is not changed keeps its layout and its comments.

Every change is also made to the plain data; where the changed text does not read as the changed data, none is made.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from offseason.scenario.problems import ScenarioError
from offseason.scenario.yaml_spans import Span, spans_of
from offseason.scenario.yaml_tree import Path, read_tree

WIDTH = 116
_ANCHOR = re.compile(r"&\S+\s+")


class CannotEditError(Exception):
    """Why a text cannot be changed in place, in a sentence."""


@dataclass
class Changes:
    """What is to be changed: values by path, new keys, keys and items taken away, comments above a key.

    ``values`` and ``added``: the text to write and what it is as data. ``renamed``: the new key of an entry, which
    needs no quotes. ``dropped``: why, for the comment in its place ("" where none is wanted).
    """

    values: dict[Path, tuple[str, Any]] = field(default_factory=dict)
    added: dict[Path, tuple[str, Any]] = field(default_factory=dict)
    renamed: dict[Path, str] = field(default_factory=dict)
    dropped: dict[Path, str] = field(default_factory=dict)
    notes: dict[Path, list[str]] = field(default_factory=dict)
    copies: list[Copy] = field(default_factory=list)

    def without(self, path: Path) -> bool:
        """Whether what stands at ``path``, or what it stands in, is taken away."""
        return any(path[:n] in self.dropped for n in range(1, len(path) + 1))

    def note(self, path: Path, sentence: str) -> None:
        """A comment above the key at ``path``."""
        self.notes.setdefault(path, []).append(sentence)


@dataclass(frozen=True)
class Copy:
    """The entry at ``path`` once more, after it, under another key, with values and keys of its own."""

    path: Path
    key_text: str
    key: str
    changes: Changes
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, order=True)
class _Edit:
    start: int
    end: int
    text: str


def edited(text: str, changes: Changes, *, mark: str = "# ", top: Iterable[str] = ()) -> str:
    """The text with these changes made; comments of ours begin with ``mark``, those at the ``top`` of the file too.

    Raises CannotEditError where the text is written so that no change in place can do it.
    """
    editor = _Editor(text, changes, mark)
    head = "".join(f"{line}{editor.newline}" for sentence in top for line in comment_lines(sentence, mark))
    changed = head + _applied(text, editor.edits(), 0, len(text))
    try:
        tree, problems = read_tree(changed, "the changed file")
    except ScenarioError as error:
        raise CannotEditError(f"the changed file could not be read: {error.problems[0]}") from None
    before, _ = read_tree(text, "the file")
    if problems or tree.data != _as_changed((), before.data, changes):
        raise CannotEditError(
            "a change made in place would have changed more than it should; where the file has & and *, write the "
            "values out"
        )
    return changed


def comment_lines(sentence: str, mark: str, indent: str = "") -> list[str]:
    """The sentence as comment lines, wrapped; the lines after the first stand a little deeper."""
    opening = f"{indent}{mark}"
    return textwrap.wrap(
        sentence,
        WIDTH,
        initial_indent=opening,
        subsequent_indent=f"{opening}  ",
        break_long_words=False,
        break_on_hyphens=False,
    )


class _Editor:
    def __init__(self, text: str, changes: Changes, mark: str) -> None:
        self.text, self.changes, self.mark = text, changes, mark
        self.spans = spans_of(text)
        self.newline = "\r\n" if "\r\n" in text else "\r" if "\r" in text and "\n" not in text else "\n"

    def edits(self) -> list[_Edit]:
        found = list(self.plain(self.changes))
        above: dict[int, list[str]] = {}
        for path, why in self.changes.dropped.items():
            if self.changes.without(path[:-1]):
                continue
            edit, told = self.drop(path, why)
            found.append(edit)
            if told:
                above.setdefault(self.line_start(self.span(path).key_start), []).extend(told)
        for path, sentences in self.changes.notes.items():
            if self.changes.without(path):
                continue
            at = self.line_start(self.span(path).key_start)
            lines = [line for one in sentences for line in comment_lines(one, self.mark, self.indent(at))]
            above.setdefault(at, [])[:0] = lines
        found += [_Edit(at, at, "".join(f"{line}{self.newline}" for line in lines)) for at, lines in above.items()]
        found += self.emptied()
        found += [self.copied(copy) for copy in self.changes.copies]
        return found

    def plain(self, changes: Changes) -> Iterator[_Edit]:
        """Values written anew, and keys added."""
        for path, (new, _) in changes.values.items():
            if changes.without(path):
                continue
            span = self.span(path)
            if span.alias:
                continue  # what it stands for is changed; whether that is meant, the comparison at the end tells
            anchor = _ANCHOR.match(self.text, span.start, span.end)
            yield _Edit(anchor.end() if anchor else span.start, span.end, new)
        for path, key in changes.renamed.items():
            if changes.without(path):
                continue
            yield _Edit(self.span(path).key_start, self.span(path).key_end, key)
        for path, (new, _) in changes.added.items():
            if changes.without(path):
                continue
            parent = self.span(path[:-1])
            if not parent.inside:
                raise CannotEditError(f"nothing can be added to what is empty: {_told(path)}")
            last = self.span(next((p for p in reversed(parent.inside) if p not in changes.dropped), parent.inside[-1]))
            if parent.flow:
                yield _Edit(last.end, last.end, f", {path[-1]}: {new}")
            else:
                at = self.line_end(last.end)
                indent = self.indent(self.span(parent.inside[0]).key_start)
                yield _Edit(at, at, f"{self.newline}{indent}{path[-1]}: {new}")

    def drop(self, path: Path, why: str) -> tuple[_Edit, list[str]]:
        """What takes the entry away, and the comment about it where that stands above the line."""
        span, parent = self.span(path), self.span(path[:-1])
        start, end = span.key_start, span.end
        if not parent.flow:
            first, last = self.line_start(start), self.line_end(end)
            raw = [line.strip() for line in re.split("\r\n|\n|\r", self.text[first:last])]
            indent = self.indent(first)
            lines = [f"{indent}{self.mark}{why}: {raw[0]}", *(f"{indent}{self.mark}  {line}" for line in raw[1:])]
            return _Edit(first, last, self.newline.join(lines)), []
        raw_text = " ".join(self.text[start:end].split())
        told = comment_lines(f"{why}: {raw_text}", self.mark, self.indent(self.line_start(start))) if why else []
        return self.drop_of_flow(path, parent), told

    def drop_of_flow(self, path: Path, parent: Span) -> _Edit:
        """With the comma after it; what goes at the end of the braces goes with the comma before."""
        span, at = self.span(path), parent.inside.index(path)
        if any(later not in self.changes.dropped for later in parent.inside[at + 1 :]):
            after = re.compile(r"\s*,[ \t]*").match(self.text, span.end)
            return _Edit(span.key_start, after.end() if after else span.end, "")
        before = self.span(parent.inside[at - 1]).end if at else span.key_start
        return _Edit(before, span.end, "")

    def emptied(self) -> Iterator[_Edit]:
        """Blocks of lines from which all is taken away: braces, so that nothing does not stand there."""
        for path in {path[:-1] for path in self.changes.dropped}:
            parent = self.spans.get(path)
            gone = parent is not None and all(one in self.changes.dropped for one in parent.inside)
            if parent is None or not gone or parent.flow or path in self.changes.dropped or not path:
                continue
            colon = self.text.index(":", parent.key_end) + 1
            yield _Edit(colon, colon, " []" if isinstance(parent.inside[0][-1], int) else " {}")

    def copied(self, copy: Copy) -> _Edit:
        span, parent = self.span(copy.path), self.span(copy.path[:-1])
        edits = [*self.plain(copy.changes), _Edit(span.key_start, span.key_end, copy.key_text)]
        if parent.flow:
            return _Edit(span.end, span.end, f", {_applied(self.text, edits, span.key_start, span.end)}")
        end = self.line_end(span.end)
        body = _applied(self.text, edits, span.key_start, end)
        indent = self.indent(self.line_start(span.key_start))
        notes = [line for one in copy.notes for line in comment_lines(one, self.mark, indent)]
        return _Edit(end, end, "".join(f"{self.newline}{line}" for line in [*notes, f"{indent}{body}"]))

    def span(self, path: Path) -> Span:
        found = self.spans.get(path)
        if found is None:
            raise CannotEditError(f"{_told(path)} is written by way of & and *; write it out, then it can be changed")
        return found

    def line_start(self, at: int) -> int:
        return max(self.text.rfind("\n", 0, at), self.text.rfind("\r", 0, at)) + 1

    def line_end(self, at: int) -> int:
        found = re.compile("[\r\n]").search(self.text, at)
        return found.start() if found else len(self.text)

    def indent(self, at: int) -> str:
        line = self.text[self.line_start(at) :]
        return line[: len(line) - len(line.lstrip(" "))]


def _told(path: Path) -> str:
    return ", ".join(str(step) for step in path)


def _applied(text: str, edits: Iterable[_Edit], start: int, end: int) -> str:
    """The part of the text with the edits made. Two that fall over each other: CannotEditError."""
    parts, at = [], start
    for edit in sorted(edits, key=lambda edit: (edit.start, edit.end)):
        if edit.start < at:
            raise CannotEditError("two changes fall on the same words of the file")
        parts += [text[at : edit.start], edit.text]
        at = edit.end
    return "".join([*parts, text[at:end]])


def _as_changed(path: Path, data: Any, changes: Changes) -> Any:
    """The plain data as it should read after the changes."""
    if path in changes.values:
        return changes.values[path][1]
    if isinstance(data, list):
        kept = [(n, one) for n, one in enumerate(data) if (*path, n) not in changes.dropped]
        return [_as_changed((*path, n), one, changes) for n, one in kept]
    if not isinstance(data, dict):
        return data
    found = {
        changes.renamed.get((*path, key), key): _as_changed((*path, key), one, changes)
        for key, one in data.items()
        if (*path, key) not in changes.dropped
    }
    found |= {str(new[-1]): value for new, (_, value) in changes.added.items() if new[:-1] == path}
    for copy in changes.copies:
        if copy.path[:-1] == path:
            found[copy.key] = _as_changed(copy.path, data[copy.path[-1]], copy.changes)
    return found
