"""How many pieces a short line stands for: as written, one, all that are left, or the parts of a job worked off."""

from __future__ import annotations

from datetime import date
from typing import Protocol

from offseason.plan.progress.log import Log
from offseason.workload.flow import follows
from offseason.workload.model import Lot, Step, Workload


class Said(Protocol):
    """What a line says of pieces."""

    @property
    def pieces(self) -> int | None:
        """The number that was written."""

    @property
    def rest(self) -> bool:
        """Whether all that are left are meant."""

    @property
    def day(self) -> date:
        """The day it was done."""

    @property
    def minutes(self) -> float | None:
        """How long all of ``who`` were at it together."""

    @property
    def who(self) -> tuple[str, ...]:
        """The people."""


def pieces_of(lot: str, step: str, said: Said, workload: Workload, log: Log) -> int | str:
    """The pieces meant, or a sentence where they are not clear. Hours on a job count to its end and no further.

    All are those that are left, less those that still wait for a step that only some of the pieces have.
    """
    lots = lots_called(workload, lot)
    first = next((s for one in lots for s in one.steps if s.task == step), None)
    if first is None:
        return f"'{step}' is not done to '{lot}' this winter"
    if said.pieces is not None:
        return said.pieces or "0 pieces are nothing to record; write how many were done"
    most = most_pieces(lots[0], step)
    if lots[0].period is not None or (most == 1 and lot != step):
        return 1
    left = most - sum(e.pieces for e in log.entries if (e.lot, e.step) == (lot, step))
    is_job = lot == step
    if is_job and left <= 0:
        return f"'{lot}' is done already; where it was not, take some of its {most:,} parts back, as in -1"
    if said.rest or most == 1:
        return _rest(lot, step, left, most, waiting(lot, step, said.day, workload, log))
    if is_job and said.minutes is not None:
        return min(_parts(first, said.minutes, len(said.who)), left)
    if is_job:
        return f"it is not said how long it took; write it as in 1.5 h, or write done where '{lot}' is finished"
    return f"it is not said how many; write a number of pieces, or all for the {left:,} that are left"


def waiting(lot: str, step: str, day: date, workload: Workload, log: Log) -> tuple[str, int] | None:
    """The step of a share of the pieces that holds most of the rest of a step back on a day, and how many.

    Of 22 boxes 5 are to be mended: as long as none is, 17 can be put away, and 5 wait. None where none does.
    """
    one = lots_called(workload, lot)[0]
    at = next((s for s, there in enumerate(one.steps) if there.task == step), None)
    found = [
        (missing, one.steps[pair.first].task)
        for pair in follows(one)
        if pair.then == at and pair.spare and not pair.skippable and one.steps[pair.first].task != step
        for missing in [one.steps[pair.first].pieces - _done(log, lot, one.steps[pair.first].task, day)]
        if missing > 0
    ]
    if not found:
        return None
    missing, before = max(found)
    return before, missing


def _done(log: Log, lot: str, step: str, day: date) -> int:
    return max(0, sum(e.pieces for e in log.entries if (e.lot, e.step) == (lot, step) and e.day <= day))


def _rest(lot: str, step: str, left: int, most: int, wait: tuple[str, int] | None) -> int | str:
    if left <= 0:
        return f"of '{lot}' nothing is left for '{step}': {most:,} are done"
    before, missing = wait or ("", 0)
    if left <= missing:
        return f"the last {left:,} of '{lot}' for '{step}' are to be through '{before}' first; record that first"
    return left - missing


def lots_called(workload: Workload, name: str) -> tuple[Lot, ...]:
    """The lots a name stands for: a round comes back, and has one for each time."""
    return tuple(lot for lot in workload.lots if lot.stated == name)


def most_pieces(lot: Lot, step: str) -> int:
    """Pieces of a kind of work that a lot can have at most, renewals included."""
    return sum(one.pieces for one in lot.steps if one.task == step)


def _parts(step: Step, minutes: float, people: int) -> int:
    """Parts of a job worked off: where more are at it than one part takes, several are worked on side by side."""
    side_by_side = max(1, people // step.hands)
    return max(1, round(minutes * 60 * side_by_side / step.seconds_each))
