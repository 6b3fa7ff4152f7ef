"""The plan as it is handed out: what page, calendar and sheets are all made from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from offseason.plan.document import Row


@dataclass(frozen=True)
class HandedOut:
    """One row of the plan. ``id``: the same in every plan that has this row; no other row of a plan has it.

    ``begins``, ``ends``: in the scenario's time zone; without a zone where it names none. ``cautions``: words that
    stand beside it. ``record``: the line with which ``offseason record`` takes it as done.
    """

    id: str
    row: Row
    begins: datetime
    ends: datetime
    cautions: tuple[str, ...]
    record: str


@dataclass(frozen=True)
class Deadline:
    """A day by whose end something is to be so; ``lot`` None: it concerns no single lot."""

    day: date
    words: str
    lot: str | None = None


@dataclass(frozen=True)
class ChangeLine:
    """What changes for one person on one day, in words, with its reason."""

    day: date
    who: str
    words: str


@dataclass(frozen=True)
class Changed:
    """What is different from the plan shared last, which was made at ``since``."""

    since: datetime
    lines: tuple[ChangeLine, ...]


@dataclass(frozen=True)
class Handout:
    """A plan with all that its readers need, names as they were written (not yet cleaned or escaped).

    ``entries``: in order of time, done ones too (``row.done``). ``care``: word of caution and its sentence. ``left``: a
    sentence on each thing that does not fit. ``winter_id``: the same for every plan of this winter, also after the
    scenario was edited.
    """

    name: str
    first: date
    last: date
    timezone: str | None
    made: datetime
    since: datetime | None
    entries: tuple[HandedOut, ...]
    people: tuple[str, ...]
    lots: tuple[str, ...]
    care: tuple[tuple[str, str], ...]
    last_word: str
    deadlines: tuple[Deadline, ...]
    left: tuple[str, ...]
    weather: tuple[str, ...]
    changes: Changed | None
    winter_id: str
