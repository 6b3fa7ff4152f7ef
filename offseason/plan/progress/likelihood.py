"""Whether the winter is still likely to fit at the pace worked so far: an estimate by adding up, not a plan."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import fsum

from offseason.plan.document import Plan
from offseason.plan.elapsed import elapsed
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.pace import Pace
from offseason.plan.progress.tally import done_pieces
from offseason.workload.balance import Balance, balance_of, due_s, work_hours
from offseason.workload.model import Importance, Lot, Step, Workload


@dataclass(frozen=True)
class Deadline:
    """By the end of ``day``: must-work still to do, in hours of one person as planned and at the pace, and help."""

    day: date
    planned_hours: float
    hours: float
    help_hours: float
    lots: tuple[str, ...]

    @property
    def spare_hours(self) -> float:
        """Hours of help that are left over; below 0 where they are missing."""
        return self.help_hours - self.hours


@dataclass(frozen=True)
class Likelihood:
    """What adding up says on ``first``, the first day that is still to come.

    ``asked``, ``took`` and ``offered``: hours of the plan's rows before that day as planned and at the pace, and hours
    of help on these days; where the plan was made anew, from that day, ``since``, on. ``deadlines``: day by day on
    which must-work is due, all work due by then counted up. ``overdue``: hours at the pace of must-work whose day is
    past; it is counted to the last day. ``missed``: rounds whose days are past and that the log does not tell of.
    ``balance``: seats, weather and skills for what is still to do, at the pace.
    """

    first: date
    asked: float
    took: float
    offered: float
    deadlines: tuple[Deadline, ...]
    overdue: float
    missed: tuple[str, ...]
    balance: Balance
    since: date | None = None

    @property
    def tightest(self) -> Deadline | None:
        """The deadline with the least help for its work; None where no must-work is left."""
        return min(self.deadlines, key=lambda d: (d.help_hours + 1e-9) / max(d.hours, 1e-9), default=None)

    @property
    def fits(self) -> bool:
        """Whether there is help enough by every deadline."""
        return all(deadline.spare_hours >= -0.05 for deadline in self.deadlines)


def likelihood(
    workload: Workload, plan: Plan, entries: tuple[Entry, ...], learnt: Iterable[Pace], first_day: date, first: date
) -> Likelihood:
    """What is still to do from ``first`` on, at the pace, held against the help that is left.

    ``first_day``: the first day of the season. Work without a pace learnt is taken as planned.
    """
    pace = {(one.lot, one.step): one for one in learnt if one.enough}
    left, overdue_lots, missed = _left(workload, entries, first_day, first)
    slow = replace(left, lots=tuple(_at_pace(lot, pace) for lot in left.lots))
    asked, took = _rows(workload, plan, pace, first)
    begins = plan.since.date() if plan.since else first_day
    return Likelihood(
        first=first,
        asked=asked,
        took=took,
        offered=sum(s.length_s * len(s.helpers) for s in workload.sessions if begins <= s.day < first) / 3600,
        deadlines=tuple(_deadlines(left, slow, first_day)),
        overdue=sum(
            work_hours(step) for lot in slow.lots if lot.name in overdue_lots for step in lot.steps if _must(step)
        ),
        missed=missed,
        balance=balance_of(slow, first_day),
        since=plan.since.date() if plan.since else None,
    )


def _left(
    workload: Workload, entries: tuple[Entry, ...], first_day: date, first: date
) -> tuple[Workload, frozenset[str], tuple[str, ...]]:
    """The workload less what is done and the days that are past; names of lots that are late; rounds that are over."""
    done = done_pieces(entries)
    lots, late, missed = [], set(), []
    for lot in workload.lots:
        if lot.period is not None:
            if any(lot.period[0] <= e.day <= lot.period[1] for e in entries if e.step == lot.stated and e.pieces > 0):
                continue
            if lot.period[1] < first:
                missed.append(lot.stated)
                continue
        steps = tuple(
            replace(step, pieces=max(0, step.pieces - done.get((lot.stated, step.task), 0)), needs=(), within_of=None)
            for step in lot.steps
        )
        # by what protects, the balance knows what is due early: it looks for a step of as many pieces as the lot has
        count = next((left.pieces for left, step in zip(steps, lot.steps, strict=True) if _protects(lot, step)), None)
        rest = replace(lot, steps=steps, count=lot.count if count is None else count)
        if lot.ready_by_s is not None and _day(first_day, lot.ready_by_s) < first:
            rest = replace(rest, ready_by_s=None)
            late.add(lot.name)
        if lot.treat_by_s is not None and _day(first_day, lot.treat_by_s) < first:
            rest = replace(rest, treat_by_s=None)
            if any(_must(step) and step.pieces for step in steps):
                late.add(lot.name)
        lots.append(rest)
    sessions = tuple(session for session in workload.sessions if session.day >= first)
    return replace(workload, sessions=sessions, lots=tuple(lots)), frozenset(late), tuple(missed)


def _of(pace: Mapping[tuple[str, str], Pace], lot: str, task: str) -> Pace | None:
    return pace.get((lot, task)) or pace.get(("", task))


def _at_pace(lot: Lot, pace: Mapping[tuple[str, str], Pace]) -> Lot:
    steps = tuple(
        replace(step, seconds_each=round(60 * one.median_minutes_each))
        if (one := _of(pace, lot.stated, step.task))
        else step
        for step in lot.steps
    )
    return replace(lot, steps=steps)


def _deadlines(left: Workload, slow: Workload, first_day: date) -> Iterator[Deadline]:
    """Days on which something is due, in order. Rounds alone make no deadline, but are counted."""
    planned: dict[date, float] = defaultdict(float)
    hours: dict[date, float] = defaultdict(float)
    lots: dict[date, dict[str, None]] = defaultdict(dict)
    for lot, slowed in zip(left.lots, slow.lots, strict=True):
        for n, (step, slow_step) in enumerate(zip(lot.steps, slowed.steps, strict=True)):
            if _must(step) and step.pieces > 0:
                day = _day(first_day, due_s(left, lot, n))
                planned[day] += work_hours(step)
                hours[day] += work_hours(slow_step)
                if lot.period is None:
                    lots[day][lot.stated] = None
    for day in sorted(lots):
        yield Deadline(
            day=day,
            planned_hours=fsum(h for due, h in planned.items() if due <= day),
            hours=fsum(h for due, h in hours.items() if due <= day),
            help_hours=sum(s.length_s * len(s.helpers) for s in left.sessions if s.day <= day) / 3600,
            lots=tuple(lots[day]),
        )


def _rows(workload: Workload, plan: Plan, pace: Mapping[tuple[str, str], Pace], first: date) -> tuple[float, float]:
    """Hours of one person of the plan's rows before this day, as planned and at the pace; not of what was done."""
    clock = elapsed(workload)
    asked = took = 0.0
    for row in plan.rows:
        if row.day < first and not row.done:
            hours = clock.hours(row) * len(row.who)
            asked += hours
            if one := _of(
                pace, row.lot, row.step
            ):  # by its pieces: the plan may be made with other minutes than the scenario has now
                minutes = row.set_up_minutes + row.pieces * one.median_minutes_each
                took += minutes * len(row.who) / 60
            else:
                took += hours
    return asked, took


def _protects(lot: Lot, step: Step) -> bool:
    return step.protected and step.pieces == lot.count


def _must(step: Step) -> bool:
    return step.importance is Importance.MUST


def _day(first_day: date, ends_s: int) -> date:
    """The day that ends at this moment; an hour more or less where the clocks have changed does not count."""
    return first_day + timedelta(days=round(ends_s / 86_400) - 1)
