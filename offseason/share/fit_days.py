"""Which hours of which days are fit for which work, and why the others are not: what the table and the picture show."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from offseason.weather.judge import Reason, Reasons

HOURS = 24
NOT_BY_HAND = -1
"""Beside the reasons of ``Reason``: not fit because the keeper, who gave the hours of that day, did not name it."""


@dataclass(frozen=True, eq=False)
class FitDays:
    """Hours by the clock on the wall. ``title``: where the weather is from, for a heading.

    ``reasons``: for each need, shape (days, 24), row 0 is the day ``first``: values of ``Reason``, or NOT_BY_HAND.
    ``whole_days``: worked out from records of whole days, not of hours.
    """

    title: str
    first: date
    reasons: Mapping[str, Reasons]
    whole_days: bool = False

    def __len__(self) -> int:
        return len(next(iter(self.reasons.values()), ()))

    @property
    def last(self) -> date:
        """The last day there is anything of."""
        return self.first + timedelta(days=len(self) - 1)

    def only(self, needs: Sequence[str]) -> FitDays:
        """The same for these needs only, in this order. Errors: KeyError for one there is nothing of."""
        return replace(self, reasons={need: self.reasons[need] for need in needs})

    def between(self, first: date | None, last: date | None) -> FitDays:
        """The same for the days from ``first`` to ``last`` only (None: no limit); none may be left."""
        start = max(0, (first - self.first).days) if first else 0
        stop = max(start, (last - self.first).days + 1) if last else len(self)
        cut = {need: codes[start:stop] for need, codes in self.reasons.items()}
        return replace(self, first=self.first + timedelta(days=start), reasons=cut)


def said_of(code: int) -> str:
    """The reason in words; those of NOT_BY_HAND are ours."""
    return "not among the hours given by hand" if code == NOT_BY_HAND else Reason(code).said


def is_known(codes: Reasons) -> NDArray[np.bool_]:
    """Whether an hour could be judged, whatever came of it; the same shape."""
    known: NDArray[np.bool_] = (codes != Reason.UNKNOWN) & (codes != Reason.UNKNOWN_AFTER)
    return known


def stretches(codes: Reasons) -> Iterator[tuple[int, int, int]]:
    """The hours of one day with the same reason, as (first hour, hour after the last, reason), in order."""
    changes = [0, *(np.flatnonzero(np.diff(codes)) + 1).tolist(), len(codes)]
    for start, stop in pairwise(changes):
        yield start, stop, int(codes[start])
