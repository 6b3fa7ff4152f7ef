"""Calendars for phones: iCalendar files of the plan that can be imported again and again without doubling anything."""

from __future__ import annotations

from offseason.share.calendar.before import is_ours, trouble_with
from offseason.share.calendar.write import calendar_of

__all__ = ["calendar_of", "is_ours", "trouble_with"]
