"""What is known of the room to spare in a plan that keeps every promise: plain results, found and printed elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from offseason.plan.reading import CombSafety

SAME = 1e-9
"""Two values of an aim that differ by less are the same: they are whole numbers times a unit."""


@dataclass(frozen=True)
class StepStart:
    """A step of a lot: the day the plan begins it, and the last day on which it could begin with everything kept.

    ``last``: a plan was found that begins it then. ``not_after``: it is proven that none begins it later; the same
    day as ``last`` where the last day is proven.
    """

    lot: str
    step: str
    begins: date
    last: date
    not_after: date

    @property
    def proven(self) -> bool:
        """Whether ``last`` is the last day for certain."""
        return self.last >= self.not_after

    @property
    def days(self) -> int:
        """Days from the one on which the plan begins it to the last."""
        return (self.last - self.begins).days


@dataclass(frozen=True)
class Use:
    """What was used of a resource in a week, as a share of what there was (1: nothing left).

    ``what``: "person" (hours), "place" (seats), "weather" (fit hours) or "space" (at its fullest moment).
    """

    what: str
    name: str
    share: float


@dataclass(frozen=True)
class Week:
    """A week of the plan by its Monday: hours of people worked in it, and how full each resource is, fullest first."""

    monday: date
    hours: float
    uses: tuple[Use, ...]


@dataclass(frozen=True)
class Gain:
    """What one more unit brings in one aim, in the aim's unit; less of an aim is better.

    ``found``: how much less the plan made with it comes to than the one made without, both in the same time.
    ``sure``: proven to be gained at least; ``most``: proven not to be exceeded. ``whole``: that is all there is of it,
    so nothing was proven.
    """

    aim: str
    unit: str
    found: float
    sure: float
    most: float
    whole: bool = False

    @property
    def nothing(self) -> bool:
        """Whether it is proven that nothing is gained in this aim."""
        return self.most <= SAME

    @property
    def certain(self) -> bool:
        """Whether it is proven that something is gained."""
        return self.sure > SAME


@dataclass(frozen=True)
class OneMore:
    """One more unit of something and what it is worth, aim by aim in their order, as far as they can be compared.

    ``what``: as in ``Use``; ``name``: the place or helper; ``week``: of an hour of help, its Monday, and ``day`` and
    ``hour`` when it would be. ``by_itself``: why it can bring nothing, known without solving. ``compared``: both plans
    were found in the time. ``to_the_end``: in all aims; else the last of ``gains`` is the first in which they differ.
    """

    what: str
    name: str
    gains: tuple[Gain, ...] = ()
    week: date | None = None
    day: date | None = None
    hour: str = ""
    by_itself: str = ""
    compared: bool = True
    to_the_end: bool = False


@dataclass(frozen=True)
class Spare:
    """All of it. ``edges``: proofs hold for plans that carry no piece over a change of people or weather.

    ``worths`` None: not asked for. ``stopped``: Ctrl-C ended the search early. ``each_s``: seconds of each solve.
    """

    starts: tuple[StepStart, ...]
    combs: tuple[CombSafety, ...]
    weeks: tuple[Week, ...] = ()
    worths: tuple[OneMore, ...] | None = None
    edges: bool = False
    stopped: bool = False
    each_s: float = 0.0
