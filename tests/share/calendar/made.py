"""Handouts made by hand, and what two independent libraries read in a calendar."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import icalendar
import vobject

from offseason.plan.document import Row
from offseason.share.handout import Deadline, HandedOut, Handout

ZONE = "EST5EDT"
SATURDAY = date(2026, 11, 7)
NOW = datetime(2026, 10, 1, 8, tzinfo=UTC)
DUST = "Wear a dust mask, and work where the dust is carried off."
LAST_WORD = "The label comes before these numbers."


def work(
    day: date, start: time, end: time, who, step="scrape", lot="brood boxes", pieces=12, *, at="bench", zone=ZONE,
    cautions=(), done=False,
):  # fmt: skip
    """An entry by the clock on the wall; a ``fold`` in the times counts."""
    who = (who,) if isinstance(who, str) else who
    row = Row(day, start, end, who, lot, step, pieces, at, done=done)
    tz = ZoneInfo(zone) if zone else None
    begins, ends = datetime.combine(day, start, tz), datetime.combine(day, end, tz)
    return HandedOut(f"{hash(row):x}"[-10:], row, begins, ends, cautions, "")


def between(begins: datetime, ends: datetime, who="Ines", *, zone: str, **row):
    """An entry between two moments."""
    one, other = (moment.astimezone(ZoneInfo(zone)) for moment in (begins, ends))
    assert one.date() == other.date()
    return work(one.date(), one.time(), other.time(), who, zone=zone, **row)


def handout(*entries, zone=ZONE, name="Winter at Quillet Yard", people=("Ines", "Bo"), deadlines=(), **other):
    """A handout of these entries."""
    return Handout(
        name=name, first=date(2026, 10, 5), last=date(2027, 4, 11), timezone=zone, made=NOW, since=None,
        entries=tuple(sorted(entries, key=lambda e: (e.row.day, e.begins))), people=people, lots=("brood boxes",),
        care=(("dust", DUST),), last_word=LAST_WORD, deadlines=deadlines, left=(), weather=(), changes=None,
        **{"winter_id": "0123456789", **other},
    )  # fmt: skip


COMB_SAFE = Deadline(date(2027, 4, 1), "super combs are to be safe from moths", "super combs")


@dataclass(frozen=True)
class Seen:
    """An entry as a library reads it; moments with a zone in UTC."""

    uid: str
    begins: date
    ends: date
    title: str
    text: str = ""
    place: str = ""
    status: str = ""
    sequence: int = 0


def _moment(value):
    return value.astimezone(UTC) if isinstance(value, datetime) and value.tzinfo else value


def by_icalendar(content: bytes) -> list[Seen]:
    """Entries as icalendar reads them."""
    calendar = icalendar.Calendar.from_ical(content)
    assert not calendar.errors
    events = calendar.walk("VEVENT")
    assert not [e.errors for e in events if e.errors]
    return [
        Seen(str(e["UID"]), _moment(e["DTSTART"].dt), _moment(e["DTEND"].dt), str(e["SUMMARY"]),
             str(e.get("DESCRIPTION", "")), str(e.get("LOCATION", "")), str(e["STATUS"]), int(e["SEQUENCE"]))
        for e in events
    ]  # fmt: skip


def by_vobject(content: bytes) -> list[Seen]:
    """Entries as vobject reads them."""
    calendar = vobject.readOne(content.decode(), validate=True)
    return [
        Seen(e.uid.value, _moment(e.dtstart.value), _moment(e.dtend.value), e.summary.value,
             getattr(e, "description", _NONE).value, getattr(e, "location", _NONE).value, e.status.value,
             int(e.sequence.value))
        for e in calendar.contents.get("vevent", ())
    ]  # fmt: skip


class _Nothing:
    value = ""


_NONE = _Nothing()
BOTH = (by_icalendar, by_vobject)
DAY = timedelta(days=1)
