"""A calendar as a phone keeps it: what becomes of it when calendar files are imported again and again.

RFC 5546 section 2.1.5: the UID says which entry it is; of two, the one with the higher SEQUENCE holds, and at the same
SEQUENCE the one with the later DTSTAMP. RFC 5545 section 3.8.1.11: STATUS:CANCELLED says that it will not take place;
it stays known, so that an older file does not bring it back.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import icalendar


@dataclass
class Store:
    """Entries by UID, called-off ones too: (SEQUENCE, DTSTAMP), status and what is shown of them."""

    entries: dict = field(default_factory=dict)

    def take(self, content: bytes) -> int:
        """Import a file; how many entries were taken from it."""
        taken = 0
        for event in icalendar.Calendar.from_ical(content).walk("VEVENT"):
            rank = int(event["SEQUENCE"]), event["DTSTAMP"].dt
            uid = str(event["UID"])
            if uid not in self.entries or rank > self.entries[uid][0]:
                self.entries[uid] = rank, str(event["STATUS"]), _shown(event)
                taken += 1
        return taken

    @property
    def shown(self) -> dict[str, bytes]:
        """What stands in the calendar."""
        return {uid: shown for uid, (_, status, shown) in self.entries.items() if status != "CANCELLED"}


def _shown(event) -> bytes:
    return b"\n".join(line for line in event.to_ical().split(b"\r\n") if not line.startswith(_STAMPS))


_STAMPS = (b"SEQUENCE", b"DTSTAMP", b"LAST-MODIFIED")


def fresh(content: bytes) -> dict[str, bytes]:
    """What stands in a calendar that knows nothing but this file."""
    store = Store()
    store.take(content)
    return store.shown
