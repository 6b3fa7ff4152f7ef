"""The calendar of a person or of everybody as an iCalendar file (RFC 5545, RFC 7986)."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta

from icalendar import Alarm, Calendar, Event

from offseason.share.calendar.before import PRODID, Known, name_of, own_values, shown_of
from offseason.share.calendar.content import Text, folded, lines_of, unescaped, unfolded
from offseason.share.calendar.drafts import Draft, drafts, plain
from offseason.share.calendar.identity import calendar_uid, entry_uid, history
from offseason.share.calendar.zone import vtimezone
from offseason.share.handout import Handout

KEPT_AFTER = timedelta(days=60)
"""So long after its day an entry that was called off still stands in the calendar as called off."""
_END = b"END:VCALENDAR\r\n"
_UTC = "UTC"
_KEPT_WHEN_CANCELLED = {"UID", "DTSTART", "DTEND"}
CALLED_OFF = "Cancelled: "


def calendar_of(
    handout: Handout, who: str | None, before: bytes | None, *, now: datetime, alarm_minutes: int | None
) -> bytes:
    """The calendar of ``who``, or of everybody (None), to be written over ``before``, the one written last time.

    Entries that read as last time are the same bytes. ``now``: an aware moment, stamped on what is new or different.
    ``alarm_minutes``: an alarm so long before each stretch of work. A ``before`` of another winter, or that cannot be
    read (``before.trouble_with`` says why), is left out of account. A person who is no longer in the plan gets a
    calendar in which all is called off.
    """
    calendar = calendar_uid(handout.winter_id, who)
    past = history(before, calendar, now)
    moment = now.astimezone(UTC).replace(microsecond=0)
    parts = [_head(handout, who, str(calendar)).removesuffix(_END)]
    live = set()
    for draft in drafts(handout, who):
        uid = entry_uid(calendar, draft.key)
        live.add(uid)
        known = past.entries.get(uid)
        event = _event(draft, uid, handout.timezone, alarm_minutes)
        if known and known.shown == shown_of(lines_of(event)):
            parts.append(known.written)
        else:
            parts.append(_stamped(event, known.sequence + 1 if known else past.sequence, moment))
    parts += _called_off([one for one in past.entries.values() if one.uid not in live], moment)
    return b"".join([*parts, _END])


def _head(handout: Handout, who: str | None, uid: str) -> bytes:
    calendar = Calendar()
    calendar.add("PRODID", Text(PRODID))
    calendar.add("VERSION", Text("2.0"))
    calendar.add("CALSCALE", Text("GREGORIAN"))
    calendar.add("UID", Text(uid))
    name = plain(handout.name) + (f", {plain(who)}" if who else "")
    calendar.add("NAME", Text(name))  # RFC 7986 section 5.1
    calendar.add("X-WR-CALNAME", Text(name))  # no standard, but what many phones read
    if handout.timezone and handout.timezone != _UTC:
        # a year more: also what was called off before the winter was made shorter lies within what the zone tells
        calendar.add_component(vtimezone(handout.timezone, handout.first.year, handout.last.year + 1))
    return folded(lines_of(calendar))


def _event(draft: Draft, uid: str, zone: str | None, alarm_minutes: int | None) -> Event:
    event = Event()
    event.add("UID", Text(uid))
    _add_times(event, draft, zone)
    event.add("SUMMARY", Text(draft.title))
    event.add("STATUS", Text("CONFIRMED"))
    event.add("TRANSP", Text("OPAQUE" if draft.work else "TRANSPARENT"))
    if draft.text:
        event.add("DESCRIPTION", Text(draft.text))
    if draft.place:
        event.add("LOCATION", Text(draft.place))
    if draft.work and alarm_minutes is not None:
        alarm = Alarm()  # RFC 5545 section 3.6.6
        alarm.add("ACTION", Text("DISPLAY"))
        alarm.add("DESCRIPTION", Text(draft.title))
        alarm.add("TRIGGER", -timedelta(minutes=alarm_minutes))
        event.add_component(alarm)
    return event


def _add_times(event: Event, draft: Draft, zone: str | None) -> None:
    """Days as days; moments by the clock of the zone, in UTC where the clock shows the hour for the second time.

    RFC 5545 section 3.2.19: what is in UTC has no TZID. Section 3.3.5: an hour that comes twice is taken as the first
    of them, and one that never comes by the clock before.
    """
    shown = [_as_shown(moment) for moment in (draft.begins, draft.ends)]
    again = any(isinstance(one, datetime) and one.tzinfo and one.fold for one in shown)
    for name, one in zip(("DTSTART", "DTEND"), shown, strict=True):
        if not isinstance(one, datetime):
            event.add(name, one)
        elif again or (zone == _UTC and one.tzinfo):
            event.add(name, one.astimezone(UTC))
        else:
            event.add(name, one.replace(tzinfo=None), parameters={"TZID": zone} if zone and one.tzinfo else {})


def _as_shown(moment: datetime | date) -> datetime | date:
    """The moment as clocks show it; only what comes twice and for the second time has a ``fold``."""
    if isinstance(moment, datetime) and moment.tzinfo:
        return moment.astimezone(UTC).astimezone(moment.tzinfo)
    return moment


def _stamped(event: Event, sequence: int, moment: datetime) -> bytes:
    """The entry with its number and the moment of the change, in UTC (RFC 5545 sections 3.8.7.2 to 3.8.7.4)."""
    event.add("SEQUENCE", sequence)
    event.add("DTSTAMP", moment)
    event.add("LAST-MODIFIED", moment)
    return folded(lines_of(event))


def _called_off(gone: list[Known], moment: datetime) -> Iterator[bytes]:
    """Entries that are no more, as called off, until they lie long enough back; the older changes as they were."""
    for known in gone:
        if known.day + KEPT_AFTER < moment.date():
            continue
        yield known.written if known.cancelled else _cancelled(known, moment)


def _cancelled(known: Known, moment: datetime) -> bytes:
    stamp = f"{moment:%Y%m%dT%H%M%SZ}"
    lines = unfolded(known.written)
    # those that do not know the status read it in the title
    title = Text(CALLED_OFF + unescaped(own_values(lines).get("SUMMARY", "")))
    return folded(
        [
            "BEGIN:VEVENT",
            f"SUMMARY:{title.to_ical().decode()}",
            *dict.fromkeys(line for line in lines if name_of(line) in _KEPT_WHEN_CANCELLED),
            f"DTSTAMP:{stamp}",
            f"LAST-MODIFIED:{stamp}",
            f"SEQUENCE:{known.sequence + 1}",
            "STATUS:CANCELLED",
            "TRANSP:TRANSPARENT",
            "END:VEVENT",
        ]
    )
