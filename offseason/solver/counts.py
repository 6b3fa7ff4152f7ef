"""The unknowns of the counting model: how many pieces are through each step by the end of each session."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

import numpy as np

from offseason.solver.exprs import Expr, Exprs
from offseason.solver.opened import Opened, Portions, opened_of, portions_of
from offseason.solver.rows import Rows
from offseason.solver.windows import Run, Timeline, most_in_sessions, open_sessions, run_of
from offseason.workload.flow import Follows, WayRound, follows, stages, ways_round
from offseason.workload.model import Stay, Step, Workload
from offseason.workload.standing import begins_s

ZERO = Expr()


@dataclass
class Counts:
    """``N[l, s, k]`` as expressions over the variables of ``rows``; a count keeps its variable where it cannot rise.

    ``loads[place, k]``: 1 where a new load goes into a whole-load place. ``set_up[task, k]``: 1 where the kind of work
    is set up. ``called[day]``: the variable that counts the helpers called that day, where there is one.
    ``closes[place, k]``: when the load that goes in is closed, in seconds.
    ``finished[l, s][k]``: 1 once all pieces of an ordering step are through. ``past``: what was done before planning
    begins, per lot (steps, sessions + 1), entry k + 1 by the end of session k; the variables count on from it.
    ``variables``: the variable of each count, in the same shape (-1: none). ``open``: per lot and step the sessions in
    which its count may rise; ``opened``: all of them, in the order of their variables, which are the first of
    ``rows``. ``rooms``: per lot and step the most pieces each session has room for.
    """

    workload: Workload
    rows: Rows
    timeline: Timeline
    rooms: list[np.ndarray]
    open: tuple[tuple[tuple[int, ...], ...], ...]
    opened: Opened
    variables: list[np.ndarray]
    past: list[np.ndarray]

    def __post_init__(self) -> None:
        self.auxiliary: list[tuple[int, Callable[[np.ndarray], int]]] = []
        self.called: dict[date, int] = {}
        self.closes: dict[tuple[int, int], Expr] = {}
        self.worked_out: dict[str, object] = {}
        self.set_up: dict[tuple[str, int], Expr] = {}
        self.loads: dict[tuple[int, int], Expr] = {}
        self.finished: dict[tuple[int, int], dict[int, Expr]] = {}
        self._steps = [step for lot in self.workload.lots for step in lot.steps]
        self._first_step = np.cumsum([0, *(len(lot.steps) for lot in self.workload.lots)])
        self._all_variables = _as_one(self.variables, len(self.workload.sessions))
        self._all_past = _as_one(self.past, len(self.workload.sessions))

    @classmethod
    def of(cls, workload: Workload, *, may_leave: bool = False) -> Counts:
        """Make the variables of a workload; ``may_leave``: of a winter in which must-work may be left undone."""
        rows, timeline, past = Rows(), Timeline(workload.sessions), done_by_session(workload)
        rooms = [
            np.array([most_in_sessions(workload, timeline, step) for step in lot.steps], np.int64).reshape(
                len(lot.steps), len(workload.sessions)
            )
            for lot in workload.lots
        ]
        open_ = open_sessions(workload, timeline, rooms, [known[:, -1] for known in past], may_leave=may_leave)
        variables = [np.full(known.shape, -1, np.int64) for known in past]
        for lot, by_step, known, index in zip(workload.lots, open_, past, variables, strict=True):
            for s, (step, ks) in enumerate(zip(lot.steps, by_step, strict=True)):
                made = rows.vars(0, step.pieces - int(known[s, -1]), len(ks))
                risen = np.searchsorted(ks, np.arange(len(workload.sessions)), side="right")
                index[s, 1:] = np.where(risen > 0, made.start - 1 + risen, -1)
        return cls(workload, rows, timeline, rooms, open_, opened_of(open_), variables, past)

    @cached_property
    def gone(self) -> int:
        """How many sessions are over before planning begins."""
        return self.timeline.gone(self.workload.standing)

    @cached_property
    def begins_s(self) -> int:
        """When somebody can first be at work again: what is due before cannot be helped any more."""
        return begins_s(self.workload)

    def is_over(self, time_s: int) -> bool:
        """Whether the moment lies before planning begins."""
        return self.workload.standing is not None and time_s <= self.workload.standing.now_s

    @cached_property
    def follows(self) -> tuple[tuple[Follows, ...], ...]:
        """Per lot: which step follows which."""
        return tuple(follows(lot) for lot in self.workload.lots)

    @cached_property
    def binding_after(self) -> tuple[tuple[tuple[int, ...], ...], ...]:
        """Per lot and step: the steps that follow it and that no piece reaches past it."""
        return tuple(
            tuple(
                tuple(sorted({f.then for f in pairs if f.first == s and not f.skippable}))
                for s in range(len(lot.steps))
            )
            for lot, pairs in zip(self.workload.lots, self.follows, strict=True)
        )

    @cached_property
    def ways_round(self) -> tuple[tuple[WayRound, ...], ...]:
        """Per lot: the steps that pieces may reach past some step before."""
        return tuple(ways_round(lot) for lot in self.workload.lots)

    @cached_property
    def stages(self) -> tuple[tuple[int, ...], ...]:
        """Per lot: the steps after which pieces rest anew."""
        return tuple(stages(lot) for lot in self.workload.lots)

    def helping(self, lower: int, upper: int, value_at: Callable[[np.ndarray], int]) -> Expr:
        """A variable that follows from the counts: ``value_at`` gives it from a point whose earlier entries are set."""
        made = self.rows.var(lower, upper)
        self.auxiliary.append((next(iter(made.terms)), value_at))
        return made

    def point(self, counts: list[np.ndarray]) -> np.ndarray:
        """The whole point that belongs to counts per lot (steps, sessions)."""
        x = np.zeros(len(self.rows.lower), np.int64)
        there = self._all_variables[:, 1:] >= 0
        done = (_as_one(counts, len(self.workload.sessions) - 1) - self._all_past[:, 1:])[there]
        x[self._all_variables[:, 1:][there]] = done
        for var, value_at in self.auxiliary:
            x[var] = value_at(x)
        return x

    @cached_property
    def resting(self) -> tuple[tuple[tuple[int, int | None, Stay], ...], ...]:
        """Per lot: (stage, next stage or None, stay) for every place a piece of it may rest at."""
        found = []
        for lot, entry in enumerate(self.workload.lots):
            pairs = zip(self.stages[lot], [*self.stages[lot][1:], None], strict=True)
            found.append(
                tuple(
                    (stage, following, stay)
                    for stage, following in pairs
                    for stay in (entry.rests if stage < 0 else entry.steps[stage].stays)
                )
            )
        return tuple(found)

    @cached_property
    def resting_in_limits(self) -> tuple[tuple[int, int, int | None, Stay], ...]:
        """The same of all lots where a place does not hold as many as one likes: (lot, stage, next or None, stay)."""
        places = self.workload.places
        every = ((lot, *one) for lot, some in enumerate(self.resting) for one in some)
        return tuple(one for one in every if places[one[3].place].holds is not None)

    @cached_property
    def soon_followed(self) -> frozenset[tuple[int, int]]:
        """(lot, step) of work that another step must follow within some time."""
        steps = ((lot, step) for lot, entry in enumerate(self.workload.lots) for step in entry.steps)
        return frozenset(
            (lot, step.within_of) for lot, step in steps if step.within_s is not None and step.within_of is not None
        )

    @cached_property
    def session_work(self) -> tuple[tuple[tuple[int, int], ...], ...]:
        """For each session the (lot, step) pairs that may be worked in it."""
        pairs = [(lot, s) for lot, entry in enumerate(self.workload.lots) for s in range(len(entry.steps))]
        numbers = self._number(self.opened.lot, self.opened.step)
        found: list[list[tuple[int, int]]] = [[] for _ in self.workload.sessions]
        for k, number in zip(self.opened.session.tolist(), numbers.tolist(), strict=True):
            found[k].append(pairs[number])
        return tuple(map(tuple, found))

    @cached_property
    def runs(self) -> dict[tuple[int, int], Run]:
        """(lot, last session) -> the sessions one long piece of work spans, where no single one is long enough."""
        found: dict[tuple[int, int], Run] = {}
        for lot, entry in enumerate(self.workload.lots):
            if entry.count == 1:
                for step, ks in zip(entry.steps, self.open[lot], strict=True):
                    found |= {(lot, k): run for k in ks if (run := run_of(self.workload, step, k))}
        return found

    @cached_property
    def runs_from(self) -> dict[int, list[tuple[int, int]]]:
        """First session -> (lot, last session) of the long pieces of work that may begin with it."""
        found: dict[int, list[tuple[int, int]]] = {}
        for (lot, last), run in self.runs.items():
            found.setdefault(run[0][0], []).append((lot, last))
        return found

    @cached_property
    def portions(self) -> Portions:
        """The work that may be done in each session, piece by piece or as part of a longer run."""
        through = self.opened.chosen(np.argsort(self.opened.session, kind="stable"))
        each_s = self.of_each(through, lambda step: step.seconds_each)
        return portions_of(through, each_s, self.runs, len(self.workload.sessions))

    def of_each(self, opened: Opened, tell: Callable[[Step], int]) -> np.ndarray:
        """What is told of the step of each."""
        told = np.array([tell(step) for step in self._steps], np.int64)
        found: np.ndarray = told[self._number(opened.lot, opened.step)]
        return found

    def step_of(self, opened: int) -> Step:
        """The step of one of ``opened``."""
        return self.workload.lots[int(self.opened.lot[opened])].steps[int(self.opened.step[opened])]

    def _number(self, lot: int | np.ndarray, step: int | np.ndarray) -> np.ndarray:
        """Steps as they are numbered through all lots."""
        found: np.ndarray = self._first_step[lot] + step
        return found

    def most(self, lot: int, step: int, k: int) -> int:
        """The most pieces of the step that session ``k``, open to it, has room for; a longer run ends in it once."""
        return max(1, int(self.rooms[lot][step][k]))

    @cached_property
    def most_opened(self) -> np.ndarray:
        """The same for each (lot, step, session) in which a count may rise."""
        rooms = _as_one(self.rooms, len(self.workload.sessions) - 1)
        numbers = self._number(self.opened.lot, self.opened.step)
        found: np.ndarray = np.maximum(1, rooms[numbers, self.opened.session])
        return found

    def taken_up_after(self, lot: int, k: int, first: Step, then: Step) -> int:
        """Last session whose pieces of ``first`` can be there when ``then`` of the lot, which ends in ``k``, begins."""
        run = self.runs.get((lot, k))
        if run is None:
            return self.timeline.given_up(k, first, then)
        begins_s = self.workload.sessions[run[0][0]].starts_s
        return self.timeline.last_starting_by(first.finished_by_s(begins_s) - max(first.seconds_each, 1))

    def at(self, lot: int, step: int, k: int) -> Expr:
        """``N[l, s, k]``; ``k`` -1 is before the first session. Step -1 is arrival: the whole lot, once it is here."""
        if step < 0:
            here = k >= 0 and self.workload.sessions[k].ends_s >= self.workload.lots[lot].arrives_s
            return Expr({}, self.workload.lots[lot].count) if here else ZERO
        var, done = int(self.variables[lot][step, k + 1]), int(self.past[lot][step, k + 1])
        return Expr({var: 1} if var >= 0 else {}, done)

    def at_each(self, lot: int | np.ndarray, step: int | np.ndarray, ks: Sequence[int] | np.ndarray) -> Exprs:
        """The same for each of these sessions, of one step or of one for each of them."""
        after = np.asarray(ks, np.int64) + 1
        if isinstance(step, int) and step < 0:
            here = np.append(-1, self.timeline.ends_s)[after] >= self.workload.lots[lot].arrives_s
            return Exprs.of(np.full(len(after), -1), np.where(here & (after > 0), self.workload.lots[lot].count, 0))
        number = self._number(lot, step)
        return Exprs.of(self._all_variables[number, after], self._all_past[number, after])

    def final(self, lot: int, step: int) -> Expr:
        """The count at the end of the winter."""
        return self.at(lot, step, len(self.workload.sessions) - 1)

    def done_in(self, lot: int, step: int, k: int) -> Expr:
        """Pieces done within session ``k``."""
        return self.at(lot, step, k) - self.at(lot, step, k - 1)

    def done_in_each(self, lot: int | np.ndarray, step: int | np.ndarray, ks: Sequence[int] | np.ndarray) -> Exprs:
        """The same for each of these sessions, of one step or of one for each of them."""
        sessions = np.asarray(ks, np.int64)
        return self.at_each(lot, step, sessions) - self.at_each(lot, step, sessions - 1)

    def values(self, x: np.ndarray) -> list[np.ndarray]:
        """Per lot an array (steps, sessions) of counts at the point ``x``."""
        found = self._all_past[:, 1:] + np.append(x, 0)[self._all_variables[:, 1:]]
        return [part.copy() for part in np.split(found, self._first_step[1:-1])] if self.variables else []


def _as_one(by_lot: Sequence[np.ndarray], last: int) -> np.ndarray:
    """The steps of all lots under one another, for sessions up to ``last``."""
    return np.concatenate([np.zeros((0, last + 1), np.int64), *by_lot])


def done_by_session(workload: Workload) -> list[np.ndarray]:
    """Per lot (steps, sessions + 1): pieces done before planning begins; entry k + 1 by the end of session k.

    Work finished between two sessions counts with the earlier: the last to begin before it was through.
    """
    found = [np.zeros((len(lot.steps), len(workload.sessions) + 1), np.int64) for lot in workload.lots]
    if workload.standing is None:
        return found
    starts = np.array([session.starts_s for session in workload.sessions], np.int64)
    for one in workload.standing.done:
        k = int(np.searchsorted(starts, one.finished_s, side="left")) - 1  # the last that began before
        found[one.lot][one.step, max(k, 0) + 1 :] += one.pieces
    return found
