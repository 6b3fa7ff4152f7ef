"""When people are there and when the weather fits, day by day, as far as the checks of a scenario need it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise

from offseason.scenario.model import HelperEntry
from offseason.scenario.words import Days, Hours

Minutes = tuple[int, int]


def season_days(first: date, last: date) -> list[date]:
    """Every day from the first to the last."""
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


def hours_on(helper: HelperEntry, day: date) -> list[Hours]:
    """The hours a helper is there on a day: of the weekday and of single days besides, none when away."""
    if any(day in days for days in helper.away):
        return []
    weekly = [h for weekdays, hours in helper.works.items() if day.weekday() in weekdays for h in hours]
    return weekly + [h for days, hours in helper.also.items() if day in days for h in hours]


def fit_on(windows: Mapping[Days, Sequence[Hours]], day: date) -> Sequence[Hours]:
    """The hours fit on a day: of its own entry, else of a span of days that holds it, else none."""
    own = windows.get(Days(day, day))
    if own is not None:
        return own
    return next((hours for days, hours in windows.items() if day in days), ())


def longest_together(
    crew: Sequence[HelperEntry],
    hands: int,
    days: Sequence[date],
    windows: Mapping[Days, Sequence[Hours]] | None,
) -> int:
    """Minutes of the longest stretch in which as many of ``crew`` as ``hands`` are there and the weather fits."""
    longest = 0
    for day in days:
        fit = None if windows is None else [h.minutes for h in fit_on(windows, day)]
        if fit == []:
            continue
        present = [_merged([h.minutes for h in hours_on(helper, day)]) for helper in crew]
        edges = sorted({edge for stretches in [*present, fit or []] for stretch in stretches for edge in stretch})
        began: int | None = None
        for start, end in pairwise(edges):
            there = sum(_covers(stretches, start, end) for stretches in present)
            if there >= hands and (fit is None or _covers(fit, start, end)):
                began = start if began is None else began
                longest = max(longest, end - began)
            else:
                began = None
    return longest


def _merged(stretches: list[Minutes]) -> list[Minutes]:
    merged: list[Minutes] = []
    for start, end in sorted(stretches):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged


def _covers(stretches: list[Minutes], start: int, end: int) -> bool:
    return any(one <= start and end <= two for one, two in stretches)
