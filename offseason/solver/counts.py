"""The unknowns of the counting model: how many pieces are through each step by the end of each session."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import NamedTuple

import numpy as np

from offseason.solver.rows import Expr, Rows
from offseason.solver.windows import Run, Timeline, most_in_sessions, open_sessions, run_of
from offseason.workload.flow import Follows, WayRound, follows, stages, ways_round
from offseason.workload.model import Stay, Step, Workload
from offseason.workload.standing import begins_s

ZERO = Expr()


class Portion(NamedTuple):
    """Seconds of one piece of (lot, step) done in a session; the piece is through by the end of session ``ends_in``."""

    lot: int
    step: int
    ends_in: int
    seconds: int


@dataclass
class Counts:
    """``N[l, s, k]`` as expressions over the variables of ``rows``; a count keeps its variable where it cannot rise.

    ``loads[place, k]``: 1 where a new load goes into a whole-load place. ``set_up[task, k]``: 1 where the kind of work
    is set up. ``called[day]``: the variable that counts the helpers called that day, where there is one.
    ``closes[place, k]``: when the load that goes in is closed, in seconds.
    ``finished[l, s][k]``: 1 once all pieces of an ordering step are through. ``past``: what was done before planning
    begins, per lot (steps, sessions + 1), entry k + 1 by the end of session k; the variables count on from it.
    """

    workload: Workload
    rows: Rows
    open: tuple[tuple[tuple[int, ...], ...], ...]
    variables: list[list[np.ndarray]]
    past: list[np.ndarray]

    def __post_init__(self) -> None:
        self.auxiliary: list[tuple[int, Callable[[np.ndarray], int]]] = []
        self.called: dict[date, int] = {}
        self.closes: dict[tuple[int, int], Expr] = {}
        self.worked_out: dict[str, object] = {}
        self.set_up: dict[tuple[str, int], Expr] = {}
        self.loads: dict[tuple[int, int], Expr] = {}
        self.finished: dict[tuple[int, int], dict[int, Expr]] = {}
        self._done: dict[tuple[int, int, int], Expr] = {}

    @classmethod
    def of(cls, workload: Workload, *, may_leave: bool = False) -> Counts:
        """Make the variables of a workload; ``may_leave``: of a winter in which must-work may be left undone."""
        rows, sessions, past = Rows(), len(workload.sessions), done_by_session(workload)
        open_ = open_sessions(workload, [known[:, -1].tolist() for known in past], may_leave=may_leave)
        variables: list[list[np.ndarray]] = []
        for lot, by_step, known in zip(workload.lots, open_, past, strict=True):
            variables.append([])
            for s, (step, ks) in enumerate(zip(lot.steps, by_step, strict=True)):
                index = np.full(sessions + 1, -1, np.int64)
                for k in ks:
                    index[k + 1 :] = len(rows.lower)
                    rows.var(0, step.pieces - int(known[s, -1]))
                variables[-1].append(index)
        return cls(workload, rows, open_, variables, past)

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
    def timeline(self) -> Timeline:
        """The sessions with look-ups by time."""
        return Timeline(self.workload.sessions)

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
        for by_step, known, past in zip(self.variables, counts, self.past, strict=True):
            for index, row in zip(by_step, known - past[:, 1:], strict=True):
                there = index[1:] >= 0
                x[index[1:][there]] = row[there]
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
        found: list[list[tuple[int, int]]] = [[] for _ in self.workload.sessions]
        for lot, by_step in enumerate(self.open):
            for step, ks in enumerate(by_step):
                for k in ks:
                    found[k].append((lot, step))
        return tuple(tuple(pairs) for pairs in found)

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
    def portions(self) -> tuple[tuple[Portion, ...], ...]:
        """For each session the work that may be done in it, piece by piece or as part of a longer run."""
        found: list[list[Portion]] = [[] for _ in self.workload.sessions]
        for k, pairs in enumerate(self.session_work):
            for lot, step in pairs:
                each_s = self.workload.lots[lot].steps[step].seconds_each
                for part, seconds in self.runs.get((lot, k), ((k, each_s),)):
                    found[part].append(Portion(lot, step, k, seconds))
        return tuple(tuple(parts) for parts in found)

    def most(self, lot: int, step: int, k: int) -> int:
        """The most pieces of the step that session ``k``, open to it, has room for; a longer run ends in it once."""
        return 1 if (lot, k) in self.runs else self._most[lot][step][k]

    @cached_property
    def _most(self) -> list[list[dict[int, int]]]:
        return [
            [
                dict(zip(ks, most_in_sessions(self.workload, self.timeline, step, ks), strict=True))
                for step, ks in zip(lot.steps, by_step, strict=True)
            ]
            for lot, by_step in zip(self.workload.lots, self.open, strict=True)
        ]

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
        return self._known[lot][step][k + 1]

    @cached_property
    def _known(self) -> list[list[list[Expr]]]:
        """Per lot and step ``N[l, s, k]`` at k + 1; counts that are the same everywhere are one expression."""
        return [
            [_by_session(index.tolist(), done.tolist()) for index, done in zip(by_step, past, strict=True)]
            for by_step, past in zip(self.variables, self.past, strict=True)
        ]

    def final(self, lot: int, step: int) -> Expr:
        """The count at the end of the winter."""
        return self.at(lot, step, len(self.workload.sessions) - 1)

    def done_in(self, lot: int, step: int, k: int) -> Expr:
        """Pieces done within session ``k``."""
        found = self._done.get((lot, step, k))
        if found is None:
            found = self._done[lot, step, k] = self.at(lot, step, k) - self.at(lot, step, k - 1)
        return found

    def values(self, x: np.ndarray) -> list[np.ndarray]:
        """Per lot an array (steps, sessions) of counts at the point ``x``."""
        padded = np.append(x, 0)
        return [
            past[:, 1:]
            + np.array([padded[index[1:]] for index in by_step], np.int64).reshape(
                len(by_step), len(self.workload.sessions)
            )
            for by_step, past in zip(self.variables, self.past, strict=True)
        ]


def _by_session(variables: list[int], done: list[int]) -> list[Expr]:
    """The counts of a step, one after another, from the variable (-1: none) and what was done before of each."""
    made: dict[tuple[int, int], Expr] = {}
    found = []
    for key in zip(variables, done, strict=True):
        if key not in made:
            made[key] = Expr({key[0]: 1} if key[0] >= 0 else {}, key[1])
        found.append(made[key])
    return found


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
