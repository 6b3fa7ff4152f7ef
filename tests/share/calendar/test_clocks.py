"""Times in calendars are the moments meant, also in the weeks in which clocks change, north and south."""

from __future__ import annotations

import itertools
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, available_timezones

import icalendar
import pytest

from offseason.share.calendar import calendar_of
from offseason.share.calendar.zone import vtimezone
from tests.share.calendar.made import BOTH, COMB_SAFE, NOW, between, handout, work

HOUR = timedelta(hours=1)
WEEKS = {
    "EST5EDT": (date(2026, 10, 29), date(2027, 3, 11)),
    "CET": (date(2026, 10, 22), date(2027, 3, 25)),
    "NZ": (date(2026, 9, 24), date(2027, 4, 1)),  # a southern one: summer time in the months of this winter
    "Etc/GMT-10": (date(2026, 10, 22), date(2027, 3, 25)),
    "UTC": (date(2026, 10, 22), date(2027, 3, 25)),
}
COUNT = itertools.count()


def calendar(entries, zone) -> bytes:
    return calendar_of(handout(*entries, zone=zone), "Ines", None, now=NOW, alarm_minutes=None)


def under_another_name(content: bytes, zone: str) -> bytes:
    """The zone under a name nobody knows: whoever reads it must go by the VTIMEZONE that comes with it."""
    name = f"Quillet-{next(COUNT)}".encode()
    told = f"TZID:{zone}\r\n".encode()
    assert content.count(told) == (zone != "UTC")  # RFC 5545 section 3.2.19: what is in UTC has no TZID
    return content.replace(told, b"TZID:" + name + b"\r\n").replace(f"TZID={zone}:".encode(), b"TZID=" + name + b":")


@pytest.mark.parametrize("read", BOTH)
@pytest.mark.parametrize("named", [True, False])
@pytest.mark.parametrize("zone", WEEKS)
def test_every_hour_of_the_weeks_in_which_clocks_change_is_the_moment_meant(zone, read, named):
    for first in WEEKS[zone]:
        start = datetime(first.year, first.month, first.day, tzinfo=ZoneInfo(zone)).astimezone(UTC)
        moments = [start + n * HOUR for n in range(7 * 24)]
        entries = [between(one, one + HOUR / 3, zone=zone) for one in moments]
        content = calendar(entries, zone)
        seen = read(content if named else under_another_name(content, zone))
        assert [(one.begins, one.ends) for one in seen] == [(one, one + HOUR / 3) for one in moments]


@pytest.mark.parametrize("read", BOTH)
def test_work_through_the_hour_that_comes_twice_is_as_long_as_it_takes(read):
    """In CET 02:00-03:00 comes twice on 25 Oct 2026, UTC 00:00 and 01:00."""
    midnight = datetime(2026, 10, 25, tzinfo=UTC)
    minutes = ((-30, 30), (10, 50), (10, 70), (50, 65), (70, 110), (70, 150))
    for begins, ends in minutes:
        meant = midnight + timedelta(minutes=begins), midnight + timedelta(minutes=ends)
        (seen,) = read(under_another_name(calendar([between(*meant, zone="CET")], "CET"), "CET"))
        assert (seen.begins, seen.ends) == meant


def test_the_second_of_two_hours_is_said_in_utc_as_its_clock_time_means_the_first():
    """RFC 5545 section 3.3.5."""
    begins = datetime(2026, 10, 25, 1, 10, tzinfo=UTC)
    content = calendar([between(begins, begins + HOUR / 2, zone="CET")], "CET")
    assert b"DTSTART:20261025T011000Z\r\nDTEND:20261025T014000Z\r\n" in content
    assert b"02:10 again-02:40 again" in content


def test_a_break_is_measured_in_time_that_passes_not_on_the_clock():
    """02:00-02:50, then 02:10 again: 20 minutes, one stretch; 01:00-02:00, then 02:10 again: 70 minutes, two."""
    midnight = datetime(2026, 10, 25, tzinfo=UTC)

    def parts(*minutes):
        entries = [between(midnight + timedelta(minutes=a), midnight + timedelta(minutes=b), zone="CET")
                   for a, b in minutes]  # fmt: skip
        return len(BOTH[0](calendar(entries, "CET")))

    assert parts((0, 50), (70, 110)) == 1
    assert parts((-60, 0), (70, 110)) == 2


@pytest.mark.parametrize("read", BOTH)
def test_without_a_zone_the_clock_on_the_wall_is_meant_wherever_it_hangs(read):
    """RFC 5545 section 3.3.5, form 1: no zone and no Z."""
    content = calendar([work(date(2026, 11, 7), time(9), time(10, 30), "Ines", zone=None)], None)
    assert b"DTSTART:20261107T090000\r\nDTEND:20261107T103000\r\n" in content
    assert b"TZID" not in content
    assert [(one.begins, one.ends) for one in read(content)] == [
        (datetime(2026, 11, 7, 9), datetime(2026, 11, 7, 10, 30))  # noqa: DTZ001
    ]


def test_deadlines_have_no_zone_so_that_they_are_the_same_day_everywhere():
    content = calendar_of(handout(deadlines=(COMB_SAFE,)), None, None, now=NOW, alarm_minutes=None)
    assert b"DTSTART;VALUE=DATE:20270401\r\n" in content


def test_an_hour_that_never_comes_is_written_as_it_is_by_the_clock_before():
    """RFC 5545 section 3.3.5: 02:30 on 28 Mar 2027 in CET is 03:30 by the clock of summer."""
    content = calendar([work(date(2027, 3, 28), time(1), time(2, 30), "Ines", zone="CET")], "CET")
    assert b"DTSTART;TZID=CET:20270328T010000\r\nDTEND;TZID=CET:20270328T033000\r\n" in content


def test_a_time_that_comes_once_is_the_same_whatever_its_fold():
    one, other = (
        calendar([work(date(2026, 11, 7), time(9, fold=fold), time(10, fold=fold), "Ines", zone="CET")], "CET")
        for fold in (0, 1)
    )
    assert b"DTSTART;TZID=CET:20261107T090000\r\nDTEND;TZID=CET:20261107T100000\r\n" in one
    assert b"DTSTART;TZID=CET:20261107T090000\r\nDTEND;TZID=CET:20261107T100000\r\n" in other


def onsets(component: icalendar.Timezone) -> dict[datetime, timedelta]:
    """From when on which offset holds. RFC 5545 section 3.6.5: DTSTART is by the clock that TZOFFSETFROM tells.

    Both libraries compare clock times (they share dateutil), and would not see a DTSTART by the new clock.
    """
    return {
        one["DTSTART"].dt.replace(tzinfo=UTC) - one["TZOFFSETFROM"].td: one["TZOFFSETTO"].td
        for one in component.subcomponents
    }


def offset_by(begun: dict[datetime, timedelta], moment: datetime) -> timedelta:
    return begun[max(start for start in begun if start <= moment)]


@pytest.mark.parametrize("zone", [*WEEKS, "Etc/GMT+11"])
def test_the_zone_in_the_file_tells_the_offset_of_every_quarter_of_an_hour_to_the_letter(zone):
    content = calendar([work(date(2026, 11, 7), time(9), time(10), "Ines", zone=zone)], zone)
    found = icalendar.Calendar.from_ical(content).walk("VTIMEZONE")
    assert len(found) == (zone != "UTC")
    for component in found:
        begun = onsets(component)
        for first in WEEKS.get(zone, WEEKS["CET"]):
            start = datetime(first.year, first.month, first.day, tzinfo=UTC)
            for moment in (start + n * HOUR / 4 for n in range(8 * 96)):
                assert offset_by(begun, moment) == moment.astimezone(ZoneInfo(zone)).utcoffset()


@pytest.mark.slow
def test_every_zone_there_is_tells_the_offset_of_every_hour_of_the_winter():
    for name in sorted(available_timezones()):
        component, zone = vtimezone(name, 2026, 2027), ZoneInfo(name)
        assert component.subcomponents
        start = datetime(2026, 1, 1, tzinfo=zone).astimezone(UTC)
        begun = onsets(component)
        moments = [start + n * 7 * HOUR for n in range(2 * 365 * 24 // 7)]
        moments += [at + timedelta(seconds=n) for at in begun if at > start for n in (-1, 0, 1)]
        for moment in moments:
            assert offset_by(begun, moment) == moment.astimezone(zone).utcoffset(), (name, moment)
