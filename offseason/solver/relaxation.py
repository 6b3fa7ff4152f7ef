"""The counting model with pieces let go as fractions: a plain linear programme, its optimum a bound on every plan."""

from __future__ import annotations

import math
import threading
from dataclasses import dataclass

import numpy as np
from ortools.linear_solver.python import model_builder_helper as mbh

from offseason.solver.clock import Clock
from offseason.solver.exprs import Expr
from offseason.solver.rows import FREE, Rows

SLACK = 1e-6
"""Relative error granted to the floating-point bound before it is rounded up to a whole number."""

MOST_ITERATIONS = 2**31 - 1
"""The largest limit HiGHS takes."""

ITERATION_S = 4e-9
"""Worth of one iteration of the simplex method on the clock of work, for each term of the model. Measured."""

WHOLE_S = 1e-9
"""... and of a whole relaxation, for each term and row: how many iterations it took is not told."""


@dataclass(frozen=True)
class Relaxed:
    """Optimum of the relaxation: proven bound (whole) and the point; None where it was not found."""

    bound: int | None
    point: np.ndarray | None


class Relaxation:
    """A relaxation being solved; ``stop`` ends it from another thread."""

    def __init__(self, rows: Rows) -> None:
        self._model = mbh.ModelBuilderHelper()
        self._size = len(rows.lower)
        for least, most in zip(rows.lower, rows.upper, strict=True):
            var = self._model.add_var()
            self._model.set_var_lower_bound(var, float(least))
            self._model.set_var_upper_bound(var, float(most))
        add = self._model.add_term_to_constraint
        for variables, coefs, least, most in zip(
            rows.row_vars, rows.row_coefs, rows.row_low, rows.row_high, strict=True
        ):
            row = self._model.add_linear_constraint()
            self._model.set_constraint_lower_bound(row, -math.inf if least <= -FREE else float(least))
            self._model.set_constraint_upper_bound(row, math.inf if most >= FREE else float(most))
            for var, coef in zip(variables, coefs, strict=True):
                add(row, var, float(coef))
        self._solver = mbh.ModelSolverHelper("highs")
        self._rows, self._terms = len(rows.row_vars), max(sum(map(len, rows.row_vars)), 1)

    def also_at_most(self, expr: Expr, high: int) -> None:
        """Hold an earlier aim while the next is improved."""
        row = self._model.add_linear_constraint()
        self._model.set_constraint_upper_bound(row, float(high - expr.constant))
        self._model.set_constraint_lower_bound(row, -math.inf)
        for var, coef in expr.terms.items():
            self._model.add_term_to_constraint(row, var, float(coef))

    def fix(self, values: dict[int, int]) -> None:
        """Hold variables at given values."""
        for var, value in values.items():
            self._model.set_var_lower_bound(var, float(value))
            self._model.set_var_upper_bound(var, float(value))

    def feasible(self, seconds: float) -> bool | None:
        """Whether there is any point at all; None where time ran out."""
        if self.minimise(Expr(), seconds).bound is not None:
            return True
        return False if self._solver.status() == mbh.SolveStatus.INFEASIBLE else None

    def minimise(self, expr: Expr, seconds: float, clock: Clock | None = None) -> Relaxed:
        """Minimise ``expr`` within the seconds given, on the wall or by ``clock``; no bound where time ran out."""
        costs = np.zeros(self._size)
        scale = max((abs(c) for c in expr.terms.values()), default=1) or 1  # all may be 0: nothing to weigh
        for var, coef in expr.terms.items():
            costs[var] = coef / scale
        for var in range(self._size):
            self._model.set_var_objective_coefficient(var, float(costs[var]))
        options = "output_flag=false"
        if clock is not None and clock.repeatable:
            most = int(max(seconds, 0.0) / (ITERATION_S * self._terms))
            options += f"\nsimplex_iteration_limit={min(most, MOST_ITERATIONS)}"
        else:
            self._solver.set_time_limit_in_seconds(max(seconds, 0.01))
        self._solver.set_solver_specific_parameters(options)
        worker = threading.Thread(target=self._solver.solve, args=(self._model,), daemon=True)
        worker.start()
        try:
            while worker.is_alive():
                worker.join(0.1)
        except KeyboardInterrupt:
            self._solver.interrupt_solve()
            worker.join(2)
            raise
        status = self._solver.status()
        if clock is not None:
            ended = status in {mbh.SolveStatus.OPTIMAL, mbh.SolveStatus.INFEASIBLE}
            clock.charge(min(seconds, WHOLE_S * self._terms * self._rows) if ended else seconds)
        if status == mbh.SolveStatus.OPTIMAL:
            point = np.array(self._solver.variable_values())
            value = math.fsum(costs * point) * scale  # a sum that does not hang on how a machine adds
            return Relaxed(expr.constant + math.ceil(value - SLACK * max(1.0, abs(value))), point)
        return Relaxed(None, None)


def rounded_up(point: np.ndarray) -> np.ndarray:
    """The relaxed counts rounded up: a dispatch that never runs ahead of them keeps close to the relaxation."""
    return np.ceil(point - 1e-6).astype(np.int64)
