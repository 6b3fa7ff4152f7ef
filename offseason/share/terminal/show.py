"""A plan for reading: its rows by day, by person or by lot, or its supplies, for all of the winter or a part of it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import groupby
from math import fsum
from zoneinfo import ZoneInfo

from offseason.plan.document import Plan, Row
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.share.from_to import from_to_text
from offseason.share.terminal.care import care_text, cautions_of, mark
from offseason.share.terminal.layout import clean, count_text, day_text, hours_text, paragraph, short_day_text, table
from offseason.share.terminal.left import left_said_text
from offseason.share.terminal.supplies import supplies_text
from offseason.trade.cautions import LAST_WORD

LOT_HEADERS = ("day", "time", "step", "pieces", "so far", "who", "")


@dataclass(frozen=True)
class Selection:
    """Which rows to show: days from ``first`` to ``last`` (None: no limit), work of ``who`` (None: of everybody)."""

    first: date | None = None
    last: date | None = None
    who: str | None = None

    def takes(self, row: Row) -> bool:
        """Whether the row is to be shown."""
        return (
            (self.first is None or row.day >= self.first)
            and (self.last is None or row.day <= self.last)
            and (self.who is None or self.who in row.who)
        )

    def __str__(self) -> str:
        words = [f"from {day_text(self.first)}"] if self.first else []
        words += [f"until {day_text(self.last)}"] if self.last else []
        words += [f"for {clean(self.who)}"] if self.who else []
        return " ".join(words)


def show_text(scenario: Scenario | None, plan: Plan, by: str = "day", selection: Selection | None = None) -> str:
    """The selected rows ``by`` "day", "person" or "lot", and the cautions that belong to them; or "supplies".

    ``scenario`` None: it is not at hand, so no caution can be shown beside the work.
    """
    chosen = selection or Selection()
    if by == "supplies":
        return _supplies(scenario, plan, chosen)
    rows = sorted((row for row in plan.rows if chosen.takes(row)), key=_when)
    if not rows:
        return f"No work is planned {chosen}".rstrip() + "."
    blocks = {"day": _by_day, "person": _by_person, "lot": _by_lot}[by]
    left = left_said_text(plan, scenario)
    return "\n\n".join([*([left] if left else []), *blocks(scenario, plan, rows, chosen), care_text(scenario, rows)])


def _supplies(scenario: Scenario | None, plan: Plan, chosen: Selection) -> str:
    """What is to be ordered in the selected days; supplies belong to nobody."""
    if scenario is None:
        return "What the work uses up stands in the scenario; without it no supplies can be listed."
    if chosen.who is not None:
        return "Supplies are for everybody; leave out --who to see them."
    text = supplies_text(scenario, plan, chosen.first, chosen.last)
    if not text:
        return f"No supplies are to be ordered {chosen}".rstrip() + "."
    return f"{text}\n\n{LAST_WORD}"


def _when(row: Row) -> tuple[date, int, time, tuple[str, ...]]:
    return row.day, row.start.fold, row.start, row.who


def work_text(row: Row) -> str:
    """What is done: ``scrape: 30 brood boxes``, or the name of a job or a round."""
    pieces = f"{row.pieces:,}" if row.pieces > 1 else "one of the"
    words = row.step if row.lot == row.step else f"{row.step}: {pieces} {row.lot}"
    return f"{words} (set-up {row.set_up_minutes:g} min)" if row.set_up_minutes else words


def true_hours(row: Row, zone: tzinfo | None) -> float:
    """Length of the row in hours as they pass, also where the clocks change; without ``zone`` an hour shown twice."""
    start, end = (datetime.combine(row.day, clock, tzinfo=zone) for clock in (row.start, row.end))
    if zone is None:
        return (end - start) / timedelta(hours=1) + row.end.fold - row.start.fold
    return (end.astimezone(UTC) - start.astimezone(UTC)) / timedelta(hours=1)


def _zone(scenario: Scenario | None) -> tzinfo | None:
    name = scenario.season.timezone if scenario else None
    return ZoneInfo(name) if name else None


def _at(row: Row) -> str:
    return row.at or "-"


def _care(scenario: Scenario | None, row: Row) -> str:
    return mark(cautions_of(scenario, row)) if scenario else ""


def _by_day(scenario: Scenario | None, _: Plan, rows: list[Row], __: Selection) -> Iterator[str]:
    for day, group in groupby(rows, key=lambda row: row.day):
        lines = [(from_to_text(row), listed(row.who), work_text(row), _at(row), _care(scenario, row)) for row in group]
        yield f"{day_text(day)}\n{_lines(lines, wrap=(1, 2, 3, 4))}"


def _by_person(scenario: Scenario | None, _: Plan, rows: list[Row], chosen: Selection) -> Iterator[str]:
    zone = _zone(scenario)
    names = [chosen.who] if chosen.who else sorted({name for row in rows for name in row.who})
    for name in names:
        own = [row for row in rows if name in row.who]
        hours = hours_text(fsum(true_hours(row, zone) for row in own))
        lines = [
            (
                short_day_text(row.day) if first else "",
                from_to_text(row),
                work_text(row) + _with(row, name),
                _at(row),
                _care(scenario, row),
            )
            for _, group in groupby(own, key=lambda row: row.day)
            for first, row in zip((True, *[False] * len(own)), group, strict=False)
        ]
        title = f"{clean(name)}: {count_text(len({row.day for row in own}), 'day')}, {hours}"
        yield f"{paragraph(title)}\n{_lines(lines, wrap=(2, 3, 4))}"


def _with(row: Row, name: str) -> str:
    others = [other for other in row.who if other != name]
    return f", with {listed(others)}" if others else ""


def _by_lot(scenario: Scenario | None, plan: Plan, rows: list[Row], _: Selection) -> Iterator[str]:
    through: Counter[tuple[str, str]] = Counter()
    so_far: dict[Row, int] = {}
    for row in sorted(plan.rows, key=lambda row: (row.day, row.end.fold, row.end)):
        through[row.lot, row.step] += row.pieces
        so_far[row] = through[row.lot, row.step]
    for lot in dict.fromkeys(row.lot for row in rows):
        lines = [
            (
                short_day_text(row.day),
                from_to_text(row),
                row.step,
                *_counted(scenario, row, so_far[row], through[row.lot, row.step]),
                listed(row.who),
                _care(scenario, row),
            )
            for row in rows
            if row.lot == lot
        ]
        yield f"{paragraph(clean(lot))}\n{_lines(lines, LOT_HEADERS, numbers=(3,), wrap=(2, 5, 6))}"


def _counted(scenario: Scenario | None, row: Row, so_far: int, planned: int) -> tuple[str, str]:
    """Pieces of the row, and how many of all are through by then; jobs and rounds are not counted in pieces."""
    if row.lot == row.step:
        return "", ""
    return f"{row.pieces:,}", f"{so_far:,} of {_asked(scenario, row) or planned:,}"


def _asked(scenario: Scenario | None, row: Row) -> int | None:
    gear, task = (scenario.gear.get(row.lot), scenario.tasks.get(row.step)) if scenario else (None, None)
    return math.ceil(gear.count * task.share - 1e-9) if gear and task else None


def _lines(
    lines: Sequence[tuple[str, ...]],
    headers: tuple[str, ...] = (),
    numbers: tuple[int, ...] = (),
    wrap: tuple[int, ...] = (),
) -> str:
    """A table without its last column where no row carries a caution."""
    if not any(line[-1] for line in lines):
        lines, headers, wrap = [line[:-1] for line in lines], headers[:-1], wrap[:-1]
    return table(lines, headers, numbers=numbers, wrap=wrap, indent=2)
