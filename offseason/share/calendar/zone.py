"""A time zone for those who read a calendar without a list of zones of their own (RFC 5545 section 3.6.5).

``icalendar.Timezone.from_tzinfo`` is not used: it gives the beginning of summer time by the new clock, and RFC 5545
asks for it by the clock before (seen in icalendar 7.3.2); who reads it to the letter then changes an hour late.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

_DAY = timedelta(days=1)
_SECOND = timedelta(seconds=1)


def vtimezone(name: str, first_year: int, last_year: int) -> Timezone:
    """The zone with each change of its clocks from the beginning of the first year to the end of the last.

    Errors: those of ZoneInfo for a name that is none.
    """
    zone = ZoneInfo(name)
    begins, ends = datetime(first_year, 1, 1, tzinfo=zone), datetime(last_year + 1, 1, 1, tzinfo=zone)
    component = Timezone()
    component.add("TZID", name)
    component.add_component(_observance(begins, begins))
    for moment in changes(zone, begins.astimezone(UTC), ends.astimezone(UTC)):
        component.add_component(_observance((moment - _SECOND).astimezone(zone), moment.astimezone(zone)))
    return component


def changes(zone: ZoneInfo, begins: datetime, ends: datetime) -> Iterator[datetime]:
    """The moments (UTC) between two others from which the clocks of the zone are set otherwise, to the second."""
    at = begins
    while at < ends:
        then = min(at + _DAY, ends)
        if _shown(zone, at) != _shown(zone, then):
            early, late = at, then
            while late - early > _SECOND:
                middle = early + (late - early) // 2
                middle = middle.replace(microsecond=0)
                early, late = (middle, late) if _shown(zone, middle) == _shown(zone, at) else (early, middle)
            yield late
        at = then


def _shown(zone: ZoneInfo, moment: datetime) -> tuple[timedelta | None, str | None, timedelta | None]:
    local = moment.astimezone(zone)
    return local.utcoffset(), local.tzname(), local.dst()


def _observance(before: datetime, after: datetime) -> TimezoneStandard | TimezoneDaylight:
    """What holds from the moment ``after``, which is given by the clock that held ``before``."""
    observance = TimezoneDaylight() if after.dst() else TimezoneStandard()
    offset = before.utcoffset()
    by_clock_before = (after.astimezone(UTC) + offset if offset else after.astimezone(UTC)).replace(tzinfo=None)
    observance.add("DTSTART", by_clock_before)
    observance.add("TZOFFSETFROM", offset)
    observance.add("TZOFFSETTO", after.utcoffset())
    observance.add("TZNAME", after.tzname())
    return observance
