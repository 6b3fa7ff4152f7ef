"""When each step can be worked at all: the sessions in which its count may rise."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

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
    if step.hands == 0:
        return step.pieces
    parties = len(crew_for(workload, session, step.task)) // step.hands
    seats = None if step.at is None else workload.places[step.at].seats
    return parties if seats is None else min(parties, seats // step.hands)


def most_pieces(workload: Workload, session: Session, step: Step, *, set_up_before: bool = False) -> int:
    """The most pieces of this step that whole pieces, seats, people and set-up allow in the session.

    ``set_up_before``: the kind of work may have been set up earlier in the same stretch.
    """
    time_s = session.length_s - (0 if set_up_before else step.setup_s)
    if time_s < step.seconds_each or (step.need is not None and step.need not in session.fit):
        return 0
    parties = at_once(workload, session, step)
    if step.seconds_each == 0:
        return step.pieces if parties else 0
    return min(step.pieces, parties * (time_s // step.seconds_each))


def most_in_sessions(workload: Workload, timeline: Timeline, step: Step, ks: Iterable[int]) -> list[int]:
    """The most pieces of the step in each of these sessions; what is the same for many is worked out once."""
    known: dict[tuple[tuple[int, ...], int, bool], int] = {}
    found = []
    for k in ks:
        session, before = workload.sessions[k], timeline.stretch[k] < k
        if step.need is not None and step.need not in session.fit:
            found.append(0)
            continue
        alike = (session.helpers, session.length_s, before)
        if alike not in known:
            known[alike] = most_pieces(workload, session, step, set_up_before=before)
        found.append(known[alike])
    return found


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
    workload: Workload, done: Sequence[Sequence[int]], *, may_leave: bool = False
) -> tuple[tuple[tuple[int, ...], ...], ...]:
    """For each lot and step: the sessions in which its count may rise, in order of time.

    A session stays open only if the steps before can have given pieces up by then, and if the must-work after it
    can still follow; with ``may_leave``, work may be done though what comes after it must be left. ``done``: per lot
    and step the pieces done before planning begins.
    """
    timeline = Timeline(workload.sessions)
    return tuple(
        _open_for(workload, timeline, lot, through, may_leave) for lot, through in zip(workload.lots, done, strict=True)
    )


def _open_for(
    workload: Workload, timeline: Timeline, lot: Lot, done: Sequence[int], may_leave: bool
) -> tuple[tuple[int, ...], ...]:
    found: list[list[int]] = []
    for step, through in zip(lot.steps, done, strict=True):
        last = len(timeline.sessions) - 1 if lot.ready_by_s is None else timeline.last_ending_by(lot.ready_by_s)
        first = max(timeline.first_starting_at(lot.arrives_s), timeline.gone(workload.standing))
        asked = range(first, last + 1) if through < step.pieces else range(0)
        fits = [k for k, most in zip(asked, most_in_sessions(workload, timeline, step, asked), strict=True) if most > 0]
        if lot.count == 1 and through < step.pieces:
            fits = sorted(
                {
                    *fits,
                    *(k for k in range(first, last + 1) if (run := run_of(workload, step, k)) and run[0][0] >= first),
                }
            )
        found.append(fits)
    binding = [f for f in follows(lot) if f.spare == 0 and not f.skippable]
    for pair in binding:
        before, one, two = found[pair.first], lot.steps[pair.first], lot.steps[pair.then]
        if done[pair.first] <= 0:
            found[pair.then] = [k for k in found[pair.then] if before and timeline.given_up(k, one, two) >= before[0]]
    for pair in reversed([] if may_leave else binding):
        after = found[pair.then]
        if (
            done[pair.then] < lot.steps[pair.then].pieces
            and lot.steps[pair.then].importance is Importance.MUST
            and lot.steps[pair.first].pieces <= lot.steps[pair.then].pieces
        ):
            last = timeline.given_up(after[-1], lot.steps[pair.first], lot.steps[pair.then]) if after else -1
            found[pair.first] = [k for k in found[pair.first] if k <= last]
    return tuple(tuple(ks) for ks in found)
