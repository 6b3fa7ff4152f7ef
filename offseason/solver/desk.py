"""One session of the dispatch: people, seats and spaces on the clock, from the first minute to the last."""

from __future__ import annotations

from offseason.solver.candidates import LOADS_FIRST, Candidate, candidates
from offseason.solver.ledger import Block, Ended, Ledger
from offseason.solver.load_size import best_size, turnovers
from offseason.solver.ready import Ready
from offseason.solver.windows import crew_throughout
from offseason.workload.model import Prefer, Stay, Work

PIPELINE_S = 1_800
"""Where the next step can take pieces up at once, they are handed on at least this often."""

HANDED_ON_TIMES = 12
"""... or, in long sessions, so many times in a session."""

TOPPED_UP_BY = 4
"""A load is topped up by a part of it no smaller than one in so many, where loads come first. Ours."""


class Desk(Ready):
    """The state of one session while the dispatch goes through it: who works at what, and the spaces that are taken."""

    def __init__(
        self, book: Ledger, k: int, pairs: list[tuple[int, int]], order: str, crew: tuple[int, ...] | None = None
    ) -> None:
        super().__init__(book, k, candidates(book, k, pairs, order))
        self.crew = self.session.helpers if crew is None else crew
        self.held = book.held_before(k)
        self.loads: set[int] = set()
        self.load_sizes: dict[int, int] = {}
        self.work: list[Work] = []
        self.last_task: dict[int, str] = {}
        exposed = [c for c in self.candidates if self.m.workload.lots[c.lot].open_heat]
        loads_first = self.manner.loads_first or order == LOADS_FIRST
        self.turning = [c for c in self.candidates if c.turns_a_load] if loads_first else []
        self.waited_for = exposed + [c for c in self.turning if c not in exposed]
        self.first = [c for c in self.candidates if c in self.waited_for] if self.turning else []
        self.others = [c for c in self.candidates if c not in self.first]
        self.in_one_hand = book.m.workload.prefer is Prefer.FEW_DAYS

    def _done(self, c: Candidate) -> int:
        return self.book.now[c.lot][c.step]

    def run(self) -> None:
        """Give out the work of the session; the ledger knows at once what is done."""
        start, end = self.session.starts_s, self.session.ends_s
        free = dict.fromkeys(self.crew, start)
        free |= {h: b.ends_s for b in self.running for h in b.helpers if h in free}
        self._start_long_work(free)
        self._nobody_needed(start)
        while free:
            now = min(free.values())
            if now >= end:
                break
            self._settle(now)
            self._nobody_needed(now)
            idle = [h for h, t in free.items() if t <= now]
            if self._start_best(now, idle, free):
                continue
            later = [b.ends_s for b in self.running if b.ends_s > now] + [t for t in free.values() if t > now]
            later += [t for t in self.set_up.values() if t > now]
            later += self._ready_later(now)
            if not later or min(later) >= end:
                break
            for h in idle:
                free[h] = min(later)
        self._settle(end)

    def _start_long_work(self, free: dict[int, int]) -> None:
        """Long pieces of work that begin with this session and go on into the next; before anything else."""
        now = self.session.starts_s
        for lot, last in self.m.runs_from.get(self.k, ()):
            step = self.m.workload.lots[lot].steps[0]
            guide = self.manner.guide
            wanted = self.book.totals[lot][0] if guide is None else int(guide[lot][0, last])
            under_way = any(b.lot == lot for b in self.running)
            if wanted <= self.book.now[lot][0] or under_way or not self._all_orders_kept(lot):
                continue
            crew = crew_throughout(self.m.workload, step, self.k, last)
            able = [h for h in sorted(crew, key=lambda h: self._suits(h, step.task)) if free.get(h, now + 1) <= now]
            seats = None if step.at is None else self.m.workload.places[step.at].seats
            taken = 0 if step.at is None else self._seated(step.at)
            if len(able) < step.hands or (seats is not None and seats - taken < step.hands):
                continue
            who = tuple(sorted(able[: step.hands]))
            ends = now + step.seconds_each
            free |= dict.fromkeys(who, ends)
            self.running.append(Block(ends, lot, 0, 1, who, step.at, carried=True))
            self.work.append(Work(self.k, now, ends, who, lot, 0, 1))

    def _all_orders_kept(self, lot: int) -> bool:
        now = self.session.starts_s
        return all(self._in_order(order, now) for order in self.m.workload.orders if order.then == (lot, 0))

    def close(self) -> None:
        """Enter the session into the ledger: when pieces were through, what is set up, what goes on."""
        for (lot, step), ended in self.ended.items():
            self.book.enter(lot, step, ended)
        self.book.write(self.k, {*self.ended, *((one.lot, one.step) for one in self.work)})
        self.book.set_up.clear()
        self.book.set_up.update(self.set_up)
        self.book.carried[:] = self.carried_on()
        self.book.called.update({h: self.session.day for one in self.work for h in one.helpers})

    def carried_on(self) -> list[Block]:
        """Work that goes on after the session."""
        return [block for block in self.running if block.ends_s > self.session.ends_s]

    def _settle(self, now: int) -> None:
        """Blocks that have ended: their pieces are through, and what they took out has left its place."""
        for block in [b for b in self.running if b.ends_s <= now]:
            self.running.remove(block)
            each_s = self.m.workload.lots[block.lot].steps[block.step].seconds_each
            ended = Ended(block.ends_s - (block.pieces - 1) * each_s, block.ends_s, block.pieces)
            self.ended.setdefault((block.lot, block.step), []).append(ended)
            self._into_load(block, ended)
            if block.carried:
                self.book.now[block.lot][block.step] += block.pieces
            for stay in block.leaves:
                if stay.place in self.held and stay not in block.comes:
                    self.held[stay.place] -= stay.spaces * block.pieces
                    self.loads.discard(stay.place)
                    self.load_sizes.pop(stay.place, None)
                    self.in_load.pop(stay.place, None)

    def _possible(self, c: Candidate, now: int) -> int:
        """Pieces of the candidate that could be started now, people aside; what is quick to know is asked first."""
        step, done = c.work, self._done(c)
        most = min(c.wanted - done, c.room_behind)
        if not self.manner.fill and not self._filled_up(c):
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
        if most <= 0:
            return 0
        if step.at is not None:
            seats = self.m.workload.places[step.at].seats
            if seats is not None and seats - self._seated(step.at) < step.hands:
                return 0
        most = self._handed_over(c, done, most, now)
        if most <= 0:
            return 0
        self.book.could_reach(c.lot, c.step, self.k, done + most)
        return self._with_room(c, most, now)

    def _seated(self, place: int) -> int:
        return sum(len(block.helpers) for block in self.running if block.at == place)

    def _room_in_load(self, stay: Stay, room: int, now: int) -> int:
        """Pieces there is room for in a load that is made no larger than is best for the next; none: not yet."""
        turnover = turnovers(self.m).get(stay.place)
        if turnover is None:
            return room
        if stay.place not in self.loads:
            to_come = sum(max(one.wanted - self._done(one), 0) for one in self.candidates if stay in one.comes)
            size = best_size(turnover, now, room, to_come)
            if self._goes_on() and turnover.most_in(self.k, now) < min(size, to_come):
                return 0  # begun now it would be cut off where the session ends, and no more could go in after that
            self.load_sizes[stay.place] = size
        return min(room, max(self.load_sizes.get(stay.place, room) - self.held[stay.place] // stay.spaces, 0))

    def _goes_on(self) -> bool:
        """Whether the next session follows on this one without a gap."""
        stretch = self.m.timeline.stretch
        return self.k + 1 < len(stretch) and stretch[self.k + 1] == stretch[self.k]

    def _with_room(self, c: Candidate, most: int, now: int) -> int:
        """Cut to what the places have room for; a whole load only into an empty place, and full enough."""
        for stay in c.comes:
            place = self.m.workload.places[stay.place]
            if place.holds is None or stay in c.leaves:
                continue
            room = (place.holds - self.held[stay.place]) // stay.spaces
            if place.whole_loads and self._filled_up(c):
                room = self._room_in_load(stay, room, now)
            if place.whole_loads and stay.place not in self.loads:
                if self.held[stay.place]:
                    return 0
                done = self._done(c)
                wanted = min(room, c.wanted - done)
                if c.guided - done < min(most, wanted) and most < self.manner.full_loads * wanted:
                    return 0
                if (self.manner.guide is None or self._filled_up(c)) and most < self.manner.full_loads * wanted:
                    return 0
            elif (
                place.whole_loads and self._filled_up(c) and min(most, room) * stay.spaces < place.holds / TOPPED_UP_BY
            ):
                return 0
            most = min(most, room)
        return max(most, 0)

    def _start_best(self, now: int, idle: list[int], free: dict[int, int]) -> bool:
        """Start the most pressing work that the idle people can do: what turns a load, then guided work first."""
        return any(self._start_best_of(some, now, idle, free) for some in (self.first, self.others) if some)

    def _start_best_of(self, some: list[Candidate], now: int, idle: list[int], free: dict[int, int]) -> bool:
        ahead: list[tuple[Candidate, int]] = []
        for c in some:
            hands = c.work.hands
            if hands == 0 or len(c.crew.intersection(idle)) < hands:
                continue
            most = self._possible(c, now)
            if most <= 0:
                continue
            lag = min(most, c.guided - self._done(c))
            if lag <= 0 or self._hardly_worth_setting_up(c, lag):
                ahead.append((c, most))
            elif self._start(c, most if self._filled_up(c) else lag, now, idle, free):
                return True
        if self.manner.set_up_worth:
            ahead.sort(key=lambda one: self._to_be_set_up(one[0]))
        return any(self._start(c, most, now, idle, free) for c, most in ahead)

    def _filled_up(self, c: Candidate) -> bool:
        """Whether whole loads are turned over by this as soon and as full as can be, whatever a guide says."""
        return self.manner.loads_first and c.turns_a_load

    def _to_be_set_up(self, c: Candidate) -> bool:
        return bool(c.work.setup_s) and c.work.task not in self.set_up

    def _hardly_worth_setting_up(self, c: Candidate, lag: int) -> bool:
        return self._to_be_set_up(c) and lag * c.work.seconds_each < self.manner.set_up_worth * c.work.setup_s

    def _start(self, c: Candidate, most: int, now: int, idle: list[int], free: dict[int, int]) -> bool:
        step = c.work
        able = [h for h in idle if h in c.crew]
        seats = None if step.at is None else self.m.workload.places[step.at].seats
        parties = len(able) // step.hands
        if seats is not None and step.at is not None:
            parties = min(parties, (seats - self._seated(step.at)) // step.hands)
        set_up_s = step.setup_s if self._to_be_set_up(c) else 0
        pieces = most if set_up_s or self.in_one_hand else -(-most // max(parties, 1))
        if c.handed_on and step.seconds_each:
            handing_on_s = max(PIPELINE_S, self.session.length_s // HANDED_ON_TIMES)
            pieces = min(pieces, max(1, handing_on_s // step.seconds_each))
        wanted_s = self._wanted_elsewhere_from(able, now)
        if wanted_s is not None and step.seconds_each:
            ahead_s = set_up_s if self.turning else 0  # a load is not kept waiting; a little else may be
            pieces = min(pieces, max(1, (wanted_s - now - ahead_s) // step.seconds_each))
        who = tuple(sorted(sorted(able, key=lambda h: self._suits(h, step.task))[: step.hands]))
        left_s = self._free_until(c, who, now) - now - set_up_s
        if step.seconds_each and pieces * step.seconds_each > left_s:
            pieces = left_s // step.seconds_each
        if pieces <= 0 or not self._worth_beginning(c, pieces):
            return False
        ends = now + set_up_s + pieces * step.seconds_each
        if set_up_s:
            self.set_up[step.task] = now + set_up_s
        for h in who:
            free[h] = ends
            self.last_task[h] = step.task
            self.book.habits[h][step.task] = self.book.habits[h].get(step.task, 0) + 1
        self._book(c, pieces, now, ends, who, set_up_s)
        return True

    def _worth_beginning(self, c: Candidate, pieces: int) -> bool:  # noqa: ARG002  a KeepingDesk asks
        """Whether so few pieces are worth beginning with now."""
        return True

    def _free_until(self, c: Candidate, who: tuple[int, ...], now: int) -> int:  # noqa: ARG002  a KeepingDesk asks them
        """How long these people are free for work that they start now."""
        return self.session.ends_s

    def _wanted_elsewhere_from(self, able: list[int], now: int) -> int | None:
        """When these people are wanted for work set up by another, for exposed comb, or for a load; None: nowhere."""
        ends: list[int] = []
        if any(ready_s > now for ready_s in self.set_up.values()):
            by_task = ((self.set_up.get(c.work.task, 0), c) for c in self.candidates)
            ends = [ready_s for ready_s, c in by_task if ready_s > now and self._is_behind(c, able)]
        for c in self.waited_for:
            if self._is_behind(c, able) or (self._filled_up(c) and not c.crew.isdisjoint(able)):
                ends += self._becomes_ready(c, now)
        return min(ends, default=None)

    def _is_behind(self, c: Candidate, able: list[int]) -> bool:
        """Whether guided work is left of it that one of these people may do."""
        return c.guided > self._done(c) and not c.crew.isdisjoint(able)

    def missing_s(self) -> tuple[int, int]:
        """Seconds of guided work that did not fit into the session: on exposed comb, and in all."""
        comb = every = 0
        for c in self.candidates:
            step = c.work
            missing = max(0, c.guided - self._done(c)) * step.seconds_each * step.hands
            every += missing
            comb += missing if self.m.workload.lots[c.lot].open_heat else 0
        return comb, every

    def _suits(self, helper: int, task: str) -> tuple[object, ...]:
        can = self.m.workload.helpers[helper].can
        few = self.m.workload.prefer is Prefer.FEW_DAYS
        return (
            few and helper not in self.last_task,
            self.last_task.get(helper) != task,
            10_000 if can is None else len(can),
            -self.book.habits[helper].get(task, 0),
            helper,
        )

    def _book(self, c: Candidate, pieces: int, now: int, ends: int, who: tuple[int, ...], set_up_s: int) -> None:
        self.book.now[c.lot][c.step] += pieces
        for stay in c.comes:
            if stay.place in self.held and stay not in c.leaves:
                self.held[stay.place] += stay.spaces * pieces
                if self.m.workload.places[stay.place].whole_loads:
                    self.loads.add(stay.place)
        if c.room_behind < c.work.pieces:
            c.room_behind -= pieces
        self.running.append(Block(ends, c.lot, c.step, pieces, who, c.work.at, c.comes, c.leaves))
        self.work.append(Work(self.k, now, ends, who, c.lot, c.step, pieces, set_up_s))

    def _nobody_needed(self, now: int) -> None:
        """Steps that need nobody start by themselves as soon as they may."""
        moved = True
        while moved:
            moved = False
            for c in self.candidates:
                if c.work.hands == 0 and (most := self._possible(c, now)) > 0:
                    self._book(c, most, now, now + c.work.seconds_each, (), 0)
                    self._settle(now)
                    moved = True
