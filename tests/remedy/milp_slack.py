"""How much more would be enough, as a mixed-integer programme: the second opinion on what to change of a winter.

It is built on a winter in which everything is there in plenty, and holds back each thing that can be changed: a whole
variable for each says how much of the plenty is taken. Written from the promises, with nothing of the solver in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from offseason.remedy.changed import changed
from offseason.remedy.lever import Change, Kind, Lever
from offseason.scenario.model import Scenario
from offseason.workload.build import build_workload
from offseason.workload.model import Importance, Step, Workload
from tests.solver.milp_promises import Winter
from tests.solver.milp_room import Room
from tests.solver.programme import Sum, constant, plus

QUARTER_S = 900
COMBS_IN_A_BOX = 10
LINEAR = {Kind.SPACE, Kind.SEATS, Kind.HELP, Kind.FEWER, Kind.OPTIONAL}
"""What can be held back by a row. Of help only a person's first stretch; of what is optional only a lot's only step."""


def held_back(scenario: Scenario, lever: Lever) -> Lever | None:
    """The lever as far as a row can hold it back; None: not at all."""
    if lever.kind not in LINEAR:
        return None
    if lever.kind is Kind.HELP:
        day, free = lever.slots[0]
        minutes = (free.end.hour - free.start.hour) * 60 + free.end.minute - free.start.minute
        alone = len(scenario.crew) == 1
        after = any(hours.end == free.start for hours in _hours(scenario, lever.about, day))
        return replace(lever, most=min(lever.most, minutes // 15)) if alone and after else None
    if lever.kind is Kind.OPTIONAL and not lever.job and len(scenario.gear[lever.about].steps) > 1:
        return None
    return lever


def least_price(scenario: Scenario, levers: Sequence[Lever], unit: float) -> tuple[float, dict[Lever, int]] | None:
    """The cheapest sizes of these levers, all of which a row can hold back, that are enough together, and their price.

    ``unit``: the money in which every price is a whole number. None: even all of them are not enough.
    """
    winter = _Plenty(scenario, levers)
    prices = [(round(lever.price_each / unit), winter.size(lever)) for lever in levers]
    found = winter.programme.least(plus(*prices))
    if found is None:
        return None
    price, point = found
    return price * unit, {lever: round(point[next(iter(winter.size(lever)))]) for lever in levers}


def least_size(scenario: Scenario, lever: Lever) -> int | None:
    """The least of this lever that is enough alone; None: it is not enough."""
    found = least_price(scenario, [replace(lever, price_each=1)], 1)
    return None if found is None else round(found[0])


class _Plenty(Winter):
    """A winter with as much of everything as there may be, of which no more is used than is there or was added."""

    def __init__(self, scenario: Scenario, levers: Sequence[Lever]) -> None:
        self._scenario, self._levers = scenario, list(levers)
        self._sizes: dict[Lever, Sum] = {}
        today = build_workload(scenario)
        super().__init__(_in_plenty(scenario, levers))
        for lever in levers:
            if lever.kind in (Kind.SPACE, Kind.SEATS):
                place = list(scenario.places).index(lever.about)
                (self._space if lever.kind is Kind.SPACE else self._seats)(place, today.places[place], lever)
            elif lever.kind is Kind.HELP:
                self._help(today, lever)

    def size(self, lever: Lever) -> Sum:
        """How much is taken of it."""
        if lever not in self._sizes:
            self._sizes[lever] = self.programme.new(lever.most)
        return self._sizes[lever]

    def _space(self, place, today, lever) -> None:
        boxes = self._scenario.places[lever.about].holds.unit == "boxes"
        each = COMBS_IN_A_BOX if boxes else 1
        there = plus((1, constant(today.holds)), (each, self.size(lever)))
        for k in range(self.last + 1):
            self.programme.at_most(Room(self)._inside(place, k, k), there)

    def _seats(self, place, today, lever) -> None:
        """Nothing that needs two together or a set-up: then pieces and seconds both go by seats."""
        seats = plus((1, constant(today.seats)), (1, self.size(lever)))
        for k, session in enumerate(self.sessions):
            length_s = session.ends_s - session.starts_s
            here = [
                (lot, s, step)
                for lot, entry in enumerate(self.workload.lots)
                for s, step in enumerate(entry.steps)
                if step.at == place
            ]
            for lot, s, step in here:
                assert step.hands == 1
                assert step.setup_s == 0
                self.programme.at_most(self.done(lot, s, k), plus((length_s // step.seconds_each, seats)))
            seconds = plus(*((step.seconds_each, self.done(lot, s, k)) for lot, s, step in here))
            self.programme.at_most(seconds, plus((length_s, seats)))

    def _help(self, today: Workload, lever: Lever) -> None:
        """One person alone: the day's last stretch is as long as it was and the quarters that are added."""
        k = max(n for n, session in enumerate(self.sessions) if session.day == lever.slots[0][0])
        was_s = max(one.ends_s for one in today.sessions if one.day == lever.slots[0][0]) - self.sessions[k].starts_s
        labour = plus(*((1, labour) for (_, session), labour in self.labour.items() if session == k))
        self.programme.at_most(labour, plus((1, constant(was_s)), (QUARTER_S, self.size(lever))))

    def _given_up(self, lot: int) -> Sum:
        return self._of(Kind.FEWER, lot)

    def _of(self, kind: Kind, lot: int) -> Sum:
        name = self.workload.lots[lot].name
        return plus(*((1, self.size(one)) for one in self._levers if one.kind is kind and one.about == name))

    def n(self, lot: int, s: int, k: int) -> Sum:
        came = super().n(lot, s, k)
        return plus((1, came), (-1, self._given_up(lot))) if s < 0 and came.get(-1) else came

    def _in_the_open(self, lot: int, k: int) -> Sum:
        open_ = super()._in_the_open(lot, k)
        return open_ if self.workload.lots[lot].protected else plus((1, open_), (-1, self._given_up(lot)))

    def _count(self, lot: int, s: int, step: Step) -> None:
        super()._count(lot, s, replace(step, importance=Importance.COULD))
        if step.importance is Importance.MUST:
            done = plus((1, self.n(lot, s, self.last)), (1, self._given_up(lot)))
            self.programme.at_most(done, constant(step.pieces))
            self.programme.at_most(constant(step.pieces), plus((1, done), (step.pieces, self._of(Kind.OPTIONAL, lot))))


def _in_plenty(scenario: Scenario, levers: Sequence[Lever]) -> Workload:
    more = (Kind.SPACE, Kind.SEATS, Kind.HELP)
    return build_workload(changed(scenario, [Change(lever, lever.most) for lever in levers if lever.kind in more]))


def _hours(scenario: Scenario, name: str, day: date):
    helper = scenario.crew[name]
    weekly = [hours for days, stretches in helper.works.items() if day.weekday() in days for hours in stretches]
    return [*weekly, *(hours for days, stretches in helper.also.items() if day in days for hours in stretches)]
