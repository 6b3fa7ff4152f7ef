"""The remedies found, kept beside the scenario: written whole, read back strictly."""

from __future__ import annotations

import math
import re
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from offseason.plan.document import WeatherFile
from offseason.plan.layout import name_text, number_text
from offseason.plan.origin import digest_of
from offseason.plan.values import (
    Values,
    day_of,
    digest_of_file,
    moment_of,
    name_of,
    number_of,
    pieces_of,
    text_of,
    whole_of,
    word_of,
    yes_or_no_of,
)
from offseason.plan.whole import write_whole
from offseason.remedy.lever import Change, Found, Kind, Lever, Remedy
from offseason.scenario.decode import MAX_BYTES
from offseason.scenario.problems import Problem, ScenarioError, all_told
from offseason.scenario.words import Hours, parse_date, parse_hours, shown
from offseason.scenario.yaml_tree import Node, read_tree
from offseason.scenario.yaml_tree import Path as YamlPath

FORMAT = 1
_END = "end: of the remedies"
_HEADER = ("format", "scenario", "sha256", "made", "all_tried", "seconds", "records", "remedies", "end")
_REMEDY = ("number", "least", "together", "changes")
_CHANGE = ("kind", "about", "size", "most", "price_each", "days", "slots", "steps", "job")
_RECORD = ("file", "sha256")
_MAY_BE_LEFT_OUT = ("records", "end", "together", "days", "slots", "steps", "job")
_OURS = re.compile(rb"^format:\s*\d+\s*$.*^all_tried:", re.MULTILINE | re.DOTALL)
_MOST_OF_HEAD = 65_536
_MOST_PRICE = 1e12
_AGAIN = "run `offseason remedies` again"


class RemediesFileError(Exception):
    """The file of remedies cannot be used; ``problems``: every mistake found, each once, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__(all_told(self.problems))


@dataclass(frozen=True)
class Kept:
    """Remedies as kept: for which scenario and which records of weather they were found, and when."""

    scenario_file: str
    scenario_sha256: str
    made: datetime
    found: Found
    records: tuple[WeatherFile, ...] = ()


def remedies_path(scenario: Path) -> Path:
    """Where the remedies for this scenario are kept: ``winter.remedies.yaml`` beside ``winter.yaml``."""
    return scenario.with_suffix(".remedies.yaml")


def unfit_for_remedies(path: Path) -> str | None:
    """Why no remedies can be kept at ``path``, in a sentence; None where they can. Errors: OSError, ValueError."""
    if not path.exists():
        return None
    ours = stat.S_ISREG(path.stat().st_mode)
    if ours:
        with path.open("rb") as stream:
            ours = _OURS.search(stream.read(_MOST_OF_HEAD).replace(b"\r", b"\n")) is not None
    return (
        None if ours else f"{path} is not a file of remedies of offseason; it was left as it is. Give it another name."
    )


def changed_since(kept: Kept, scenario: Path) -> tuple[str, ...]:
    """Names of the files that are other than when the remedies were found, or gone: the scenario, weather beside it."""
    files = [(scenario.name, scenario, kept.scenario_sha256)]
    files += [(one.file, scenario.parent / one.file, one.sha256) for one in kept.records]
    return tuple(name for name, path, digest in files if not _is_still(path, digest))


def _is_still(path: Path, digest: str) -> bool:
    try:
        return digest_of(path) == digest
    except (OSError, ValueError):
        return False


def write_remedies(path: Path, kept: Kept) -> None:
    """Writes the file in one go, over one that was there. Errors: OSError, ValueError; the old one then stays."""
    write_whole(path, remedies_file_text(kept).encode())


def remedies_file_text(kept: Kept) -> str:
    """The file as text: a short header, then the remedies with their numbers."""
    return "\n".join([*_lines(kept), _END, ""])


def _lines(kept: Kept) -> Iterator[str]:
    yield "# What would make a winter fit that does not, found and numbered by offseason. Not to be edited: each run of"
    yield "# `offseason remedies` writes it anew; `offseason remedies FILE --apply 1` takes the first of them from it."
    yield f"format: {FORMAT}"
    yield f"scenario: {name_text(kept.scenario_file)}"
    yield f'sha256: "{kept.scenario_sha256}"'
    yield f'made: "{kept.made.isoformat(sep=" ")}"'
    yield f"all_tried: {_truth(kept.found.all_tried)}"
    yield f"seconds: {number_text(round(kept.found.seconds, 1))}"
    if kept.records:
        yield "records:"
        yield from (f'  - {{file: {name_text(one.file)}, sha256: "{one.sha256}"}}' for one in kept.records)
    yield "remedies:" if kept.found.remedies else "remedies: []"
    for number, remedy in enumerate(kept.found.remedies, 1):
        yield f"  - number: {number}"
        yield f"    least: {_truth(remedy.least)}"
        if number > len(kept.found.singles):
            yield "    together: true"
        yield "    changes:"
        yield from (f"      - {{{', '.join(_change(change))}}}" for change in remedy.changes)


def _change(change: Change) -> Iterator[str]:
    lever = change.lever
    yield f"kind: {lever.kind.value}"
    yield f"about: {name_text(lever.about)}"
    yield f"size: {change.size}"
    yield f"most: {lever.most}"
    yield f"price_each: {number_text(lever.price_each)}"
    if lever.days:
        yield f"days: [{', '.join(day.isoformat() for day in lever.days)}]"
    if lever.slots:
        yield f"slots: [{', '.join(f'{day} {hours}' for day, hours in lever.slots)}]"
    if lever.steps:
        yield f"steps: [{', '.join(map(name_text, lever.steps))}]"
    if lever.job:
        yield "job: true"


def _truth(truth: bool) -> str:
    return "true" if truth else "false"


def read_remedies(path: Path) -> Kept:
    """The remedies kept at ``path``. Raises RemediesFileError with every mistake, or why it cannot be opened."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise _refused(path, f"this is not a file of remedies; {_AGAIN}")
        with path.open("rb") as stream:
            source = stream.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise _refused(path, f"no remedies are kept here yet; {_AGAIN.removesuffix(' again')} first") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "the name is not one a file can have"
        raise _refused(path, f"the file cannot be read: {why}") from None
    return parse_remedies(source, str(path))


def _refused(path: Path, text: str) -> RemediesFileError:
    return RemediesFileError([Problem(str(path), 0, 0, text)])


def parse_remedies(source: str | bytes, file: str) -> Kept:
    """The remedies written in ``source``; ``file``: its name in messages. Raises RemediesFileError."""
    try:
        tree, problems = read_tree(source, file)
    except ScenarioError as error:
        raise RemediesFileError([Problem(p.file, p.line, p.column, f"{p.text}; {_AGAIN}") for p in error.problems[:1]]
                                ) from None  # fmt: skip
    if isinstance(tree.data, dict) and "end" not in tree.data:
        raise RemediesFileError([Problem(file, 0, 0, f"this is no file of remedies, or not a whole one; {_AGAIN}")])
    reader = _Reader(file, tree, list(problems))
    kept = reader.kept()
    if reader.problems or kept is None:
        raise RemediesFileError(reader.problems)
    return kept


class _Reader(Values):
    """Reads one file of remedies."""

    def kept(self) -> Kept | None:
        if not self.block((), _HEADER, "a file of remedies", may_be_left_out=_MAY_BE_LEFT_OUT):
            return None
        number = self.get(("format",), whole_of)
        if number is not None and number != FORMAT:
            self.say(
                ("format",), f"this is layout {number} of the file, and only layout {FORMAT} can be read; {_AGAIN}"
            )
        scenario, digest = self.get(("scenario",), name_of), self.get(("sha256",), digest_of_file)
        made, all_tried = self.get(("made",), moment_of), self.get(("all_tried",), yes_or_no_of)
        seconds = self.get(("seconds",), _amount)
        records = [self.record(("records", n)) for n in self.items(("records",))]
        remedies = [self.remedy(n) for n in self.items(("remedies",))]
        if scenario is None or digest is None or made is None or seconds is None or None in remedies:
            return None
        known = [one for one in remedies if one is not None]
        last = self.tree.at(("remedies", len(known) - 1, "together"))
        together = bool(known) and last is not None and last.data is True
        singles = tuple(known[:-1] if together else known)
        found = Found(singles, known[-1] if together else None, bool(all_tried), seconds)
        return Kept(scenario, digest, made, found, tuple(one for one in records if one))

    def record(self, path: YamlPath) -> WeatherFile | None:
        if not self.block(path, _RECORD, "a file of weather", may_be_left_out=()):
            return None
        file, digest = self.get((*path, "file"), name_of), self.get((*path, "sha256"), digest_of_file)
        return None if file is None or digest is None else WeatherFile(file, digest)

    def remedy(self, at: int) -> Remedy | None:
        path: YamlPath = ("remedies", at)
        if not self.block(path, _REMEDY, "a remedy", may_be_left_out=_MAY_BE_LEFT_OUT):
            return None
        number, least = self.get((*path, "number"), whole_of), self.get((*path, "least"), yes_or_no_of)
        together = self.get((*path, "together"), yes_or_no_of)
        if number is not None and number != at + 1:
            self.say((*path, "number"), f"remedy {number} stands where {at + 1} belongs; {_AGAIN}")
        if together and self.tree.at(("remedies", at + 1)) is not None:
            self.say((*path, "together"), f"only the last remedy is one of several changes together; {_AGAIN}")
        changes = [self.change((*path, "changes", n)) for n in self.items((*path, "changes"))]
        if not changes and self.tree.at((*path, "changes")) is not None:
            self.say((*path, "changes"), f"a remedy changes something, and here stands nothing; {_AGAIN}")
        known = tuple(one for one in changes if one is not None)
        return Remedy(known, bool(least)) if len(known) == len(changes) else None

    def change(self, path: YamlPath) -> Change | None:
        if not self.block(path, _CHANGE, "a change", may_be_left_out=_MAY_BE_LEFT_OUT):
            return None
        kind, about = self.get((*path, "kind"), _kind), self.get((*path, "about"), text_of)
        size, most = self.get((*path, "size"), pieces_of), self.get((*path, "most"), pieces_of)
        price = self.get((*path, "price_each"), _amount)
        days = [self.get((*path, "days", n), day_of) for n in self.items((*path, "days"))]
        slots = [self.get((*path, "slots", n), _slot) for n in self.items((*path, "slots"))]
        steps = [self.get((*path, "steps", n), name_of) for n in self.items((*path, "steps"))]
        job = self.get((*path, "job"), yes_or_no_of)
        if size is not None and most is not None and not 1 <= size <= most:
            self.say((*path, "size"), f"{size} is not between 1 and {most}, the most of it; {_AGAIN}")
        if kind is None or about is None or size is None or most is None or price is None:
            return None
        lever = Lever(
            kind, about, most, price,
            days=tuple(day for day in days if day),
            slots=tuple(slot for slot in slots if slot),
            steps=tuple(step for step in steps if step),
            job=bool(job),
        )  # fmt: skip
        return Change(lever, size)


def _kind(node: Node) -> Kind:
    text = word_of(node, "a kind of change")
    known = next((kind for kind in Kind if kind.value == text), None)
    if known is None:
        raise ValueError(f"{shown(text)} is not a kind of change; there are {', '.join(Kind)}")
    return known


def _slot(node: Node) -> tuple[date, Hours]:
    first, _, hours = word_of(node, "a day and hours").partition(" ")
    return parse_date(first), parse_hours(hours)


def _amount(node: Node) -> float:
    number = number_of(node)
    if not (math.isfinite(number) and 0 <= number <= _MOST_PRICE):
        raise ValueError(f"{shown(node.text)} is not an amount; {_AGAIN}")
    return number
