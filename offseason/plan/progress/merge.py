"""Several logs of one winter as one: nothing lost, nothing twice."""

from __future__ import annotations

from offseason.plan.progress.entry import Entry, in_order
from offseason.plan.progress.log import Log, without_doubles


def merged(one: Log, two: Log) -> Log:
    """Every entry of both, each once: in whatever order logs are merged, and however often, the same comes of it.

    Rows of one id that say different things are all kept, for each may be work that was done; a remark tells.
    """
    entries = sorted({*one.entries, *two.entries}, key=in_order)
    kept, said = without_doubles(entries)
    return Log(tuple(kept), tuple(sorted({*one.remarks, *two.remarks, *said})))


def same_id(log: Log, entry: Entry) -> Entry | None:
    """The entry of the log under this id, the equal one where there are several; None where the id is new."""
    same = [one for one in log.entries if one.id == entry.id]
    return next((one for one in same if one == entry), same[0] if same else None)
