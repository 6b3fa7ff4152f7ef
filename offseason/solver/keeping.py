"""A session in which what was promised is kept as it was, to the minute, wherever it still can be.

Only what was lost before, and what cannot be kept, is given out anew, in the time that the promised work leaves free.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from offseason.solver.candidates import PRESSING, Candidate
from offseason.solver.desk import Desk
from offseason.solver.ledger import Ledger
from offseason.workload.model import Step, Work, Workload

URGENT_S = 4 * 86_400
"""Work due within this time is begun with in scraps too. Ours."""


class KeepingDesk(Desk):
    """A desk on which some work already has its people and its minutes."""

    def __init__(self, book: Ledger, k: int, pairs: list[tuple[int, int]], kept: Iterable[Work]) -> None:
        super().__init__(book, k, pairs, PRESSING)
        self.kept = sorted(kept, key=lambda one: (one.starts_s, one.helpers))
        self.by_step = {(c.lot, c.step): c for c in self.candidates}
        self.planned = {key: c.guided for key, c in self.by_step.items()}
        self.in_one_hand = True
        self.later = self._promised_later()
        self.starting: tuple[Step, ...] = ()

    def _promised_later(self) -> Counter[tuple[int, int]]:
        """Pieces of (lot, step) promised for later sessions. A guide already has them where they belong."""
        found: Counter[tuple[int, int]] = Counter()
        if self.manner.guide is None:
            for k, some in (self.manner.kept or {}).items():
                for one in some if k > self.k else ():
                    found[one.lot, one.step] += one.pieces
        return found

    def run(self) -> None:
        """Give out the work of the session, the promised first."""
        start, end = self.session.starts_s, self.session.ends_s
        free = dict.fromkeys(self.crew, start)
        free |= {h: b.ends_s for b in self.running for h in b.helpers if h in free}
        self._start_long_work(free)
        self._leave_to_the_promised()
        self._nobody_needed(start)
        while free:
            now = min([*free.values(), *(one.starts_s for one in self.kept[:1])])
            if now >= end:
                break
            self._settle(now)
            self._nobody_needed(now)
            while self.kept and self.kept[0].starts_s <= now:
                self._keep(self.kept.pop(0), now, free)
            idle = [h for h, t in free.items() if t <= now]
            if idle and self._start_best(now, idle, free):
                continue
            later = [b.ends_s for b in self.running if b.ends_s > now] + [t for t in free.values() if t > now]
            later += [t for t in self.set_up.values() if t > now] + [one.starts_s for one in self.kept[:1]]
            later += self._ready_later(now)
            if not later or min(later) >= end:
                break
            for h in idle:
                free[h] = min(later)
        self._settle(end)

    def _leave_to_the_promised(self) -> None:
        """Pieces that promised work of this session will bring are not given out to anybody else."""
        for key, c in self.by_step.items():
            c.guided = self.planned[key] - self._promised(key)

    def _promised(self, key: tuple[int, int]) -> int:
        return sum(one.pieces for one in self.kept if (one.lot, one.step) == key) + self.later[key]

    def _possible(self, c: Candidate, now: int) -> int:
        """Whoever works ahead leaves to the others what they were promised."""
        return max(0, min(super()._possible(c, now), c.wanted - self._done(c) - self._promised((c.lot, c.step))))

    def _keep(self, one: Work, now: int, free: dict[int, int]) -> None:
        """Start promised work as it was promised; fewer pieces where fewer have come so far, or not at all."""
        c = self.by_step.get((one.lot, one.step))
        if c is not None and one.starts_s == now and all(free.get(h, now + 1) <= now for h in one.helpers):
            c.guided = max(c.guided, self._done(c) + one.pieces)
            self.starting = (c.work,)
            pieces = min(one.pieces, super()._possible(c, now)) if c.crew.issuperset(one.helpers) else 0
            self.starting = ()
            unready = bool(c.work.setup_s) and c.work.task not in self.set_up and one.setup_s < c.work.setup_s
            if pieces > 0 and not unready:
                self._start_kept(c, one, pieces, free)
        self._leave_to_the_promised()

    def _with_room(self, c: Candidate, most: int, now: int) -> int:
        """No other load where a promised one would find it still there, if the manner asks for that."""
        most = super()._with_room(c, most, now)
        if most and self.manner.keeps_room and c.work not in self.starting:
            out_s = c.work.ready_s(self.session.starts_s)
            if any(out_s > time_s for stay in c.comes for time_s in self._loads_promised_for(stay.place)):
                return 0
        return most

    def _loads_promised_for(self, place: int) -> Iterator[int]:
        """When promised loads go in, in this session and the later ones."""
        if self.m.workload.places[place].whole_loads:
            later = (one for k, some in (self.manner.kept or {}).items() if k > self.k for one in some)
            for one in (*self.kept, *later):
                if any(stay.place == place for stay in self.m.workload.lots[one.lot].steps[one.step].stays):
                    yield one.starts_s

    def _start_kept(self, c: Candidate, one: Work, pieces: int, free: dict[int, int]) -> None:
        ends = one.starts_s + one.setup_s + pieces * c.work.seconds_each
        if one.setup_s and c.work.task not in self.set_up:
            self.set_up[c.work.task] = one.starts_s + one.setup_s
        for h in one.helpers:
            free[h] = ends
            self.last_task[h] = c.work.task
        self._book(c, pieces, one.starts_s, ends, one.helpers, one.setup_s)

    def _free_until(self, c: Candidate, who: tuple[int, ...], now: int) -> int:
        """Until the next promised work of one of these people, or until it would want the seat they take."""
        until = super()._free_until(c, who, now)
        seats = None if c.work.at is None else self.m.workload.places[c.work.at].seats
        for one in self.kept:
            if not set(who).isdisjoint(one.helpers):
                until = min(until, one.starts_s)
            elif seats is not None and self._at(one) == c.work.at:
                beside = [two for two in self.kept if self._at(two) == c.work.at and two.starts_s <= one.starts_s]
                taken = sum(len(two.helpers) for two in beside if two.ends_s > one.starts_s)
                if taken + c.work.hands > seats:
                    until = min(until, one.starts_s)
        return until

    def _worth_beginning(self, c: Candidate, pieces: int) -> bool:
        """As much as the manner asks, or all that is behind, unless it is urgent: scraps change everybody's days."""
        whole = pieces >= c.guided - self._done(c)
        soon, due_s = c.key[2:4]
        urgent = soon == 0 and due_s - self.session.ends_s < URGENT_S
        return whole or urgent or pieces * c.work.seconds_each >= self.manner.least_s.get((c.lot, c.step), 0)

    def _at(self, one: Work) -> int | None:
        return self.m.workload.lots[one.lot].steps[one.step].at


def by_session(workload: Workload, work: Iterable[Work]) -> dict[int, list[Work]]:
    """Promised work cut at the edges of sessions; a piece that such an edge would cut through is left out."""
    found: dict[int, list[Work]] = {}
    for one in work:
        each_s = workload.lots[one.lot].steps[one.step].seconds_each
        begins_s, left, setup_s = one.starts_s, one.pieces, one.setup_s
        for k, session in enumerate(workload.sessions):
            if left <= 0 or session.starts_s >= one.ends_s:
                break
            if session.ends_s <= begins_s or session.starts_s > begins_s:
                continue
            room = left if each_s == 0 else (session.ends_s - begins_s - setup_s) // each_s
            pieces = min(left, room)
            if pieces > 0:
                ends_s = begins_s + setup_s + pieces * each_s
                made = Work(k, begins_s, ends_s, one.helpers, one.lot, one.step, pieces, setup_s)
                found.setdefault(k, []).append(made)
                begins_s, left, setup_s = ends_s, left - pieces, 0
            if (
                begins_s < session.ends_s and left > 0
            ):  # an edge would cut a piece: it is lost, the rest goes on after it
                left -= 1
                begins_s += each_s
    return found
