"""When each step can be worked at all: the sessions in which its count may rise."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from offseason.workload.flow import follows
from offseason.workload.model import Importance, Lot, Session, Standing, Step, Workload


@dataclass(frozen=True)
class Timeline:
    """The sessions with look-ups by time."""

    sessions: tuple[Session, ...]

    @cached_property
    def _ends(self) -> list[int]:
        return [s.ends_s for s in self.sessions]

    @cached_property
    def _starts(self) -> list[int]:
        return [s.starts_s for s in self.sessions]

    @cached_property
    def ends_s(self) -> np.ndarray:
        """When each session ends."""
        return np.array(self._ends, np.int64)

    @cached_property
    def lengths_s(self) -> np.ndarray:
        """How long each session is."""
        return self.ends_s - np.array(self._starts, np.int64)

    @cached_property
    def goes_on(self) -> np.ndarray:
        """Whether each session goes on where the one before it ends."""
        return np.array(self.stretch, np.int64) < np.arange(len(self.sessions))

    @cached_property
    def crews(self) -> tuple[list[tuple[int, ...]], np.ndarray]:
        """The different crews that are present in the sessions, and which of them is in each."""
        crews = list(dict.fromkeys(session.helpers for session in self.sessions))
        number = {crew: n for n, crew in enumerate(crews)}
        return crews, np.array([number[session.helpers] for session in self.sessions], np.int64)

    def fit_for(self, need: str | None) -> np.ndarray:
        """Whether each session has the weather needed; None: any will do."""
        if need not in self._fit:
            self._fit[need] = np.array([need is None or need in session.fit for session in self.sessions], bool)
        return self._fit[need]

    @cached_property
    def _fit(self) -> dict[str | None, np.ndarray]:
        return {}

    @cached_property
    def last_of_day(self) -> list[int]:
        """For each session the last session of its day."""
        found = list(range(len(self.sessions)))
        for k in range(len(found) - 2, -1, -1):
            if self.sessions[k + 1].day == self.sessions[k].day:
                found[k] = found[k + 1]
        return found

    def given_up(self, k: int, first: Step, then: Step) -> int:
        """Last session in which a piece can have ``first``, wait, and have ``then`` in session ``k``; -1: none.

        As early in the one and as late in the other as can be: the dispatch holds to the minute. No wait: ``k``.
        """
        if not first.waits:
            return k
        finished_s = first.finished_by_s(self._ends[k] - then.seconds_each)
        return self.last_starting_by(finished_s - first.seconds_each)

    def given_up_in(self, ks: Sequence[int] | np.ndarray, first: Step, then: Step) -> np.ndarray:
        """The same for each of these sessions."""
        sessions = np.asarray(ks, np.int64)
        if not first.waits:
            return sessions
        ready_s = self.ends_s[sessions] - then.seconds_each
        if first.drying is None:
            finished_s = ready_s - first.wait_s
        else:
            finished_s = np.array([first.finished_by_s(moment) for moment in ready_s.tolist()], np.int64)
        return np.searchsorted(self._starts, finished_s - first.seconds_each, side="right") - 1

    def surely_given_up(self, k: int, first: Step) -> int:
        """Last session all of whose pieces of ``first`` have waited by the start of ``k`` (no wait: ``k``); or -1."""
        return self.last_ending_by(first.finished_by_s(self._starts[k])) if first.waits else k

    def gone(self, standing: Standing | None) -> int:
        """How many sessions are over before planning begins."""
        return 0 if standing is None else bisect_right(self._ends, standing.now_s)

    def last_starting_by(self, time_s: int) -> int:
        """Last session that has started by ``time_s``; -1: none."""
        return bisect_right(self._starts, time_s) - 1

    @cached_property
    def stretch(self) -> list[int]:
        """For each session the first session of its stretch: sessions that follow one another without a gap."""
        found = list(range(len(self.sessions)))
        for k in range(1, len(found)):
            if self._ends[k - 1] == self._starts[k] and self.sessions[k - 1].length_s:
                found[k] = found[k - 1]
        return found

    def last_ending_by(self, time_s: int) -> int:
        """Last session that has ended by ``time_s``; -1: none."""
        return bisect_right(self._ends, time_s) - 1

    def first_starting_at(self, time_s: int) -> int:
        """First session that starts at ``time_s`` or later; may be one past the last."""
        return bisect_left(self._starts, time_s)


def with_whole_stretches(workload: Workload) -> Workload:
    """A more generous winter: sessions without a gap between them as one, with everybody and all fit weather in it."""
    timeline = Timeline(workload.sessions)
    stretches: dict[int, list[Session]] = {}
    for k, session in enumerate(workload.sessions):
        stretches.setdefault(timeline.stretch[k], []).append(session)
    merged = tuple(
        Session(
            day=parts[0].day,
            starts_s=parts[0].starts_s,
            ends_s=parts[-1].ends_s,
            helpers=tuple(sorted({h for part in parts for h in part.helpers})),
            fit=frozenset().union(*(part.fit for part in parts)),
        )
        for parts in stretches.values()
    )
    return replace(workload, sessions=merged, lots=tuple(replace(lot, open_heat=()) for lot in workload.lots))


def crew_for(workload: Workload, session: Session, task: str) -> frozenset[int]:
    """Helpers present in the session who may do this kind of work."""
    return workload.able(session.helpers, task)


def at_once(workload: Workload, session: Session, step: Step) -> int:
    """How many parties of ``step.hands`` people can do this step side by side in the session (0 hands: no limit)."""
    return _parties(workload, session.helpers, step)


def _parties(workload: Workload, helpers: tuple[int, ...], step: Step) -> int:
    if step.hands == 0:
        return step.pieces
    parties = len(workload.able(helpers, step.task)) // step.hands
    seats = None if step.at is None else workload.places[step.at].seats
    return parties if seats is None else min(parties, seats // step.hands)


def parties_in_sessions(workload: Workload, timeline: Timeline, step: Step) -> np.ndarray:
    """How many parties can do this step side by side in each session: see ``at_once``."""
    crews, crew_of = timeline.crews
    found: np.ndarray = np.array([_parties(workload, crew, step) for crew in crews], np.int64)[crew_of]
    return found


def most_in_sessions(workload: Workload, timeline: Timeline, step: Step) -> np.ndarray:
    """The most pieces of this step that whole pieces, seats, people and set-up allow in each session.

    The kind of work may have been set up earlier in the same stretch.
    """
    time_s = timeline.lengths_s - np.where(timeline.goes_on, 0, step.setup_s)
    parties = parties_in_sessions(workload, timeline, step)
    if step.seconds_each:
        most = np.minimum(step.pieces, parties * (time_s // step.seconds_each))
    else:
        most = np.where(parties > 0, step.pieces, 0)
    return np.where((time_s >= step.seconds_each) & timeline.fit_for(step.need), most, 0)


Run = tuple[tuple[int, int], ...]
"""Sessions that follow one another without a gap, each with the seconds of one long piece of work done in it."""


def run_of(workload: Workload, step: Step, last: int) -> Run:
    """How one piece too long for session ``last`` may end in it, begun with an earlier one by the same people.

    Empty: it fits into the session alone, or there are no such sessions before it.
    """
    sessions = workload.sessions
    if step.hands == 0 or step.setup_s or sessions[last].length_s >= step.seconds_each:
        return ()
    first, total_s = last, sessions[last].length_s
    while total_s < step.seconds_each and first > 0 and sessions[first - 1].ends_s == sessions[first].starts_s:
        first -= 1
        total_s += sessions[first].length_s
    run = range(first, last + 1)
    if total_s < step.seconds_each or any(step.need is not None and step.need not in sessions[k].fit for k in run):
        return ()
    if len(crew_throughout(workload, step, first, last)) < step.hands or not at_once(workload, sessions[last], step):
        return ()
    whole = [(k, sessions[k].length_s) for k in run[:-1]]
    return (*whole, (last, step.seconds_each - sum(seconds for _, seconds in whole)))


def crew_throughout(workload: Workload, step: Step, first: int, last: int) -> frozenset[int]:
    """Helpers who may do the step and are there in every session from ``first`` to ``last``."""
    return frozenset.intersection(
        *(crew_for(workload, workload.sessions[k], step.task) for k in range(first, last + 1))
    )


def open_sessions(
    workload: Workload,
    timeline: Timeline,
    rooms: Sequence[np.ndarray],
    done: Sequence[np.ndarray],
    *,
    may_leave: bool = False,
) -> tuple[tuple[tuple[int, ...], ...], ...]:
    """For each lot and step: the sessions in which its count may rise, in order of time.

    A session stays open only if the steps before can have given pieces up by then, and if the must-work after it
    can still follow; with ``may_leave``, work may be done though what comes after it must be left. ``rooms``: per lot
    and step the most pieces each session has room for. ``done``: pieces done before planning begins.
    """
    return tuple(
        _open_for(workload, timeline, lot, room, through.tolist(), may_leave)
        for lot, room, through in zip(workload.lots, rooms, done, strict=True)
    )


def _open_for(
    workload: Workload,
    timeline: Timeline,
    lot: Lot,
    rooms: np.ndarray,
    done: Sequence[int],
    may_leave: bool,
) -> tuple[tuple[int, ...], ...]:
    last = len(timeline.sessions) - 1 if lot.ready_by_s is None else timeline.last_ending_by(lot.ready_by_s)
    first = max(timeline.first_starting_at(lot.arrives_s), timeline.gone(workload.standing))
    found: list[np.ndarray] = []
    for step, room, through in zip(lot.steps, rooms, done, strict=True):
        fits = first + np.flatnonzero(room[first : last + 1] if through < step.pieces else ())
        if lot.count == 1 and through < step.pieces:
            runs = ((k, run_of(workload, step, k)) for k in range(first, last + 1))
            fits = np.union1d(fits, [k for k, run in runs if run and run[0][0] >= first]).astype(np.int64)
        found.append(fits)
    binding = [f for f in follows(lot) if f.spare == 0 and not f.skippable]
    for pair in binding:
        before, after = found[pair.first], found[pair.then]
        if done[pair.first] <= 0:
            given_up = timeline.given_up_in(after, lot.steps[pair.first], lot.steps[pair.then])
            found[pair.then] = after[given_up >= before[0]] if len(before) else after[:0]
    for pair in reversed([] if may_leave else binding):
        before, after = found[pair.first], found[pair.then]
        if (
            done[pair.then] < lot.steps[pair.then].pieces
            and lot.steps[pair.then].importance is Importance.MUST
            and lot.steps[pair.first].pieces <= lot.steps[pair.then].pieces
        ):
            given_up = timeline.given_up_in(after[-1:], lot.steps[pair.first], lot.steps[pair.then])
            found[pair.first] = before[before <= given_up[0]] if len(after) else before[:0]
    return tuple(tuple(ks.tolist()) for ks in found)
