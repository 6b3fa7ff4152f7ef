"""The state of one solve: the best plan so far, the bounds proven, the clock, and how it all is told."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from offseason.solver.clock import Clock, WallClock
from offseason.solver.counts import Counts
from offseason.solver.dispatch import Dispatched, dispatch
from offseason.solver.in_time import kept_in_time
from offseason.solver.ledger import Snapshot
from offseason.solver.manner import Manner
from offseason.solver.model import Model
from offseason.solver.rows import Matrix
from offseason.workload.model import AimReached, Importance, Work

FIRST_MANNERS = tuple(
    Manner(optional=optional, caution=caution, full_loads=full)
    for optional in (Importance.COULD, Importance.SHOULD, Importance.MUST)
    for caution, full in ((0.6, 1.0), (0.3, 0.5), (0.9, 0.0))
)
"""Ways to make a first plan, tried in turn until one keeps every promise."""

DISPATCH_S = 3e-5
"""Worth of a dispatch on the clock of work, for each session a step may be worked in. Measured."""


@dataclass(frozen=True)
class Progress:
    """A sign of life: seconds since the start, the aim being worked at, best value, proven bound, gap as a share."""

    seconds: float
    stage: str
    best: float | None = None
    bound: float | None = None
    gap: float | None = None


@dataclass(frozen=True)
class Settings:
    """What a solve was asked for: seconds on its clock, CP-SAT workers, seed, whom to tell, and the clock."""

    seconds: float
    workers: int
    seed: int
    tell: Callable[[Progress], None]
    clock: Clock = field(default_factory=WallClock)

    def elapsed_s(self) -> float:
        """Seconds since the start."""
        return self.clock.elapsed_s()

    def left_s(self, until_s: float | None = None) -> float:
        """Seconds left, of all or until so many seconds after the start."""
        return (self.seconds if until_s is None else until_s) - self.elapsed_s()


@dataclass(frozen=True)
class Candidate:
    """A plan that keeps every promise: work on the clock, the point it is in the model, the value of each aim.

    ``judged``: what the judge of the hunt said of its roster.
    """

    work: tuple[Work, ...]
    point: np.ndarray
    values: tuple[int, ...]
    judged: int = 0


def on_the_clock(m: Counts, counts: list[np.ndarray], work: Iterable[Work]) -> np.ndarray:
    """The point that belongs to counts, with what only the clock tells: who was called, when loads were closed."""
    point = m.point(counts)
    called: dict[date, set[int]] = {}
    for one in work:
        called.setdefault(m.workload.sessions[one.session].day, set()).update(one.helpers)
        for stay in m.workload.lots[one.lot].steps[one.step].stays:
            closes = m.closes.get((stay.place, one.session))
            if closes is not None:
                (var,) = closes.terms
                point[var] = max(point[var], one.ends_s)
    for day, var in m.called.items():
        point[var] = len(called.get(day, ()))
    return point


class Hunt:
    """A hunt for the best plan of one model.

    ``kept``: promised work, by session, kept wherever it can be. ``judge``: what only the roster tells; of plans that
    keep every promise the one it finds least in comes before all aims but what is left. ``must_leave``: it is proven
    that something must be left.
    """

    def __init__(self, model: Model, settings: Settings) -> None:
        self.model = model
        self.settings = settings
        self.matrix: Matrix = model.counts.rows.matrix()
        self.best: Candidate | None = None
        self.kept: Mapping[int, Sequence[Work]] | None = None
        self.must_leave = False
        self.judge: Callable[[tuple[Work, ...]], int] = lambda _: 0
        self.bounds: dict[int, int] = {}
        self.log: list[str] = []
        self.slowest_dispatch_s = 0.0

    def bound(self, aim: int) -> int:
        """What the aim is proven never to fall below."""
        return self.bounds.get(aim, self.model.aims[aim].least)

    def prove(self, aim: int, bound: int | None) -> None:
        """Take note of a proven bound."""
        if bound is not None:
            self.bounds[aim] = max(self.bound(aim), bound)

    def value(self, aim: int) -> int:
        """Value of the aim in the best plan so far. Only to be asked once there is one."""
        return self.best.values[aim] if self.best is not None else self.bound(aim)

    def done(self, aim: int) -> bool:
        """Whether the aim is proven to be as good as it can be."""
        return self.best is not None and self.best.values[aim] <= self.bound(aim)

    def reached(self, aim: int) -> AimReached:
        """How an aim stands."""
        entry, value = self.model.aims[aim], self.value(aim)
        return AimReached(entry.name, entry.unit, value * entry.scale, min(self.bound(aim), value) * entry.scale)

    def note(self, text: str) -> None:
        """Put a line with the time into the log."""
        self.log.append(f"{self.settings.clock.told_s():.2f} s: {text}")

    def report(self, aim: int | None, stage: str | None = None) -> None:
        """Tell how the aim stands; None: there is no plan yet."""
        if aim is None or self.best is None:
            self.settings.tell(Progress(self.settings.clock.told_s(), stage or "looking for a first plan"))
            return
        now = self.reached(aim)
        self.settings.tell(Progress(self.settings.clock.told_s(), stage or now.aim, now.reached, now.bound, now.gap))

    def telling(self, aim: int) -> Callable[[int, int], None]:
        """For a search: tells of better values and bounds as they come."""
        entry = self.model.aims[aim]

        def tell(value: int, bound: int) -> None:
            least = max(bound, self.bound(aim))
            gap = (value - least) / abs(value) if value > least else 0.0
            self.settings.tell(
                Progress(self.settings.clock.told_s(), entry.name, value * entry.scale, least * entry.scale, gap)
            )

        return tell

    def offer(self, made: Dispatched) -> bool:
        """Take a dispatched plan if it keeps every promise and is better, aim by aim, than the best so far."""
        found = self._weighed(made)
        return found is not None and self._take(found)

    def _take(self, found: Candidate) -> bool:
        if self.best is None or self.rank(found) < self.rank(self.best):
            self.best = found
            return True
        return False

    def _weighed(self, made: Dispatched) -> Candidate | None:
        point = on_the_clock(self.model.counts, list(made.counts), made.work)
        if len(self.matrix.broken(point)) or not self._in_time(made):
            return None
        values = tuple(aim.expr.value(point) for aim in self.model.aims)
        return Candidate(made.work, point, values, self.judge(made.work))

    def _left(self, made: Dispatched) -> tuple[int, ...]:
        point = on_the_clock(self.model.counts, list(made.counts), made.work)
        return tuple(aim.expr.value(point) for aim in self.model.aims[: self.model.before])

    def _in_time(self, made: Dispatched) -> bool:
        # in a winter that may not fit, lapses, and what is late after work done before planning begins, have a price
        return kept_in_time(self.model.counts.workload, made.work, priced=self.model.short)

    def rank(self, made: Candidate) -> tuple[tuple[int, ...], int, tuple[int, ...]]:
        """By what one plan is better than another: smaller is better."""
        before = self.model.before
        return made.values[:before], made.judged, made.values[before:]

    def dispatch(self, manner: Manner) -> Dispatched:
        """Dispatch in a manner, and offer what comes of it.

        Where not all fits, what was promised may stand in the way of what must be done: what leaves less without it
        is taken too.
        """
        began_s = self.settings.elapsed_s()
        made = self._dispatched(manner if self.kept is None else replace(manner, kept=self.kept))
        self.offer(made)
        if self.kept is not None and not all(map(self.done, range(self.model.before))):
            freely = self._dispatched(manner)
            if self._left(freely) < self._left(made):
                self.offer(freely)
        self.slowest_dispatch_s = max(self.slowest_dispatch_s, self.settings.elapsed_s() - began_s)
        return made

    def go_on(self, manner: Manner, at: Snapshot, before: tuple[Work, ...]) -> tuple[Dispatched, Candidate | None]:
        """Dispatch from where things stand after the work ``before``, and offer both together.

        With what they come to; None: they do not keep every promise.
        """
        began_s = self.settings.elapsed_s()
        made = self._dispatched(manner, at)
        found = self._weighed(replace(made, work=(*before, *made.work)))
        if found is not None:
            self._take(found)
        self.slowest_dispatch_s = max(self.slowest_dispatch_s, self.settings.elapsed_s() - began_s)
        return made, found

    def _dispatched(self, manner: Manner, at: Snapshot | None = None) -> Dispatched:
        made = dispatch(self.model.counts, manner, at)
        ahead = self.model.counts.session_work[at.sessions if at is not None else 0 :]
        self.settings.clock.charge(DISPATCH_S * sum(map(len, ahead)))
        return made

    def first_plan(self, manners: Iterable[Manner] = FIRST_MANNERS, until_s: float = math.inf) -> None:
        """Dispatch without a guide until a plan keeps every promise, or so many seconds are over since the start."""
        self.report(None)
        for manner in manners:
            if self.settings.elapsed_s() > until_s:
                return
            self.dispatch(manner)
            if self.best is not None:
                self.note("first plan")
                self.report(len(self.model.aims) - 1, "first plan")
                return
