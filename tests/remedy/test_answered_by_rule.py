"""The search for remedies in winters whose answers are laid down: what is asked next, what is told, what is claimed.

The yard and its levers are real; whether a winter fits is said by a rule that can be worked out in the head. So it can
be said that a question comes to nothing, or takes its time, which a search cannot be made to do when it is wanted.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping

import pytest

from offseason.remedy import asking as clocks
from offseason.remedy import search, together
from offseason.remedy.asking import Asking, Clock
from offseason.remedy.lever import Change, Kind, Lever, Remedy
from offseason.remedy.singles import Enough, _climbed
from offseason.remedy.yard import Yard
from offseason.scenario.read import parse_scenario
from offseason.solver.fits import Verdict
from offseason.workload.model import Leaving, Left

YES, NO, NEITHER = Verdict(work=()), Verdict(impossible=True), Verdict()

Sizes = Mapping[tuple[Kind, str], int]
"""How far a lever is moved, by what it is and whom or what it is about; of several weeks of a helper all together."""

Rule = Callable[[Collection[str], Sizes], Verdict]
"""Whether these lots fit with these changes."""


class Laid(Asking):
    """Answers by the rule; each question takes so many ``seconds`` on the clock ``hands``, where there is one."""

    def __init__(self, yard: Yard, rule: Rule, hands: list[float] | None = None, seconds: float = 0.0) -> None:
        super().__init__(yard, 1, 0, lambda _: None, 0.0)
        self.rule, self.hands, self.seconds = rule, hands, seconds
        self.every = [lot.name for lot in yard.workload().lots]

    def _ask(self, part, changes, _clock) -> Verdict:
        if self.hands is not None:
            self.hands[0] += self.seconds
        sizes: dict[tuple[Kind, str], int] = {}
        for change in changes:
            key = change.lever.kind, change.lever.about
            sizes[key] = sizes.get(key, 0) + change.size
        return self.rule(self.every if part is None else part, sizes)


@pytest.fixture
def hands(monkeypatch):
    """A clock that goes only when it is told to."""
    now = [100.0]
    monkeypatch.setattr(clocks.time, "monotonic", lambda: now[0])
    return now


def yard_of(text: str, **how) -> Yard:
    return Yard(parse_scenario(text, "winter.yaml"), **how)


def searched(laid: Laid, *left: str, seconds: float = 60) -> search._Finding:
    """What is found where the best plan leaves something of these lots."""
    found = search._Finding(laid, Clock.of(seconds), 1, 0)
    found.run([Left(laid.every.index(name), 0, 1, Leaving.UNDONE) for name in left])
    return found


def told(remedy: Remedy | None) -> dict[tuple[Kind, str], int]:
    assert remedy is not None
    return {(one.lever.kind, one.lever.about): one.size for one in remedy.changes}


# Two jobs are due before the only Saturday on which somebody is there, and both are moved to it, where there is work
# already; the last Saturday is free.
TWO_TOO_SOON = """
season: {from: 2026-10-05, until: 2026-10-25}
crew: {Ilva: {works: {sat: 09:00-11:00}, away: [2026-10-10]}}
jobs:
  order wax: {hours: 1, by: 2026-10-07}
  order paint: {hours: 1, from: 2026-10-12, by: 2026-10-13}
  call the neighbour: {hours: 1, from: 2026-10-17, by: 2026-10-17}
prices: {hour: 1000, hour_left: 1000}
"""
DUE = {"order wax": 7, "order paint": 13, "call the neighbour": 17}


def by_saturdays(lots: Collection[str], sizes: Sizes) -> Verdict:
    """Two jobs on the 17th, two on the 24th; a quarter of an hour more of anything else is no help."""
    last = {name: DUE[name] + sizes.get((Kind.LATER, name), 0) for name in lots}
    on_17th = sum(17 <= day < 24 for day in last.values())
    return NO if on_17th > 2 or any(day < 17 for day in last.values()) else YES


def test_what_no_longer_fits_once_other_work_has_moved_is_found_and_moved_too():
    found = searched(Laid(yard_of(TWO_TOO_SOON), by_saturdays), "order wax", "order paint")
    assert found.singles == ()
    # both to the 17th, and one of the three to the 24th, at 10 a day
    assert sum(told(found.together).values()) == (17 - 7) + (17 - 13) + (24 - 17)
    assert found.together.least
    assert found.all_tried
    assert found.impossible


def test_nothing_is_claimed_where_neither_a_plan_nor_a_proof_is_found():
    def never_sure(lots, sizes):
        sure = by_saturdays(lots, sizes)
        return NEITHER if len(lots) == len(DUE) else sure

    found = searched(Laid(yard_of(TWO_TOO_SOON), never_sure), "order wax", "order paint")
    assert (found.singles, found.together) == ((), None)
    assert not found.all_tried


def test_no_more_groups_of_lots_are_looked_at_than_somebody_would_wait_for(monkeypatch):
    monkeypatch.setattr(search, "MOST_PARTS", 1)
    found = searched(Laid(yard_of(TWO_TOO_SOON), by_saturdays), "order wax", "order paint")
    assert found.together is None
    assert not found.all_tried


# A job for a helper who could come in any of seven weeks.
ANY_WEEK = """
season: {from: 2026-10-05, until: 2026-11-22}
crew: {Ilva: {works: {sat: 09:00-10:00}}}
jobs: {mend the fence: {hours: 12}}
"""


def test_where_all_that_can_be_changed_is_not_enough_nothing_is_named_and_not_all_is_called_tried():
    found = searched(Laid(yard_of(ANY_WEEK), lambda *_: NO), "mend the fence")
    assert (found.singles, found.together) == ((), None)
    assert found.impossible
    assert not found.all_tried


@pytest.mark.parametrize("questions", [5, 12, 20, 30, 40, 60, 80, 100, 120])
def test_whenever_the_time_is_over_nothing_is_told_that_is_not_enough_and_not_all_is_called_tried(hands, questions):
    laid = Laid(yard_of(TWO_TOO_SOON), by_saturdays, hands, seconds=1)
    found = searched(laid, "order wax", "order paint", seconds=questions)
    assert found.singles == ()
    assert found.together is None or by_saturdays(laid.every, told(found.together)).yes
    assert found.together is None or not found.together.least or sum(told(found.together).values()) == 21
    assert found.all_tried == (found.together is not None)


def test_what_turns_out_to_be_enough_alone_is_told_as_a_single_remedy():
    found = search._Finding(Laid(yard_of(ANY_WEEK), lambda *_: NO), Clock.of(1), 1, 0)
    alone = Remedy((Change(Lever(Kind.SEATS, "bench", 2, 40.0), 1),), least=True)
    found._take(alone)
    assert (found.singles, found.together) == ((alone,), None)


def test_a_remedy_that_no_plan_was_found_with_is_not_offered():
    yard = yard_of(ANY_WEEK)
    remedy = Remedy((Change(Lever(Kind.LATER, "", 7, 10.0), 1),), least=True)
    assert not search._proved(Laid(yard, lambda *_: NEITHER), remedy, Clock.of(1))


# One job for two people of different trades; the bench has one seat.
BENCH = """
season: {from: 2026-10-05, until: 2026-10-11}
crew:
  Ilva: {works: {sat: 09:00-10:00}, cannot: [solder]}
  Bruno: {works: {sat: 09:00-10:00}, cannot: [wire]}
places: {bench: {seats: 1}}
jobs:
  wire: {hours: 2, at: bench}
  solder: {hours: 2, at: bench}
"""
SEAT, OF_ILVA, OF_BRUNO = (Kind.SEATS, "bench"), (Kind.HELP, "Ilva"), (Kind.HELP, "Bruno")


def test_a_change_that_would_be_refused_when_it_is_read_is_not_offered():
    def seat_or_hours(_, sizes):
        return YES if sizes.get(SEAT) or sizes.get(OF_ILVA, 0) >= 4 else NO

    refused = yard_of(BENCH, allowed=lambda changes: changes[0].lever.kind is not Kind.SEATS)
    assert {one for some in searched(Laid(yard_of(BENCH), seat_or_hours), "wire").singles for one in told(some)} == {
        SEAT,
        OF_ILVA,
    }
    assert [told(one) for one in searched(Laid(refused, seat_or_hours), "wire").singles] == [{OF_ILVA: 4}]


def test_help_that_is_of_no_use_for_what_else_stands_in_the_way_is_not_gone_on_with():
    dear_seat = yard_of(BENCH.replace("until: 2026-10-11", "until: 2026-10-18") + "prices: {seat: 900, hour: 12}\n")

    def bench_too_small(lots, sizes):
        wired = sizes.get(SEAT) or sizes.get(OF_ILVA, 0) >= 4
        return YES if wired and (sizes.get(SEAT) or "solder" not in lots) else NO

    found = searched(Laid(dear_seat, bench_too_small), "wire")
    assert [told(one) for one in found.singles] == [{SEAT: 1}]
    assert found.together is None
    assert found.all_tried


def test_what_is_found_without_proof_is_made_smaller_while_time_is_left(hands):
    def hours(lots, sizes):
        size = sizes.get(OF_ILVA, 0)
        if size >= 8 or (len(lots) == 2 and size >= 6):
            return YES  # between 6 and 8 a plan is found once there is time to look for it
        return NEITHER if size > 2 else NO

    found = searched(Laid(yard_of(BENCH), hours, hands, seconds=0.1), "wire")
    (remedy,) = found.singles
    assert told(remedy) == {OF_ILVA: 6}
    assert not remedy.least


def test_more_of_a_lever_is_asked_for_in_strides_and_what_cannot_be_decided_is_left_open():
    asked = []

    def ask(size):
        asked.append(size)
        return YES if size >= 8 else NEITHER if size == 6 else NO

    found = _climbed(Enough(Lever(Kind.SPACE, "rack", 20, 2.0), 1), ask)
    assert found is not None
    assert (found.size, found.refuted) == (8, 4)
    assert not found.remedy.least
    assert asked == [1, 20, 2, 4, 8, 6]


# together, of winters that are sums


def test_without_time_it_is_not_known_what_can_be_left_out_and_nothing_is_told():
    lever = Lever(Kind.SPACE, "rack", 4, 2.0)
    laid = Laid(yard_of(ANY_WEEK), lambda *_: YES)
    assert together.cheapest_together(laid, (), [lever], [Change(lever, 4)], Clock.of(0)) is None
    assert together.as_little(lambda _: YES, [Change(lever, 4)], Clock.of(0)) is None


RACK, LOFT = Lever(Kind.SPACE, "rack", 4, 2.0), Lever(Kind.SPACE, "loft", 4, 3.0)


def enough_of_both(_, sizes):
    return YES if sizes.get((Kind.SPACE, "rack"), 0) >= 2 and sizes.get((Kind.SPACE, "loft"), 0) >= 2 else NO


def cheapest(rule: Rule) -> Remedy:
    levers = [RACK, LOFT]
    everything = [Change(lever, lever.most) for lever in levers]
    found = together.cheapest_together(Laid(yard_of(ANY_WEEK), rule), (), levers, everything, Clock.of(60))
    assert found is not None
    return found


def test_where_a_cheaper_combination_can_neither_be_shown_nor_refuted_none_is_called_the_cheapest():
    sure = cheapest(enough_of_both)
    assert (told(sure), sure.least) == ({(Kind.SPACE, "rack"): 2, (Kind.SPACE, "loft"): 2}, True)

    def unsure(lots, sizes):
        found = enough_of_both(lots, sizes)
        return NEITHER if found is NO else found

    assert cheapest(unsure).price == sure.price
    assert not cheapest(unsure).least


def test_where_the_cheapest_is_not_worked_out_in_time_what_is_known_is_told_without_calling_it_that(monkeypatch):
    monkeypatch.setattr(together, "run", lambda *_: (None, together.cp_model.UNKNOWN, False))
    found = cheapest(enough_of_both)
    assert found.price == 2 * RACK.price_each + 2 * LOFT.price_each
    assert not found.least


def test_ctrl_c_while_the_cheapest_is_worked_out_ends_the_search(monkeypatch):
    monkeypatch.setattr(together, "run", lambda *_: (None, together.cp_model.UNKNOWN, True))
    with pytest.raises(KeyboardInterrupt):
        cheapest(enough_of_both)
