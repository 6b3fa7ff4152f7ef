"""When a helper could come besides: free stretches of a day, in the order in which they would be filled."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from offseason.remedy.lever import QUARTER_MINUTES
from offseason.scenario.hours import fit_on, hours_on
from offseason.scenario.model import HelperEntry, Scenario
from offseason.scenario.words import Hours

EARLIEST, LATEST = 7 * 60, 20 * 60
"""Nobody is asked to work before or after these minutes of the day. Ours."""

MOST_A_DAY = 10 * 60
"""Minutes a helper works in a day at most, those they come anyway included. Ours."""

USUAL_DAY = ((9 * 60, 12 * 60), (13 * 60, 17 * 60))
"""Hours of a day on which nobody comes, for a helper who has no weekly hours. Ours."""

Minutes = tuple[int, int]


def free_slots(scenario: Scenario, name: str, days: Iterable[date], needs: Sequence[str]) -> list[tuple[date, Hours]]:
    """Free stretches of a helper on these days in whole quarters of an hour.

    Days with hours fit for the ``needs`` come first, then those on which the helper comes anyway, then those on which
    others do. Within a day: fit hours, hours beside others, then after all others have gone.
    """
    ordered = sorted(days, key=lambda day: (not _fit(scenario, day, needs), *_company(scenario, name, day), day))
    return [(day, Hours.of_minutes(*one)) for day in ordered for one in _free(scenario, name, day, needs)]


def short_visits(slots: Sequence[tuple[date, Hours]]) -> list[tuple[date, Hours]]:
    """The first quarter of an hour of each of these days, in the order of the calendar.

    Where a freezer must be emptied and filled, a quarter of an hour on each day is worth more than hours on one.
    """
    first: dict[date, Hours] = {}
    for day, hours in slots:
        start, _ = hours.minutes
        first.setdefault(day, Hours.of_minutes(start, start + QUARTER_MINUTES))
    return sorted(first.items())


def quarters(slots: Iterable[tuple[date, Hours]]) -> int:
    """Whole quarters of an hour in these stretches."""
    return sum((hours.minutes[1] - hours.minutes[0]) // QUARTER_MINUTES for _, hours in slots)


def _company(scenario: Scenario, name: str, day: date) -> tuple[bool, bool]:
    return not _there(scenario.crew[name], day), not any(_there(one, day) for one in scenario.crew.values())


def _free(scenario: Scenario, name: str, day: date, needs: Sequence[str]) -> list[Minutes]:
    helper = scenario.crew[name]
    if any(day in days for days in helper.away):
        return []
    own = _there(helper, day)
    everybody = [one for other in scenario.crew.values() for one in _there(other, day)]
    wanted = [*_fit(scenario, day, needs), *everybody]
    wanted += [(max(end for _, end in everybody), LATEST)] if everybody else _usual(helper)
    taken, left, found = list(own), MOST_A_DAY - sum(end - start for start, end in own), []
    for stretch in wanted:
        for start, end in _without(stretch, taken):
            first, last = max(start, EARLIEST), min(end, LATEST)
            length = min(last - first, left) // QUARTER_MINUTES * QUARTER_MINUTES
            if length > 0:
                found.append((first, first + length))
                taken.append((first, first + length))
                left -= length
    return found


def _usual(helper: HelperEntry) -> list[Minutes]:
    """The stretches of the weekday with the most hours."""
    longest = max(helper.works.values(), key=_length, default=())
    return [hours.minutes for hours in longest] or list(USUAL_DAY)


def _length(hours: Iterable[Hours]) -> int:
    return sum(one.minutes[1] - one.minutes[0] for one in hours)


def _there(helper: HelperEntry, day: date) -> list[Minutes]:
    return sorted(hours.minutes for hours in hours_on(helper, day))


def _fit(scenario: Scenario, day: date, needs: Sequence[str]) -> list[Minutes]:
    return [h.minutes for need in needs for h in fit_on(scenario.weather.windows.get(need, {}), day)]


def _without(stretch: Minutes, taken: Sequence[Minutes]) -> list[Minutes]:
    left, (start, end) = [], stretch
    for one, two in sorted(taken):
        if one >= end or two <= start:
            continue
        left.append((start, one))
        start = max(start, two)
    return [(a, b) for a, b in [*left, (start, end)] if a < b]


def weeks(first: date, last: date) -> list[list[date]]:
    """The days from first to last, week by week; a week begins on Monday."""
    found: list[list[date]] = []
    for n in range((last - first).days + 1):
        day = first + timedelta(days=n)
        if not found or day.weekday() == 0:
            found.append([])
        found[-1].append(day)
    return found
