"""What a dispatch carries from session to session."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from itertools import accumulate, chain

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.fixed import Fixed, fixed_of
from offseason.solver.manner import Manner
from offseason.solver.pressure import Pressure
from offseason.workload.model import Stay

LONGEST_BLOCK_S = 86_400
"""No stretch of work lasts longer than a day."""


@dataclass(frozen=True)
class Block:
    """A stretch of work that is under way: pieces of (lot, step) by these helpers, until ``ends_s``, ``at`` a place."""

    ends_s: int
    lot: int
    step: int
    pieces: int
    helpers: tuple[int, ...]
    at: int | None
    comes: tuple[Stay, ...] = ()
    leaves: tuple[Stay, ...] = ()
    carried: bool = False


@dataclass
class Ended:
    """Pieces that came through a step one after another, the first and the last at these moments.

    Where they went into a place in whole loads, both are the moment the load was closed.
    """

    first_s: int
    last_s: int
    pieces: int

    def through_by(self, time_s: int) -> int:
        """How many of them are through by a moment."""
        if time_s >= self.last_s:
            return self.pieces
        if time_s < self.first_s:
            return 0
        return 1 + (time_s - self.first_s) * (self.pieces - 1) // (self.last_s - self.first_s)


@dataclass
class Done:
    """What was done of a step so far, in order of the last moments; ``pieces`` added up."""

    last_s: list[int] = field(default_factory=list)
    pieces: list[int] = field(default_factory=list)
    all: list[Ended] = field(default_factory=list)


@dataclass(frozen=True)
class Snapshot:
    """How things stand when the first ``sessions`` sessions are over: where a dispatch may go on from.

    ``counts``: per lot (steps, sessions) pieces through each step by the end of each of these sessions; the rest as in
    the ledger it was taken from. Nobody writes into it.
    """

    sessions: int
    counts: Sequence[np.ndarray]
    ends: Mapping[tuple[int, int], Done] = field(default_factory=dict)
    habits: Sequence[Mapping[str, int]] = ()
    carried: Sequence[Block] = ()
    set_up: Mapping[str, int] = field(default_factory=dict)
    called: Mapping[int, date] = field(default_factory=dict)


def standing(m: Counts) -> Snapshot:
    """How things stand before planning begins, as the workload says."""
    known = m.workload.standing
    if known is None:
        return Snapshot(0, tuple(past[:, :0] for past in m.past))
    by_step: dict[tuple[int, int], list[Ended]] = {}
    for one in known.done:
        by_step.setdefault((one.lot, one.step), []).append(Ended(one.finished_s, one.finished_s, one.pieces))
    _wait_as_one_load(m, by_step)
    ends: dict[tuple[int, int], Done] = {}
    for key, ended in by_step.items():
        pieces = accumulate(one.pieces for one in ended)
        ends[key] = Done([one.last_s for one in ended], list(pieces), ended)
    return Snapshot(m.gone, tuple(past[:, 1 : m.gone + 1] for past in m.past), ends)


def _wait_as_one_load(m: Counts, by_step: dict[tuple[int, int], list[Ended]]) -> None:
    """What is still in a place that takes whole loads waits from when the last of it went in, whatever was logged."""
    for place, entry in enumerate(m.workload.places):
        if not entry.whole_loads:
            continue
        stays = [(lot, s, then) for lot, some in enumerate(m.resting) for s, then, stay in some if stay.place == place]
        closed_s = max((one.last_s for lot, s, _ in stays for one in by_step.get((lot, s), ())), default=0)
        for lot, s, then in stays:
            out = 0 if then is None else sum(one.pieces for one in by_step.get((lot, then), ()))
            by_step[lot, s] = list(_still_in(by_step.get((lot, s), []), out, closed_s))


def _still_in(ended: list[Ended], out: int, closed_s: int) -> Iterator[Ended]:
    """The same pieces, those after the first ``out`` through when the load was closed."""
    for one in ended:
        gone = min(one.pieces, out)
        out -= gone
        if gone:
            yield Ended(one.first_s, one.last_s, gone)
        if gone < one.pieces:
            yield Ended(closed_s, closed_s, one.pieces - gone)


@dataclass(frozen=True)
class Ledger:
    """Counts so far per lot (steps, sessions), written as the dispatch goes, and what it is to keep to.

    ``totals``: pieces wanted of each step in the whole winter. ``caps``: (lot, step) -> most pieces through it by the
    end of each session. ``habits``: for each helper, how often they took up each kind of work. ``carried``: long
    pieces of work that go on from one session into the next. ``ends``: (lot, step) -> when pieces were through it.
    ``set_up``: kind of work -> when it was ready, in the stretch at hand. ``called``: helper -> last day of work.
    ``now``: pieces through each step of each lot so far, those given out in the session at hand too, which ``counts``
    know when it is closed. ``reached``: of steps that may be capped, pieces that could have been through by session.
    """

    m: Counts
    manner: Manner
    pressure: Pressure
    counts: list[np.ndarray]
    totals: list[list[int]]
    caps: dict[tuple[int, int], np.ndarray]
    habits: list[dict[str, int]] = field(default_factory=list)
    carried: list[Block] = field(default_factory=list)
    ends: dict[tuple[int, int], Done] = field(default_factory=dict)
    set_up: dict[str, int] = field(default_factory=dict)
    called: dict[int, date] = field(default_factory=dict)
    now: list[list[int]] = field(default_factory=list)
    reached: dict[tuple[int, int], dict[int, int]] = field(default_factory=dict)

    @cached_property
    def fixed(self) -> list[list[Fixed]]:
        """What is fixed about each step for the whole winter."""
        return fixed_of(self.m)

    def left_by_task(self) -> dict[str, int]:
        """Seconds of each kind of work that are still wanted, of one party."""
        tasks, task_of, seconds_each, wanted = self._kinds
        done = np.fromiter(chain.from_iterable(self.now), np.int64, len(wanted))
        left_s = np.zeros(len(tasks), np.int64)
        np.add.at(left_s, task_of, np.maximum(wanted - done, 0) * seconds_each)
        return dict(zip(tasks, left_s.tolist(), strict=True))

    @cached_property
    def _kinds(self) -> tuple[list[str], np.ndarray, np.ndarray, np.ndarray]:
        """The kinds of work; and of each step of all lots its kind, seconds of a piece, and the pieces wanted."""
        steps = [step for lot in self.m.workload.lots for step in lot.steps]
        tasks = list(dict.fromkeys(step.task for step in steps))
        number = {task: n for n, task in enumerate(tasks)}
        task_of = np.array([number[step.task] for step in steps], np.int64)
        seconds_each = np.array([step.seconds_each for step in steps], np.int64)
        return tasks, task_of, seconds_each, np.array(list(chain.from_iterable(self.totals)), np.int64)

    def __post_init__(self) -> None:
        self.now.extend([0] * len(known) for known in self.counts)

    def by(self, lot: int, step: int, k: int) -> int:
        """Pieces through the step by the end of session ``k``; before the first session: none."""
        return int(self.counts[lot][step, k]) if k >= 0 else 0

    def held_before(self, k: int) -> dict[int, int]:
        """Spaces taken at each limited place when session ``k``, the next to be worked, begins."""
        workload = self.m.workload
        held = {p: 0 for p, place in enumerate(workload.places) if place.holds is not None}
        for lot, stage, following, stay in self.m.resting_in_limits:
            entry = workload.lots[lot]
            if stage < 0:
                came = entry.count if entry.arrives_s <= workload.sessions[k].ends_s else 0
            else:
                came = self.now[lot][stage]
            if not stay.until_taken:
                left = self.by(lot, stage, self.m.timeline.surely_given_up(k, entry.steps[stage]))
            else:
                left = self.now[lot][following] if following is not None else 0
            held[stay.place] += stay.spaces * (came - left)
        return held

    def through_by(self, lot: int, step: int, time_s: int) -> int:
        """Pieces through the step by a moment, as far as sessions before this one go."""
        done = self.ends.get((lot, step))
        if done is None or not done.last_s:
            return 0
        if done.last_s[-1] <= time_s:
            return done.pieces[-1]
        at = bisect_right(done.last_s, time_s)
        count = done.pieces[at - 1] if at else 0
        for one in done.all[at:]:
            if one.last_s > time_s + LONGEST_BLOCK_S:
                break
            count += one.through_by(time_s)
        return count

    def ends_between(self, lot: int, step: int, after_s: int, before_s: int) -> list[int]:
        """Moments, between two, in which the first or the last piece of some stretch of work was through the step."""
        done = self.ends.get((lot, step))
        if done is None:
            return []
        found: list[int] = []
        for one in done.all[bisect_right(done.last_s, after_s) :]:
            if one.last_s > before_s + LONGEST_BLOCK_S:
                break
            found += [one.first_s, one.last_s]
        return found

    def write(self, k: int, touched: Iterable[tuple[int, int]]) -> None:
        """Write into the counts, from session ``k`` on, how far the steps touched in it have come."""
        for lot, step in touched:
            self.counts[lot][step, k:] = self.now[lot][step]

    def could_reach(self, lot: int, step: int, k: int, pieces: int) -> None:
        """Note that so many pieces could be through the step in session ``k``, if it is one that may be capped."""
        if (lot, step) in self.m.soon_followed:
            by_session = self.reached.setdefault((lot, step), {})
            by_session[k] = max(pieces, by_session.get(k, 0))

    def enter(self, lot: int, step: int, ended: list[Ended]) -> None:
        """Note what was done in a session that has ended."""
        done = self.ends.setdefault((lot, step), Done())
        for one in sorted(ended, key=lambda e: e.last_s):
            done.last_s.append(max(one.last_s, done.last_s[-1] if done.last_s else one.last_s))
            done.pieces.append(one.pieces + (done.pieces[-1] if done.pieces else 0))
            done.all.append(one)

    def go_on_from(self, at: Snapshot) -> None:
        """Enter all that was done before; to be called on an empty ledger. The snapshot is copied, not kept."""
        for lot, (known, before) in enumerate(zip(self.counts, at.counts, strict=True)):
            known[:, : at.sessions] = before
            if at.sessions:
                known[:, at.sessions :] = before[:, -1:]
                self.now[lot] = before[:, -1].tolist()
        self.ends.update({key: Done(done.last_s[:], done.pieces[:], done.all[:]) for key, done in at.ends.items()})
        for habits, before_habits in zip(self.habits, at.habits, strict=False):
            habits.update(before_habits)
        self.carried.extend(at.carried)
        self.set_up.update(at.set_up)
        self.called.update(at.called)

    def snapshot(self, sessions: int) -> Snapshot:
        """How things stand after so many sessions, all of which must be closed and no later one begun."""
        return Snapshot(
            sessions=sessions,
            counts=tuple(known[:, :sessions].copy() for known in self.counts),
            ends={key: Done(done.last_s[:], done.pieces[:], done.all[:]) for key, done in self.ends.items()},
            habits=tuple(dict(habits) for habits in self.habits),
            carried=tuple(self.carried),
            set_up=dict(self.set_up),
            called=dict(self.called),
        )
