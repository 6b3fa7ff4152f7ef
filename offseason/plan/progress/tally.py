"""How many pieces of each step are done, by the log."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from offseason.plan.progress.entry import Entry


def done_pieces(entries: Iterable[Entry]) -> Mapping[tuple[str, str], int]:
    """Pieces done by lot and step, less what was taken back or lost; never below 0."""
    found: dict[tuple[str, str], int] = defaultdict(int)
    for entry in entries:
        found[entry.lot, entry.step] += entry.pieces
    return {key: max(0, pieces) for key, pieces in found.items()}
