"""When somebody works, as people read it."""

from __future__ import annotations

from datetime import time

from offseason.plan.document import Row
from offseason.plan.layout import time_text


def from_to_text(row: Row, dash: str = "-") -> str:
    """``09:31-09:41``: to the minute, since nobody works by the second; ``09:31`` where it is over within it.

    The plan file has the seconds: rows that follow one another there do so here.
    """
    starts, ends = _minute(row.start), _minute(row.end)
    return starts if starts == ends else f"{starts}{dash}{ends}"


def _minute(at: time) -> str:
    return time_text(at.replace(second=0))
