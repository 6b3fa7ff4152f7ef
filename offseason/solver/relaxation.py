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

RELAXATION_S = 1e-9
"""... and of a whole relaxation, for each term and row: how many iterations it took is not told."""

WHOLE_SLACK = 1e-7
"""Relative error granted to a proof in whole numbers: what HiGHS grants itself in each row."""

NODES_IN_S = 200
"""Nodes of a search in whole numbers that are worth a second on the clock of work. Measured on a small winter."""


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
        add, row_vars = self._model.add_term_to_constraint, rows.row_vars
        for variables, coefs, least, most in zip(row_vars, rows.row_coefs, rows.row_low, rows.row_high, strict=True):
            row = self._model.add_linear_constraint()
            self._model.set_constraint_lower_bound(row, -math.inf if least <= -FREE else float(least))
            self._model.set_constraint_upper_bound(row, math.inf if most >= FREE else float(most))
            for var, coef in zip(variables, coefs, strict=True):
                add(row, var, float(coef))
        self._solver = mbh.ModelSolverHelper("highs")
        self._rows, self._terms = len(row_vars), sum(map(len, row_vars))
        self._free = 1.0  # share of the variables that are not held, and with them of the rows that are left

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
        self._free = 1.0 - len(values) / max(self._size, 1)

    def feasible(self, seconds: float) -> bool | None:
        """Whether there is any point at all; None where time ran out."""
        if self.minimise(Expr(), seconds).bound is not None:
            return True
        return False if self._solver.status() == mbh.SolveStatus.INFEASIBLE else None

    def minimise(self, expr: Expr, seconds: float, clock: Clock | None = None) -> Relaxed:
        """Minimise ``expr`` within the seconds given, on the wall or by ``clock``; no bound where time ran out."""
        scale = self._weigh(expr)
        if not self._solved("", seconds, clock):
            return Relaxed(None, None)
        point = np.array(self._solver.variable_values())
        # a sum that does not hang on how a machine adds
        value = math.fsum(coef / scale * point[var] for var, coef in expr.terms.items()) * scale
        return Relaxed(expr.constant + math.ceil(value - SLACK * max(1.0, abs(value))), point)

    def minimise_in_whole_numbers(self, expr: Expr, seconds: float, clock: Clock | None = None) -> Relaxed:
        """The same with whole pieces, by branching: only for winters with few unknowns. Nothing where time ran out.

        The proof is made with floating-point numbers, so the bound lies below what was found by a ten millionth,
        which is less than one where that is small enough.
        """
        self._weigh(expr)
        for var in range(self._size):
            self._model.set_var_integrality(var, True)
        whole = "\nmip_rel_gap=0\nmip_abs_gap=0"
        if clock is not None and clock.repeatable:
            whole += f"\nmip_max_nodes={int(max(seconds, 0.0) * NODES_IN_S)}"
        if not self._solved(whole, seconds, clock):
            return Relaxed(None, None)
        point = np.rint(self._solver.variable_values()).astype(np.int64)
        value = expr.value(point)
        return Relaxed(math.ceil(value - WHOLE_SLACK * max(1.0, abs(value))), point)

    def _weigh(self, expr: Expr) -> float:
        """Give each variable its cost, the dearest 1 or -1; what the dearest was."""
        scale = max((abs(c) for c in expr.terms.values()), default=1) or 1  # all may be 0: nothing to weigh
        for var in range(self._size):
            self._model.set_var_objective_coefficient(var, expr.terms.get(var, 0) / scale)
        return scale

    def _solved(self, options: str, seconds: float, clock: Clock | None) -> bool:
        """Whether the best was found in time."""
        options = f"output_flag=false{options}"
        if clock is not None and clock.repeatable:
            most = int(max(seconds, 0.0) / (ITERATION_S * max(self._terms * self._free, 1.0)))
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
            clock.charge(min(seconds, RELAXATION_S * self._terms * self._rows * self._free**2) if ended else seconds)
        return bool(status == mbh.SolveStatus.OPTIMAL)


def rounded_up(point: np.ndarray) -> np.ndarray:
    """The relaxed counts rounded up: a dispatch that never runs ahead of them keeps close to the relaxation."""
    return np.ceil(point - 1e-6).astype(np.int64)
