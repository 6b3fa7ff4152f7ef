"""The same winter as intervals: each batch of each lot, step by step, with a start, a session and its people.

This is how work is planned where jobs are few. A batch is as many pieces of a lot as one party gets through in a usual
session, and as fit into the places they rest in. Kept: people and what they can do, seats and spaces to the minute,
the order of steps, waiting and drying, weather, dates, protection of comb. Left out, all of which makes it easier: the
time to set up, weather that work only likes, and treatments that lapse. What comes out is judged by the counting rows.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median_low

import numpy as np
from ortools.sat.python import cp_model

from offseason.solver.counts import Counts
from offseason.solver.model import build
from offseason.workload.model import Importance, Prefer, Step, Work, Workload


@dataclass
class Task:
    """A batch at one step: when it starts and ends, from when to when it may start in each session, who does it.

    ``start`` of what is not done is the horizon. ``session`` is made where something hangs on it.
    """

    lot: int
    step: int
    pieces: int
    start: cp_model.IntVar
    end: cp_model.LinearExprT
    windows: dict[int, tuple[int, int]]
    done: cp_model.IntVar | int
    people: dict[int, cp_model.IntVar]
    interval: cp_model.IntervalVar
    session: cp_model.IntVar | None = None


class Intervals:
    """The model of a winter. Raises ValueError where the keeper prefers something else than work done early."""

    def __init__(self, workload: Workload) -> None:
        if workload.prefer is not Prefer.EARLY:
            raise ValueError("The interval view is written for work done early only.")
        self.workload = workload
        self.counting = build(workload)
        self.m: Counts = self.counting.counts
        self.never = len(workload.sessions)
        self.horizon = max([workload.until_s, *(s.ends_s for s in workload.sessions)]) + 60 * 86_400
        self.model = cp_model.CpModel()
        self.batches: list[list[dict[int, Task]]] = []
        self.possible = True
        for lot in range(len(workload.lots)):
            self.batches.append([self._batch(lot, sizes) for sizes in self._sizes(lot)])
        self._people_and_seats()
        for lot in range(len(workload.lots)):
            for batch in self.batches[lot]:
                self._flow(lot, batch)
        self._orders()
        self._spaces()
        self.aims = [self._exposure(), self._optional(), self._waiting()]

    def tasks(self) -> list[Task]:
        """Every batch at every step."""
        return [task for lot in self.batches for batch in lot for task in batch.values()]

    def _sizes(self, lot: int) -> list[dict[int, int]]:
        """The batches of a lot: pieces of each at each step (a share of the lot is taken from its first pieces)."""
        entry = self.workload.lots[lot]
        most = entry.count
        for s, step in enumerate(entry.steps):
            lengths = [self.workload.sessions[k].length_s for k in self.m.open[lot][s]]
            if lengths and step.seconds_each and entry.count > 1:
                most = min(most, max(1, median_low(lengths) // step.seconds_each))
            for stay in step.stays:
                holds = self.workload.places[stay.place].holds
                if holds is not None and stay.spaces:
                    most = min(most, max(1, holds // stay.spaces))
        ranges = [(first, min(first + most, entry.count)) for first in range(0, entry.count, most)]
        return [
            {s: min(last, step.pieces) - first for s, step in enumerate(entry.steps) if step.pieces > first}
            for first, last in ranges
        ]

    def _batch(self, lot: int, sizes: dict[int, int]) -> dict[int, Task]:
        return {s: self._task(lot, s, pieces) for s, pieces in sizes.items()}

    def _task(self, lot: int, s: int, pieces: int) -> Task:
        step, sessions = self.workload.lots[lot].steps[s], self.workload.sessions
        must = step.importance is Importance.MUST
        lasts_s = pieces * step.seconds_each
        begins = {k: self.m.runs[lot, k][0][0] if (lot, k) in self.m.runs else k for k in self.m.open[lot][s]}
        windows = {k: (sessions[first].starts_s, sessions[k].ends_s - lasts_s) for k, first in begins.items()}
        windows = {k: window for k, window in windows.items() if window[0] <= window[1]}
        self.possible = self.possible and bool(windows or not must)
        never = [] if must and windows else [(self.horizon, self.horizon)]
        start = self.model.new_int_var_from_domain(cp_model.Domain.from_intervals([*windows.values(), *never]), "")
        done: cp_model.IntVar | int = 1
        if not must:
            done = self.model.new_bool_var("")
            self.model.add(start < self.horizon).only_enforce_if(done)
            self.model.add(start == self.horizon).only_enforce_if(~done)
        interval = self.model.new_optional_fixed_size_interval_var(start, lasts_s, done, "")
        return Task(lot, s, pieces, start, start + lasts_s, windows, done, {}, interval)

    def session_of(self, task: Task) -> cp_model.IntVar:
        """The session in which the batch is through; the number of sessions: not done."""
        if task.session is None:
            ks = [*task.windows, self.never] if isinstance(task.done, cp_model.IntVar) else [*task.windows]
            task.session = self.model.new_int_var_from_domain(cp_model.Domain.from_values(ks), "")
            firsts = [task.windows.get(k, (0, 0))[0] for k in range(self.never)]
            lasts = [task.windows.get(k, (0, 0))[1] for k in range(self.never)]
            self.model.add(task.start >= self._entry([*firsts, self.horizon], task.session))
            self.model.add(task.start <= self._entry([*lasts, self.horizon], task.session))
        return task.session

    def looked_up(self, table: list[int], task: Task) -> cp_model.IntVar:
        """The entry of a table for the session in which the batch is through; the last entry: not done."""
        return self._entry(table, self.session_of(task))

    def _entry(self, table: list[int], session: cp_model.IntVar) -> cp_model.IntVar:
        found = self.model.new_int_var(min(table), max(table), "")
        self.model.add_element(session, table, found)
        return found

    def _people_and_seats(self) -> None:
        """As many able people as a step has hands, each at one thing at a time; seats taken while it lasts."""
        busy: dict[int, list[cp_model.IntervalVar]] = {}
        seated: dict[int, list[tuple[cp_model.IntervalVar, int]]] = {}
        for task in self.tasks():
            step = self.workload.lots[task.lot].steps[task.step]
            for h, helper in enumerate(self.workload.helpers):
                if step.hands and helper.able(step.task):
                    here = task.people[h] = self.model.new_bool_var("")
                    there = [w for k, w in task.windows.items() if h in self.workload.sessions[k].helpers]
                    if len(there) < len(task.windows):
                        present = cp_model.Domain.from_intervals(there)
                        self.model.add_linear_expression_in_domain(task.start, present).only_enforce_if(here)
                    size = task.pieces * step.seconds_each
                    busy.setdefault(h, []).append(
                        self.model.new_optional_fixed_size_interval_var(task.start, size, here, "")
                    )
            self.model.add(sum(task.people.values()) == step.hands * task.done)
            if step.at is not None and self.workload.places[step.at].seats is not None:
                seated.setdefault(step.at, []).append((task.interval, step.hands))
        for intervals in busy.values():
            self.model.add_no_overlap(intervals)
        for place, taken in seated.items():
            seats = self.workload.places[place].seats
            self.model.add_cumulative([one for one, _ in taken], [hands for _, hands in taken], seats)

    def _flow(self, lot: int, batch: dict[int, Task]) -> None:
        entry = self.workload.lots[lot]
        for pair in self.m.follows[lot]:
            if pair.first in batch and pair.then in batch:
                both = [batch[pair.first].done, batch[pair.then].done]
                ready = self._ready(batch[pair.first], entry.steps[pair.first])
                self.model.add(batch[pair.then].start >= ready).only_enforce_if(both)
        for s, task in batch.items():
            step = entry.steps[s]
            for needed in step.needs:
                if needed in batch:
                    self.model.add(batch[needed].done >= task.done)
            if step.within_s is not None and step.within_of in batch:
                before = batch[step.within_of]
                late = self.model.add(task.end <= before.end + step.within_s)
                late.only_enforce_if([before.done, task.done])
                if step.importance is Importance.MUST:
                    self.model.add(task.done >= before.done)
        if entry.treat_by_s is not None and not entry.protected:
            safe = next((s for s in self.m.stages[lot] if s >= 0 and entry.steps[s].protected), None)
            if safe is not None and safe in batch:
                day_ends = self.m.timeline.last_ending_by(entry.treat_by_s)
                evening = self.m.timeline.last_of_day[max(day_ends, 0)]
                self.model.add(batch[safe].end <= self.workload.sessions[evening].ends_s)

    def _ready(self, task: Task, step: Step) -> cp_model.LinearExprT:
        """When the batch may be taken up: after its wait; what dries by the weather as if done last in its session."""
        if step.drying is None:
            return task.end + step.wait_s
        ends = [step.ready_s(session.ends_s) for session in self.workload.sessions]
        return self.looked_up([min(end, self.horizon * 2) for end in ends] + [0], task)

    def _orders(self) -> None:
        for order in self.workload.orders:
            (lot, s), (then_lot, then) = order.first, order.then
            for before in (batch[s] for batch in self.batches[lot] if s in batch):
                for after in (batch[then] for batch in self.batches[then_lot] if then in batch):
                    self.model.add(before.done >= after.done)
                    ready = self._ready(before, self.workload.lots[lot].steps[s])
                    self.model.add(after.start >= ready).only_enforce_if([before.done, after.done])

    def _spaces(self) -> None:
        """Spaces taken from the end of one step to the start of the next; of whole loads, one batch at a time."""
        held: dict[int, list[tuple[cp_model.IntervalVar, int]]] = {}
        for lot, entry in enumerate(self.workload.lots):
            for batch in self.batches[lot]:
                pieces = max(task.pieces for task in batch.values()) if batch else 0
                for stage, following, stay in self.m.resting[lot]:
                    if self.workload.places[stay.place].holds is None or (stage >= 0 and stage not in batch):
                        continue
                    whole = self.workload.places[stay.place].whole_loads  # from the first piece in to the last out
                    begins = entry.arrives_s if stage < 0 else batch[stage].start if whole else batch[stage].end
                    ends: cp_model.LinearExprT = self.horizon * 2
                    if not stay.until_taken:
                        ends = self._ready(batch[stage], entry.steps[stage])
                    elif following in batch:
                        ends = batch[following].end if whole else batch[following].start
                    size = self.model.new_int_var(0, self.horizon * 2, "")
                    done = 1 if stage < 0 else batch[stage].done
                    interval = self.model.new_optional_interval_var(begins, size, ends, done, "")
                    held.setdefault(stay.place, []).append((interval, stay.spaces * pieces))
        for place, inside in held.items():
            entry = self.workload.places[place]
            if entry.whole_loads:
                self.model.add_no_overlap([interval for interval, _ in inside])
            self.model.add_cumulative([one for one, _ in inside], [spaces for _, spaces in inside], entry.holds)

    def _exposure(self) -> cp_model.LinearExprT:
        parts: list[cp_model.LinearExprT] = []
        for lot, entry in enumerate(self.workload.lots):
            warm = np.concatenate([[0], np.cumsum(entry.open_heat)]).tolist() if entry.open_heat else []
            here = sum(session.ends_s < entry.arrives_s for session in self.workload.sessions)
            stages = list(zip(self.m.stages[lot], [*self.m.stages[lot][1:], None], strict=True))
            for batch in self.batches[lot] if warm else ():
                for stage, following in stages:
                    if not (entry.protected if stage < 0 else entry.steps[stage].protected):
                        pieces = max(task.pieces for task in batch.values())
                        since = warm[here] if stage < 0 else self.looked_up(warm, batch[stage])
                        until = warm[-1] if following is None else self.looked_up(warm, batch[following])
                        parts.append(pieces * (until - since))
        return sum(parts)

    def _optional(self) -> cp_model.LinearExprT:
        weights = {Importance.MUST: 0, Importance.SHOULD: 10, Importance.COULD: 1}
        parts = []
        for task in self.tasks():
            step = self.workload.lots[task.lot].steps[task.step]
            parts.append(weights[step.importance] * step.worth * task.pieces * (1 - task.done))
        return sum(parts)

    def _waiting(self) -> cp_model.LinearExprT:
        """Minutes of work times the seconds until it is through: nearly what the keeper's aim counts by sessions."""
        parts = []
        for task in self.tasks():
            step = self.workload.lots[task.lot].steps[task.step]
            if step.worth and step.hands and step.seconds_each:
                parts.append(max(1, step.hands * step.seconds_each * task.pieces // 60) * task.end)
        return sum(parts)

    def found(self, solver: cp_model.CpSolver) -> tuple[list[np.ndarray], list[Work]]:
        """Counts per lot (steps, sessions), and the work."""
        counts = [np.zeros((len(lot.steps), self.never), np.int64) for lot in self.workload.lots]
        work = []
        for task in self.tasks():
            starts, ends = solver.value(task.start), solver.value(task.end)
            k = next((k for k, (first, last) in task.windows.items() if first <= starts <= last), self.never)
            if k < self.never:
                counts[task.lot][task.step, k:] += task.pieces
                people = tuple(h for h, here in task.people.items() if solver.value(here))
                work.append(Work(k, starts, ends, people, task.lot, task.step, task.pieces))
        return counts, work
