"""Room in places and whole loads as rows of the second opinion."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.solver.milp_times import stages_of
from tests.solver.programme import Sum, constant, plus

if TYPE_CHECKING:
    from tests.solver.milp_promises import Winter


def room_kept(winter: Winter) -> None:
    """Every place holds what it holds, and whole loads are not topped up."""
    for place in range(len(winter.workload.places)):
        Room(winter).kept(place)


class Room:
    """The rows of one place."""

    def __init__(self, winter: Winter) -> None:
        self.winter, self.programme = winter, winter.programme
        self.workload, self.sessions, self.last = winter.workload, winter.sessions, winter.last
        self._begun: dict[tuple[int, int], Sum] = {}

    def kept(self, place: int) -> None:
        holds = self.workload.places[place].holds
        if holds is None:
            return
        for k in range(self.last + 1):
            self.programme.at_most(self._inside(place, k, k), constant(holds))
            if self.workload.places[place].whole_loads:
                begun = self._begun[place, k] = self.programme.new(1)
                coming = plus(
                    *((each, self.winter.done(lot, s, k)) for lot, s, _, each, _ in self._rests(place) if s >= 0)
                )
                self.programme.at_most(coming, plus((holds * self._loads_in(place, k), begun)))
                self.programme.at_most(plus((1, self._inside(place, k - 1, k)), (holds, begun)), constant(holds))

        if self.workload.places[place].whole_loads:
            self._chain_of_loads(place)
        for lot, stage, *_ in self._rests(place):
            if stage < 0:
                self._comes_in(place, lot)

    def _chain_of_loads(self, place: int) -> None:
        """A load is closed when the one before has waited, from when it was closed, and was taken out, and this put in.

        Where a session is so long that a load may come and go within it, nothing is asked.
        """
        closed: dict[int, Sum] = {}
        for k in range(self.last + 1):
            begun, length_s = self._begun[place, k], self.sessions[k].ends_s - self.sessions[k].starts_s
            wait_s = self._load_waits_s(place)
            if wait_s <= length_s:
                continue
            closed[k] = self.programme.new(length_s)  # seconds since the start of the session
            parties, handling = self._out_and_in(place, k)
            done = plus((parties, closed[k]))
            self.programme.at_most(
                handling, plus((1, done), (parties * length_s, constant(1)), (-parties * length_s, begun))
            )
            for j in list(closed)[:-1]:
                # if both loads go in: wait, less what lies between the starts, must pass between the two moments
                between_s = wait_s - (self.sessions[k].starts_s - self.sessions[j].starts_s)
                j_length_s = self.sessions[j].ends_s - self.sessions[j].starts_s
                if -j_length_s < between_s <= length_s:
                    slack = parties * (length_s + j_length_s + between_s)
                    late = plus((1, handling), (parties, closed[j]), (parties * between_s, constant(1)))
                    loads = plus((2 * slack, constant(1)), (-slack, begun), (-slack, self._begun[place, j]))
                    self.programme.at_most(late, plus((1, done), (1, loads)))

    def _out_and_in(self, place: int, k: int) -> tuple[int, Sum]:
        """Most parties that can take out and put in at the place in the session, and the seconds of one of them."""
        moved = [
            (lot, s) for lot, stage, then, *_ in self._rests(place) for s in (stage, then) if s is not None and s >= 0
        ]
        steps = [(lot, s, self.workload.lots[lot].steps[s]) for lot, s in moved]
        parties = [self.winter.parties(k, step) if step.hands else step.pieces for _, _, step in steps]
        return max([1, *parties]), plus(*((step.seconds_each, self.winter.done(lot, s, k)) for lot, s, step in steps))

    def _load_waits_s(self, place: int) -> int:
        """The shortest wait of what goes in."""
        waits = [self.workload.lots[lot].steps[s].wait_s for lot, s, *_ in self._rests(place) if s >= 0]
        return min(waits, default=0)

    def _loads_in(self, place: int, k: int) -> int:
        """How many loads may go in one after another in the session, each taken out once it has waited."""
        return 1 + (self.sessions[k].ends_s - self.sessions[k].starts_s) // max(1, self._load_waits_s(place))

    def _comes_in(self, place: int, lot: int) -> None:
        """A lot comes in at midnight, and finds what came before it and was not taken out on an earlier day."""
        arrives_s = self.workload.lots[lot].arrives_s
        k = self.winter.ended_by(arrives_s)
        there, here = [], []
        for other, stage, following, each, until_taken in self._rests(place):
            entry = self.workload.lots[other]
            if stage >= 0:
                there.append((each, self.winter.n(other, stage, k)))
            elif entry.arrives_s <= arrives_s:
                (there if entry.arrives_s < arrives_s else here).append((each, constant(entry.count)))
            if until_taken:
                there.append((-each, self.winter.moved_on(other, following, k)))
            else:
                there.append(
                    (-each, self.winter.n(other, stage, self.winter.ended_by(arrives_s - entry.steps[stage].wait_s)))
                )
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
            parts.append((each, self.winter.n(lot, stage, came)))
            if until_taken:
                parts.append((-each, self.winter.moved_on(lot, following, went)))
            else:
                step = self.workload.lots[lot].steps[stage]
                parts.append((-each, self.winter.n(lot, stage, self.winter.handed_over(went, step, step.seconds_each))))
        return plus(*parts)
