"""The plan as a document: frozen rows a keeper reads, edits by hand and compares with ``git diff``.

Reading and writing the file are in ``offseason.plan.file``; judging it is in ``offseason.plan.audit``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Literal

How = Literal["undone", "open", "late", "overfull"]


@dataclass(frozen=True)
class Row:
    """One piece of work: on ``day``, by the local clock, ``who`` does ``step`` on ``pieces`` of ``lot``.

    ``set_up_minutes`` of the stretch are set-up. ``done``: it was done so, and is planned no more. ``line``: line in
    the plan file, None when never written.
    """

    day: date
    start: time
    end: time
    who: tuple[str, ...]
    lot: str
    step: str
    pieces: int
    at: str | None = None
    set_up_minutes: float = 0.0
    line: int | None = None
    done: bool = False


@dataclass(frozen=True)
class Aim:
    """How an aim ended: reached, best possible (proven bound), in ``unit``; ``gap_percent`` between them."""

    aim: str
    unit: str
    reached: float
    best_possible: float
    gap_percent: float


@dataclass(frozen=True)
class WeatherFile:
    """A file of weather the plan was made with: its name as the scenario has it, and its SHA-256."""

    file: str
    sha256: str


@dataclass(frozen=True)
class LeftOver:
    """Must-do work or protection that did not fit: ``pieces`` of ``lot`` at ``step``, and how they are left.

    ``how``: "undone" (the step is never done to them), "open" (combs open to moths after their treat-by day; ``step``
    is the one that makes them safe), "late" (the step comes later than its ``within`` allows, or protection that wears
    off is renewed too late), "overfull" (a ``place`` has so many spaces, or pieces where it counts in those, too few
    for what arrives there; ``since``: the day from which on it is too full; no lot and no step are named).
    """

    lot: str
    step: str
    pieces: int
    how: How
    place: str = ""
    since: date | None = None

    @property
    def key(self) -> tuple[str, str, How, str]:
        """What is said once at most, whatever the number."""
        return self.lot, self.step, self.how, self.place


@dataclass(frozen=True)
class Plan:
    """A winter's plan with where it came from: the scenario's file name and SHA-256, when and how it was made.

    ``weather``: sentences on what weather it was made for, none where the hours were given by hand. ``since``: the
    moment from which it was planned anew, by the clock on the wall; None: a plan of the whole winter. ``records``: the
    files that weather is from, none where it does not say. ``left``: what the plan says did not fit.
    """

    scenario_file: str
    scenario_sha256: str
    made: datetime
    made_with: str
    proven: bool
    aims: tuple[Aim, ...]
    rows: tuple[Row, ...]
    weather: tuple[str, ...] = ()
    since: datetime | None = None
    records: tuple[WeatherFile, ...] = ()
    left: tuple[LeftOver, ...] = ()
