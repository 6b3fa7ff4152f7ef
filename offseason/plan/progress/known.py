"""The names a short line may use, and which of them some words are meant to be."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from offseason.plan.progress.words import Found, Word, is_plain, pieces_of_text
from offseason.scenario.model import Scenario
from offseason.workload.model import Lot, Workload

PERSON, LOT, STEP, WHOLE = "person", "lot", "step", "whole"
_COST_OF_A_LETTER = 20
_COST_OF_A_BEGINNING = 20
_LEAST_OF_A_BEGINNING = 3
_COST_OF_ANOTHER_LOOK = 3  # capitals, accents, commas


@dataclass(frozen=True)
class Known:
    """People, lots of gear, kinds of work on them, and jobs and rounds (``whole``: lot and work in one)."""

    people: tuple[str, ...]
    gear: tuple[str, ...]
    tasks: tuple[str, ...]
    whole: tuple[str, ...]
    lots: dict[str, tuple[Lot, ...]]

    def steps(self, lot: str) -> tuple[str, ...]:
        """The kinds of work on a lot this winter, in order."""
        return tuple(dict.fromkeys(step.task for one in self.lots.get(lot, ())[:1] for step in one.steps))

    def with_step(self, step: str) -> tuple[str, ...]:
        """The lots that this work is done to this winter."""
        return tuple(name for name in (*self.gear, *self.whole) if step in self.steps(name))

    def by_kind(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Each kind with its names."""
        return (PERSON, self.people), (LOT, self.gear), (STEP, self.tasks), (WHOLE, self.whole)

    @cached_property
    def names(self) -> tuple[_Name, ...]:
        """All names, ready to compare with words."""
        return tuple(
            _Name(kind, name, tuple(pieces_of_text(name)), loose(name), frozenset(loose(name)))
            for kind, names in self.by_kind()
            for name in names
        )

    def meant(self, words: Sequence[Word], at: int, *, forgive: bool) -> Iterator[Found]:
        """The names that the words from ``at`` on may be.

        ``forgive``: also with a slip of the fingers in them, or where only their beginning is written.
        """
        for end in range(at + 1, min(len(words), at + self._longest) + 1):
            span = words[at:end]
            if any(word.quoted for word in span) and len(span) > 1:
                return
            yield from self._same(span, end)
            if forgive and not _begins_or_ends_in_a_sign(span):
                yield from self._alike(span, end)
                yield from self._begun(span, end)

    @cached_property
    def _longest(self) -> int:
        return max((len(name.words) for name in self.names), default=1) + 2

    def _same(self, span: Sequence[Word], end: int) -> Iterator[Found]:
        written, key = tuple(word.text for word in span), loose(" ".join(word.text for word in span))
        for name in self.names:
            if written in {name.words, (name.name,)}:
                yield Found(name.kind, end, name.name)
            elif key == name.key and not _begins_or_ends_in_a_sign(span):
                yield Found(name.kind, end, name.name, _COST_OF_ANOTHER_LOOK)

    def _alike(self, span: Sequence[Word], end: int) -> Iterator[Found]:
        key = loose(" ".join(word.text for word in span))
        most = 0 if len(key) < 3 else 1 if len(key) < 8 else 2
        letters = frozenset(key)
        near: dict[str, list[tuple[int, str]]] = {}
        for name in self.names:
            # far ones are looked at too, to see whether the nearest is clearly meant
            if most and abs(len(name.key) - len(key)) <= most + 1 and len(letters ^ name.letters) <= 2 * (most + 1):
                near.setdefault(name.kind, []).append((_slips(key, name.key, most + 1), name.name))
        for kind, found in near.items():
            (slips, nearest), *others = sorted(found)
            clear = not others or others[0][0] > slips + 1
            clear = clear and not _a_word_too_many(span, loose(nearest), slips)
            if 0 < slips <= most and clear and _digits(key) == _digits(loose(nearest)) and len(loose(nearest)) > 3:
                yield Found(kind, end, nearest, _COST_OF_A_LETTER * slips)

    def _begun(self, span: Sequence[Word], end: int) -> Iterator[Found]:
        """Names of which only the beginning is written. Where they are several, the rest of the line has to tell."""
        key = loose(" ".join(word.text for word in span))
        if len(key) < _LEAST_OF_A_BEGINNING or key.isdigit() or any(w.quoted or is_plain(w.text) for w in span):
            return
        for name in self.names:
            # numbers are what tells lots apart, so they have to be written
            if name.key != key and name.key.startswith(key) and _digits(name.key) == _digits(key):
                yield Found(name.kind, end, name.name, _COST_OF_A_BEGINNING)


@dataclass(frozen=True)
class _Name:
    kind: str
    name: str
    words: tuple[str, ...]
    key: str
    letters: frozenset[str]


def known(scenario: Scenario, workload: Workload) -> Known:
    """The names of a winter."""
    lots: dict[str, tuple[Lot, ...]] = {}
    for lot in workload.lots:
        lots[lot.stated] = (*lots.get(lot.stated, ()), lot)
    whole = (*scenario.jobs, *scenario.rounds)
    return Known(tuple(scenario.crew), tuple(scenario.gear), tuple(scenario.tasks), whole, lots)


def loose(text: str) -> str:
    """The letters and digits of a text, without capitals and accents; where it has none, all but its blanks."""
    plain = unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", text).casefold())
    return "".join(c for c in plain if c.isalnum()) or "".join(plain.split())


def _a_word_too_many(span: Sequence[Word], key: str, slips: int) -> bool:
    """Whether the span is as near to the name without its first or last word, which then means something else."""
    shorter = [" ".join(word.text for word in part) for part in (span[1:], span[:-1]) if part]
    return any(_slips(loose(text), key, slips) <= slips for text in shorter)


def _begins_or_ends_in_a_sign(span: Sequence[Word]) -> bool:
    """Whether a sign stands at the edge that belongs to no name, as in ``+ Joss``."""
    return any(word.text in {"+", "&", ","} for word in (span[0], span[-1]))


def _digits(text: str) -> str:
    return "".join(c for c in text if c.isdigit())


def _slips(one: str, two: str, most: int) -> int:
    """Letters put in, left out, changed or swapped between the two; ``most`` + 1 where they are more."""
    before_last: list[int] = []
    last = list(range(len(two) + 1))
    for i, a in enumerate(one, 1):
        row = [i]
        for j, b in enumerate(two, 1):
            cost = min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (a != b))
            if i > 1 and j > 1 and a == two[j - 2] and one[i - 2] == b:
                cost = min(cost, before_last[j - 2] + 1)
            row.append(cost)
        if min(row) > most:
            return most + 1
        before_last, last = last, row
    return min(last[-1], most + 1)
