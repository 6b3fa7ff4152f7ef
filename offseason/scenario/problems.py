"""A mistake in a scenario file, with its place, and the error that carries all mistakes of a file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake in plain words, in ``file`` at ``line`` and ``column``, both from 1; line 0: the file as a whole."""

    file: str
    line: int
    column: int
    text: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}: {self.text}" if self.line else f"{self.file}: {self.text}"


MOST_TOLD = 100
"""Mistakes told at once; nobody mends more before asking again."""


def all_told(problems: Sequence[Problem]) -> str:
    """The mistakes, one a line; of very many the first, and that there are more."""
    lines = [str(problem) for problem in problems[:MOST_TOLD]]
    if len(problems) > MOST_TOLD:
        lines.append(f"{problems[0].file}: there are more mistakes; put these {MOST_TOLD} right, and they are told")
    return "\n".join(lines)


class ScenarioError(Exception):
    """The file cannot be used; ``problems`` lists every mistake found, each once, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__(all_told(self.problems))
