"""A linear model as plain rows: the one description from which CP-SAT, the relaxation and the checks are made."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import chain

import numpy as np

FREE = 10**15
"""Stands for 'no limit' on one side of a row; far above any sum the model can reach, well inside 64 bits."""


NOTHING: Mapping[int, int] = {}
"""The terms of a plain number; nobody writes into it."""


class Expr:
    """A linear expression: sum of coefficient times variable, plus a constant. Never changed once it is made.

    Not a frozen dataclass, for these are made by the hundred thousand, and that takes three times as long.
    """

    __slots__ = ("constant", "terms")

    def __init__(self, terms: Mapping[int, int] = NOTHING, constant: int = 0) -> None:
        self.terms = terms
        self.constant = constant

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
        if isinstance(other, int):
            return Expr(self.terms, self.constant - other)
        terms = dict(self.terms)
        for var, coef in other.terms.items():
            terms[var] = terms.get(var, 0) - coef
        return Expr(terms, self.constant - other.constant)

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
        low, high = max(low - expr.constant, -FREE), min(high - expr.constant, FREE)
        lower, upper = self.lower, self.upper
        least = most = 0
        for v, c in expr.terms.items():
            if c > 0:
                least += c * lower[v]
                most += c * upper[v]
            else:
                least += c * upper[v]
                most += c * lower[v]
        if low > least or most > high:
            coefs = list(expr.terms.values())
            terms = {v: c for v, c in expr.terms.items() if c} if 0 in coefs else expr.terms
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
            var=np.fromiter(chain.from_iterable(rows.row_vars), np.int64, sum(counts)),
            coef=np.fromiter(chain.from_iterable(rows.row_coefs), np.int64, sum(counts)),
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
