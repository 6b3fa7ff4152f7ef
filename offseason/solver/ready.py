"""What is ready by which minute of a session, by what was done in it so far and in the sessions before."""

from __future__ import annotations

from offseason.solver.candidates import Candidate
from offseason.solver.ledger import Block, Ended, Ledger
from offseason.workload.flow import WayRound
from offseason.workload.model import Order, Step


class Ready:
    """The work of one session that is under way or has ended, and what waits for it."""

    def __init__(self, book: Ledger, k: int, candidates: list[Candidate]) -> None:
        self.book, self.k, self.m, self.manner = book, k, book.m, book.manner
        self.session = book.m.workload.sessions[k]
        self.candidates = candidates
        self.set_up = dict(book.set_up)
        self.running = list(book.carried)
        self.ended: dict[tuple[int, int], list[Ended]] = {}
        self.in_load: dict[int, list[Ended]] = {}

    def _step(self, lot: int, step: int) -> Step:
        return self.m.workload.lots[lot].steps[step]

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
        through = self.book.through_by(lot, step, time_s)
        for one in self.ended.get((lot, step), ()):
            through += one.through_by(time_s)
        return through

    def _waited(self, lot: int, step: int, time_s: int) -> int:
        """Pieces through the step that have waited by a moment."""
        return self._ready(lot, step, self._step(lot, step).finished_by_s(time_s))

    def _handed_over(self, c: Candidate, done: int, most: int, now: int) -> int:
        """Pieces, ``most`` of them at most, that the steps before have handed over and that may be taken up now."""
        if c.orders and not all(self._in_order(order, now) for order in c.orders):
            return 0
        begins = now + (c.work.setup_s if c.work.task not in self.set_up else 0)
        for first, spare in c.pairs:
            most = self._ready_in_turn(c, first, begins, spare - done, most)
            if most <= 0:
                return 0
        for way in c.ways:
            most = min(most, self._not_in_hand(c.lot, way, now))
        return most

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
        known = self.book.now[lot]
        out = known[way.then]
        for s in way.between:
            out += known[s] - self._waited(lot, s, now)
        if way.after is None:
            return self.m.workload.lots[lot].count - out
        return self._waited(lot, way.after, now) - out

    def _in_order(self, order: Order, now: int) -> bool:
        """Whether all of the work that must come first is through and has waited."""
        lot, s = order.first
        return self._waited(lot, s, now) >= self._step(lot, s).pieces

    def _ready_later(self, now: int) -> list[int]:
        """Moments later in the session at which something that waits becomes ready, or could be set up for."""
        return [t for c in self.candidates if c.waits_for for t in self._becomes_ready(c, now)]

    def _becomes_ready(self, c: Candidate, now: int) -> list[int]:
        times: list[int] = []
        for first in c.waits_for:  # what need not wait is ready at once
            step = self._step(c.lot, first)
            known = [t for one in self.ended.get((c.lot, first), ()) for t in (one.first_s, one.last_s)]
            known += [b.ends_s for b in self.running if (b.lot, b.step) == (c.lot, first)]
            after_s, before_s = step.finished_by_s(now), step.finished_by_s(self.session.ends_s)
            known += self.book.ends_between(c.lot, first, after_s, before_s)
            times += [step.ready_s(t) - ahead_s for t in known for ahead_s in {0, c.work.setup_s}]
        return [t for t in times if now < t < self.session.ends_s]
