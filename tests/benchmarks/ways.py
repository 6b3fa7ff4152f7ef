"""Ways to plan the same winter in the same time: the whole program, and what is left of it without its choices.

Each way gives, aim by aim, what it reached and the bound it proved, first as counts (what the model sees) and then as
a roster on the clock, which is the only thing anybody could work by.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from offseason.solver import Progress, solve
from offseason.solver.cpsat import Search
from offseason.solver.exprs import Expr
from offseason.solver.hunt import FIRST_MANNERS, Hunt, Settings
from offseason.solver.improve import SHARE_OF_TIME
from offseason.solver.led import EXACT_MANNERS
from offseason.solver.model import Model, build
from offseason.solver.rows import FREE
from offseason.workload.model import Workload

WORKERS = 2
READ_AT_S = (10.0, 60.0)
"""A solve is read so many seconds after it was given the winter, and at its end."""

CLOCK_SHARE = 0.9
"""Of the time a way of counts alone is given, the rest is kept to put them on the clock."""


@dataclass(frozen=True)
class Answer:
    """What a solver said of one aim: a point and its bound, the bound of the relaxation, where there is any of them."""

    point: np.ndarray | None
    bound: float | None
    relaxed: float | None = None


Asked = Callable[[int, list[int], float, np.ndarray | None], Answer]
"""An aim, what earlier aims reached, seconds, and the point of the aim before: the solver's answer."""


def whole_program(workload: Workload, seconds: float, seed: int) -> dict[str, Any]:
    """``offseason plan`` as it is; with the seconds after which there was a plan in which all fits, and how it went."""
    heard: list[tuple[float, Progress]] = []
    began = time.perf_counter()

    def hear(progress: Progress) -> None:
        heard.append((time.perf_counter() - began, progress))

    made = solve(workload, seconds=seconds, workers=WORKERS, seed=seed, on_progress=hear)
    aims = [
        {"aim": aim.aim, "unit": aim.unit, "reached": aim.reached, "bound": aim.bound, "clock": aim.reached}
        for aim in made.aims
        if aim.aim != "must-do work left" or made.left
    ]
    took_s = time.perf_counter() - began
    return {
        "aims": aims,
        "left": sum(one.pieces for one in made.left),
        "first_plan_s": next((at_s for at_s, progress in heard if progress.stage == "first plan"), None),
        "read": {f"{at_s:g}": read_at(heard, at_s, took_s, aims) for at_s in READ_AT_S},
    }


def read_at(
    heard: list[tuple[float, Progress]], at_s: float, took_s: float, aims: list[dict[str, Any]]
) -> list[dict[str, Any]]:
    """How each aim stood so many seconds on: as it was last told of, or as it ended; None: not yet worked at."""
    if at_s >= took_s:
        return aims
    known = {progress.stage: progress for since_s, progress in heard if since_s <= at_s}
    none = Progress(at_s, "")
    stood = [known.get(aim["aim"], none) for aim in aims]
    return [{"aim": aim["aim"], "reached": one.best, "bound": one.bound} for aim, one in zip(aims, stood, strict=True)]


def dispatch_alone(workload: Workload, seconds: float, seed: int) -> dict[str, Any]:
    """Whoever is free takes up the most pressing work: no search. The best of the manners tried; no bounds."""
    hunt = Hunt(build(workload), Settings(seconds, WORKERS, seed, lambda _: None))
    for manner in FIRST_MANNERS:
        hunt.dispatch(manner)
    best = None if hunt.best is None else hunt.best.values
    return {"aims": [_told(hunt.model, at, Answer(None, None), None, best) for at in range(len(hunt.model.aims))]}


def plain_cp_sat(workload: Workload, seconds: float, seed: int) -> dict[str, Any]:
    """The same rows given to CP-SAT as they are: no first plan to begin with, no relaxation, no dispatch between."""

    def ask(model: Model, aim: int, held: list[int], most_s: float, hint: np.ndarray | None) -> Answer:
        search = Search(model.counts.rows)
        for earlier, value in zip(model.aims, held, strict=False):
            search.also_at_most(earlier.expr, value)
        found = search.minimise(model.aims[aim].expr, hint=hint, seconds=most_s, workers=WORKERS, seed=seed)
        return Answer(found.point, found.bound)

    return _by_counts(workload, seconds, ask)


def highs(workload: Workload, seconds: float, _seed: int) -> dict[str, Any]:
    """The same rows given to HiGHS by SciPy as a mixed-integer programme, its relaxation first. It takes no seed."""

    def ask(model: Model, aim: int, held: list[int], most_s: float, _hint: np.ndarray | None) -> Answer:
        return _programme(model, aim, held, most_s)

    return _by_counts(workload, seconds, ask)


def _programme(model: Model, aim: int, held: list[int], seconds: float) -> Answer:
    until = time.perf_counter() + seconds
    matrix, rows = model.counts.rows.matrix(), model.counts.rows
    size = len(rows.lower)
    promises = csr_array((matrix.coef.astype(float), (matrix.row, matrix.var)), shape=(len(rows.row_low), size))
    constraints = [LinearConstraint(promises, _free(matrix.low), _free(matrix.high))]
    for earlier, value in zip(model.aims, held, strict=False):
        row = csr_array(_dense(earlier.expr, size)[None, :])
        constraints.append(LinearConstraint(row, -np.inf, float(value - earlier.expr.constant)))
    cost, constant = _dense(model.aims[aim].expr, size), model.aims[aim].expr.constant
    scale = max(np.abs(cost).max(), 1.0)
    bounds = Bounds(matrix.lower, matrix.upper)

    def least(whole: int) -> Any:
        left_s = max(until - time.perf_counter(), 0.1)
        options = {"mip_rel_gap": 0.0, "time_limit": left_s}
        return milp(
            cost / scale, integrality=np.full(size, whole), bounds=bounds, constraints=constraints, options=options
        )

    relaxed, found = least(0), least(1)
    point = None if found.x is None else np.rint(found.x).astype(np.int64)
    if point is not None and len(matrix.broken(point)):
        point = None  # whole only within the tolerance of floating point: not a point of the model
    bound = found.mip_dual_bound
    return Answer(
        point,
        None if bound is None or not np.isfinite(bound) else float(bound * scale + constant),
        float(relaxed.fun * scale + constant) if relaxed.status == 0 else None,
    )


def _free(sides: np.ndarray) -> np.ndarray:
    return np.where(sides <= -FREE, -np.inf, np.where(sides >= FREE, np.inf, sides.astype(float)))


def _dense(expr: Expr, size: int) -> np.ndarray:
    made = np.zeros(size)
    for var, coef in expr.terms.items():
        made[var] = coef
    return made


def _by_counts(workload: Workload, seconds: float, ask: Callable[..., Answer]) -> dict[str, Any]:
    """Aim by aim, with the shares of time that the program gives them; then on the clock, led by the last point."""
    model = build(workload)
    answers, point = in_order(
        len(model.aims),
        seconds * CLOCK_SHARE,
        lambda *asked: ask(model, *asked),
        lambda aim, found: model.aims[aim].expr.value(found),
    )
    return {"aims": told(model, answers, None if point is None else model.counts.values(point))}


def in_order(
    aims: int, seconds: float, ask: Asked, value: Callable[[int, np.ndarray], int]
) -> tuple[list[Answer], np.ndarray | None]:
    """One aim after another, each held while the next is improved; ends where the first found no point at all."""
    until = time.perf_counter() + seconds
    held: list[int] = []
    answers: list[Answer] = []
    point = None
    for aim in range(aims):
        left_s = until - time.perf_counter()
        answer = ask(aim, held, max(left_s * (1.0 if aim == aims - 1 else SHARE_OF_TIME), 0.1), point)
        if answer.point is None and point is None:  # nothing yet: all the time there is for the first that keeps all
            answer = ask(aim, held, max(until - time.perf_counter(), 0.1), None)
        answers.append(answer)
        point = point if answer.point is None else answer.point
        if point is None:
            break
        held.append(value(aim, point))
    return answers, point


def told(model: Model, answers: list[Answer], counts: list[np.ndarray] | None) -> list[dict[str, Any]]:
    """For each aim in the reader's unit: reached as counts, bound, bound of the relaxation, reached on the clock.

    On the clock: the best of the dispatches led by these counts, kept if it keeps every promise.
    """
    hunt = Hunt(model, Settings(0.0, WORKERS, 0, lambda _: None))
    for manner in EXACT_MANNERS if counts is not None else ():
        hunt.dispatch(replace(manner, guide=counts))
    point = None if counts is None else model.counts.point(counts)
    clock = None if hunt.best is None else hunt.best.values
    return [
        _told(model, at, answers[at] if at < len(answers) else Answer(None, None), point, clock)
        for at in range(len(model.aims))
    ]


def _told(
    model: Model, at: int, answer: Answer, point: np.ndarray | None, clock: tuple[int, ...] | None
) -> dict[str, Any]:
    aim = model.aims[at]
    return {
        "aim": aim.name,
        "unit": aim.unit,
        "reached": _scaled(None if point is None else aim.expr.value(point), aim.scale),
        "bound": _scaled(answer.bound, aim.scale),
        "relaxed": _scaled(answer.relaxed, aim.scale),
        "clock": _scaled(None if clock is None else clock[at], aim.scale),
    }


def _scaled(value: float | None, scale: float) -> float | None:
    return None if value is None else float(value * scale)
