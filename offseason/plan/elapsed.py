"""From the hours of a row on the wall clock to time truly elapsed, also in a night in which the clocks change."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from offseason.plan.document import Row
from offseason.workload.model import Session, Workload

_ONE_HOUR_S = 3_600
_DAY_S = 86_400


@dataclass(frozen=True)
class Elapsed:
    """Seconds elapsed since 00:00 of the first day of the season, as the sessions of a workload show them.

    A moment outside every session is taken as on a day on which the clocks do not change.
    """

    first_day: date
    sessions: Mapping[date, tuple[Session, ...]]

    def span_s(self, row: Row) -> tuple[int, int]:
        """When the row begins and ends."""
        shown = datetime.combine(row.day, row.start), datetime.combine(row.day, row.end)
        known = [self._known(row.day, moment) for moment in shown]
        if None not in known:
            return known[0] or 0, known[1] or 0
        midnight = datetime.combine(self.first_day, time())
        begins, ends = (round((moment - midnight).total_seconds()) for moment in shown)
        return begins, ends

    def hours(self, row: Row) -> float:
        """Length of the row in hours, whoever and however many take part."""
        begins, ends = self.span_s(row)
        return (ends - begins) / _ONE_HOUR_S

    def last_day(self, ends_s: int) -> date:
        """The day that ends at this moment; an hour more or less where the clocks have changed does not count."""
        return self.first_day + timedelta(days=round(ends_s / _DAY_S) - 1)

    def day_of(self, moment_s: int) -> date:
        """The day on which this moment lies, its midnight with the day after; where the clocks have changed too."""
        known = (s.day for sessions in self.sessions.values() for s in sessions if s.starts_s <= moment_s < s.ends_s)
        return next(known, self.first_day + timedelta(days=(moment_s + _ONE_HOUR_S) // _DAY_S))

    def night_s(self, day: date) -> int:
        """The end of the day; an hour more or less where the clocks have changed does not count."""
        return ((day - self.first_day).days + 1) * _DAY_S

    def _known(self, day: date, shown: datetime) -> int | None:
        return next((s for session in self.sessions.get(day, ()) if (s := _within(session, shown)) is not None), None)


def elapsed(workload: Workload) -> Elapsed:
    """The clock of a workload's season."""
    by_day: dict[date, list[Session]] = defaultdict(list)
    for session in workload.sessions:
        by_day[session.day].append(session)
    first = workload.sessions[0] if workload.sessions else None
    days = 0 if first is None else round((first.starts_s - _of_day_s(first)) / _DAY_S)
    first_day = date(2000, 1, 1) if first is None else first.day - timedelta(days=days)
    return Elapsed(first_day, {day: tuple(sessions) for day, sessions in by_day.items()})


def _within(session: Session, shown: datetime) -> int | None:
    """Seconds elapsed when the clock shows this during the session; None: it does not, or not for this time."""
    if session.clock is None:
        return None
    begins, ends = session.clock
    if shown == ends and shown.fold == ends.fold:
        return session.ends_s
    since_s = round((shown - begins).total_seconds())
    # The clock runs evenly in a session, and an hour that comes twice is over an hour after it has begun again.
    fold = begins.fold if since_s < _ONE_HOUR_S else 0
    return session.starts_s + since_s if 0 <= since_s <= session.length_s and shown.fold == fold else None


def _of_day_s(session: Session) -> int:
    if session.clock is None:
        return session.starts_s % _DAY_S
    begins = session.clock[0]
    return begins.hour * 3_600 + begins.minute * 60 + begins.second
