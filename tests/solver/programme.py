"""A mixed-integer programme for HiGHS, written as sums of variables; nothing in it knows of winters."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

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
