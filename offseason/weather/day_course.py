"""Whether it is warmest at a time of day at which it is warmest anywhere; if not, the clock is another place's."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo

import numpy as np

from offseason.weather.records import Hourly, Note

_ENOUGH_DAYS = 20
_LEAST_SWING_K = 1.5  # below this the mean course of a day says nothing
_USUAL_HOUR = 15
_NIGHT = (22, 23, *range(9))
_AFTERNOON = range(12, 18)


def note_of_wrong_clock(record: Hourly, local: tzinfo, local_name: str | None, declared: tzinfo | None) -> Note | None:
    """A note where by the local clock it is warmest between 22:00 and 09:00 on average; None where all is well.

    Needs 20 days of hourly temperatures. ``declared`` is the clock the file says it goes by (None: each row says it).
    The bounds are ours: air is warmest about the middle of the afternoon.
    """
    warmest = _warmest_hour(record, local)
    if warmest is None or warmest not in _NIGHT:
        return None
    clock = f"the clock of {local_name}" if local_name else "UTC (as no timezone is given)"
    text = f"by {clock} it is warmest at about {warmest:02}:00: a wrong clock, or the weather of another place"
    if declared is not None:
        as_written = _warmest_hour(record, declared)
        ahead_h = _wrapped(round(_offset_h(declared, record.first)) + warmest - _USUAL_HOUR)
        if as_written in _AFTERNOON and declared is not local:
            return Note(None, f"{text}. If the times are by the local clock, write time [local]")
        if local_name:
            remedy = f"if the place is right, the times look like time [{ahead_h:+03}:00], give or take two hours"
            return Note(None, f"{text}. Check what stands behind 'time'; {remedy}")
    return Note(None, f"{text}. Check what stands behind 'time', and timezone under season")


def _wrapped(hours: int) -> int:
    return (hours + 11) % 24 - 11


def _offset_h(zone: tzinfo, moment: datetime) -> float:
    offset = moment.astimezone(zone).utcoffset()
    return offset.total_seconds() / 3600 if offset is not None else 0.0


def _warmest_hour(record: Hourly, zone: tzinfo) -> int | None:
    """The hour that is warmest on average over all days, by that clock; None where too little is known."""
    days = -(-len(record) // 24)
    # The offset is taken once a day: an hour more or less on two days of a year does not show in the mean.
    by_day = [round(_offset_h(zone, record.first + timedelta(days=day))) for day in range(days)]
    hours = (record.first.hour + np.arange(len(record)) + np.repeat(by_day, 24)[: len(record)]) % 24
    known = np.isfinite(record.celsius)
    counts = np.bincount(hours[known], minlength=24)
    if counts.min() < _ENOUGH_DAYS:
        return None
    course = np.bincount(hours[known], weights=record.celsius[known], minlength=24) / counts
    smooth = (np.roll(course, 1) + course + np.roll(course, -1)) / 3
    return int(np.argmax(smooth)) if np.ptp(smooth) >= _LEAST_SWING_K else None
