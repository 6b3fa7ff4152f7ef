"""What the impossible winters of these tests are made of: a winter as text, and what it is short of by construction."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from textwrap import dedent, indent

from offseason.remedy.lever import Kind

COLD = """
freeze: {minutes_each: 0.5, kills: true, then: {wait: 20 h, in: freezer}}
seal: {minutes_each: 0.5, seals: true, then: {in: comb room}}
"""
"""A load put in at nine one morning is out, and the next one in, the morning after."""

COAT = "minutes_each: 5, weather: painting, then: {wait: 20 h, on: rack}"
"""A coat dries overnight."""


@dataclass(frozen=True)
class Short:
    """One thing of which there is too little: ``size`` units, by hand; ``steps``: those that could be optional."""

    kind: Kind
    about: str
    size: int
    steps: tuple[str, ...] = ()


@dataclass(frozen=True)
class Impossible:
    """A winter that does not fit for one reason: ``text`` gives it with so many units more of each thing it lacks.

    ``says``: what the keeper must be told is left. ``short``: one thing; or several, none of which is enough alone.
    ``proven``: that it cannot be done; False where people or fit weather come and go within a stretch of work, as a
    piece carried over such a change is not looked into. ``price``: of several things, what they cost together.
    """

    name: str
    says: tuple[str, ...]
    short: tuple[Short, ...]
    text: Callable[..., str]
    proven: bool = True
    price: float = 0.0

    @property
    def as_made(self) -> str:
        """The winter in which nothing is changed."""
        return self.text(*(0 for _ in self.short))


def winter(until: str, prices: str = "", **sections: str) -> str:
    """A winter from Monday 5 October 2026; each section in its own lines, remarks of the keeper between them."""
    parts = ["# our winter, as it looks today", f"season: {{from: 2026-10-05, until: {until}}}  # from a Monday on"]
    for name, lines in {**sections, "prices": prices}.items():
        if lines.strip():
            parts.append(f"{name}:\n{indent(dedent(lines).strip(), '  ')}")
    return "\n".join(parts) + "\n"


def october(day: int) -> str:
    """The day as it is written; 5 is a Monday."""
    return f"2026-10-{day:02d}"


def hours(quarters: int, *, start: int = 9) -> str:
    """So many quarters of an hour from a full hour on."""
    hour, quarter = divmod(4 * start + quarters, 4)
    return f"{start:02d}:00-{hour:02d}:{15 * quarter:02d}"
