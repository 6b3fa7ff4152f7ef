"""What is different between two plans of one winter, as frozen data: each change with its reason, and what comes of it.

An *entry* is what one person does of one step of one lot on one day, all its stretches added up. People know their
work by it; at which minute of the day it comes is read from the plan on the day.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from enum import StrEnum
from typing import NamedTuple

from offseason.plan.document import Plan
from offseason.plan.reading import CombSafety
from offseason.scenario.model import Scenario
from offseason.weather.outlook import Outlook
from offseason.workload.model import Workload


class Key(NamedTuple):
    """Which entry: the day, the person, the lot and the step."""

    day: date
    person: str
    lot: str
    step: str


@dataclass(frozen=True)
class Side:
    """One of the two plans, and what is known of the winter it was made for (None: not known).

    The scenario is a settled one, with the outlook and the workload that belong to it.
    """

    plan: Plan
    scenario: Scenario | None = None
    outlook: Outlook | None = None
    workload: Workload | None = None


class Kind(StrEnum):
    """What becomes of an entry. MOVED: its pieces are done on another day, by another person, or both."""

    NEW = "new"
    MOVED = "moved"
    DROPPED = "dropped"
    FEWER = "fewer"
    MORE = "more"
    HOURS = "at another time of the day"


class Cause(StrEnum):
    """What kind of thing is to blame; ``FIT``: nothing is known to be, the new plan only comes out so."""

    WEATHER = "weather"
    PERSON = "person"
    PLACE = "place"
    GEAR = "gear"
    GONE = "gone"
    PACE = "pace"
    NOT_DONE = "not done"
    DONE_SOONER = "done sooner"
    ASKED = "asked for"
    POSSIBLE_NOW = "possible now"
    ORDER = "order"
    KNOCK_ON = "knock-on"
    FIT = "fit"


@dataclass(frozen=True)
class Reason:
    """Why an entry changes, as a sentence without its full stop."""

    cause: Cause
    text: str


TO_FIT_THE_REST = Reason(Cause.FIT, "to fit the rest")
"""Nothing was found of the work itself, and other work of the same plan has to change."""

NO_REASON = Reason(Cause.FIT, "no reason was found")
"""Nothing was found of the work itself, and nothing else is known to have to change."""


@dataclass(frozen=True)
class Change:
    """One change of the entry ``key``: of its ``of_pieces``, so many ``pieces`` that take one ``minutes`` in all.

    ``to``: the entry that a MOVED one becomes, or becomes part of. ``overdue``: it was planned for a day that is over,
    and was not done. ``starts``: when the work began that day and when it begins now, where the day stays the same.
    """

    kind: Kind
    key: Key
    pieces: int
    of_pieces: int
    minutes: float = 0.0
    to: Key | None = None
    overdue: bool = False
    starts: tuple[time, time] | None = None
    why: Reason = NO_REASON


@dataclass(frozen=True)
class Presence:
    """From when to when a person is called on a day, before and now; None: not called."""

    before: tuple[time, time] | None = None
    after: tuple[time, time] | None = None


@dataclass(frozen=True)
class Result:
    """What a plan comes to: each lot of comb that must be protected, and the last day of work that must be done.

    Rounds do not count there: they go on all winter.
    """

    comb: tuple[CombSafety, ...] = ()
    must_ends: date | None = None


@dataclass(frozen=True)
class Changes:
    """All that is different from ``since`` on (None: in the whole winter), in order of day, person and work.

    ``entries``: how many the old plan has from then on. ``changed``: those with other pieces, and those that only one
    of the plans has. ``before``, ``after``: what the plans come to, None where no workload is known.
    """

    entries: int
    changed: frozenset[Key]
    changes: tuple[Change, ...]
    presences: Mapping[tuple[str, date], Presence] = field(default_factory=dict)
    before: Result | None = None
    after: Result | None = None
    since: datetime | None = None
