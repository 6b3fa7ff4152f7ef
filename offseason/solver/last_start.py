"""The last day on which a step can begin with every promise kept: plans found from below, proof from above.

Asked is for the last day d such that a plan keeps every promise in which no piece of the step is done before d; all
other work may be planned anew, and optional work may be given up for it. A day is possible where such a plan was found
on the clock. It is impossible where the counts of some of the lots have no such point even if pieces are let go as
fractions, or where the search proves that they have none: what does not fit alone does not fit beside other work.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.cpsat import Search
from offseason.solver.dispatch import Dispatched, dispatch
from offseason.solver.exprs import Expr
from offseason.solver.fits import QUICK_MANNERS
from offseason.solver.hunt import Hunt, Progress, Settings
from offseason.solver.improve import only_lots
from offseason.solver.led import EXACT_MANNERS
from offseason.solver.manner import Manner
from offseason.solver.model import build
from offseason.solver.relaxation import Relaxation, rounded_up
from offseason.workload.model import Importance, Work, Workload

LotStep = tuple[int, int]

Known = dict[LotStep, tuple[date, tuple[Work, ...] | None]]
"""The last day on which a step is known to begin in some plan, and that plan; None: the one in hand."""

SEARCH_S = 4.0
"""No single search takes longer, so that one hard step does not eat the time of all. Ours."""

LEAST_S = 0.1
"""A question that has less time than this is not asked."""


@dataclass(frozen=True)
class LastStart:
    """Of (lot, step): a plan that begins it on ``day`` keeps every promise; proven that none begins it ``not_after``.

    ``day`` and ``not_after`` are the same where the last day is proven. ``work``: that plan; None: the one in hand.
    """

    lot: int
    step: int
    day: date
    not_after: date
    work: tuple[Work, ...] | None = None

    @property
    def proven(self) -> bool:
        """Whether it is the last day for certain."""
        return self.day >= self.not_after


@dataclass(frozen=True)
class Starts:
    """What was found, in the order asked; ``stopped``: Ctrl-C ended it early."""

    found: tuple[LastStart, ...]
    stopped: bool = False


def must_steps(workload: Workload) -> tuple[LotStep, ...]:
    """Steps that must be done, of gear and jobs: a round that comes back has its own days."""
    return tuple(
        (lot, s)
        for lot, entry in enumerate(workload.lots)
        for s, step in enumerate(entry.steps)
        if entry.period is None and step.importance is Importance.MUST and step.pieces and step.worth
    )


def last_starts(
    workload: Workload,
    begun: Mapping[LotStep, date],
    asked: Sequence[LotStep],
    *,
    seconds: float,
    workers: int = 2,
    seed: int = 0,
    tell: Callable[[Progress], None] | None = None,
) -> Starts:
    """The last start of each step asked for, within ``seconds`` of wall clock (and the making of the model).

    ``begun``: the day on which a plan that keeps every promise begins each of them.
    """
    limits = dict.fromkeys(asked, max((session.day for session in workload.sessions), default=date.max))
    known: Known = {key: (begun[key], None) for key in asked}
    stopped = False
    try:
        _Bracket(workload, known, limits, Settings(seconds, workers, seed, tell or (lambda _: None))).narrow()
    except KeyboardInterrupt:
        stopped = True
    found = (LastStart(*key, day, max(day, limits[key]), work) for key, (day, work) in known.items())
    return Starts(tuple(found), stopped)


class _Part:
    """Some lots of the winter, all others left out: what is impossible for them is impossible."""

    def __init__(self, workload: Workload, lots: list[int]) -> None:
        self._place = {lot: at for at, lot in enumerate(lots)}
        whole = len(lots) == len(workload.lots)
        self._counts = build(workload if whole else only_lots(workload, lots), makers=()).counts
        self._relaxation = Relaxation(self._counts.rows)
        self._first_of_day = _first_of_day(workload)
        self.point: np.ndarray | None = None  # of the last question that had one

    def _before(self, key: LotStep, day: date) -> Expr:
        lot, step = key
        return self._counts.at(self._place[lot], step, self._first_of_day[day] - 1)

    def surely_before(self, key: LotStep, day: date, seconds: float) -> bool:
        """Whether some of the step has to be done before the day even if pieces may be let go as fractions."""
        found = self._relaxation.minimise(self._before(key, day), seconds)
        self.point = found.point
        return found.bound is not None and found.bound > 0

    def searched(self, key: LotStep, day: date, settings: Settings, seconds: float) -> bool:
        """Whether the search proves the same of whole pieces."""
        search = Search(self._counts.rows)
        search.also_at_most(self._before(key, day), 0)
        found = search.minimise(Expr(), hint=None, seconds=seconds, workers=settings.workers, seed=settings.seed)
        if found.interrupted:
            raise KeyboardInterrupt
        self.point = found.point
        return found.impossible


class _Bracket:
    """For each step the last day known to be possible, and the last not known to be impossible; both grow nearer."""

    def __init__(self, workload: Workload, known: Known, limits: dict[LotStep, date], settings: Settings) -> None:
        self.workload, self.known, self.limits, self.settings = workload, known, limits, settings
        self.hunt = Hunt(build(workload, makers=()), settings)
        self.counts: Counts = self.hunt.model.counts
        self.days = [session.day for session in workload.sessions]
        self.first_of_day = _first_of_day(workload)
        self._parts: dict[tuple[int, ...], _Part] = {}

    def narrow(self) -> None:
        """Cheap answers for all steps first, then the search for those that stay open."""
        for key in self.known:
            self.limits[key] = min(self.limits[key], self._by_room(key))
        for key in self._open():
            self._down(key, (key[0],))
            self._try(key, self.limits[key])
        for key in self._open():
            self._up(key)
        for key in self._open():
            self._down(key, self._sharing(key[0]))
            self._try(key, self.limits[key])
        while undecided := self._open():
            found = [
                self._halved(key, self.settings.left_s() / (len(undecided) - n)) for n, key in enumerate(undecided)
            ]
            if not any(found) or self.settings.left_s() < LEAST_S:
                return

    def _tell(self, key: LotStep) -> None:
        lot = self.workload.lots[key[0]]
        step = lot.steps[key[1]].task
        about = lot.stated if step == lot.stated else f"{step}, {lot.stated}"
        self.settings.tell(Progress(self.settings.elapsed_s(), f"how late can it begin: {about}"))

    def _open(self) -> list[LotStep]:
        """Steps whose last day is not settled, while there is time."""
        if self.settings.left_s() < LEAST_S:
            return []
        return [key for key in self.known if self._between(key)]

    def _between(self, key: LotStep) -> list[date]:
        """Days later than the last known to be possible, and not known to be impossible."""
        lot, step = key
        days = {self.days[k] for k in self.counts.open[lot][step]}
        return sorted(day for day in days if self.known[key][0] < day <= self.limits[key])

    def _by_room(self, key: LotStep) -> date:
        """The last day from which on all pieces have room, as if there were nothing else to do."""
        lot, step = key
        room = 0
        for k in reversed(self.counts.open[lot][step]):
            room += self.counts.most(lot, step, k)
            if room >= self.workload.lots[lot].steps[step].pieces:
                return self.days[k]
        return self.known[key][0]

    def _part(self, lots: tuple[int, ...]) -> _Part:
        if lots not in self._parts:
            self._parts[lots] = _Part(self.workload, list(lots))
        return self._parts[lots]

    def _sharing(self, lot: int) -> tuple[int, ...]:
        """The lot and all that share fit weather, or places where they are in each other's way, with it."""
        wanted = self._claims[lot]
        return tuple(other for other, claims in enumerate(self._claims) if other == lot or claims & wanted)

    @cached_property
    def _claims(self) -> list[set[tuple[str, str | int]]]:
        found: list[set[tuple[str, str | int]]] = []
        for lot in self.workload.lots:
            needs = {("weather", step.need) for step in lot.steps if step.need is not None}
            waiting = {("place", stay.place) for step in lot.steps if step.waits for stay in step.stays}
            found.append({*needs, *(c for c in waiting if self.workload.places[c[1]].holds is not None)})
        return found

    def _down(self, key: LotStep, lots: tuple[int, ...]) -> None:
        """Bring the limit down as far as the relaxation of these lots proves it."""
        between = self._between(key)
        if not between or self.settings.left_s() < LEAST_S:
            return
        self._tell(key)
        part = self._part(lots)
        low, high = -1, len(between) - 1  # of between: the last surely possible or known, and the limit
        probe = high
        while low < high and self.settings.left_s() > LEAST_S:
            if part.surely_before(key, between[probe], min(SEARCH_S, self.settings.left_s())):
                high = probe - 1
            else:
                low = probe
            probe = (low + high + 1) // 2
        self.limits[key] = between[high] if high >= 0 else self.known[key][0]

    def _up(self, key: LotStep) -> None:
        """Bring the last possible day up as far as plans made without search do it.

        From the limit down in steps that double, then by halves: what can be late can mostly be nearly as late.
        """
        self._tell(key)
        days = self._between(key)
        low, high, back = 0, len(days) - 1, 1  # days[:low] are possible; days[high:] were tried in vain
        while low < high and self.settings.left_s() > LEAST_S:
            probe = max(low, high - back) if low == 0 else (low + high) // 2
            if self._try(key, days[probe]):
                low = probe + 1
            else:
                high, back = probe, back * 2

    def _halved(self, key: LotStep, seconds: float) -> bool:
        """One question to the search about the day in the middle; whether it was answered."""
        between = self._between(key)
        seconds = min(seconds, SEARCH_S)
        if not between or seconds < LEAST_S:
            return False
        self._tell(key)
        day, before = between[len(between) // 2], [self.known[key][0], *between][len(between) // 2]
        everything = tuple(range(len(self.workload.lots)))
        for lots in dict.fromkeys((self._sharing(key[0]), everything)):
            part = self._part(lots)
            if part.surely_before(key, day, seconds / 2) or part.searched(key, day, self.settings, seconds / 2):
                self.limits[key] = before
                return True
        point = self._part(everything).point
        if point is None:
            return False
        guide = self.counts.values(rounded_up(point))
        return self._try(key, day, [replace(manner, guide=guide) for manner in EXACT_MANNERS])

    def _try(self, key: LotStep, day: date, manners: Iterable[Manner] = QUICK_MANNERS) -> bool:
        """Whether a plan made in one of these manners keeps every promise and the step closed before the day."""
        lot, step = key
        if self.known[key][0] >= day or self.settings.left_s() < LEAST_S:
            return self.known[key][0] >= day
        closed = self._closed_before(lot, step, self.first_of_day[day])
        for manner in manners:
            made = dispatch(closed, manner)
            self.hunt.best = None
            if self.hunt.offer(made):
                self._learn(made)
                return self.known[key][0] >= day
        return False

    def _closed_before(self, lot: int, step: int, first: int) -> Counts:
        """The same variables, fewer of them used: nothing of the step in sessions before ``first``."""
        open_, opened = [list(by_step) for by_step in self.counts.open], self.counts.opened
        open_[lot][step] = tuple(k for k in open_[lot][step] if k >= first)
        still = opened.chosen((opened.lot != lot) | (opened.step != step) | (opened.session >= first))
        return replace(self.counts, open=tuple(map(tuple, open_)), opened=still)

    def _learn(self, made: Dispatched) -> None:
        """Every plan that keeps every promise tells of all steps."""
        for lot, step in self.known:
            done = np.flatnonzero(made.counts[lot][step] > 0)
            day = self.days[int(done[0])]
            if day > self.known[lot, step][0]:
                self.known[lot, step] = day, made.work


def _first_of_day(workload: Workload) -> dict[date, int]:
    found: dict[date, int] = {}
    for k, session in enumerate(workload.sessions):
        found.setdefault(session.day, k)
    return found
