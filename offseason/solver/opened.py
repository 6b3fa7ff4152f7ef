"""Where counts may rise, and the work that may be done in each session, as arrays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from offseason.solver.windows import Run


class Opened(NamedTuple):
    """Sessions in which the count of a (lot, step) may rise: one of each array belongs together."""

    lot: np.ndarray
    step: np.ndarray
    session: np.ndarray

    def chosen(self, some: np.ndarray) -> Opened:
        """Some of them, in that order."""
        return Opened(self.lot[some], self.step[some], self.session[some])


class Portions(NamedTuple):
    """Work that may be done in a session, in order of ``session``: one of each array belongs together.

    ``seconds`` of one piece of a (lot, step) done in it; the piece is ``through`` by the end of a session not before
    it. ``begins``: where the portions of each session begin, and where the last end.
    """

    session: np.ndarray
    seconds: np.ndarray
    through: Opened
    begins: np.ndarray

    def of(self, k: int) -> np.ndarray:
        """Which portions are those of session ``k``."""
        return np.arange(self.begins[k], self.begins[k + 1])


def opened_of(open_: Sequence[Sequence[Sequence[int]]]) -> Opened:
    """Each (lot, step, session) in which a count may rise, by lot, step and time."""
    every = [(lot, s, len(ks)) for lot, by_step in enumerate(open_) for s, ks in enumerate(by_step)]
    lots, steps, numbers = np.array(every, np.int64).reshape(-1, 3).T
    sessions = np.fromiter((k for by_step in open_ for ks in by_step for k in ks), np.int64)
    return Opened(np.repeat(lots, numbers), np.repeat(steps, numbers), sessions)


def portions_of(through: Opened, each_s: np.ndarray, runs: Mapping[tuple[int, int], Run], sessions: int) -> Portions:
    """The work that may be done in each of so many sessions.

    ``through``: when its pieces may be through, by time; ``each_s``: seconds of one piece. ``runs``: of what is done
    over several sessions, by (lot, session in which it is through).
    """
    session = through.session
    if runs:
        keys = enumerate(zip(through.lot.tolist(), session.tolist(), strict=True))
        long = {n: run for n, key in keys if (run := runs.get(key))}
        whole = np.setdiff1d(np.arange(len(session)), list(long))
        parts = np.array([(*part, n) for n, run in long.items() for part in run], np.int64).reshape(-1, 3)
        every = np.concatenate([np.stack([session[whole], each_s[whole], whole], axis=1), parts])
        session, each_s, of = every[np.lexsort((every[:, 2], every[:, 0]))].T
        through = through.chosen(of)
    return Portions(session, each_s, through, np.searchsorted(session, np.arange(sessions + 1)))
