"""From the clock on the wall to time truly elapsed, so that a night of 23 or 25 hours counts as what it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

Span = tuple[int, int]


@dataclass(frozen=True)
class Clock:
    """Seconds elapsed since 00:00 of ``first_day`` by the clocks of ``zone`` (None: clocks never change)."""

    first_day: date
    zone: ZoneInfo | None = None

    def at(self, day: date, shown: time) -> int:
        """Seconds elapsed when the wall clock shows this; ``shown.fold`` 1: when it shows it for the second time."""
        if self.zone is None:
            return (day - self.first_day).days * 86_400 + shown.hour * 3_600 + shown.minute * 60 + shown.second
        moment = datetime.combine(day, shown, self.zone).astimezone(UTC)
        return round((moment - self._origin()).total_seconds())

    def shows(self, elapsed_s: float) -> datetime:
        """What the wall clock shows, to the second."""
        if self.zone is None:
            return datetime.combine(self.first_day, time()) + timedelta(seconds=round(elapsed_s))
        moment = self._origin() + timedelta(seconds=round(elapsed_s))
        return moment.astimezone(self.zone).replace(tzinfo=None)

    def midnight_after(self, day: date) -> int:
        """Seconds elapsed at the end of ``day``."""
        return self.at(day + timedelta(days=1), time())

    def midnight_before(self, day: date) -> int:
        """Seconds elapsed at the beginning of ``day``."""
        return self.at(day, time())

    def ever_shows(self, day: date, shown: time) -> bool:
        """False for an hour that is left out when the clocks go forward."""
        return self.zone is None or self.shows(self.at(day, shown)) == datetime.combine(day, shown.replace(fold=0))

    def _origin(self) -> datetime:
        return datetime.combine(self.first_day, time(), self.zone).astimezone(UTC)


def merged(spans: Iterable[Span]) -> tuple[Span, ...]:
    """The same time as stretches that neither overlap nor touch, in order."""
    found: list[Span] = []
    for begins, ends in sorted(spans):
        if found and begins <= found[-1][1]:
            found[-1] = (found[-1][0], max(ends, found[-1][1]))
        elif begins < ends:
            found.append((begins, ends))
    return tuple(found)


def span_around(spans: Iterable[Span], moment: int) -> Span | None:
    """The stretch in which ``moment`` lies."""
    return next((span for span in spans if span[0] <= moment < span[1]), None)
