"""How long the work takes in this yard, learnt from the log: minutes for one piece of each kind of work.

A row tells how long its people were at it together. Minutes of a task are those of one person, or of as many as it
takes (``hands``) together: so the minutes of a row count once for each time its people are as many as that.
Lots planned with the same minutes are learnt from together; where they are planned with others, each by itself.
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
APART = 1.25  # ours: lots whose paces lie so far from one another are told apart


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
    quarter of the rows lies below and a quarter above. All of one person, or of its hands together. ``lot``: of which
    lot alone; empty where it holds for all.
    """

    step: str
    entries: int
    median_minutes_each: float
    planned_minutes_each: float
    quick: float = 0.0
    slow: float = 0.0
    lot: str = ""

    @property
    def name(self) -> str:
        """The kind of work, with its lot where it holds for that alone."""
        return f"{self.step}, {self.lot}" if self.lot else self.step

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
    kinds = _Kinds(workload)
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    for entry, seen in _seen(kinds, tuple(entries)):
        if isinstance(seen, float):
            found[kinds.key(entry)].append(seen)
    return tuple(_pace(key, found[key], step) for key, step in kinds.steps.items() if key in found)


def apart(workload: Workload, entries: Iterable[Entry]) -> tuple[tuple[Pace, ...], ...]:
    """For each kind of work that is planned with one number and takes another time in different lots: their paces.

    Told apart are lots with rows enough whose middle halves do not touch and whose medians lie ``APART``.
    """
    kinds = _Kinds(workload)
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    for entry, seen in _seen(kinds, tuple(entries)):
        if isinstance(seen, float) and not kinds.key(entry)[0]:
            found[entry.lot, entry.step].append(seen)
    told = []
    for (_, task), step in kinds.steps.items():
        of_lots = [_pace(key, each, step) for key, each in found.items() if key[1] == task]
        known = sorted((p for p in of_lots if p.enough), key=lambda p: p.median_minutes_each)
        if len(known) > 1 and _lie_apart(known[0], known[-1]):
            told.append(tuple(known))
    return tuple(told)


def _pace(key: tuple[str, str], each: list[float], step: Step) -> Pace:
    quick, slow = _quartiles(each)
    return Pace(key[1], len(each), as_written(median(each)), step.seconds_each / 60, quick, slow, key[0])


def _lie_apart(quick: Pace, slow: Pace) -> bool:
    return quick.slow < slow.quick and slow.median_minutes_each >= APART * quick.median_minutes_each


def unused(workload: Workload, entries: Iterable[Entry]) -> Mapping[Unused, int]:
    """From how many rows nothing is learnt, by reason. Rows that take something back are not counted."""
    seen = _seen(_Kinds(workload), tuple(entries))
    return Counter(why for _, why in seen if isinstance(why, Unused))


def as_written(minutes: float) -> float:
    """Minutes as a keeper writes them: to a tenth, below one minute to two figures; never less than a second."""
    rounded = round(minutes, 1) if minutes >= 1 else float(f"{minutes:.2g}")
    return max(rounded, 0.017)


class _Kinds:
    """The kinds of work that take time, each with a step of it: one for all lots planned with the same minutes."""

    def __init__(self, workload: Workload) -> None:
        by_task: dict[str, dict[str, Step]] = defaultdict(dict)
        for lot in workload.lots:
            for step in lot.steps:
                if step.seconds_each > 0:
                    by_task[step.task][lot.stated] = step
        self.steps: dict[tuple[str, str], Step] = {}
        for task, of_lots in by_task.items():
            alike = len({(step.seconds_each, step.hands) for step in of_lots.values()}) == 1
            for lot_name, step in of_lots.items():
                self.steps["" if alike else lot_name, task] = step

    def key(self, entry: Entry) -> tuple[str, str]:
        """The lot, empty where it holds for all, and the kind of work."""
        return ("", entry.step) if ("", entry.step) in self.steps else (entry.lot, entry.step)

    def step(self, entry: Entry) -> Step | None:
        """The step a row tells of."""
        return self.steps.get(self.key(entry))


def _seen(kinds: _Kinds, entries: tuple[Entry, ...]) -> Iterator[tuple[Entry, float | Unused]]:
    """Minutes for one piece by each row that says something was done, or why it does not tell them."""
    back = Counter(_same_work(entry, -entry.pieces) for entry in entries if entry.pieces < 0)
    set_up: set[tuple[date, str]] = set()
    for entry in sorted(entries, key=lambda e: (e.day, e.until or time.max)):
        if entry.pieces <= 0:
            continue
        step = kinds.step(entry)
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
