"""The promises of a winter as a mixed-integer programme, in its own words: the first half of the second opinion.

Written from the mathematics, not from the solver: it knows the workload's plain data and nothing else of ours. Every
count of every session is a variable here, times are looked up by going through the sessions, people are shared out by
seconds of each person on each kind of work (not by Hall's condition), and groups of rows are written for all sessions.

Of when a piece is done only the session is known here. So every row allows it as early, or as late, in its session as
suits: nothing that a clock allows is ruled out, and what is found impossible is impossible.

Notation: ``n[l, s, k]`` pieces of lot l through step s by the end of session k.
"""

from __future__ import annotations

from offseason.workload.model import Importance, Step, Workload
from tests.solver.milp_room import room_kept
from tests.solver.milp_times import Times, may_pass_by, order_of_steps, stages_of, way_to
from tests.solver.programme import Programme, Sum, constant, plus

COMB_LEFT_OPEN = 1_000
"""In a winter that does not fit, one comb left to the moths weighs as much as this many pieces left undone."""


class Winter(Times):
    """The programme of one winter."""

    def __init__(self, workload: Workload, *, may_leave: bool = False) -> None:
        super().__init__(workload)
        self.may_leave, self.left = may_leave, Sum()
        self.programme = Programme()
        self._n = {
            (lot, s, k): self.programme.new(step.pieces)
            for lot, entry in enumerate(workload.lots)
            for s, step in enumerate(entry.steps)
            for k in range(self.last + 1)
        }
        self.set_up: dict[tuple[str, int], Sum] = {}
        self.labour: dict[tuple[str, int], Sum] = {}
        for lot, entry in enumerate(workload.lots):
            for s, step in enumerate(entry.steps):
                self._count(lot, s, step)
            self._order_of_steps(lot)
            self._out_of_hand(lot)
            self._in_time(lot)
            self._safe_from_moths(lot)
        self._orders()
        for k in range(self.last + 1):
            self._people(k)
        room_kept(self)

    def n(self, lot: int, s: int, k: int) -> Sum:
        """``n[l, s, k]``; nothing before the first session; step -1 is arrival, once the lot is here."""
        if k < 0:
            return {}
        if s < 0:
            here = self.sessions[k].ends_s >= self.workload.lots[lot].arrives_s
            return constant(self.workload.lots[lot].count if here else 0)
        return self._n[lot, s, k]

    def done(self, lot: int, s: int, k: int) -> Sum:
        """Pieces done within session ``k``."""
        return plus((1, self.n(lot, s, k)), (-1, self.n(lot, s, k - 1)))

    def _count(self, lot: int, s: int, step: Step) -> None:
        for k in range(self.last + 1):
            late = self.workload.lots[lot].ready_by_s
            long_piece = (late is None or self.sessions[k].ends_s <= late) and self.run(lot, s, k)
            self.programme.at_most({}, self.done(lot, s, k))
            self.programme.at_most(self.done(lot, s, k), constant(1 if long_piece else self.most(lot, k, step)))
        if step.importance is Importance.MUST:
            left = self._may_be_left(step.pieces, 1)
            self.programme.equal(plus((1, self.n(lot, s, self.last)), (1, left)), constant(step.pieces))

    def _may_be_left(self, most: int, price: int) -> Sum:
        """Pieces that may be left at a price each; none in a winter in which all is to be done."""
        if not self.may_leave:
            return {}
        left = self.programme.new(most)
        self.left = plus((1, self.left), (price, left))
        return left

    def _order_of_steps(self, lot: int) -> None:
        for first, then in order_of_steps(self.workload.lots[lot]):
            before, after = self.workload.lots[lot].steps[first], self.workload.lots[lot].steps[then]
            slack = constant(max(0, after.pieces - before.pieces))
            if may_pass_by(self.workload.lots[lot], first, then):
                slack = plus((1, slack), (1, constant(before.pieces)), (-1, self.n(lot, first, self.last)))
            for k in range(self.last + 1):
                found = self.n(lot, first, self.handed_over(k, before, after.seconds_each))
                self.programme.at_most(self.n(lot, then, k), plus((1, found), (1, slack)))

    def _out_of_hand(self, lot: int) -> None:
        """Pieces at a step that others pass by are at it, and not beyond; all of them have had what all must have."""
        entry = self.workload.lots[lot]
        for then in range(len(entry.steps)):
            after, between = way_to(entry, then)
            soonest_s = min(entry.steps[s].seconds_each for s in (then, *between))
            for k in range(self.last + 1) if between else ():
                at_work = [(1.0, self.n(lot, then, k))]
                for s in between:
                    beyond_s = min(entry.steps[t].seconds_each for t in (then, *between) if t > s)
                    over = self.handed_over(k, entry.steps[s], beyond_s)
                    at_work += [(1.0, self.n(lot, s, k)), (-1.0, self.n(lot, s, over))]
                came = constant(entry.count)
                if after >= 0:
                    came = self.n(lot, after, self.handed_over(k, entry.steps[after], soonest_s))
                self.programme.at_most(plus(*at_work), came)

    def _orders(self) -> None:
        for order in self.workload.orders:
            (lot, s), (then_lot, then) = order.first, order.then
            first, after = self.workload.lots[lot].steps[s], self.workload.lots[then_lot].steps[then]
            for k in range(self.last + 1):
                by = self.handed_over(k, first, after.seconds_each)
                if run := self.run(then_lot, then, k):
                    begins_s = self.sessions[min(run)].starts_s
                    by = self.begun_by(begins_s - first.wait_s - max(first.seconds_each, 1))
                over = self.all_through(lot, s, by)
                self.programme.at_most(self.n(then_lot, then, k), plus((after.pieces, over)))

    def all_through(self, lot: int, s: int, k: int) -> Sum:
        """1 only where every piece is through the step by the end of session ``k``."""
        over = self.programme.new(1)
        self.programme.at_most(plus((self.workload.lots[lot].steps[s].pieces, over)), self.n(lot, s, k))
        return over

    def _in_time(self, lot: int) -> None:
        for s, step in enumerate(self.workload.lots[lot].steps):
            if step.within_s is not None and step.within_of is not None:
                for k, session in enumerate(self.sessions):
                    by = self.begun_by(session.ends_s + step.within_s - step.seconds_each)
                    self._followed(lot, (step.within_of, k), (s, by))

    def _followed(self, lot: int, first: tuple[int, int], then: tuple[int, int]) -> None:
        """All pieces through the first step by k are through the other by k', or all that ever come to it are."""
        (s, k), (t, by) = first, then
        entry, count = self.workload.lots[lot], self.workload.lots[lot].count
        for_all = entry.steps[t].importance is Importance.MUST and entry.steps[t].pieces >= entry.steps[s].pieces
        all_came = self.programme.new(0 if for_all else 1)
        self.programme.at_most(self.n(lot, s, k), plus((1, self.n(lot, t, by)), (count, all_came)))
        still_to_come = plus((1, self.n(lot, t, self.last)), (-1, self.n(lot, t, by)))
        self.programme.at_most(plus((1, still_to_come), (count, all_came)), constant(count))

    def _safe_from_moths(self, lot: int) -> None:
        entry = self.workload.lots[lot]
        if entry.treat_by_s is None or entry.protect_until_s is None:
            return
        at_risk = self._may_be_left(entry.count, COMB_LEFT_OPEN)
        for k in range(self.ended_by(entry.treat_by_s), self.ended_by(entry.protect_until_s) + 1):
            if k < 0 or self.ends_day(k):
                self.programme.at_most(self._in_the_open(lot, k), plus((1, at_risk)))
        for stage, following in stages_of(entry):
            safe, lasts_s = entry.protected, None
            if stage >= 0:
                safe, lasts_s = entry.steps[stage].protected, entry.steps[stage].lasts_s
            for k, session in enumerate(self.sessions):
                if safe and lasts_s is not None and session.ends_s + lasts_s < entry.protect_until_s:
                    by = self.evening_of(self.begun_by(max(session.ends_s + lasts_s, entry.treat_by_s)))
                    self.programme.at_most(
                        self.n(lot, stage, k), plus((1, self.moved_on(lot, following, by)), (1, at_risk))
                    )

    def _in_the_open(self, lot: int, k: int) -> Sum:
        """Combs that rest after the session where moths reach them, at whatever stage."""
        entry = self.workload.lots[lot]
        parts = []
        for stage, following in stages_of(entry):
            if not (entry.protected if stage < 0 else entry.steps[stage].protected):
                parts.append((1, constant(entry.count) if stage < 0 else self.n(lot, stage, k)))
                parts.append((-1, self.moved_on(lot, following, k)))
        return plus(*parts)

    def moved_on(self, lot: int, following: int | None, k: int) -> Sum:
        return {} if following is None else self.n(lot, following, k)

    def _people(self, k: int) -> None:
        session = self.sessions[k]
        length_s = session.ends_s - session.starts_s
        seated: dict[int, list[tuple[float, Sum]]] = {}
        by_person: dict[int, list[tuple[float, Sum]]] = {h: [] for h in session.helpers}
        for task, steps in self._steps_by_task().items():
            one = self.workload.lots[steps[0][0]].steps[steps[0][1]]
            if one.hands == 0:
                continue
            lasting = self._lasting(task, steps, k)
            labour = self.labour[task, k] = plus((one.hands, lasting))
            able = [h for h in session.helpers if self.workload.helpers[h].able(task)]
            shares = [(1.0, self.programme.new(length_s, whole=False)) for _ in able]
            for h, share in zip(able, shares, strict=True):
                by_person[h].append(share)
            self.programme.equal(plus(*shares), labour)
            if one.hands > 1:
                self.programme.at_most(lasting, constant(len(able) // one.hands * length_s))
            if one.at is not None:
                seated.setdefault(one.at, []).append((1.0, labour))
        for shares in by_person.values():
            self.programme.at_most(plus(*shares), constant(length_s))
        for place, labours in seated.items():
            seats = self.workload.places[place].seats
            if seats is not None:
                self.programme.at_most(plus(*labours), constant(seats * length_s))

    def _lasting(self, task: str, steps: list[tuple[int, int]], k: int) -> Sum:
        """Seconds that a kind of work lasts in the session, one party after another, with its set-up."""
        one = self.workload.lots[steps[0][0]].steps[steps[0][1]]
        lasting = plus(*(part for lot, s in steps for part in self._seconds_of(lot, s, k)))
        if not one.setup_s:
            return lasting
        could = [(lot, s) for lot, s in steps if self.most(lot, k, self.workload.lots[lot].steps[s])]
        fresh = self.set_up[task, k] = self.programme.new(1 if could else 0)
        before = plus(*((1, self.set_up[task, j]) for j in self.stretch(k)))
        for lot, s in could:
            most = self.most(lot, k, self.workload.lots[lot].steps[s])
            self.programme.at_most(self.done(lot, s, k), plus((most, before), (most, fresh)))
        length_s = self.sessions[k].ends_s - self.sessions[k].starts_s
        parties = self.parties(k, one)
        room = plus((parties * length_s, before), (parties * max(0, length_s - one.setup_s), fresh))
        self.programme.at_most(lasting, room)
        return plus((1, lasting), (one.setup_s, fresh))

    def _seconds_of(self, lot: int, s: int, k: int) -> list[tuple[float, Sum]]:
        """Seconds of a step in session ``k``: of its pieces, or of a long piece that ends in this session or later."""
        each_s = self.workload.lots[lot].steps[s].seconds_each
        parts: list[tuple[float, Sum]] = []
        for ends_in in range(k, self.last + 1):
            run = self.run(lot, s, ends_in) or {ends_in: each_s}
            if k in run:
                parts.append((run[k], self.done(lot, s, ends_in)))
        return parts

    def _steps_by_task(self) -> dict[str, list[tuple[int, int]]]:
        found: dict[str, list[tuple[int, int]]] = {}
        for lot, entry in enumerate(self.workload.lots):
            for s, step in enumerate(entry.steps):
                found.setdefault(step.task, []).append((lot, s))
        return found
