"""CP-SAT on the counting model: written once from the rows, solved once for each aim."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from ortools.sat.python import cp_model

from offseason.solver.clock import Clock, WallClock
from offseason.solver.exprs import Expr
from offseason.solver.rows import FREE, Rows

LONGEST = 2**62
"""Bounds of a row beyond this mean no limit to CP-SAT."""

DETERMINISTIC_S = 3.0
"""Worth of one unit of CP-SAT's own measure of work on the clock of work, by two workers. Measured."""

TERM_S = 1e-5
"""... and of reading a model, for each of its terms."""

REPEATABLE_WORKERS = 2
"""Workers of a search by the clock of work: what it finds hangs on their number, so it is not for anybody to choose."""

REPEATABLE_BATCH = 2
"""Tasks that they do between two times of telling each other; more of them overrun the limit by more."""

REPEATABLE_WHOLE = "max_lp"
"""How the whole model is searched then, beside neighbourhoods of what is known. Of CP-SAT's own eight, which take
turns where none is named, the one that proves a small winter soonest."""


@dataclass(frozen=True)
class Found:
    """What a search gave: the best point, the proven bound, and whether the end was proven or nothing can be found."""

    point: np.ndarray | None
    bound: int | None
    proven: bool
    impossible: bool = False
    interrupted: bool = False


class Search(cp_model.CpSolverSolutionCallback):
    """A CP-SAT model of the rows."""

    def __init__(self, rows: Rows) -> None:
        super().__init__()
        self.model = cp_model.CpModel()
        proto = self.model.proto
        for low, high in zip(rows.lower, rows.upper, strict=True):
            proto.variables.add().domain.extend([low, high])
        row_vars = rows.row_vars
        for variables, coefs, least, most in zip(row_vars, rows.row_coefs, rows.row_low, rows.row_high, strict=True):
            self._row(variables, coefs, least, most)
        self._size = len(rows.lower)
        self._terms = sum(map(len, row_vars))
        self._vars = [self.model.get_int_var_from_proto_index(v) for v in range(self._size)]
        self._on_better: Callable[[int, int], None] | None = None

    def _row(self, variables: list[int], coefs: list[int], least: int, most: int) -> None:
        linear = self.model.proto.constraints.add().linear
        linear.vars.extend(variables)
        linear.coeffs.extend(coefs)
        linear.domain.extend([-LONGEST if least <= -FREE else least, LONGEST if most >= FREE else most])

    def linear(self, expr: Expr) -> cp_model.LinearExpr:
        """The expression in CP-SAT's terms."""
        some = list(expr.terms)
        return (
            cp_model.LinearExpr.weighted_sum([self._vars[v] for v in some], [expr.terms[v] for v in some])
            + expr.constant
        )

    def also_at_most(self, expr: Expr, high: int) -> None:
        """Hold an earlier aim while the next is improved."""
        self._row(list(expr.terms), list(expr.terms.values()), -FREE, high - expr.constant)

    def on_solution_callback(self) -> None:
        """CP-SAT found a better point."""
        if self._on_better is not None:
            self._on_better(round(self.objective_value), round(self.best_objective_bound))

    def minimise(
        self,
        expr: Expr,
        *,
        hint: np.ndarray | None,
        seconds: float,
        workers: int,
        seed: int,
        clock: Clock | None = None,
        on_better: Callable[[int, int], None] | None = None,
        known_bound: int | None = None,
    ) -> Found:
        """Minimise ``expr`` from a complete hint; ``on_better`` hears of (value, bound). Ctrl-C ends it early.

        ``seconds`` are those of the clock; left out: of the clock on the wall.
        """
        if seconds <= 0:
            return Found(None, None, False)
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        if hint is not None:
            for var, value in zip(self._vars, hint, strict=True):
                self.model.add_hint(var, int(value))
        self.model.minimize(self.linear(expr))
        if known_bound is not None:
            self.model.proto.objective.domain.extend([known_bound - expr.constant, LONGEST])
        self._on_better = on_better
        if clock is not None:
            clock.charge(TERM_S * self._terms)
        solver, status, interrupted = run(self.model, seconds, workers, seed, self, clock, REPEATABLE_WHOLE)
        return replace(self._found(solver, status), interrupted=interrupted)

    def _found(self, solver: cp_model.CpSolver, status: cp_model.CpSolverStatus) -> Found:
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            point = np.array([solver.value(v) for v in self._vars], np.int64)
            return Found(point, round(solver.best_objective_bound), status == cp_model.OPTIMAL)
        return Found(None, None, False, impossible=status == cp_model.INFEASIBLE)


def run(
    model: cp_model.CpModel,
    seconds: float,
    workers: int,
    seed: int,
    watch: cp_model.CpSolverSolutionCallback | None = None,
    clock: Clock | None = None,
    whole: str | None = None,
) -> tuple[cp_model.CpSolver, cp_model.CpSolverStatus, bool]:
    """Solve in a thread, so that Ctrl-C is heard; the last says whether it was.

    ``seconds`` are those of the clock, and of the one on the wall where there is none. ``whole``: how the whole model
    is searched by the clock of work; left out: in all the ways that CP-SAT knows.
    """
    clock = clock or WallClock()
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    if clock.repeatable:
        solver.parameters.max_deterministic_time = seconds / DETERMINISTIC_S
        solver.parameters.interleave_search = workers > 1  # one worker looks at no clock anyway
        solver.parameters.interleave_batch_size = REPEATABLE_BATCH
        if whole is not None:
            solver.parameters.subsolvers.append(whole)
    else:
        solver.parameters.max_time_in_seconds = seconds
    solver.parameters.random_seed = seed
    solver.parameters.catch_sigint_signal = False
    status: list[cp_model.CpSolverStatus] = []
    failed: list[Exception] = []

    def search() -> None:
        try:
            status.append(solver.solve(model, watch))
        except Exception as error:  # noqa: BLE001  raised again where somebody hears it: no memory, for one
            failed.append(error)

    worker = threading.Thread(target=search, daemon=True)
    worker.start()
    interrupted = _wait_for(worker, solver)
    if failed:
        raise failed[0]
    if status:
        clock.charge(solver.deterministic_time * DETERMINISTIC_S)
    return solver, status[0] if status else cp_model.UNKNOWN, interrupted


def _wait_for(worker: threading.Thread, solver: cp_model.CpSolver) -> bool:
    """Wait for a search; on Ctrl-C ask it to stop and wait for what it has. True if it was interrupted."""
    interrupted = False
    while worker.is_alive():
        try:
            worker.join(0.1)
            if interrupted:
                solver.stop_search()  # again and again: before the search has begun it is not heard
        except KeyboardInterrupt:
            interrupted = True
    return interrupted
