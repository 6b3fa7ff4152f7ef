"""The winter as plain numbers: what the solver plans and nothing else. No YAML, no solver, no calendar left in it.

Times are whole seconds elapsed since 00:00 local time of the first day of the season, so that a night in which the
clocks change has its true length. Work is counted in single pieces.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from functools import cached_property

from offseason.workload.drying import Drying


class Importance(StrEnum):
    """Must be done; should or could be done where it fits."""

    MUST = "must"
    SHOULD = "should"
    COULD = "could"


class Prefer(StrEnum):
    """The keeper's preference among plans that keep every promise; SOONEST is the classical last finish."""

    EARLY = "done early"
    FEW_DAYS = "few days"
    EVEN_WEEKS = "even weeks"
    SOONEST = "soonest end"


@dataclass(frozen=True)
class Helper:
    """A person and the kinds of work (tasks, jobs, rounds) they may do; ``can`` None means all."""

    name: str
    can: frozenset[str] | None = None

    def able(self, task: str) -> bool:
        """Whether this person may do this kind of work."""
        return self.can is None or task in self.can


@dataclass(frozen=True)
class Session:
    """A stretch of one day with the same helpers present and the same weather needs fit throughout.

    ``liked``: for each kind of weather in which some work goes better, per mille of the session that have it.
    """

    day: date
    starts_s: int
    ends_s: int
    helpers: tuple[int, ...]
    fit: frozenset[str] = frozenset()
    clock: tuple[datetime, datetime] | None = None
    liked: tuple[tuple[str, int], ...] = ()

    @property
    def length_s(self) -> int:
        """Length in seconds."""
        return self.ends_s - self.starts_s


@dataclass(frozen=True)
class Place:
    """Where work is done (``seats`` people at a time) or gear rests (``holds`` spaces); None: not limited."""

    name: str
    seats: int | None = None
    holds: int | None = None
    whole_loads: bool = False


@dataclass(frozen=True)
class Stay:
    """Spaces that one piece takes at a place after a step.

    ``until_taken``: it stays until the next step takes it out; otherwise it leaves by itself when its wait is over.
    """

    place: int
    spaces: int = 1
    until_taken: bool = True


@dataclass(frozen=True)
class Step:
    """One step of a lot.

    ``seconds_each`` for one piece, by ``hands`` people together (0: needs nobody); ``wait_s`` after it.
    ``pieces`` may be fewer than the lot's count (a share). ``needs``: indices of earlier steps every piece of this
    step must have had. ``drying``: it must be dry besides, in air that changes. ``within_s``: longest time since the
    end of step ``within_of``. ``protected``: a comb at rest after this step is safe from moths, for ``lasts_s`` (None:
    as long as it rests so). ``likes``: weather in which it goes better. ``worth`` of a piece of optional work; 0:
    renewing what protects, done only when due.
    ``setup_s`` is paid by all its hands, once in each stretch in which this kind of work is touched.
    """

    task: str
    pieces: int
    seconds_each: int
    setup_s: int = 0
    hands: int = 1
    at: int | None = None
    need: str | None = None
    likes: str | None = None
    importance: Importance = Importance.MUST
    worth: int = 1
    wait_s: int = 0
    drying: Drying | None = None
    stays: tuple[Stay, ...] = ()
    needs: tuple[int, ...] = ()
    within_s: int | None = None
    within_of: int | None = None
    protected: bool = False
    lasts_s: int | None = None

    @property
    def waits(self) -> bool:
        """Whether a piece has to wait at all after this step."""
        return self.wait_s > 0 or self.drying is not None

    def ready_s(self, finished_s: int) -> int:
        """When a piece that came through this step at that moment may be taken up by the next."""
        plain_s = finished_s + self.wait_s
        return plain_s if self.drying is None else max(plain_s, self.drying.ready_s(finished_s))

    def finished_by_s(self, ready_s: int) -> int:
        """The latest moment at which a piece can have come through this step to be taken up then."""
        plain_s = ready_s - self.wait_s
        return plain_s if self.drying is None else min(plain_s, self.drying.finished_by_s(ready_s))


@dataclass(frozen=True)
class Lot:
    """Equal pieces that go through the same steps in the same order.

    ``arrives_s``: nothing before. ``ready_by_s``: must-work done by then. ``rests``: where pieces rest before the
    first step. ``treat_by_s``..``protect_until_s``: every comb protected throughout (None: no comb). ``stated``
    is what the keeper calls it (rounds: one lot for each ``period``, same ``stated``).
    ``open_heat``: for each session, tenths of degree-days an open comb meets from the end of that session to the end
    of the next (empty: no comb). ``protected``: a comb is safe where it rests before the first step.
    """

    name: str
    stated: str
    count: int
    steps: tuple[Step, ...]
    arrives_s: int = 0
    ready_by_s: int | None = None
    rests: tuple[Stay, ...] = ()
    treat_by_s: int | None = None
    protect_until_s: int | None = None
    open_heat: tuple[int, ...] = ()
    protected: bool = False
    period: tuple[date, date] | None = None


@dataclass(frozen=True)
class Order:
    """All pieces of ``first`` (lot, step) are through, and have waited, before any piece of ``then`` (lot, step)."""

    first: tuple[int, int]
    then: tuple[int, int]


@dataclass(frozen=True)
class Done:
    """Pieces that came through a step at a moment."""

    lot: int
    step: int
    pieces: int
    finished_s: int


@dataclass(frozen=True)
class Standing:
    """How a winter that has begun stands at ``now_s``: nothing is planned before; ``done`` in order of time."""

    now_s: int
    done: tuple[Done, ...] = ()


@dataclass(frozen=True)
class Workload:
    """Everything the solver needs. Lists are in the order of the scenario; sessions in order of time.

    ``standing``: of a winter that has begun, what is done; sessions that end by then are gone.
    """

    sessions: tuple[Session, ...]
    helpers: tuple[Helper, ...]
    places: tuple[Place, ...]
    lots: tuple[Lot, ...]
    orders: tuple[Order, ...] = ()
    prefer: Prefer = Prefer.EARLY
    until_s: int = 0
    standing: Standing | None = None

    def able(self, helpers: tuple[int, ...], task: str) -> frozenset[int]:
        """Those of the helpers who may do this kind of work; kept, for it is asked in every session."""
        found = self._able.get((helpers, task))
        if found is None:
            found = self._able[helpers, task] = frozenset(h for h in helpers if self.helpers[h].able(task))
        return found

    @cached_property
    def _able(self) -> dict[tuple[tuple[int, ...], str], frozenset[int]]:
        return {}


@dataclass(frozen=True, order=True)
class Work:
    """One stretch of work on the clock: who does how many pieces of which step of which lot, from when to when.

    The first ``setup_s`` seconds are set-up; then the pieces follow one another without a gap.
    """

    session: int
    starts_s: int
    ends_s: int
    helpers: tuple[int, ...]
    lot: int
    step: int
    pieces: int
    setup_s: int = 0


class Leaving(StrEnum):
    """How what does not fit is left: never done, open to moths, done later than it may be, or with no room for it."""

    UNDONE = "undone"
    OPEN = "open"
    LATE = "late"
    OVERFULL = "overfull"


@dataclass(frozen=True, order=True)
class Left:
    """Pieces of a step that do not fit, and how they are left; of combs left open, the step that makes them safe.

    OVERFULL: a lot (``step`` -1) that rests in a ``place`` which what arrives overfills; ``pieces`` are the spaces it
    has too few at worst, ``since_s`` from when on. One for each lot in it, for it is one lack of them all.
    """

    lot: int
    step: int
    pieces: int
    how: Leaving
    place: int = -1
    since_s: int = 0


@dataclass(frozen=True)
class AimReached:
    """How one aim ended: value reached, proven bound, unit for the reader. Smaller is better for every aim."""

    aim: str
    unit: str
    reached: float
    bound: float

    @property
    def gap(self) -> float:
        """Distance from the best possible as a share of what was reached; 0 when proven best."""
        if self.reached <= self.bound:
            return 0.0
        return (self.reached - self.bound) / abs(self.reached)


@dataclass(frozen=True)
class Schedule:
    """What the solver gives back: work on the clock, how each aim ended, and what must-do work is ``left``.

    ``proven``: every aim is proven best. ``certain``: it is proven that something must be left.
    """

    work: tuple[Work, ...]
    aims: tuple[AimReached, ...]
    left: tuple[Left, ...] = ()
    proven: bool = False
    certain: bool = False
    stopped: bool = False
    seconds: float = 0.0
    log: tuple[str, ...] = field(default=())

    @property
    def left_undone(self) -> tuple[tuple[int, int, int], ...]:
        """(lot, step, pieces), each lot's combs that stay open told only where nothing else is left of them."""
        found: dict[tuple[int, int], int] = {}
        work = (one for one in self.left if one.how is not Leaving.OVERFULL)
        for one in sorted(work, key=lambda one: (one.how is Leaving.OPEN, one)):
            if one.how is not Leaving.OPEN or not any(lot == one.lot for lot, _ in found):
                found[one.lot, one.step] = max(one.pieces, found.get((one.lot, one.step), 0))
        return tuple((*key, pieces) for key, pieces in sorted(found.items()))
