"""The promises of a winter as a mixed-integer programme, in its own words: the first half of the second opinion.

Written from the mathematics, not from the solver: it knows the workload's plain data and nothing else of ours. Every
count of every session is a variable here, times are looked up by going through the sessions, people are shared out by
seconds of each person on each kind of work (not by Hall's condition), and groups of rows are written for all sessions.

Notation: ``n[l, s, k]`` pieces of lot l through step s by the end of session k.
"""

from __future__ import annotations

from offseason.workload.model import Importance, Lot, Step, Workload
from tests.solver.programme import Programme, Sum, constant, plus

COMB_LEFT_OPEN = 1_000
"""In a winter that does not fit, one comb left to the moths weighs as much as this many pieces left undone."""


class Winter:
    """The programme of one winter."""

    def __init__(self, workload: Workload, *, may_leave: bool = False) -> None:
        self.workload, self.sessions = workload, workload.sessions
        self.may_leave, self.left = may_leave, Sum()
        self.last = len(self.sessions) - 1
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
            self._in_time(lot)
            self._safe_from_moths(lot)
        self._orders()
        for k in range(self.last + 1):
            self._people(k)
        for place in range(len(workload.places)):
            self._room(place)

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

    def ended_by(self, time_s: float) -> int:
        """The last session that has ended by then; -1: none."""
        return max((k for k, session in enumerate(self.sessions) if session.ends_s <= time_s), default=-1)

    def waited_out(self, k: int, wait_s: int) -> int:
        """The last session whose pieces have waited by the start of ``k``; without a wait they pass on within it."""
        return self.ended_by(self.sessions[k].starts_s - wait_s) if wait_s else k

    def parties(self, k: int, step: Step) -> int:
        """How many groups of ``hands`` people, able and seated, can work side by side."""
        able = sum(self.workload.helpers[h].able(step.task) for h in self.sessions[k].helpers)
        seats = None if step.at is None else self.workload.places[step.at].seats
        return min(able, able if seats is None else seats) // step.hands

    def _most(self, lot: int, k: int, step: Step) -> int:
        """Whole pieces that fit into the session at best."""
        session, entry = self.sessions[k], self.workload.lots[lot]
        too_late = entry.ready_by_s is not None and session.ends_s > entry.ready_by_s
        unfit = step.need is not None and step.need not in session.fit
        time_s = session.ends_s - session.starts_s - step.setup_s
        if session.starts_s < entry.arrives_s or too_late or unfit or time_s < 0:
            return 0
        each = time_s // step.seconds_each if step.seconds_each else step.pieces
        if step.hands == 0:
            return step.pieces if each else 0
        return min(step.pieces, self.parties(k, step) * each)

    def _count(self, lot: int, s: int, step: Step) -> None:
        for k in range(self.last + 1):
            self.programme.at_most({}, self.done(lot, s, k))
            self.programme.at_most(self.done(lot, s, k), constant(self._most(lot, k, step)))
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
                found = self.n(lot, first, self.waited_out(k, before.wait_s))
                self.programme.at_most(self.n(lot, then, k), plus((1, found), (1, slack)))

    def _orders(self) -> None:
        for order in self.workload.orders:
            (lot, s), (then_lot, then) = order.first, order.then
            first = self.workload.lots[lot].steps[s]
            pieces = self.workload.lots[then_lot].steps[then].pieces
            for k in range(self.last + 1):
                over = self.all_through(lot, s, self.waited_out(k, first.wait_s))
                self.programme.at_most(self.n(then_lot, then, k), plus((pieces, over)))

    def all_through(self, lot: int, s: int, k: int) -> Sum:
        """1 only where every piece is through the step by the end of session ``k``."""
        over = self.programme.new(1)
        self.programme.at_most(plus((self.workload.lots[lot].steps[s].pieces, over)), self.n(lot, s, k))
        return over

    def _in_time(self, lot: int) -> None:
        for s, step in enumerate(self.workload.lots[lot].steps):
            if step.within_s is not None and step.within_of is not None:
                for k, session in enumerate(self.sessions):
                    by = self.ended_by(session.starts_s + step.within_s)
                    self._followed(lot, (step.within_of, k), (s, by))

    def _followed(self, lot: int, first: tuple[int, int], then: tuple[int, int]) -> None:
        """All pieces through the first step by k are through the other by k', or all that ever come to it are."""
        (s, k), (t, by) = first, then
        count = self.workload.lots[lot].count
        all_came = self.programme.new(1)
        self.programme.at_most(self.n(lot, s, k), plus((1, self.n(lot, t, by)), (count, all_came)))
        still_to_come = plus((1, self.n(lot, t, self.last)), (-1, self.n(lot, t, by)))
        self.programme.at_most(plus((1, still_to_come), (count, all_came)), constant(count))

    def _safe_from_moths(self, lot: int) -> None:
        entry = self.workload.lots[lot]
        if entry.treat_by_s is None or entry.protect_until_s is None:
            return
        at_risk = self._may_be_left(entry.count, COMB_LEFT_OPEN)
        for stage, following in stages_of(entry):
            safe, lasts_s = entry.protected, None
            if stage >= 0:
                safe, lasts_s = entry.steps[stage].protected, entry.steps[stage].lasts_s
            for k in range(self.ended_by(entry.treat_by_s), self.ended_by(entry.protect_until_s) + 1):
                if not safe and (k < 0 or self._ends_day(k)):
                    here = constant(entry.count) if stage < 0 else self.n(lot, stage, k)
                    self.programme.at_most(here, plus((1, self.moved_on(lot, following, k)), (1, at_risk)))
            for k, session in enumerate(self.sessions):
                if safe and lasts_s is not None and session.starts_s + lasts_s < entry.protect_until_s:
                    by = self.ended_by(max(session.starts_s + lasts_s, entry.treat_by_s))
                    self.programme.at_most(
                        self.n(lot, stage, k), plus((1, self.moved_on(lot, following, by)), (1, at_risk))
                    )

    def _ends_day(self, k: int) -> bool:
        return k == self.last or self.sessions[k + 1].day != self.sessions[k].day

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
        lasting = plus(*((self.workload.lots[i].steps[s].seconds_each, self.done(i, s, k)) for i, s in steps))
        if not one.setup_s:
            return lasting
        touched = self.set_up[task, k] = self.programme.new(1)
        for lot, s in steps:
            step = self.workload.lots[lot].steps[s]
            self.programme.at_most(self.done(lot, s, k), plus((self._most(lot, k, step), touched)))
        room = max(0, self.sessions[k].ends_s - self.sessions[k].starts_s - one.setup_s) * self.parties(k, one)
        self.programme.at_most(lasting, plus((room, touched)))
        return plus((1, lasting), (one.setup_s, touched))

    def _steps_by_task(self) -> dict[str, list[tuple[int, int]]]:
        found: dict[str, list[tuple[int, int]]] = {}
        for lot, entry in enumerate(self.workload.lots):
            for s, step in enumerate(entry.steps):
                found.setdefault(step.task, []).append((lot, s))
        return found

    def _room(self, place: int) -> None:
        holds = self.workload.places[place].holds
        if holds is None:
            return
        for k in range(self.last + 1):
            self.programme.at_most(self._inside(place, k, k), constant(holds))
            if self.workload.places[place].whole_loads:
                begun = self.programme.new(1)
                coming = plus(*((each, self.done(lot, s, k)) for lot, s, _, each, _ in self._rests(place) if s >= 0))
                self.programme.at_most(coming, plus((holds, begun)))
                self.programme.at_most(plus((1, self._inside(place, k - 1, k)), (holds, begun)), constant(holds))

        for lot, stage, *_ in self._rests(place):
            if stage < 0:
                self._comes_in(place, lot)

    def _comes_in(self, place: int, lot: int) -> None:
        """A lot comes in at midnight, and finds what came before it and was not taken out on an earlier day."""
        arrives_s = self.workload.lots[lot].arrives_s
        k = self.ended_by(arrives_s)
        there, here = [], []
        for other, stage, following, each, until_taken in self._rests(place):
            entry = self.workload.lots[other]
            if stage >= 0:
                there.append((each, self.n(other, stage, k)))
            elif entry.arrives_s <= arrives_s:
                (there if entry.arrives_s < arrives_s else here).append((each, constant(entry.count)))
            if until_taken:
                there.append((-each, self.moved_on(other, following, k)))
            else:
                there.append((-each, self.n(other, stage, self.ended_by(arrives_s - entry.steps[stage].wait_s))))
        holds = self.workload.places[place].holds or 0
        self.programme.at_most(plus(*there, *here), constant(holds))
        if self.workload.places[place].whole_loads:
            self.programme.at_most(plus(*there), {})

    def _rests(self, place: int) -> list[tuple[int, int, int | None, int, bool]]:
        """(lot, stage, next stage, spaces, stays until taken) of all that rests at the place."""
        return [
            (lot, stage, following, stay.spaces, stay.until_taken)
            for lot, entry in enumerate(self.workload.lots)
            for stage, following in stages_of(entry)
            for stay in (entry.rests if stage < 0 else entry.steps[stage].stays)
            if stay.place == place
        ]

    def _inside(self, place: int, came: int, went: int) -> Sum:
        """Spaces taken by what came by the end of session ``came`` and has not gone by the end of ``went``."""
        parts: list[tuple[float, Sum]] = []
        for lot, stage, following, each, until_taken in self._rests(place):
            parts.append((each, self.n(lot, stage, came)))
            if until_taken:
                parts.append((-each, self.moved_on(lot, following, went)))
            else:
                wait_s = self.workload.lots[lot].steps[stage].wait_s
                parts.append((-each, self.n(lot, stage, self.waited_out(went, wait_s))))
        return plus(*parts)


def may_pass_by(lot: Lot, first: int, then: int) -> bool:
    """Whether a piece may come to ``then`` without ever having had ``first``."""
    return lot.steps[first].importance is not Importance.MUST and first not in lot.steps[then].needs


def order_of_steps(lot: Lot) -> list[tuple[int, int]]:
    """Pairs (first, then) that bind: going back to the first step all pieces must have had, and every step needed."""
    pairs = []
    for then in range(len(lot.steps)):
        nearest = max(
            (s for s in range(then) if lot.steps[s].pieces == lot.count and not may_pass_by(lot, s, then)), default=0
        )
        pairs += [(s, then) for s in range(then) if s >= nearest or s in lot.steps[then].needs]
    return pairs


def stages_of(lot: Lot) -> list[tuple[int, int | None]]:
    """(stage, next stage): arrival (-1) and each step all pieces have that the very next step does not pass by."""
    last = len(lot.steps) - 1
    moving = [
        s
        for s, step in enumerate(lot.steps)
        if step.pieces == lot.count and (s == last or not may_pass_by(lot, s, s + 1))
    ]
    return list(zip([-1, *moving], [*moving, None], strict=True))
