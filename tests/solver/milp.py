"""A second opinion on the counting model: the same winter as a mixed-integer programme for HiGHS, in its own words.

Written from the mathematics, not from the solver: it knows the workload's plain data and nothing else of ours. Every
count of every session is a variable here, times are looked up by going through the sessions, people are shared out by
seconds of each person on each kind of work (not by Hall's condition), and groups of rows are written for all sessions.

Notation: ``n[l, s, k]`` pieces of lot l through step s by the end of session k.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import groupby

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from offseason.workload.model import Importance, Lot, Prefer, Step, Workload

SET_UP_DAYS = 7
"""A set-up, and a renewal of what protects, is priced as if its seconds had waited a week."""

SHOULD = 10
"""One piece that should be done outweighs ten that could be."""

COMB_LEFT_OPEN = 1_000
"""In a winter that does not fit, one comb left to the moths weighs as much as this many pieces left undone."""

Sum = dict[int, float]
"""Variable -> coefficient; the key -1 is the constant."""

ONE = -1


def plus(*parts: tuple[float, Sum]) -> Sum:
    """Sum of factor times sum."""
    made: Sum = {}
    for factor, part in parts:
        for var, coef in part.items():
            made[var] = made.get(var, 0.0) + factor * coef
    return made


def constant(value: float) -> Sum:
    """A number as a sum."""
    return {ONE: value}


@dataclass
class Programme:
    """Rows ``sum <= 0`` over bounded variables."""

    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[Sum] = field(default_factory=list)

    def new(self, upper: float, *, whole: bool = True) -> Sum:
        """A variable from 0 to ``upper``."""
        self.upper.append(upper)
        self.whole.append(whole)
        return {len(self.upper) - 1: 1.0}

    def at_most(self, small: Sum, large: Sum) -> None:
        """``small <= large``."""
        self.rows.append(plus((1, small), (-1, large)))

    def equal(self, one: Sum, other: Sum) -> None:
        """``one == other``."""
        self.at_most(one, other)
        self.at_most(other, one)

    def least(self, aim: Sum) -> tuple[float, np.ndarray] | None:
        """The proven minimum of ``aim`` and a point where it is reached; None: no point keeps all rows."""
        size = len(self.upper)
        cost = np.zeros(size)
        for var, coef in aim.items():
            if var != ONE:
                cost[var] = coef
        entries = [(i, var, coef) for i, row in enumerate(self.rows) for var, coef in row.items() if var != ONE]
        row, column, value = (np.array(x) for x in zip(*entries, strict=True))
        matrix = coo_array((value, (row, column)), shape=(len(self.rows), size)).tocsr()
        scale = max(np.abs(cost).max(), 1.0)
        found = milp(
            cost / scale,
            integrality=np.array(self.whole, int),
            bounds=Bounds(0, np.array(self.upper)),
            constraints=LinearConstraint(matrix, -np.inf, np.array([-r.get(ONE, 0.0) for r in self.rows])),
            options={"mip_rel_gap": 0.0},
        )
        if found.status == 2:
            return None
        assert found.status == 0, found.message
        exact = np.where(self.whole, np.rint(found.x), found.x)
        return float(cost @ exact) + aim.get(ONE, 0.0), exact


@dataclass(frozen=True)
class Opinion:
    """Optimum of each aim in order, in the reader's unit, and the counts (per lot: steps, sessions) that reach it."""

    aims: tuple[float, ...]
    counts: tuple[np.ndarray, ...]


def second_opinion(workload: Workload) -> Opinion | None:
    """The lexicographic optimum of a winter; None: it cannot be done."""
    return Winter(workload).best()


def judged(workload: Workload, counts: tuple[np.ndarray, ...]) -> tuple[float, ...] | None:
    """What these counts come to in each aim; None: they break a promise."""
    winter = Winter(workload)
    for lot, rows in enumerate(counts):
        for (s, k), value in np.ndenumerate(rows):
            winter.programme.equal(winter.n(lot, s, k), constant(float(value)))
    found = winter.best()
    return None if found is None else found.aims


def least_left(workload: Workload) -> float:
    """The least pieces of must-do work left in a winter that may not fit; a comb left open to moths counts a thousand."""
    winter = Winter(workload, may_leave=True)
    found = winter.programme.least(winter.left)
    assert found is not None
    return found[0]


def possible(workload: Workload) -> bool:
    """Whether any counts keep every promise."""
    return Winter(workload).programme.least(constant(0.0)) is not None


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
                    if by < self.last:
                        self.programme.at_most(self.n(lot, step.within_of, k), self.n(lot, s, by))

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
                if not safe:
                    here = constant(entry.count) if stage < 0 else self.n(lot, stage, k)
                    self.programme.at_most(here, plus((1, self._moved_on(lot, following, k)), (1, at_risk)))
            for k, session in enumerate(self.sessions):
                if safe and lasts_s is not None and session.starts_s + lasts_s < entry.protect_until_s:
                    by = self.ended_by(max(session.starts_s + lasts_s, entry.treat_by_s))
                    self.programme.at_most(self.n(lot, stage, k), plus((1, self._moved_on(lot, following, by)), (1, at_risk)))

    def _moved_on(self, lot: int, following: int | None, k: int) -> Sum:
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
            lasting = plus(*((self.workload.lots[i].steps[s].seconds_each, self.done(i, s, k)) for i, s in steps))
            if one.setup_s:
                touched = self.set_up[task, k] = self.programme.new(1)
                for lot, s in steps:
                    step = self.workload.lots[lot].steps[s]
                    self.programme.at_most(self.done(lot, s, k), plus((self._most(lot, k, step), touched)))
                room = max(0, length_s - one.setup_s) * self.parties(k, one)
                self.programme.at_most(lasting, plus((room, touched)))
                lasting = plus((1, lasting), (one.setup_s, touched))
            labour = self.labour[task, k] = plus((one.hands, lasting))
            shares = []
            for h in session.helpers:
                if self.workload.helpers[h].able(task):
                    share = self.programme.new(length_s, whole=False)
                    shares.append((1.0, share))
                    by_person[h].append((1.0, share))
            self.programme.equal(plus(*shares), labour)
            if one.hands > 1:
                self.programme.at_most(lasting, constant(len(shares) // one.hands * length_s))
            if one.at is not None:
                seated.setdefault(one.at, []).append((1.0, labour))
        for shares in by_person.values():
            self.programme.at_most(plus(*shares), constant(length_s))
        for place, labours in seated.items():
            seats = self.workload.places[place].seats
            if seats is not None:
                self.programme.at_most(plus(*labours), constant(seats * length_s))

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
                parts.append((-each, self._moved_on(lot, following, went)))
            else:
                wait_s = self.workload.lots[lot].steps[stage].wait_s
                parts.append((-each, self.n(lot, stage, self.waited_out(went, wait_s))))
        return plus(*parts)

    def best(self) -> Opinion | None:
        """One aim after another, what was reached held while the next is improved."""
        reached = []
        point = None
        for aim, unit in (self._exposure(), self._optional_left(), *self._preference()):
            found = self.programme.least(aim)
            if found is None:
                return None
            value, point = found
            self.programme.at_most(aim, constant(value + 0.5))  # every aim counts in whole units
            reached.append(value * unit)
        assert point is not None
        counts = tuple(
            np.array([[round(point[next(iter(self.n(lot, s, k)))]) for k in range(self.last + 1)] for s in steps])
            for lot, steps in ((lot, range(len(entry.steps))) for lot, entry in enumerate(self.workload.lots))
        )
        return Opinion(tuple(reached), counts)

    def _exposure(self) -> tuple[Sum, float]:
        """Tenths of degree-days that combs meet in the open, given between the ends of sessions."""
        parts: list[tuple[float, Sum]] = []
        for lot, entry in enumerate(self.workload.lots):
            for stage, following in stages_of(entry):
                if not (entry.protected if stage < 0 else entry.steps[stage].protected):
                    for k, heat in enumerate(entry.open_heat):
                        parts += [(heat, self.n(lot, stage, k)), (-heat, self._moved_on(lot, following, k))]
        return plus(*parts), 0.1

    def _optional_left(self) -> tuple[Sum, float]:
        weights = {Importance.SHOULD: SHOULD, Importance.COULD: 1, Importance.MUST: 0}
        parts: list[tuple[float, Sum]] = []
        for lot, entry in enumerate(self.workload.lots):
            for s, step in enumerate(entry.steps):
                weight = weights[step.importance] * step.worth
                parts += [(weight, constant(step.pieces)), (-weight, self.n(lot, s, self.last))]
        return plus(*parts), 1.0

    def _preference(self) -> list[tuple[Sum, float]]:
        made = {
            Prefer.EARLY: [self._waiting],
            Prefer.FEW_DAYS: [self._days_called, self._waiting],
            Prefer.EVEN_WEEKS: [self._busiest_week, self._waiting],
            Prefer.SOONEST: [self._last_finish],
        }[self.workload.prefer]
        return [make() for make in made]

    def _waiting(self) -> tuple[Sum, float]:
        """Seconds of work not yet done after each session, times the whole hours to the end of the next."""
        ends = [session.ends_s for session in self.sessions]
        ends.append(max(self.workload.until_s, ends[-1] + 3_600))
        hours = [max(0, round((after - end) / 3_600)) for end, after in zip(ends, ends[1:], strict=False)]
        parts: list[tuple[float, Sum]] = []
        all_labour = 0
        for lot, entry in enumerate(self.workload.lots):
            for s, step in enumerate(entry.steps):
                each = step.hands * step.seconds_each
                if step.worth == 0:
                    parts.append((each * SET_UP_DAYS * 24, self.n(lot, s, self.last)))
                    continue
                all_labour += each * step.pieces
                for k, hour in enumerate(hours):
                    parts += [(each * hour, constant(step.pieces)), (-each * hour, self.n(lot, s, k))]
        for (task, _), touched in self.set_up.items():
            one = next(s for entry in self.workload.lots for s in entry.steps if s.task == task)
            parts.append((one.hands * one.setup_s * SET_UP_DAYS * 24, touched))
        return plus(*parts), 1 / (24 * max(all_labour, 1))

    def _labour_in(self, k: int) -> Sum:
        return plus(*((1, labour) for (_, session), labour in self.labour.items() if session == k))

    def _days_called(self) -> tuple[Sum, float]:
        """Helpers called, summed over days: as many as the busiest session of the day takes."""
        called = []
        for _, days in groupby(range(self.last + 1), key=lambda k: self.sessions[k].day):
            heads = self.programme.new(len(self.workload.helpers))
            called.append((1.0, heads))
            for k in days:
                length_s = self.sessions[k].ends_s - self.sessions[k].starts_s
                self.programme.at_most(self._labour_in(k), plus((length_s, heads)))
        return plus(*called), 1.0

    def _busiest_week(self) -> tuple[Sum, float]:
        """Hours of work in the fullest calendar week."""
        most = self.programme.new(float("inf"))
        for _, week in groupby(range(self.last + 1), key=lambda k: self.sessions[k].day.isocalendar()[:2]):
            self.programme.at_most(plus(*((1, self._labour_in(k)) for k in week)), most)
        return most, 1 / 3_600

    def _last_finish(self) -> tuple[Sum, float]:
        """Seconds until the last step of every lot is through and has waited."""
        ends = [session.ends_s for session in self.sessions]
        finish = self.programme.new(float("inf"))
        for lot, entry in enumerate(self.workload.lots):
            if entry.steps:
                parts = [(1.0, constant(ends[0] + entry.steps[-1].wait_s))]
                for k in range(self.last):
                    over = self.all_through(lot, len(entry.steps) - 1, k)
                    parts += [(ends[k + 1] - ends[k], constant(1)), (ends[k] - ends[k + 1], over)]
                self.programme.at_most(plus(*parts), finish)
        return finish, 1.0


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
