"""A linear model as plain rows: the one description from which CP-SAT, the relaxation and the checks are made."""

from __future__ import annotations

from array import array
from dataclasses import dataclass
from itertools import accumulate, pairwise

import numpy as np

from offseason.solver.exprs import Expr, Exprs

FREE = 10**15
"""Stands for 'no limit' on one side of a row; far above any sum the model can reach, well inside 64 bits."""


class Rows:
    """Whole-number variables with bounds, and rows ``low <= sum <= high`` over them. Grows while it is written.

    The terms of all rows stand in flat arrays, one row after another: without an object for each, a model of many
    thousand rows is written in a fraction of the time and memory.
    """

    def __init__(self) -> None:
        self.lower = array("q")
        self.upper = array("q")
        self.row_low = array("q")
        self.row_high = array("q")
        self._lengths = array("q")
        self._vars = array("q")
        self._coefs = array("q")

    def var(self, lower: int, upper: int) -> Expr:
        """A new whole-number variable."""
        self.lower.append(lower)
        self.upper.append(upper)
        return Expr({len(self.lower) - 1: 1})

    def vars(self, lower: int, upper: int, number: int) -> range:
        """So many new whole-number variables."""
        first = len(self.lower)
        self.lower.extend([lower] * number)
        self.upper.extend([upper] * number)
        return range(first, first + number)

    def at_most(self, expr: Expr, high: int) -> None:
        """Write the row ``expr <= high``."""
        self.between(expr, -FREE, high)

    def at_least(self, expr: Expr, low: int) -> None:
        """Write the row ``expr >= low``."""
        self.between(expr, low, FREE)

    def between(self, expr: Expr, low: int, high: int) -> None:
        """Write the row ``low <= expr <= high``; a row that always holds is left out."""
        low = low - expr.constant if low > -FREE else -FREE
        high = high - expr.constant if high < FREE else FREE
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
            terms = {v: c for v, c in expr.terms.items() if c}
            self._lengths.append(len(terms))
            self._vars.extend(terms)
            self._coefs.extend(terms.values())
            self.row_low.append(low)
            self.row_high.append(high)

    def all_at_most(self, exprs: Exprs, high: np.ndarray | int) -> None:
        """Write a row ``expr <= high`` for each expression, as ``between`` does."""
        self.all_between(exprs, -FREE, high)

    def all_between(self, exprs: Exprs, low: np.ndarray | int, high: np.ndarray | int) -> None:
        """Write a row ``low <= expr <= high`` for each expression, as ``between`` does."""
        at, var, coef = exprs.in_order()
        low = np.where(np.asarray(low) > -FREE, low - exprs.constant, -FREE)
        high = np.where(np.asarray(high) < FREE, high - exprs.constant, FREE)
        lower, upper = np.array(self.lower)[var], np.array(self.upper)[var]
        ends = np.searchsorted(at, np.arange(len(exprs) + 1))
        least = _sums(coef * np.where(coef > 0, lower, upper), ends)
        most = _sums(coef * np.where(coef > 0, upper, lower), ends)
        kept = (low > least) | (most > high)
        written = kept[at] & (coef != 0)
        lengths = np.bincount(at[written], minlength=len(exprs))[kept]
        for flat, more in (
            (self._lengths, lengths),
            (self._vars, var[written]),
            (self._coefs, coef[written]),
            (self.row_low, low[kept]),
            (self.row_high, high[kept]),
        ):
            flat.frombytes(more.astype(np.int64).tobytes())

    @property
    def row_vars(self) -> list[list[int]]:
        """The variables of each row."""
        return self._by_row(self._vars)

    @property
    def row_coefs(self) -> list[list[int]]:
        """The coefficients of each row, one for each of its variables."""
        return self._by_row(self._coefs)

    def _by_row(self, flat: array[int]) -> list[list[int]]:
        entries = flat.tolist()
        return [entries[begins:ends] for begins, ends in pairwise(accumulate(self._lengths, initial=0))]

    def matrix(self) -> Matrix:
        """The rows as flat arrays, for evaluation."""
        lengths = np.array(self._lengths)
        return Matrix(
            row=np.repeat(np.arange(len(lengths)), lengths),
            var=np.array(self._vars),
            coef=np.array(self._coefs),
            low=np.array(self.row_low),
            high=np.array(self.row_high),
            lower=np.array(self.lower),
            upper=np.array(self.upper),
        )


def _sums(values: np.ndarray, ends: np.ndarray) -> np.ndarray:
    """Sums of the values between two ends each."""
    added_up = np.concatenate(([0], np.cumsum(values)))
    found: np.ndarray = added_up[ends[1:]] - added_up[ends[:-1]]
    return found


@dataclass(frozen=True)
class Matrix:
    """Rows as flat arrays (coordinate form): ``row[i], var[i], coef[i]``, in order of rows, and the bounds."""

    row: np.ndarray
    var: np.ndarray
    coef: np.ndarray
    low: np.ndarray
    high: np.ndarray
    lower: np.ndarray
    upper: np.ndarray

    def broken(self, x: np.ndarray) -> np.ndarray:
        """Indices of rows that ``x`` breaks; -1 - v for a variable outside its bounds."""
        ends = np.searchsorted(self.row, np.arange(len(self.low) + 1))
        sums = _sums(self.coef * x[self.var], ends)
        rows = np.flatnonzero((sums < self.low) | (sums > self.high))
        outside = np.flatnonzero((x < self.lower) | (x > self.upper))
        return np.concatenate([rows, -1 - outside])
