"""One session of the dispatch: people, seats and spaces on the clock, from the first minute to the last."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from offseason.solver.counts import Counts
from offseason.solver.manner import RANK, Manner
from offseason.solver.pressure import Pressure
from offseason.solver.windows import crew_for, most_pieces
from offseason.workload.model import Stay, Step, Work

ORDERS = ("pressing", "fewest people", "longest pieces", "first steps")
"""Orders of taking up work within a session, tried in turn where a guide must be met to the piece."""

PIPELINE_S = 1_800
"""Where the next step can take pieces up at once, they are handed on at least this often."""


@dataclass
class Candidate:
    """A step that may be worked in this session, with what is fixed about it until the session ends."""

    lot: int
    step: int
    key: tuple[float, ...]
    guided: int
    wanted: int
    base: list[tuple[int, int]]
    live: list[tuple[int, int]]
    comes: tuple[Stay, ...]
    leaves: tuple[Stay, ...]
    handed_on: bool
    room_behind: int


@dataclass
class Block:
    """A stretch of work that is under way."""

    ends_s: int
    candidate: Candidate
    pieces: int
    hands: int


class Desk:
    """The state of one session while the dispatch goes through it."""

    def __init__(
        self,
        m: Counts,
        k: int,
        pairs: list[tuple[int, int]],
        counts: list[np.ndarray],
        totals: list[list[int]],
        pressure: Pressure,
        manner: Manner,
        habits: list[dict[str, int]],
        caps: dict[tuple[int, int], np.ndarray],
        order: str = "pressing",
    ) -> None:
        self.order = order
        self.caps = caps
        self.m, self.k, self.counts, self.totals, self.manner, self.habits = m, k, counts, totals, manner, habits
        self.session = m.workload.sessions[k]
        self.before = k - 1
        self.held = self._held_at_start()
        self.loads: set[int] = set()
        self.set_up: dict[str, int] = {}
        self.running: list[Block] = []
        self.through: dict[tuple[int, int], int] = {}
        self.work: list[Work] = []
        self.last_task: dict[int, str] = {}
        self.candidates = self._candidates(pairs, pressure)

    def _step(self, c: Candidate) -> Step:
        return self.m.workload.lots[c.lot].steps[c.step]

    def _held_at_start(self) -> dict[int, int]:
        """Spaces taken at each limited place when the session begins."""
        held = {p: 0 for p, place in enumerate(self.m.workload.places) if place.holds is not None}
        for lot, entry in enumerate(self.m.workload.lots):
            known, stages = self.counts[lot], self.m.stages[lot]
            for stage, following in zip(stages, [*stages[1:], None], strict=True):
                for stay in entry.rests if stage < 0 else entry.steps[stage].stays:
                    if stay.place not in held:
                        continue
                    if stage < 0:
                        came = entry.count if entry.arrives_s <= self.session.ends_s else 0
                    else:
                        came = int(known[stage, self.before]) if self.k else 0
                    if not stay.until_taken:
                        free = self.m.timeline.given_up(self.k, entry.steps[stage].wait_s)
                        left = int(known[stage, free]) if free >= 0 else 0
                    else:
                        left = int(known[following, self.before]) if following is not None and self.k else 0
                    held[stay.place] += stay.spaces * (came - left)
        return held

    def _candidates(self, pairs: list[tuple[int, int]], pressure: Pressure) -> list[Candidate]:
        task_left: dict[str, int] = {}
        remaining: list[list[int]] = []
        for lot, entry in enumerate(self.m.workload.lots):
            done = self.counts[lot][:, self.k]
            remaining.append([max(0, self.totals[lot][s] - int(done[s])) for s in range(len(entry.steps))])
            for s, step in enumerate(entry.steps):
                task_left[step.task] = task_left.get(step.task, 0) + remaining[lot][s] * step.seconds_each
        found = []
        for lot, s in pairs:
            if remaining[lot][s]:
                made = self._candidate(lot, s, remaining[lot], pressure, task_left)
                if made is not None:
                    found.append(made)
        return sorted(found, key=self._place_in_order)

    def _place_in_order(self, c: Candidate) -> tuple[float, ...]:
        """Exposed comb always comes first; the rest by the order that is being tried."""
        step = self._step(c)
        by_order = {
            "pressing": 0,
            "longest pieces": -step.seconds_each,
            "fewest people": len(crew_for(self.m.workload, self.session, step.task)),
            "first steps": c.step,
        }
        return (c.key[0], by_order[self.order], *c.key)

    def _candidate(
        self, lot: int, s: int, remaining: list[int], pressure: Pressure, task_left: dict[str, int]
    ) -> Candidate | None:
        entry, known = self.m.workload.lots[lot], self.counts[lot]
        base: list[tuple[int, int]] = []
        live: list[tuple[int, int]] = []
        for f in self.m.follows[lot]:
            if f.then == s:
                first = entry.steps[f.first]
                spare = f.spare + (first.pieces - self.totals[lot][f.first] if f.skippable else 0)
                if first.wait_s:
                    j = self.m.timeline.given_up(self.k, first.wait_s)
                    base.append((0, spare + (int(known[f.first, j]) if j >= 0 else 0)))
                else:
                    live.append((f.first, spare))
        done = int(known[s, self.k])
        if base and min(b for _, b in base) <= done:
            return None
        guided = self.totals[lot][s] if self.manner.guide is None else int(self.manner.guide[lot][s, self.k])
        pressing = pressure.of_step(self.m, lot, s, self.k, remaining, task_left)
        due = self._due(lot, s, pressure)
        if entry.steps[s].worth == 0 and due - self.session.ends_s > max(
            (entry.steps[s].lasts_s or 0) // 4, 8 * 86_400
        ):
            return None
        room_behind = self._room_behind(lot, s)
        stages = self.m.stages[lot]
        comes: tuple[Stay, ...] = ()
        leaves: tuple[Stay, ...] = ()
        if s in stages:
            at = stages.index(s)
            previous = stages[at - 1]
            comes = entry.steps[s].stays
            leaves = tuple(x for x in (entry.rests if previous < 0 else entry.steps[previous].stays) if x.until_taken)
        frees = any(stay not in comes and self.m.workload.places[stay.place].holds is not None for stay in leaves)
        overdue = due - self.session.ends_s < 14 * 86_400
        key = (
            0 if entry.open_heat else 1,
            RANK[entry.steps[s].importance],
            0 if overdue else 1,
            due if overdue else 0,
            -round(min(pressing, 9.0), 1),
            0 if frees else 1,
            lot,
            s,
        )
        handed_on = s + 1 < len(entry.steps) and entry.steps[s].wait_s == 0
        return Candidate(lot, s, key, guided, self.totals[lot][s], base, live, comes, leaves, handed_on, room_behind)

    def _orders_allow(self, lot: int, s: int) -> bool:
        for order in self.m.workload.orders:
            if order.then == (lot, s):
                first_lot, first_step = order.first
                first = self.m.workload.lots[first_lot].steps[first_step]
                j = self.before if first.wait_s == 0 else self.m.timeline.given_up(self.k, first.wait_s)
                done = int(self.counts[first_lot][first_step, j]) if j >= 0 else 0
                if first.wait_s == 0:
                    done += self.through.get((first_lot, first_step), 0)
                if done < first.pieces:
                    return False
        return True

    def _due(self, lot: int, s: int, pressure: Pressure) -> int:
        """When the next piece of the step is due: its own deadline, or the time allowed since the step it follows."""
        step, known = self.m.workload.lots[lot].steps[s], self.counts[lot]
        due = pressure.due_s[lot][s]
        if step.within_s is not None and step.within_of is not None:
            waiting = np.flatnonzero(known[step.within_of, : self.k] > known[s, self.k])
            if len(waiting):
                due = min(due, self.m.workload.sessions[int(waiting[0])].starts_s + step.within_s)
        lasts_s = self.m.workload.lots[lot].steps[s - 1].lasts_s if s else None
        if lasts_s is not None and len(treated := np.flatnonzero(known[s - 1, : self.k] > known[s, self.k])):
            lapses_s = self.m.workload.sessions[int(treated[0])].starts_s + lasts_s
            due = min(due, max(lapses_s, self.m.workload.lots[lot].treat_by_s or 0))
        return due

    def _room_behind(self, lot: int, s: int) -> int:
        """How many pieces of this step may be done so that the step bound by ``within`` can still follow in time.

        Counts the seconds left at that step's place, less what already waits for the place, in all lots.
        """
        entry, known = self.m.workload.lots[lot], self.counts[lot]
        most = entry.steps[s].pieces
        if (lot, s) in self.caps:
            most = min(most, int(self.caps[lot, s][self.k]) - int(known[s, self.k]))
        for t in range(s + 1, len(entry.steps)):
            step = entry.steps[t]
            if step.within_of == s and step.within_s is not None and step.seconds_each:
                factor = 1.0 if self.manner.guide is not None else self.manner.caution
                room_s = int(self._room_for(lot, t, s) * factor) - self._waiting_for(step)
                to_follow = self.totals[lot][t] - int(known[s, self.k])
                if room_s // step.seconds_each < to_follow:
                    most = min(most, room_s // step.seconds_each)
        return max(most, 0)

    def _room_for(self, lot: int, then: int, first: int) -> int:
        """Seconds in which step ``then`` can be worked before pieces of step ``first`` done now are due."""
        entry = self.m.workload.lots[lot]
        step = entry.steps[then]
        end = self.session.starts_s + (step.within_s or 0)
        room = 0
        for k in self.m.open[lot][then]:
            after = self.m.workload.sessions[k]
            if after.ends_s <= end and self.m.timeline.given_up(k, entry.steps[first].wait_s) >= self.k:
                room += most_pieces(self.m.workload, after, step) * step.seconds_each
        return room

    def _waiting_for(self, like: Step) -> int:
        """Seconds of work, in all lots, that already wait for the place and weather this step needs."""
        waiting = 0
        for lot, entry in enumerate(self.m.workload.lots):
            known = self.counts[lot]
            for s, step in enumerate(entry.steps):
                if s and (step.at, step.need) == (like.at, like.need):
                    waiting += max(0, int(known[s - 1, self.k]) - int(known[s, self.k])) * step.seconds_each
        return waiting

    def run(self) -> list[Work]:
        """Give out the work of the session; the counts of the session are written as it goes."""
        start, end = self.session.starts_s, self.session.ends_s
        free = dict.fromkeys(self.session.helpers, start)
        self._nobody_needed(start)
        while free:
            now = min(free.values())
            if now >= end:
                break
            self._settle(now)
            self._nobody_needed(now)
            idle = [h for h, t in free.items() if t <= now]
            started = self._start_best(now, idle, free)
            if started:
                continue
            later = [b.ends_s for b in self.running if b.ends_s > now] + [t for t in free.values() if t > now]
            later += [t for t in self.set_up.values() if t > now]
            if not later or min(later) >= end:
                break
            for h in idle:
                free[h] = min(later)
        self._settle(end)
        return self.work

    def _settle(self, now: int) -> None:
        """Blocks that have ended: their pieces are through, and what they took out has left its place."""
        for block in [b for b in self.running if b.ends_s <= now]:
            self.running.remove(block)
            c = block.candidate
            self.through[c.lot, c.step] = self.through.get((c.lot, c.step), 0) + block.pieces
            for stay in c.leaves:
                if stay.place in self.held and stay not in c.comes:
                    self.held[stay.place] -= stay.spaces * block.pieces

    def _possible(self, c: Candidate, now: int) -> int:
        """Pieces of the candidate that could be started now, people aside."""
        step, known = self._step(c), self.counts[c.lot]
        if not self._orders_allow(c.lot, c.step):
            return 0
        done = int(known[c.step, self.k])
        most = min([c.wanted] + [b for _, b in c.base]) - done
        for first, spare in c.live:
            ready = (int(known[first, self.before]) if self.k else 0) + self.through.get((c.lot, first), 0)
            most = min(most, ready + spare - done)
        most = min(most, c.room_behind)
        if not self.manner.fill:
            most = min(most, c.guided - done)
        if most <= 0:
            return 0
        left = self.session.ends_s - now
        if step.setup_s:
            ready_s = self.set_up.get(step.task)
            if ready_s is None:
                left -= step.setup_s
            elif ready_s > now:
                return 0
        most = min(most, left // step.seconds_each) if step.seconds_each else (most if left >= 0 else 0)
        if step.at is not None:
            seats = self.m.workload.places[step.at].seats
            if seats is not None and seats - self._seated(step.at) < step.hands:
                return 0
        return self._with_room(c, most) if most > 0 else 0

    def _seated(self, place: int) -> int:
        return sum(b.hands for b in self.running if self._step(b.candidate).at == place)

    def _with_room(self, c: Candidate, most: int) -> int:
        """Cut to what the places have room for; a whole load only into an empty place, and full enough."""
        for stay in c.comes:
            place = self.m.workload.places[stay.place]
            if place.holds is None or stay in c.leaves:
                continue
            room = (place.holds - self.held[stay.place]) // stay.spaces
            if place.whole_loads and stay.place not in self.loads:
                if self.held[stay.place]:
                    return 0
                done = int(self.counts[c.lot][c.step, self.k])
                wanted = min(room, c.wanted - done)
                if c.guided - done < min(most, wanted) and most < self.manner.full_loads * wanted:
                    return 0
                if self.manner.guide is None and most < self.manner.full_loads * wanted:
                    return 0
            most = min(most, room)
        return max(most, 0)

    def _start_best(self, now: int, idle: list[int], free: dict[int, int]) -> bool:
        """Start the most pressing work that the idle people can do; guided work first."""
        behind: list[tuple[Candidate, int]] = []
        ahead: list[tuple[Candidate, int]] = []
        for c in self.candidates:
            if self._step(c).hands == 0:
                continue
            most = self._possible(c, now)
            if most <= 0:
                continue
            lag = min(most, c.guided - int(self.counts[c.lot][c.step, self.k]))
            if lag > 0:
                behind.append((c, lag))
            else:
                ahead.append((c, most))
        if self.manner.gather:
            most_behind = self._seconds_behind(behind)
            behind.sort(key=lambda pair: self._setting_up(pair[0], most_behind))
            if any(self._step(c).task in self.set_up for c, _ in ahead):
                settled = [pair for pair in (*behind, *ahead) if not self._needs_setting_up(pair[0])]
                rest = [pair for pair in (*behind, *ahead) if self._needs_setting_up(pair[0])]
                behind, ahead = settled, rest
        return any(self._start(c, most, now, idle, free) for c, most in (*behind, *ahead))

    def _needs_setting_up(self, c: Candidate) -> bool:
        return bool(self._step(c).setup_s) and self._step(c).task not in self.set_up

    def _seconds_behind(self, behind: list[tuple[Candidate, int]]) -> dict[str, int]:
        seconds: dict[str, int] = {}
        for c, lag in behind:
            step = self._step(c)
            seconds[step.task] = seconds.get(step.task, 0) + lag * step.seconds_each
        return seconds

    def _setting_up(self, c: Candidate, seconds_behind: dict[str, int]) -> tuple[int, int]:
        """What is set up, or needs no setting up, first; then the kind of work that is furthest behind."""
        if not self._needs_setting_up(c):
            return 0, 0
        return 1, -seconds_behind.get(self._step(c).task, 0)

    def _start(self, c: Candidate, most: int, now: int, idle: list[int], free: dict[int, int]) -> bool:
        step = self._step(c)
        able = [h for h in idle if self.m.workload.helpers[h].able(step.task)]
        if len(able) < step.hands:
            return False
        seats = None if step.at is None else self.m.workload.places[step.at].seats
        parties = len(able) // step.hands
        if seats is not None and step.at is not None:
            parties = min(parties, (seats - self._seated(step.at)) // step.hands)
        set_up_s = step.setup_s if step.setup_s and step.task not in self.set_up else 0
        pieces = most if set_up_s else -(-most // max(parties, 1))
        if c.handed_on and step.seconds_each:
            pieces = min(pieces, max(1, PIPELINE_S // step.seconds_each))
        wanted_s = self._wanted_elsewhere_from(able, now)
        if wanted_s is not None and step.seconds_each:
            pieces = min(pieces, max(1, (wanted_s - now) // step.seconds_each))
        who = tuple(sorted(sorted(able, key=lambda h: self._suits(h, step.task))[: step.hands]))
        ends = now + set_up_s + pieces * step.seconds_each
        if set_up_s:
            self.set_up[step.task] = now + set_up_s
        for h in who:
            free[h] = ends
            self.last_task[h] = step.task
            self.habits[h][step.task] = self.habits[h].get(step.task, 0) + 1
        self._book(c, pieces, now, ends, who, set_up_s)
        return True

    def _wanted_elsewhere_from(self, able: list[int], now: int) -> int | None:
        """When a set-up under way ends at which these people are wanted too; None: nowhere."""
        ends = [
            ready_s
            for c in self.candidates
            if (ready_s := self.set_up.get(self._step(c).task, 0)) > now
            and c.guided > int(self.counts[c.lot][c.step, self.k])
            and any(self.m.workload.helpers[h].able(self._step(c).task) for h in able)
        ]
        return min(ends, default=None)

    def missing_s(self) -> tuple[int, int]:
        """Seconds of guided work that did not fit into the session: on exposed comb, and in all."""
        comb = every = 0
        for c in self.candidates:
            step = self._step(c)
            missing = max(0, c.guided - int(self.counts[c.lot][c.step, self.k])) * step.seconds_each * step.hands
            every += missing
            comb += missing if self.m.workload.lots[c.lot].open_heat else 0
        return comb, every

    def _suits(self, helper: int, task: str) -> tuple[object, ...]:
        can = self.m.workload.helpers[helper].can
        return (
            self.last_task.get(helper) != task,
            10_000 if can is None else len(can),
            -self.habits[helper].get(task, 0),
            helper,
        )

    def _book(self, c: Candidate, pieces: int, now: int, ends: int, who: tuple[int, ...], set_up_s: int) -> None:
        self.counts[c.lot][c.step, self.k] += pieces
        for stay in c.comes:
            if stay.place in self.held and stay not in c.leaves:
                self.held[stay.place] += stay.spaces * pieces
                if self.m.workload.places[stay.place].whole_loads:
                    self.loads.add(stay.place)
        if c.room_behind < self._step(c).pieces:
            c.room_behind -= pieces
        self.running.append(Block(ends, c, pieces, len(who)))
        self.work.append(Work(self.k, now, ends, who, c.lot, c.step, pieces, set_up_s))

    def _nobody_needed(self, now: int) -> None:
        """Steps that need nobody start by themselves as soon as they may."""
        moved = True
        while moved:
            moved = False
            for c in self.candidates:
                if self._step(c).hands == 0 and (most := self._possible(c, now)) > 0:
                    self._book(c, most, now, now + self._step(c).seconds_each, (), 0)
                    self._settle(now)
                    moved = True
