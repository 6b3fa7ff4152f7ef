"""What a new plan changes for each person on each day, why, and what it does to the days in hand.

Pure functions of two plans and what is known of their winters.
"""

from __future__ import annotations

from offseason.plan.changes.compare import changes, of_two_winters
from offseason.plan.changes.entries import changed_entries, entries_changed, share_changed, since_of
from offseason.plan.changes.model import Cause, Change, Changes, Key, Kind, Presence, Reason, Result, Side

__all__ = [
    "Cause", "Change", "Changes", "Key", "Kind", "Presence", "Reason", "Result", "Side",
    "changed_entries", "changes", "entries_changed", "of_two_winters", "share_changed", "since_of",
]  # fmt: skip
