"""A winter that has begun: what is done so far, and what of a workload is then left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from pathlib import Path

from offseason.plan.document import Plan, Row
from offseason.plan.file import read_plan
from offseason.plan.parse import PlanFileError
from offseason.plan.progress.believed import believed
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.log import LogFileError, log_beside, read_log
from offseason.plan.progress.standing import done_of, done_rows, followed, kept
from offseason.scenario.model import Scenario
from offseason.share.terminal.layout import count_text, day_text
from offseason.workload.model import Workload
from offseason.workload.sessions import elapsed_s
from offseason.workload.standing import with_standing


@dataclass(frozen=True)
class SoFar:
    """What is done, as logged and net of what was taken back; and what is to be said of where it is known from."""

    logged: tuple[Entry, ...]
    net: tuple[Entry, ...]
    said: tuple[str, ...]


def done_so_far(old: Plan, log_path: Path, today: date, season_starts: date) -> SoFar:
    """Up to and with today, by the log; before its first row, and where there is none, by the plan.

    Rows of days before the season are of another winter, as in a log that was kept under the same name: not counted.
    """
    midnight = datetime.combine(today, time())
    log = read_log(log_path)
    logged = tuple(entry for entry in log.entries if season_starts <= entry.day <= today)
    of_another_winter = _said_of_another_winter([e.day for e in log.entries if e.day < season_starts], season_starts)
    if not logged:
        planned = followed(old, midnight)
        told = f"There is no log ({log_path}), or no row in it, so all that was planned until now is taken as done."
        told += " `offseason record` writes what was really done."
        return SoFar(planned, planned, (*log.remarks, *of_another_winter, *([told] if planned else [])))
    first = min(entry.day for entry in logged)
    before = followed(old, datetime.combine(first, time()))
    told = f"Before {day_text(first)}, the first day of the log, all that was planned is taken as done."
    ahead = [entry.day for entry in log.entries if entry.day > today]
    said = (*log.remarks, *of_another_winter, *([told] if before else []), *_said_of_days_to_come(ahead, today))
    return SoFar((*before, *logged), kept((*before, *logged)), said)


def _said_of_another_winter(days: Sequence[date], season_starts: date) -> tuple[str, ...]:
    if not days:
        return ()
    number = count_text(len(days), "entry", "entries")
    told = f"The log has {number} for days before this winter, which begins on {day_text(season_starts)}, the last for "
    told += (
        f"{day_text(max(days))}: not counted, and kept in the log. Where it is the log of another winter, move it away."
    )
    return (told,)


def _said_of_days_to_come(ahead: Sequence[date], today: date) -> Iterator[str]:
    if ahead:
        number = count_text(len(ahead), "entry", "entries")
        last = f"the last for {day_text(max(ahead))}"
        yield (
            f"The log has {number} for days after {day_text(today)}, {last}: not counted here, and kept in the log. "
            "Is the clock of this computer right? Another day is named with --today."
        )


@dataclass(frozen=True)
class Begun:
    """What was logged of a winter, net of what was taken back, and the moment (by the wall clock) to plan it from.

    What is done is found by the names in the log in every workload anew: with changes made there may be more rounds
    of a name, or fewer pieces.
    """

    scenario: Scenario
    entries: tuple[Entry, ...]
    now: datetime

    @property
    def first_day(self) -> date:
        """The first day all of which is to come."""
        day = self.now.date()
        return day if self.now.time() == time() else day + timedelta(days=1)

    def workload(self, whole: Workload) -> Workload:
        """What is left of a workload."""
        entries, _ = believed(whole, self.entries)
        done = done_of(self.scenario, whole, entries, self.now)
        return with_standing(whole, elapsed_s(self.scenario, self.now), done)

    def after_done(self, whole: Workload, plan: Plan) -> Plan:
        """A plan of what is left with what is done before it."""
        entries, _ = believed(whole, self.entries)
        done = done_rows(self.scenario, whole, entries, self.now)
        return replace(plan, rows=in_order((*done, *plan.rows)), since=self.now)


def in_order(rows: Sequence[Row]) -> tuple[Row, ...]:
    """Rows in the order in which a plan has them."""
    return tuple(sorted(rows, key=lambda r: (r.day, r.start.fold, r.start, r.who, r.end, r.lot, r.step)))


def has_begun(plan_path: Path, plan: Plan | None = None) -> bool:
    """Whether the winter of a plan file has begun: it was planned anew, or its log has rows. ``plan``: what is in it.

    Not so where there is no plan in that file. A log that cannot be read has something in it; replan tells what.
    """
    try:
        known = plan or read_plan(plan_path)
        return known.since is not None or bool(read_log(log_beside(plan_path)).entries)
    except LogFileError:
        return True
    except PlanFileError:
        return False
