"""Which entry is which, in every plan of a winter, and how often what a person sees of it has changed.

RFC 7986 section 5.3 asks for identifiers that are unique everywhere and tell nobody's name; hence UUIDs made from the
winter, the calendar and what the entry is of. RFC 5545 section 3.8.7.4: the first SEQUENCE is 0, and it grows with each
change.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID, uuid5

from offseason.share.calendar.before import Known, UnreadableError, read

_CALENDARS = UUID("d2b9b4b5-6a0c-4a7e-9d0a-3f6c8f0a51e7")
_LONG_AGO = datetime(2020, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class History:
    """The entries of the calendar written last time, and the ``sequence`` with which new ones begin."""

    entries: Mapping[str, Known]
    sequence: int


def calendar_uid(winter_id: str, who: str | None) -> UUID:
    """Which calendar it is: a person's, or everybody's (None), of a winter."""
    return uuid5(_CALENDARS, json.dumps([winter_id, who]))


def entry_uid(calendar: UUID, key: str) -> str:
    """Which entry of the calendar it is."""
    return str(uuid5(calendar, key))


def history(before: bytes | None, calendar: UUID, now: datetime) -> History:
    """What to go on from: nothing where there is none before, or that is another winter's or person's.

    Where the last calendar is damaged its numbers are lost; people still have them, and take nothing with a lower one.
    New ones then begin with the minutes since 2020, which are more than any winter is shared times.
    """
    if before is None:
        return History({}, 0)
    try:
        uid, entries = read(before)
    except UnreadableError:
        return History({}, int((now - _LONG_AGO).total_seconds() // 60))
    return History(entries if uid == str(calendar) else {}, 0)
