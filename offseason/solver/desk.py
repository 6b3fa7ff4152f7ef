"""One session of the dispatch: people, seats and spaces on the clock, from the first minute to the last."""

from __future__ import annotations

from offseason.solver.candidates import Candidate, candidates
from offseason.solver.ledger import Block, Ended, Ledger
from offseason.solver.windows import crew_throughout
from offseason.workload.flow import WayRound
from offseason.workload.model import Order, Prefer, Step, Work

PIPELINE_S = 1_800
"""Where the next step can take pieces up at once, they are handed on at least this often."""

HANDED_ON_TIMES = 12
"""... or, in long sessions, so many times in a session."""


class Desk:
    """The state of one session while the dispatch goes through it."""

    def __init__(
        self, book: Ledger, k: int, pairs: list[tuple[int, int]], order: str, crew: tuple[int, ...] | None = None
    ) -> None:
        self.book, self.k, self.m, self.manner = book, k, book.m, book.manner
        self.session = book.m.workload.sessions[k]
        self.crew = self.session.helpers if crew is None else crew
        self.held = _held_at_start(book, k)
        self.loads: set[int] = set()
        self.set_up = dict(book.set_up)
        self.running = list(book.carried)
        self.ended: dict[tuple[int, int], list[Ended]] = {}
        self.in_load: dict[int, list[Ended]] = {}
        self.work: list[Work] = []
        self.last_task: dict[int, str] = {}
        self.candidates = candidates(book, k, pairs, order)
        self.in_one_hand = book.m.workload.prefer is Prefer.FEW_DAYS

    def _done(self, c: Candidate) -> int:
        return int(self.book.counts[c.lot][c.step, self.k])

    def run(self) -> None:
        """Give out the work of the session; the counts of the session are written as it goes."""
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
            if wanted <= self.book.by(lot, 0, self.k) or under_way or not self._all_orders_kept(lot):
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
            self.running.append(Block(ends, lot, 0, 1, who, carried=True))
            self.work.append(Work(self.k, now, ends, who, lot, 0, 1))

    def _all_orders_kept(self, lot: int) -> bool:
        now = self.session.starts_s
        return all(self._in_order(order, now) for order in self.m.workload.orders if order.then == (lot, 0))

    def close(self) -> None:
        """Enter the session into the ledger: when pieces were through, what is set up, what goes on."""
        for (lot, step), ended in self.ended.items():
            self.book.enter(lot, step, ended)
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
                self.book.counts[block.lot][block.step, self.k] += block.pieces
            for stay in block.leaves:
                if stay.place in self.held and stay not in block.comes:
                    self.held[stay.place] -= stay.spaces * block.pieces
                    self.loads.discard(stay.place)
                    self.in_load.pop(stay.place, None)

    def _possible(self, c: Candidate, now: int) -> int:
        """Pieces of the candidate that could be started now, people aside."""
        step, done = c.work, self._done(c)
        most = min(c.wanted - done, c.room_behind, self._handed_over(c, done, now))
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

    def _handed_over(self, c: Candidate, done: int, now: int) -> int:
        """Pieces that the steps before have handed over, and that may be taken up now."""
        if not all(self._in_order(order, now) for order in c.orders):
            return 0
        most = c.wanted - done
        begins = now + (c.work.setup_s if c.work.task not in self.set_up else 0)
        for first, spare in c.pairs:
            most = min(most, self._ready_in_turn(c, first, begins, spare - done, most))
        for way in c.ways if most > 0 else ():
            most = min(most, self._not_in_hand(c.lot, way, now))
        return most

    def _into_load(self, block: Block, ended: Ended) -> None:
        """A whole load counts, in all its pieces, from when the last of them went in."""
        for stay in block.comes:
            if self.m.workload.places[stay.place].whole_loads and stay not in block.leaves:
                load = self.in_load.setdefault(stay.place, [])
                load.append(ended)
                for one in load:
                    one.first_s = one.last_s = block.ends_s

    def _ready(self, lot: int, step: int, time_s: int) -> int:
        """Pieces through the step by a moment: of this session only what has been settled."""
        here = sum(one.through_by(time_s) for one in self.ended.get((lot, step), ()))
        return self.book.through_by(lot, step, time_s) + here

    def _waited(self, lot: int, step: int, time_s: int) -> int:
        """Pieces through the step that have waited by a moment."""
        return self._ready(lot, step, self._step(lot, step).finished_by_s(time_s))

    def _ready_later(self, now: int) -> list[int]:
        """Moments later in the session at which something that waits becomes ready, or could be set up for."""
        return [t for c in self.candidates for t in self._becomes_ready(c, now)]

    def _becomes_ready(self, c: Candidate, now: int) -> list[int]:
        times: list[int] = []
        for first, _ in c.pairs:
            step = self._step(c.lot, first)
            if step.waits:
                known = [t for one in self.ended.get((c.lot, first), ()) for t in (one.first_s, one.last_s)]
                known += [b.ends_s for b in self.running if (b.lot, b.step) == (c.lot, first)]
                after_s, before_s = step.finished_by_s(now), step.finished_by_s(self.session.ends_s)
                known += self.book.ends_between(c.lot, first, after_s, before_s)
                times += [step.ready_s(t) - ahead_s for t in known for ahead_s in {0, c.work.setup_s}]
        return [t for t in times if now < t < self.session.ends_s]

    def _step(self, lot: int, step: int) -> Step:
        return self.m.workload.lots[lot].steps[step]

    def _ready_in_turn(self, c: Candidate, first: int, begins: int, spare: int, wanted: int) -> int:
        """Pieces of which each is ready by the time its turn comes, the first at ``begins``."""
        step = self._step(c.lot, first)
        most = min(wanted, self._waited(c.lot, first, begins) + spare)
        while 0 < most < wanted and step.waits:
            more = min(wanted, self._waited(c.lot, first, begins + most * c.work.seconds_each) + spare)
            if more <= most:
                break
            most = more
        return most

    def _not_in_hand(self, lot: int, way: WayRound, now: int) -> int:
        """Pieces that could still go on this way: past the step before it, and at no step between or beyond."""
        known = self.book.counts[lot]
        out = int(known[way.then, self.k])
        for s in way.between:
            out += int(known[s, self.k]) - self._waited(lot, s, now)
        if way.after is None:
            return self.m.workload.lots[lot].count - out
        return self._waited(lot, way.after, now) - out

    def _in_order(self, order: Order, now: int) -> bool:
        """Whether all of the work that must come first is through and has waited."""
        lot, s = order.first
        return self._waited(lot, s, now) >= self._step(lot, s).pieces

    def _seated(self, place: int) -> int:
        steps = ((self.m.workload.lots[b.lot].steps[b.step], b) for b in self.running)
        return sum(len(b.helpers) for step, b in steps if step.at == place)

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
                done = self._done(c)
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
            if c.work.hands == 0:
                continue
            most = self._possible(c, now)
            if most <= 0:
                continue
            lag = min(most, c.guided - self._done(c))
            if lag > 0:
                behind.append((c, lag))
            else:
                ahead.append((c, most))
        return any(self._start(c, most, now, idle, free) for c, most in (*behind, *ahead))

    def _start(self, c: Candidate, most: int, now: int, idle: list[int], free: dict[int, int]) -> bool:
        step = c.work
        able = [h for h in idle if h in c.crew]
        if len(able) < step.hands:
            return False
        seats = None if step.at is None else self.m.workload.places[step.at].seats
        parties = len(able) // step.hands
        if seats is not None and step.at is not None:
            parties = min(parties, (seats - self._seated(step.at)) // step.hands)
        set_up_s = step.setup_s if step.setup_s and step.task not in self.set_up else 0
        pieces = most if set_up_s or self.in_one_hand else -(-most // max(parties, 1))
        if c.handed_on and step.seconds_each:
            handing_on_s = max(PIPELINE_S, self.session.length_s // HANDED_ON_TIMES)
            pieces = min(pieces, max(1, handing_on_s // step.seconds_each))
        wanted_s = self._wanted_elsewhere_from(able, now)
        if wanted_s is not None and step.seconds_each:
            pieces = min(pieces, max(1, (wanted_s - now) // step.seconds_each))
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
        """When these people are wanted for work set up by another, or for exposed comb that is ready; None: nowhere."""
        ends = [
            ready_s
            for c in self.candidates
            if (ready_s := self.set_up.get(c.work.task, 0)) > now
            and c.guided > self._done(c)
            and not c.crew.isdisjoint(able)
        ]
        for c in self.candidates:
            exposed = self.m.workload.lots[c.lot].open_heat
            if exposed and c.guided > self._done(c) and not c.crew.isdisjoint(able):
                ends += self._becomes_ready(c, now)
        return min(ends, default=None)

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
        self.book.counts[c.lot][c.step, self.k] += pieces
        for stay in c.comes:
            if stay.place in self.held and stay not in c.leaves:
                self.held[stay.place] += stay.spaces * pieces
                if self.m.workload.places[stay.place].whole_loads:
                    self.loads.add(stay.place)
        if c.room_behind < c.work.pieces:
            c.room_behind -= pieces
        self.running.append(Block(ends, c.lot, c.step, pieces, who, c.comes, c.leaves))
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


def _held_at_start(book: Ledger, k: int) -> dict[int, int]:
    """Spaces taken at each limited place when session ``k`` begins."""
    places = book.m.workload.places
    held = {p: 0 for p, place in enumerate(places) if place.holds is not None}
    for lot, entry in enumerate(book.m.workload.lots):
        for stage, following, stay in book.m.resting[lot]:
            if stay.place not in held:
                continue
            if stage < 0:
                came = entry.count if entry.arrives_s <= book.m.workload.sessions[k].ends_s else 0
            else:
                came = book.by(lot, stage, k - 1)
            if not stay.until_taken:
                left = book.by(lot, stage, book.m.timeline.surely_given_up(k, entry.steps[stage]))
            else:
                left = book.by(lot, following, k - 1) if following is not None else 0
            held[stay.place] += stay.spaces * (came - left)
    return held
