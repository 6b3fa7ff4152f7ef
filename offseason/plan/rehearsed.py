"""What came of a plan in past winters: each winter's end, and which work is fragile."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from offseason.workload.model import Importance


@dataclass(frozen=True)
class WorkLived:
    """One kind of work on one lot in one winter.

    ``wanted``: pieces that must be done, or that the plan has of optional work. ``late``: pieces done after their
    ready-by date, or too long after the step they follow. ``planned``, ``ended``: days of the last piece in the plan
    and in that winter; None: none was. ``comes_back``: a round, which has its days all winter.
    """

    lot: str
    step: str
    importance: Importance
    wanted: int
    done: int
    late: int
    planned: date | None
    ended: date | None
    comes_back: bool = False

    @property
    def left(self) -> int:
        """Pieces wanted and not done."""
        return max(0, self.wanted - self.done)

    @property
    def days_later(self) -> int | None:
        """Days from the planned end to the real one, below 0 if it was sooner; None: not all was done, or a round."""
        if self.left or self.planned is None or self.ended is None or self.comes_back:
            return None
        return (self.ended - self.planned).days


@dataclass(frozen=True)
class CombLived:
    """One lot of comb in one winter: whether every comb was protected in time, and the day that made all of it safe.

    ``safe_since`` None: it never was (not ``in_time``), or it never was in danger. ``treat_by``: that winter's own.
    """

    lot: str
    in_time: bool
    safe_since: date | None
    treat_by: date


@dataclass(frozen=True)
class WinterLived:
    """One past winter with the plan, from its autumn in ``year`` on."""

    year: int
    works: tuple[WorkLived, ...]
    combs: tuple[CombLived, ...]

    @property
    def must(self) -> tuple[WorkLived, ...]:
        """The work that must be done."""
        return tuple(one for one in self.works if one.importance is Importance.MUST)

    @property
    def all_done(self) -> bool:
        """Whether nothing that must be done was left."""
        return not any(one.left for one in self.must)

    @property
    def all_in_time(self) -> bool:
        """Whether nothing that must be done was left or late."""
        return not any(one.left or one.late for one in self.must)

    @property
    def finished(self) -> date | None:
        """The day on which the last must-work on gear and jobs was done; None: some was left, or there is none."""
        if any(one.left for one in self.must if not one.comes_back):
            return None
        return max((one.ended for one in self.must if one.ended and not one.comes_back), default=None)

    @property
    def comb_in_time(self) -> bool:
        """Whether every comb was protected in time."""
        return all(comb.in_time for comb in self.combs)

    @property
    def comb_safe(self) -> date | None:
        """The day that made the last comb safe; None: some was not protected in time, or none was in danger."""
        return max((c.safe_since for c in self.combs if c.safe_since), default=None) if self.comb_in_time else None


@dataclass(frozen=True)
class Rehearsal:
    """The plan in past winters. ``asked``: how many winters there are; fewer are told where it was stopped.

    ``planned``: when the plan itself has the last must-work on gear and jobs done. ``vary_percent``: how much longer or
    shorter labour took at most, drawn anew for each winter and kind of work from ``seed``. ``by_hand``: kinds of
    weather whose hours are (also) written by hand and so the same in every winter.
    """

    winters: tuple[WinterLived, ...]
    asked: int
    planned: date | None
    forecast_days: int
    vary_percent: float
    seed: int
    by_hand: tuple[str, ...] = ()


@dataclass(frozen=True)
class Fragile:
    """Work that suffered: in how many winters it was left undone or late, and how many days later it ended on average.

    ``days_later``: over the winters in which all of it was done; None: in none. ``most_left``: pieces, in the worst.
    """

    lot: str
    step: str
    importance: Importance
    winters_left: int
    winters_late: int
    days_later: float | None
    most_left: int
    wanted: int


def fragile(winters: Iterable[WinterLived]) -> tuple[Fragile, ...]:
    """Work that was left, late, or later than planned in some winter; the most fragile first."""
    by_work: dict[tuple[str, str], list[WorkLived]] = {}
    for winter in winters:
        for one in winter.works:
            by_work.setdefault((one.lot, one.step), []).append(one)
    found = [_fragile(lived) for lived in by_work.values()]
    return tuple(
        sorted(
            (one for one in found if one.winters_left or one.winters_late or (one.days_later or 0) > 0),
            key=lambda one: (
                one.importance is not Importance.MUST,
                -(one.winters_left + one.winters_late),
                -(one.days_later or 0),
            ),
        )
    )


def _fragile(lived: list[WorkLived]) -> Fragile:
    later = [one.days_later for one in lived if one.days_later is not None]
    return Fragile(
        lot=lived[0].lot,
        step=lived[0].step,
        importance=lived[0].importance,
        winters_left=sum(1 for one in lived if one.left),
        winters_late=sum(1 for one in lived if one.late and not one.left),
        days_later=sum(later) / len(later) if later else None,
        most_left=max(one.left for one in lived),
        wanted=max(one.wanted for one in lived),
    )
