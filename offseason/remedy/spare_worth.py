"""What one more unit of each resource is worth: the winter solved with it and without, in the same time and manner."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from datetime import time as clock_time
from itertools import islice

from offseason.remedy.changed import changed
from offseason.remedy.free_hours import free_slots
from offseason.remedy.lever import QUARTER_MINUTES, Change, Kind, Lever
from offseason.remedy.spare import SAME, Gain, OneMore, Use, Week
from offseason.scenario.model import Scenario
from offseason.scenario.words import Hours
from offseason.solver import Progress, solve
from offseason.weather.outlook import Outlook
from offseason.workload.build import build_workload
from offseason.workload.model import AimReached, Schedule, Workload

MOST_WEEKS = 3
"""So many of the busiest weeks are asked what one more hour in them is worth. Ours."""

MORE_SPACES = 10
"""So many more spaces are asked about, in the unit the place is written in."""

FULL = 0.9
"""A place holds work back where it is as full as this at some moment. Ours, as elsewhere in the plan's figures."""

HOUR_MINUTES = 60


@dataclass(frozen=True)
class Asked:
    """One more unit to ask about, and the change that makes it; None: it can bring nothing, as ``one`` says."""

    one: OneMore
    change: Change | None


@dataclass(frozen=True)
class Worths:
    """What was found, in the order asked; ``each_s``: seconds that each solve had; ``stopped``: by Ctrl-C."""

    found: tuple[OneMore, ...]
    each_s: float = 0.0
    stopped: bool = False


def asked_about(scenario: Scenario, workload: Workload, weeks: Sequence[Week]) -> tuple[Asked, ...]:
    """An hour of help in the busiest weeks, a seat at each place with seats, spaces where a place is full."""
    return (*_hours(scenario, weeks), *_seats(workload), *_spaces(workload, weeks))


def worths(
    scenario: Scenario,
    outlook: Outlook | None,
    asked: Sequence[Asked],
    *,
    seconds: float,
    workers: int = 2,
    seed: int = 0,
    tell: Callable[[Progress], None] | None = None,
) -> Worths:
    """What each is worth; the seconds are shared out evenly among the winter as it is and each winter changed.

    ``scenario``: settled. One thing at a time is changed; two together may be worth more or less than both alone. What
    there is no time left for is not compared: a plan of a large winter takes longer than its share.
    """
    to_solve = [one for one in asked if one.change is not None]
    if not to_solve or seconds <= 0:
        return Worths(tuple(replace(one.one, compared=one.change is None) for one in asked))
    each_s, began = seconds / (len(to_solve) + 1), time.monotonic()

    def solved(what: str, now: Scenario) -> Schedule:
        def said(at: Progress) -> None:
            if tell is not None:
                tell(replace(at, stage=what))

        schedule = solve(build_workload(now, outlook), seconds=each_s, workers=workers, seed=seed, on_progress=said)
        if schedule.stopped:
            raise KeyboardInterrupt
        return schedule

    found: list[OneMore] = []
    try:
        without = solved("the winter as it is", scenario)
        for one in asked:
            if one.change is None:
                found.append(one.one)
                continue
            if time.monotonic() - began >= seconds:
                found.append(replace(one.one, compared=False))
                continue
            with_it = solved(f"one more: {one.one.name}", changed(scenario, [one.change]))
            found.append(compared(one.one, without, with_it))
    except KeyboardInterrupt:
        return Worths(tuple(found), each_s, stopped=True)
    return Worths(tuple(found), each_s)


def compared(one: OneMore, without: Schedule, with_it: Schedule) -> OneMore:
    """The gain aim by aim, down to the first in which the two differ: later aims are only for what comes before them.

    Not compared where one of them is no plan that keeps every promise.
    """
    if not without.work or not with_it.work or without.left or with_it.left:
        return replace(one, compared=False)
    gains: list[Gain] = []
    for was, now in zip(without.aims, with_it.aims, strict=True):
        gains.append(gain(was, now))
        if abs(was.reached - now.reached) > SAME:
            return replace(one, gains=tuple(gains))
    return replace(one, gains=tuple(gains), to_the_end=True)


def gain(was: AimReached, now: AimReached) -> Gain:
    """What one aim gains: of the plans found, and what of it is proven by the bounds of both."""
    return Gain(
        aim=was.aim,
        unit=was.unit,
        found=was.reached - now.reached,
        sure=max(0.0, was.bound - now.reached),
        most=max(0.0, was.reached - now.bound),
        whole=now.bound <= SAME < now.reached,
    )


def _hours(scenario: Scenario, weeks: Sequence[Week]) -> Iterator[Asked]:
    busiest = [
        (max((use for use in week.uses if use.what == "person"), key=lambda use: use.share, default=None), week)
        for week in weeks
    ]
    asked = sorted(((use, week) for use, week in busiest if use is not None), key=_busiest, reverse=True)
    free = ((use, week, _free_hour(scenario, use.name, week.monday)) for use, week in asked)
    for use, week, slot in islice(((use, week, slot) for use, week, slot in free if slot is not None), MOST_WEEKS):
        lever = Lever(Kind.HELP, use.name, HOUR_MINUTES // QUARTER_MINUTES, 0.0, slots=(slot,))
        one = OneMore("person", use.name, week=week.monday, day=slot[0], hour=str(slot[1]))
        yield Asked(one, Change(lever, lever.most))


def _busiest(at: tuple[Use, Week]) -> tuple[float, float]:
    """Fullest first, to the per mille; of those as full, the week with the most hours."""
    use, week = at
    return round(use.share, 3), week.hours


def _free_hour(scenario: Scenario, name: str, first: date) -> tuple[date, Hours] | None:
    """The first free whole hour of the week, on a day on which they come anyway where there is one."""
    season = scenario.season
    days = [day for n in range(7) if season.from_ <= (day := first + timedelta(days=n)) <= season.until]
    for day, hours in free_slots(scenario, name, days, ()):
        start = hours.start.hour * 60 + hours.start.minute
        if hours.end.hour * 60 + hours.end.minute - start >= HOUR_MINUTES:
            return day, Hours(hours.start, clock_time((start + HOUR_MINUTES) // 60, start % 60))
    return None


def _seats(workload: Workload) -> Iterator[Asked]:
    together = max((len(session.helpers) for session in workload.sessions), default=0)
    for index, place in enumerate(workload.places):
        if place.seats is None or not any(step.at == index for lot in workload.lots for step in lot.steps):
            continue
        one = OneMore("place", place.name)
        if place.seats >= together:
            alone = "nobody is ever there with others" if together == 1 else f"never more than {together} people come"
            yield Asked(replace(one, by_itself=f"{alone}, and all have a seat"), None)
        else:
            yield Asked(one, Change(Lever(Kind.SEATS, place.name, 1, 0.0), 1))


def _spaces(workload: Workload, weeks: Sequence[Week]) -> Iterator[Asked]:
    """Where gear waits or is stored in a place that is full at some moment of the plan."""
    for place in workload.places:
        fullest = max(
            (use.share for week in weeks for use in week.uses if use == Use("space", place.name, use.share)), default=0
        )
        if place.holds is not None and fullest >= FULL:
            lever = Lever(Kind.SPACE, place.name, MORE_SPACES, 0.0)
            yield Asked(OneMore("space", place.name), Change(lever, MORE_SPACES))
