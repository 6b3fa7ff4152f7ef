"""A mistake in a scenario file, with its place, and the error that carries all mistakes of a file."""

from __future__ import annotations

from collections.abc import Iterable
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


class ScenarioError(Exception):
    """The file cannot be used; ``problems`` lists every mistake found, each once, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(p) for p in self.problems))
