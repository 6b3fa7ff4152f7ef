"""Stretches of work: what a person does on a day without a longer break is one entry in a calendar."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from offseason.share.handout import HandedOut, Handout

BREAK = timedelta(minutes=30)
"""A break of this length or more parts two stretches."""


@dataclass(frozen=True)
class Stretch:
    """Work of ``who`` on ``day``, the ``number``-th stretch of that day (from 1), its entries in order of time."""

    who: str
    day: date
    number: int
    entries: tuple[HandedOut, ...]

    @property
    def begins(self) -> datetime:
        """When the person is to be there."""
        return self.entries[0].begins

    @property
    def ends(self) -> datetime:
        """When the last of the work ends."""
        return max((entry.ends for entry in self.entries), key=instant)


def instant(moment: datetime) -> datetime:
    """The moment for comparing: where the clocks change, hours as they pass and not as the clock shows them."""
    return moment if moment.tzinfo is None else moment.astimezone(UTC)


def stretches(handout: Handout, who: str | None) -> list[Stretch]:
    """The stretches of a person, or of everybody (None), in order of time, at the same moment in order of people."""
    own: dict[tuple[str, date], list[HandedOut]] = defaultdict(list)
    for entry in sorted(handout.entries, key=lambda entry: instant(entry.begins)):
        for name in entry.row.who if who is None else {who} & {*entry.row.who}:
            own[name, entry.row.day].append(entry)
    found = [
        Stretch(name, day, number, part)
        for (name, day), entries in own.items()
        for number, part in enumerate(_parted(entries), start=1)
    ]
    order = {name: n for n, name in enumerate(handout.people)}
    return sorted(found, key=lambda one: (instant(one.begins), order.get(one.who, len(order)), one.who))


def _parted(entries: list[HandedOut]) -> Iterator[tuple[HandedOut, ...]]:
    part = [entries[0]]
    until = instant(entries[0].ends)
    for entry in entries[1:]:
        if instant(entry.begins) - until >= BREAK:
            yield tuple(part)
            part = []
        part.append(entry)
        until = max(until, instant(entry.ends))
    yield tuple(part)
