"""What changed since the plan that was shared last, a line for each person and day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from offseason.plan.changes import Changes
from offseason.plan.changes.model import NO_REASON
from offseason.share.handout import Changed, ChangeLine
from offseason.share.terminal.changes import called, lines_of
from offseason.share.terminal.show import Selection


def changed_since_shared(since: datetime, found: Changes) -> Changed:
    """The changes in words, by day. ``since``: when the plan was made that was shared last. Names as written."""
    lines = sorted(lines_of(found, Selection()), key=lambda line: (line.day, line.person, line.order))
    told = [ChangeLine(line.day, line.person, _words(line.work, line.what, line.why)) for line in lines]
    # sorted keeps the order of what is equal: when somebody is called stands before what they do
    return Changed(since, tuple(sorted([*_hours(found), *told], key=lambda line: (line.day, line.who))))


def _hours(found: Changes) -> Iterator[ChangeLine]:
    for (person, day), there in found.presences.items():
        over = found.since is not None and day < found.since.date()
        words = called(there, day)
        if not over and "(" in words:  # which says what it was before
            yield ChangeLine(day, person, words if "called " in words else f"called {words}")


def _words(work: str, what: str, why: str) -> str:
    # that no reason was found is for the keeper to look into, not for whoever does the work
    return f"{work}: {what}{f'; {why}' if why and why != NO_REASON.text else ''}"
