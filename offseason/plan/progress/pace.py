"""How long the work takes in this yard, learnt from the log: minutes for one piece of each kind of work.

A row tells how long its people were at it together. Minutes of a task are those of one person, or of as many as it
takes (``hands``) together: so the minutes of a row count once for each time its people are as many as that.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum
from statistics import median, quantiles

from offseason.plan.progress.entry import Entry
from offseason.workload.model import Step, Workload

ENOUGH_ENTRIES = 3  # ours: of two rows nobody can say which is the typing mistake


class Unused(StrEnum):
    """Why nothing is learnt from a row; the value completes the sentence '3 rows ...'."""

    NO_MINUTES = "without minutes"
    TAKEN_BACK = "taken back the same day"
    NOT_KNOWN = "of work that the scenario does not have"
    TOO_FEW_HANDS = "done by fewer people than it takes"
    NO_TIME_LEFT = "no longer than the setting up alone"


@dataclass(frozen=True)
class Pace:
    """Minutes for one piece of ``step`` as learnt from so many ``entries``, and as planned.

    ``median_minutes_each`` as it may be written into a scenario, rounded; ``quick`` and ``slow``: the quartiles, a
    quarter of the rows lies below and a quarter above. All of one person, or of its hands together.
    """

    step: str
    entries: int
    median_minutes_each: float
    planned_minutes_each: float
    quick: float = 0.0
    slow: float = 0.0

    @property
    def enough(self) -> bool:
        """Whether there are enough rows to go by."""
        return self.entries >= ENOUGH_ENTRIES

    @property
    def ratio(self) -> float:
        """How many times as long it takes as planned."""
        return self.median_minutes_each / self.planned_minutes_each

    @property
    def differs(self) -> bool:
        """Whether it is another than planned, to a second."""
        return round(60 * self.median_minutes_each) != round(60 * self.planned_minutes_each)


def paces(workload: Workload, entries: Iterable[Entry]) -> tuple[Pace, ...]:
    """The pace of each kind of work that the log tells minutes of, in the order of the workload.

    The median over the rows, so that single typing mistakes do not move it; setting up is taken off once for each
    day and kind of work, from its first row.
    """
    steps = steps_by_name(workload)
    found: dict[str, list[float]] = defaultdict(list)
    for entry, seen in _seen(steps, tuple(entries)):
        if isinstance(seen, float):
            found[entry.step].append(seen)
    made = []
    for name, step in steps.items():
        each = found.get(name)
        if each:
            quick, slow = _quartiles(each)
            planned = step.seconds_each / 60
            made.append(Pace(name, len(each), as_written(median(each)), planned, quick, slow))
    return tuple(made)


def unused(workload: Workload, entries: Iterable[Entry]) -> Mapping[Unused, int]:
    """From how many rows nothing is learnt, by reason. Rows that take something back are not counted."""
    seen = _seen(steps_by_name(workload), tuple(entries))
    return Counter(why for _, why in seen if isinstance(why, Unused))


def as_written(minutes: float) -> float:
    """Minutes as a keeper writes them: to a tenth, below one minute to two figures; never less than a second."""
    rounded = round(minutes, 1) if minutes >= 1 else float(f"{minutes:.2g}")
    return max(rounded, 0.017)


def steps_by_name(workload: Workload) -> dict[str, Step]:
    """A step of each kind of work that takes time, by name: the same minutes hold for it in every lot."""
    return {step.task: step for lot in workload.lots for step in lot.steps if step.seconds_each > 0}


def _seen(steps: Mapping[str, Step], entries: tuple[Entry, ...]) -> Iterator[tuple[Entry, float | Unused]]:
    """Minutes for one piece by each row that says something was done, or why it does not tell them."""
    back = Counter(_same_work(entry, -entry.pieces) for entry in entries if entry.pieces < 0)
    set_up: set[tuple[date, str]] = set()
    for entry in sorted(entries, key=lambda e: (e.day, e.until or time.max)):
        if entry.pieces <= 0:
            continue
        step = steps.get(entry.step)
        if step is None:
            yield entry, Unused.NOT_KNOWN
            continue
        if back[_same_work(entry, entry.pieces)] > 0:
            back[_same_work(entry, entry.pieces)] -= 1
            yield entry, Unused.TAKEN_BACK
            continue
        setting_up = step.setup_s / 60 if (entry.day, entry.step) not in set_up else 0.0
        set_up.add((entry.day, entry.step))
        yield entry, _minutes_each(step, entry, setting_up)


def _minutes_each(step: Step, entry: Entry, setting_up: float) -> float | Unused:
    if entry.minutes is None or entry.minutes <= 0:
        return Unused.NO_MINUTES
    people = len(set(entry.who))
    if people < step.hands:
        return Unused.TOO_FEW_HANDS
    spent = entry.minutes * people / step.hands - setting_up
    return spent / entry.pieces if spent > 0 else Unused.NO_TIME_LEFT


def _same_work(entry: Entry, pieces: int) -> tuple[date, tuple[str, ...], str, str, int]:
    return entry.day, tuple(sorted(entry.who)), entry.lot, entry.step, pieces


def _quartiles(each: list[float]) -> tuple[float, float]:
    if len(each) == 1:
        return each[0], each[0]
    first, _, third = quantiles(each, n=4, method="inclusive")
    return first, third
