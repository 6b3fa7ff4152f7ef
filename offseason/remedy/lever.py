"""What a person can change of a winter, by how much, and at what price: the words in which remedies are written."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from offseason.scenario.words import Hours

QUARTER_MINUTES = 15
"""Help is asked for by the quarter of an hour."""


class Kind(StrEnum):
    """What is changed. One unit of each is said beside it."""

    SPACE = "space"  # one more of what the place's ``holds`` is written in
    SEATS = "seats"  # one seat
    HELP = "help"  # a quarter of an hour of one helper in one week
    INDOORS = "indoors"  # one day on which work that needs fit weather has a roof
    EARLIER = "earlier"  # gear that arrives one day earlier
    LATER = "later"  # gear, a job or the season that may be ready one day later
    OPTIONAL = "optional"  # steps of a lot, or a job, that need not be done: all or nothing
    FEWER = "fewer"  # one comb given up


@dataclass(frozen=True)
class Lever:
    """One thing that can be changed by whole units, up to ``most`` of them, each at ``price_each``.

    ``about``: the place, helper, need of weather, lot or job (``job``), by the keeper's name; "" for the season.
    ``days``: for INDOORS, in the order in which they would be hired. ``slots``: for HELP, free stretches in the order
    in which they would be filled. ``steps``: for OPTIONAL of a lot, the steps that go together.
    """

    kind: Kind
    about: str
    most: int
    price_each: float
    days: tuple[date, ...] = ()
    slots: tuple[tuple[date, Hours], ...] = ()
    steps: tuple[str, ...] = ()
    job: bool = False


@dataclass(frozen=True)
class Change:
    """A lever moved by ``size`` units, at least 1."""

    lever: Lever
    size: int

    @property
    def price(self) -> float:
        """What it costs, in the keeper's money."""
        return self.size * self.lever.price_each


@dataclass(frozen=True)
class Remedy:
    """Changes that together make the winter fit, as a plan has proved.

    ``least``: proven that no less of it does (of one change: one unit less; of several: nothing cheaper).
    """

    changes: tuple[Change, ...]
    least: bool

    @property
    def price(self) -> float:
        """What it costs together, in the keeper's money."""
        return sum(change.price for change in self.changes)


@dataclass(frozen=True)
class Found:
    """What a search for remedies found.

    ``singles``: each enough alone, cheapest first. ``together``: the cheapest that is enough where no single one is
    (None: none was found, or it was not needed). ``all_tried``: no lever was left untried for want of time.
    ``impossible``: it was proven on the way that the winter as it is has no plan of counts. ``stopped``: by the keeper.
    """

    singles: tuple[Remedy, ...]
    together: Remedy | None
    all_tried: bool
    seconds: float
    impossible: bool = False
    stopped: bool = False

    @property
    def remedies(self) -> tuple[Remedy, ...]:
        """All of them, in the order in which they are numbered from 1."""
        return (*self.singles, *((self.together,) if self.together is not None else ()))
