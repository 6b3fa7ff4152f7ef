"""Linear expressions over the variables of a model: one by one, and many at once as flat arrays."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

NOTHING: Mapping[int, int] = {}
"""The terms of a plain number; nobody writes into it."""

NO_ENTRY = np.zeros(0, np.int64)
"""What is joined to others to come to an array where there are no others."""


class Expr:
    """A linear expression: sum of coefficient times variable, plus a constant. Never changed once it is made.

    Not a frozen dataclass, for these are made by the ten thousand, and that takes three times as long.
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


class Exprs:
    """Expressions of one form, one for each session or whatever they are written for, as flat arrays.

    Entry i adds ``coef[i]`` times variable ``var[i]`` (-1: none) to expression ``at[i]``; ``constant`` is one of each.
    What is done to one ``Expr`` is done to all of them at once. Never changed once it is made.
    """

    __slots__ = ("at", "coef", "constant", "var")

    def __init__(self, at: np.ndarray, var: np.ndarray, coef: np.ndarray, constant: np.ndarray) -> None:
        self.at, self.var, self.coef, self.constant = at, var, coef, constant

    @classmethod
    def of(cls, var: np.ndarray, constant: np.ndarray) -> Exprs:
        """A variable (-1: none) and a constant each."""
        return cls(np.arange(len(var)), var, np.ones(len(var), np.int64), constant)

    def __len__(self) -> int:
        return len(self.constant)

    def __add__(self, other: Exprs | Expr | np.ndarray | int) -> Exprs:
        if isinstance(other, Expr):
            other = gathered([other] * len(self))
        if not isinstance(other, Exprs):
            return Exprs(self.at, self.var, self.coef, self.constant + other)
        return sum_of([self, other], len(self))

    def __mul__(self, factor: np.ndarray | int) -> Exprs:
        each = factor[self.at] if isinstance(factor, np.ndarray) else factor
        return Exprs(self.at, self.var, self.coef * each, self.constant * factor)

    def __sub__(self, other: Exprs | Expr | np.ndarray | int) -> Exprs:
        return self + other * -1

    def chosen(self, which: np.ndarray) -> Exprs:
        """Some of these, in that order; one may be chosen several times."""
        order = np.argsort(self.at, kind="stable")
        ends = np.searchsorted(self.at[order], np.arange(len(self) + 1))
        sizes = np.diff(ends)[which]
        at = np.repeat(np.arange(len(which)), sizes)
        within = np.arange(len(at)) - np.repeat(np.cumsum(sizes) - sizes, sizes)
        entries = order[ends[which][at] + within]
        return Exprs(at, self.var[entries], self.coef[entries], self.constant[which])

    def summed(self, into: np.ndarray, size: int) -> Exprs:
        """``size`` sums: expression i of these is part of sum ``into[i]``."""
        order = np.argsort(self.at, kind="stable")
        constant = np.zeros(size, np.int64)
        np.add.at(constant, into, self.constant)
        return Exprs(into[self.at[order]], self.var[order], self.coef[order], constant)

    def total(self) -> Expr:
        """The sum of them all."""
        return self.summed(np.zeros(len(self), np.int64), 1).each()[0]

    def in_order(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """``at``, ``var`` and ``coef`` in order of ``at``, each variable only once, where it first stood."""
        order = np.argsort(self.at, kind="stable")
        order = order[self.var[order] >= 0]
        at, var, coef = self.at[order], self.var[order], self.coef[order]
        key = at * (var.max(initial=0) + 1) + var
        ordered = np.sort(key)
        if np.any(ordered[1:] == ordered[:-1]):
            _, first, same = np.unique(key, return_index=True, return_inverse=True)
            sums = np.zeros(len(first), np.int64)
            np.add.at(sums, same, coef)
            as_it_stood = np.argsort(first)
            first = first[as_it_stood]
            at, var, coef = at[first], var[first], sums[as_it_stood]
        return at, var, coef

    def each(self) -> list[Expr]:
        """The same expressions, one by one."""
        at, var, coef = self.in_order()
        vars_, coefs, ends = var.tolist(), coef.tolist(), np.searchsorted(at, np.arange(len(self) + 1)).tolist()
        return [
            Expr(dict(zip(vars_[begins:end], coefs[begins:end], strict=True)), constant)
            for begins, end, constant in zip(ends, ends[1:], self.constant.tolist(), strict=False)
        ]

    def values(self, x: np.ndarray) -> np.ndarray:
        """The expressions at the point ``x``."""
        there = self.var >= 0
        found = self.constant.copy()
        np.add.at(found, self.at[there], self.coef[there] * x[self.var[there]])
        return found


def gathered(exprs: Sequence[Expr]) -> Exprs:
    """These expressions, to be gone on with all at once."""
    at = np.repeat(np.arange(len(exprs)), np.array([len(expr.terms) for expr in exprs], np.int64))
    var = np.fromiter((v for expr in exprs for v in expr.terms), np.int64, len(at))
    coef = np.fromiter((c for expr in exprs for c in expr.terms.values()), np.int64, len(at))
    return Exprs(at, var, coef, np.array([expr.constant for expr in exprs], np.int64))


def stacked(parts: Sequence[Exprs]) -> Exprs:
    """All of these, one after another."""
    begins = np.cumsum([0, *(len(part) for part in parts)])
    at = [part.at + first for part, first in zip(parts, begins, strict=False)]
    return _joined(at, parts, np.concatenate([NO_ENTRY, *(part.constant for part in parts)]))


def sum_of(parts: Sequence[Exprs], size: int) -> Exprs:
    """The sum of these, each of that size: the first of all, the second of all, and so on."""
    constant = sum((part.constant for part in parts), np.zeros(size, np.int64))
    return _joined([part.at for part in parts], parts, constant)


def _joined(at: Sequence[np.ndarray], parts: Sequence[Exprs], constant: np.ndarray) -> Exprs:
    var = np.concatenate([NO_ENTRY, *(part.var for part in parts)])
    coef = np.concatenate([NO_ENTRY, *(part.coef for part in parts)])
    return Exprs(np.concatenate([NO_ENTRY, *at]), var, coef, constant)
