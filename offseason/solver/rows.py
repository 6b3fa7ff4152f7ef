"""A linear model as plain rows: the one description from which CP-SAT, the relaxation and the checks are made."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np

FREE = 10**15
"""Stands for 'no limit' on one side of a row; far above any sum the model can reach, well inside 64 bits."""


@dataclass(frozen=True)
class Expr:
    """A linear expression: sum of coefficient times variable, plus a constant."""

    terms: Mapping[int, int] = field(default_factory=dict)
    constant: int = 0

    def __add__(self, other: Expr | int) -> Expr:
        if isinstance(other, int):
            return Expr(self.terms, self.constant + other)
        terms = dict(self.terms)
        for var, coef in other.terms.items():
            terms[var] = terms.get(var, 0) + coef
        return Expr(terms, self.constant + other.constant)

    def __mul__(self, factor: int) -> Expr:
        return Expr({v: c * factor for v, c in self.terms.items()}, self.constant * factor)

    def __sub__(self, other: Expr | int) -> Expr:
        return self + (-other if isinstance(other, int) else other * -1)

    def value(self, x: np.ndarray) -> int:
        """The expression at the point ``x``."""
        return self.constant + sum(c * int(x[v]) for v, c in self.terms.items())


def total(parts: Iterable[tuple[int, Expr]]) -> Expr:
    """Sum of factor times expression, in one pass."""
    terms: dict[int, int] = {}
    constant = 0
    for factor, part in parts:
        constant += factor * part.constant
        for var, coef in part.terms.items():
            terms[var] = terms.get(var, 0) + factor * coef
    return Expr(terms, constant)


class Rows:
    """Whole-number variables with bounds, and rows ``low <= sum <= high`` over them. Grows while it is written."""

    def __init__(self) -> None:
        self.lower: list[int] = []
        self.upper: list[int] = []
        self.row_vars: list[list[int]] = []
        self.row_coefs: list[list[int]] = []
        self.row_low: list[int] = []
        self.row_high: list[int] = []

    def var(self, lower: int, upper: int) -> Expr:
        """A new whole-number variable."""
        self.lower.append(lower)
        self.upper.append(upper)
        return Expr({len(self.lower) - 1: 1})

    def at_most(self, expr: Expr, high: int) -> None:
        """Write the row ``expr <= high``."""
        self.between(expr, -FREE, high)

    def at_least(self, expr: Expr, low: int) -> None:
        """Write the row ``expr >= low``."""
        self.between(expr, low, FREE)

    def between(self, expr: Expr, low: int, high: int) -> None:
        """Write the row ``low <= expr <= high``; a row that always holds is left out."""
        terms = {v: c for v, c in expr.terms.items() if c}
        low, high = max(low - expr.constant, -FREE), min(high - expr.constant, FREE)
        least = sum(c * (self.lower[v] if c > 0 else self.upper[v]) for v, c in terms.items())
        most = sum(c * (self.upper[v] if c > 0 else self.lower[v]) for v, c in terms.items())
        if low <= least and most <= high:
            return
        self.row_vars.append(list(terms))
        self.row_coefs.append(list(terms.values()))
        self.row_low.append(low)
        self.row_high.append(high)

    def matrix(self) -> Matrix:
        """The rows as flat arrays, for evaluation."""
        return Matrix.of(self)


@dataclass(frozen=True)
class Matrix:
    """Rows as flat arrays (coordinate form): ``row[i], var[i], coef[i]``, and the bounds."""

    row: np.ndarray
    var: np.ndarray
    coef: np.ndarray
    low: np.ndarray
    high: np.ndarray
    lower: np.ndarray
    upper: np.ndarray

    @classmethod
    def of(cls, rows: Rows) -> Matrix:
        """Flatten ``rows``."""
        counts = [len(v) for v in rows.row_vars]
        return cls(
            row=np.repeat(np.arange(len(counts)), counts),
            var=np.fromiter((v for vs in rows.row_vars for v in vs), np.int64, sum(counts)),
            coef=np.fromiter((c for cs in rows.row_coefs for c in cs), np.int64, sum(counts)),
            low=np.array(rows.row_low, np.int64),
            high=np.array(rows.row_high, np.int64),
            lower=np.array(rows.lower, np.int64),
            upper=np.array(rows.upper, np.int64),
        )

    def broken(self, x: np.ndarray) -> np.ndarray:
        """Indices of rows that ``x`` breaks; -1 - v for a variable outside its bounds."""
        sums = np.zeros(len(self.low), np.int64)
        np.add.at(sums, self.row, self.coef * x[self.var])
        rows = np.flatnonzero((sums < self.low) | (sums > self.high))
        outside = np.flatnonzero((x < self.lower) | (x > self.upper))
        return np.concatenate([rows, -1 - outside])
