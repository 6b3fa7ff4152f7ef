"""When people are there and when the weather fits, day by day, as far as the checks of a scenario need it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date, timedelta

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


def presence(helper: HelperEntry, days: Sequence[date]) -> list[list[Minutes]]:
    """For each of the days, the stretches a helper is there without a break, in minutes since midnight."""
    return [_merged([hours.minutes for hours in hours_on(helper, day)]) for day in days]


def longest_together(
    present: Sequence[Sequence[list[Minutes]]], hands: int, fit: Sequence[list[Minutes]] | None
) -> int:
    """Minutes of the longest stretch in which so many people (``hands``) are there and the weather fits.

    ``present``: the ``presence`` of each of them, on the same days as ``fit``; None: in any weather.
    """
    days = max((len(of_one) for of_one in present), default=0)
    return max(
        (_longest_on([of_one[n] for of_one in present], hands, None if fit is None else fit[n]) for n in range(days)),
        default=0,
    )


def _longest_on(present: Sequence[list[Minutes]], hands: int, fit: list[Minutes] | None) -> int:
    if fit == []:
        return 0
    there: Counter[int] = Counter()
    fits: Counter[int] = Counter()
    for counted, stretches in ((there, [one for of_one in present for one in of_one]), (fits, fit or [])):
        for start, end in stretches:
            counted[start] += 1
            counted[end] -= 1
    longest, people, fitting, began = 0, 0, int(fit is None), None
    for minute in sorted(there.keys() | fits.keys()):
        people += there[minute]
        fitting += fits[minute]
        together = people >= hands and fitting > 0
        if began is not None:
            longest = max(longest, minute - began)
        began = (minute if began is None else began) if together else None
    return longest


def _merged(stretches: list[Minutes]) -> list[Minutes]:
    merged: list[Minutes] = []
    for start, end in sorted(stretches):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged
