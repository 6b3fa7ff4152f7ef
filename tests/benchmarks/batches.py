"""The interval view of a winter as one of the ways: solved aim by aim, and judged by the counting model."""

from __future__ import annotations

from typing import Any

import numpy as np
from ortools.sat.python import cp_model

from offseason.solver.hunt import on_the_clock
from offseason.workload.model import Workload
from tests.benchmarks.intervals import Intervals
from tests.benchmarks.ways import CLOCK_SHARE, WORKERS, Answer, in_order, told

LAST = 2
"""The aim whose bound is not told: work done early is counted a little otherwise here."""


def as_intervals(workload: Workload, seconds: float, seed: int) -> dict[str, Any]:
    """Plan with the interval view, aim by aim; a point stands for a solution found, the last of which is judged."""
    view = Intervals(workload)
    solvers: list[cp_model.CpSolver] = []
    sizes = {"intervals": len(view.tasks()), "possible": view.possible}

    def ask(aim: int, held: list[int], most_s: float, _hint: np.ndarray | None) -> Answer:
        if held:
            view.model.add(view.aims[aim - 1] <= held[-1])
            view.model.clear_hints()
            for index, value in enumerate(solvers[-1].response_proto.solution):
                view.model.add_hint(view.model.get_int_var_from_proto_index(index), value)
        view.model.minimize(view.aims[aim])
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds, solver.parameters.num_workers = most_s, WORKERS
        solver.parameters.random_seed = seed
        if solver.solve(view.model) in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
            solvers.append(solver)
            return Answer(np.array([round(solver.objective_value)]), solver.best_objective_bound)
        return Answer(None, None)

    answers, point = in_order(3, seconds * CLOCK_SHARE, ask, lambda aim, _: solvers[-1].value(view.aims[aim]))
    model = view.counting
    in_its_terms = [Answer(None, None if aim == LAST else answer.bound) for aim, answer in enumerate(answers)]
    if point is None:
        return {"aims": told(model, in_its_terms, None), **sizes}
    counts, work = view.found(solvers[-1])
    broken = model.counts.rows.matrix().broken(on_the_clock(model.counts, counts, work))
    return {"aims": told(model, in_its_terms, counts), **sizes, "broken": len(broken)}
