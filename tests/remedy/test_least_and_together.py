"""The least that is enough, and the cheapest that is enough together, against plain counting and scipy.optimize.milp.

Winters here are made of sums: so much of each lever gives so much towards each of several needs. That is what a MILP
can be written for in a line, and the search for remedies must not know it.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from offseason.remedy.asking import Clock
from offseason.remedy.least import least
from offseason.remedy.lever import Change, Kind, Lever
from offseason.remedy.together import cheapest_together
from offseason.solver.fits import Verdict

YES, NO, NEITHER = Verdict(work=()), Verdict(impossible=True), Verdict()


@given(
    enough=st.integers(1, 200),
    most=st.integers(0, 200),
    begins=st.integers(0, 30),
    guess=st.none() | st.integers(-3, 300),
)
def test_the_least_size_is_the_first_that_is_enough(enough, most, begins, guess):
    if begins >= enough:
        begins = enough - 1
    asked = []

    def ask(size):
        asked.append(size)
        return YES if size >= enough else NO

    found = least(ask, most, begins=begins, guess=guess)
    if most < enough:
        assert found is None
    else:
        assert (found.size, found.proven) == (enough, True)
        assert len(asked) <= 2 * (most - begins).bit_length() + 3, "sizes are halved, not counted"
    assert all(begins < size <= most for size in asked)


def test_one_less_that_was_neither_found_nor_refuted_is_not_called_proven():
    found = least(lambda size: YES if size >= 7 else NEITHER if size == 6 else NO, 20)
    assert (found.size, found.proven) == (7, False)


class Sums:
    """A winter in which lever j gives ``gives[i, j]`` a unit towards need i; all needs must be met."""

    def __init__(self, gives, needs, levers):
        self.gives, self.needs, self.levers = np.array(gives), np.array(needs), levers

    def whole(self, changes, _clock):
        sizes = {change.lever: change.size for change in changes}
        reached = self.gives @ np.array([sizes.get(lever, 0) for lever in self.levers])
        return YES if np.all(reached >= self.needs) else NO

    def part(self, *_):
        raise AssertionError("these winters have no parts")


@settings(deadline=None, max_examples=60)
@given(data=st.data())
def test_the_cheapest_combination_costs_what_an_independent_milp_finds(data):
    number = data.draw(st.integers(1, 4), label="levers")
    levers = [
        Lever(Kind.SPACE, f"place {n}", data.draw(st.integers(1, 6)), float(data.draw(st.integers(1, 9))))
        for n in range(number)
    ]
    gives = [[data.draw(st.integers(0, 3)) for _ in levers] for _ in range(data.draw(st.integers(1, 3), label="needs"))]
    most = [lever.most for lever in levers]
    needs = [data.draw(st.integers(0, max(int(np.dot(row, most)), 0))) for row in gives]
    sums = Sums(gives, needs, levers)
    everything = [Change(lever, lever.most) for lever in levers]

    found = cheapest_together(sums, (), levers, everything, Clock.of(60))

    solved = milp(
        [lever.price_each for lever in levers],
        constraints=LinearConstraint(np.array(gives), lb=needs),
        bounds=Bounds(0, most),
        integrality=np.ones(number),
    )
    assert found.least
    assert found.price == pytest.approx(solved.fun)
    assert not any(needs) or sums.whole(found.changes, None).yes
