"""Times and the flow of pieces for the second opinion: looked up by going through the sessions, one by one."""

from __future__ import annotations

from offseason.workload.model import Importance, Lot, Step, Workload


class Times:
    """When things can be done in a winter of which only the sessions count."""

    def __init__(self, workload: Workload) -> None:
        self.workload, self.sessions = workload, workload.sessions
        self.last = len(self.sessions) - 1

    def ended_by(self, time_s: float) -> int:
        """The last session that has ended by then; -1: none."""
        return max((k for k, session in enumerate(self.sessions) if session.ends_s <= time_s), default=-1)

    def begun_by(self, time_s: float) -> int:
        """The last session that has begun by then; -1: none."""
        return max((k for k, session in enumerate(self.sessions) if session.starts_s <= time_s), default=-1)

    def handed_over(self, k: int, first: Step, then_each_s: int) -> int:
        """The last session in which a piece can have ``first`` at once, and its next step at the end of ``k``."""
        if first.wait_s == 0:
            return k
        return self.begun_by(self.sessions[k].ends_s - then_each_s - first.wait_s - first.seconds_each)

    def stretch(self, k: int) -> range:
        """The sessions before ``k`` that run up to it without a gap."""
        first = k
        while (
            first
            and self.sessions[first - 1].starts_s < self.sessions[first - 1].ends_s == self.sessions[first].starts_s
        ):
            first -= 1
        return range(first, k)

    def run(self, lot: int, s: int, k: int) -> dict[int, int]:
        """Session -> seconds of one long piece that ends in ``k``, begun before it and done without a gap.

        Empty: the piece fits into the session, or cannot be done so.
        """
        step, entry = self.workload.lots[lot].steps[s], self.workload.lots[lot]
        length = [session.ends_s - session.starts_s for session in self.sessions]
        if entry.count > 1 or step.hands == 0 or step.setup_s or length[k] >= step.seconds_each:
            return {}
        longest = [*self.stretch(k), k]
        parts = next(
            (
                longest[i:]
                for i in reversed(range(len(longest)))
                if sum(length[j] for j in longest[i:]) >= step.seconds_each
            ),
            [],
        )
        if not parts or self.sessions[parts[0]].starts_s < entry.arrives_s:
            return {}
        there = set.intersection(*(set(self.sessions[j].helpers) for j in parts))
        throughout = sum(self.workload.helpers[h].able(step.task) for h in there)
        unfit = step.need is not None and any(step.need not in self.sessions[j].fit for j in parts)
        if unfit or throughout < step.hands or not self.parties(k, step):
            return {}
        before = {j: length[j] for j in parts[:-1]}
        return {**before, k: step.seconds_each - sum(before.values())}

    def ends_day(self, k: int) -> bool:
        return k == self.last or self.sessions[k + 1].day != self.sessions[k].day

    def evening_of(self, k: int) -> int:
        """The last session of the day of session ``k``."""
        return next((j for j in range(max(k, 0), self.last + 1) if self.ends_day(j)), k) if k >= 0 else k

    def parties(self, k: int, step: Step) -> int:
        """How many groups of ``hands`` people, able and seated, can work side by side."""
        able = sum(self.workload.helpers[h].able(step.task) for h in self.sessions[k].helpers)
        seats = None if step.at is None else self.workload.places[step.at].seats
        return min(able, able if seats is None else seats) // step.hands

    def most(self, lot: int, k: int, step: Step) -> int:
        """Whole pieces that fit into the session at best."""
        session, entry = self.sessions[k], self.workload.lots[lot]
        too_late = entry.ready_by_s is not None and session.ends_s > entry.ready_by_s
        unfit = step.need is not None and step.need not in session.fit
        set_up_s = 0 if self.stretch(k) else step.setup_s  # it may have been set up earlier in the stretch
        time_s = session.ends_s - session.starts_s - set_up_s
        if session.starts_s < entry.arrives_s or too_late or unfit or time_s < 0:
            return 0
        each = time_s // step.seconds_each if step.seconds_each else step.pieces
        if step.hands == 0:
            return step.pieces if each else 0
        return min(step.pieces, self.parties(k, step) * each)


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


def way_to(lot: Lot, then: int) -> tuple[int, list[int]]:
    """The last step before ``then`` that all must have had (-1: arrival), and those between that only some have."""
    pieces = lot.steps[then].pieces
    every = [
        f
        for f, t in order_of_steps(lot)
        if t == then and lot.steps[f].pieces >= pieces and not may_pass_by(lot, f, then)
    ]
    after = max(every, default=-1)
    return after, [f for f, t in order_of_steps(lot) if t == then and f > after]


def stages_of(lot: Lot) -> list[tuple[int, int | None]]:
    """(stage, next stage): arrival (-1) and each step all pieces have that the very next step does not pass by."""
    last = len(lot.steps) - 1
    moving = [
        s
        for s, step in enumerate(lot.steps)
        if step.pieces == lot.count and (s == last or not may_pass_by(lot, s, s + 1))
    ]
    return list(zip([-1, *moving], [*moving, None], strict=True))
