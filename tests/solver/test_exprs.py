"""Expressions and rows written many at once are those that are written one by one."""

import numpy as np
import pytest

from offseason.solver.exprs import Expr, gathered, stacked, sum_of
from offseason.solver.rows import FREE, Rows

VARIABLES, POINTS = 6, 20


def drawn(random: np.random.Generator, number: int) -> list[Expr]:
    """Expressions of none to four variables, some of them with a coefficient of nothing."""
    sizes = random.integers(0, 5, number)
    terms = [dict.fromkeys(random.permutation(VARIABLES)[:size].tolist(), 0) for size in sizes]
    return [Expr({var: int(random.integers(-2, 3)) for var in some}, int(random.integers(-5, 6))) for some in terms]


def told(exprs: list[Expr]) -> list[tuple[list[tuple[int, int]], int]]:
    return [(list(expr.terms.items()), expr.constant) for expr in exprs]


@pytest.mark.parametrize("seed", range(5))
def test_what_is_done_to_all_is_done_to_each(seed):
    random = np.random.default_rng(seed)
    some, others = drawn(random, 7), drawn(random, 7)
    each, other = gathered(some), gathered(others)
    factors = random.integers(-3, 4, 7)
    pairs = list(zip(some, others, strict=True))
    assert told((each + other).each()) == told([one + two for one, two in pairs])
    assert told((each - other).each()) == told([one - two for one, two in pairs])
    assert told((each - others[0]).each()) == told([one - others[0] for one in some])
    assert told((each * factors).each()) == told([one * int(n) for one, n in zip(some, factors, strict=True)])
    assert told(stacked([each, other]).each()) == told([*some, *others])
    assert told(sum_of([each, other, each], 7).each()) == told([one + two + one for one, two in pairs])
    assert told(each.chosen(np.array([3, 0, 3])).each()) == told([some[3], some[0], some[3]])
    total = Expr()
    for one in some:
        total = total + one
    assert told([each.total()]) == told([total])
    x = random.integers(-9, 10, VARIABLES)
    assert each.values(x).tolist() == [one.value(x) for one in some]


@pytest.mark.parametrize("seed", range(5))
def test_rows_written_at_once_are_those_written_one_by_one(seed):
    random = np.random.default_rng(seed)
    some = drawn(random, 30)
    low, high = random.integers(-12, 0, 30), random.integers(0, 12, 30)
    low[:5], high[5:10] = -FREE, FREE
    at_once, one_by_one = Rows(), Rows()
    for rows in (at_once, one_by_one):
        for upper in range(VARIABLES):
            rows.var(0, upper)
    at_once.all_between(gathered(some), low, high)
    for expr, least, most in zip(some, low.tolist(), high.tolist(), strict=True):
        one_by_one.between(expr, least, most)
    assert 0 < len(at_once.row_low) < 30, "some always hold and are left out"
    assert at_once.row_vars == one_by_one.row_vars
    assert at_once.row_coefs == one_by_one.row_coefs
    assert (at_once.row_low, at_once.row_high) == (one_by_one.row_low, one_by_one.row_high)


def test_a_row_is_broken_where_its_sum_is_outside_its_bounds():
    rows = Rows()
    one, two = rows.var(0, 5), rows.var(0, 5)
    rows.at_most(one + two, 6)
    rows.at_least(one - two + 3, 2)
    rows.between(Expr(), 1, 1)  # can never hold
    assert rows.matrix().broken(np.array([3, 3])).tolist() == [2]
    assert rows.matrix().broken(np.array([2, 5])).tolist() == [0, 1, 2]
    assert rows.matrix().broken(np.array([6, 0])).tolist() == [2, -1]
