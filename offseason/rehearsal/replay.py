"""One past winter lived with a plan: the keeper follows it, loses what the weather takes, and re-plans each Monday.

On a Monday she knows the weather so far and a few days ahead (the forecast comes true), and beyond that only what
other winters were like. What she then means to do meets the week as it was.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Protocol

import numpy as np

from offseason.plan.document import Plan
from offseason.plan.rehearsed import WinterLived
from offseason.rehearsal.outcome import course_of_plan, lived_winter, planned_works
from offseason.scenario.model import Scenario
from offseason.solver.course import Course, carried_over, work_over
from offseason.solver.follow import intention, lived, nothing_done, varied, with_overdue
from offseason.weather.outlook import Outlook
from offseason.weather.winter import settled
from offseason.workload.build import build_workload
from offseason.workload.model import Work, Workload

DAY = timedelta(days=1)


class PastWinters(Protocol):
    """Past winters laid on the season, as ``weather.winters`` makes them."""

    @property
    def years(self) -> tuple[int, ...]:
        """Past winters whole enough to use."""

    def outlook(self) -> Outlook:
        """The winter the plan was made for."""

    def as_it_was(self, year: int) -> Outlook:
        """The whole season as that past winter was."""

    def as_known(self, year: int, day: date, forecast_days: int) -> Outlook:
        """That winter's weather up to so many days after ``day``, beyond it what other winters let expect."""


@dataclass(frozen=True)
class Asked:
    """How to rehearse.

    ``forecast_days``: how many days after a Monday the weather is known on it. ``vary_percent``: labour takes at most
    so much longer or shorter than planned, drawn for each winter and kind of work from ``seed``; 0: as planned.
    """

    forecast_days: int = 3
    vary_percent: float = 0.0
    seed: int = 0


@dataclass(frozen=True)
class Stage:
    """What does not change from winter to winter: the scenario as written, past winters, and the plan as a course.

    ``planned``: the workload the plan was made for.
    """

    scenario: Scenario
    winters: PastWinters
    asked: Asked
    course: Course
    planned: Workload = field(repr=False)

    @classmethod
    def of(cls, scenario: Scenario, winters: PastWinters, plan: Plan, asked: Asked) -> Stage:
        """The stage for a plan of the scenario as it is written (not yet settled)."""
        outlook = winters.outlook()
        planned = build_workload(settled(scenario, outlook), outlook)
        return cls(scenario, winters, asked, course_of_plan(planned, plan), planned)

    def built(self, outlook: Outlook) -> Workload:
        """The workload in some weather."""
        return build_workload(settled(self.scenario, outlook), outlook)

    def weeks(self) -> tuple[tuple[date, date], ...]:
        """The days of re-planning (the first of the season, and every Monday after it), each with the next."""
        first, ends = self.scenario.season.from_, self.scenario.season.until + DAY
        monday = first + (7 - first.weekday()) * DAY
        days = [first, *(monday + n * 7 * DAY for n in range(-((monday - ends).days // 7)))]
        return tuple(zip(days, [*days[1:], ends], strict=True))


def live(stage: Stage, year: int, go_on: Callable[[], bool] = lambda: True) -> WinterLived | None:
    """What came of a past winter, judged by its own weather and moths. ``go_on`` is asked each week; None: stopped."""
    worked = worked_in(stage, year, go_on)
    if worked is None:
        return None
    real = stage.built(stage.winters.as_it_was(year))
    return lived_winter(year, real, worked, planned_works(stage.planned, stage.course))


def worked_in(stage: Stage, year: int, go_on: Callable[[], bool] = lambda: True) -> tuple[Work, ...] | None:
    """All the work on the clock, in the lots and steps of that winter's own workload. None: stopped."""
    factors = labour_factors(stage, year)
    real = stage.winters.as_it_was(year)
    told_in = stage.planned
    at = nothing_done(told_in)
    done: tuple[Work, ...] = ()
    for today, ends in stage.weeks():
        if not go_on():
            return None
        week = varied(stage.built(_known(stage, year, real, ends - DAY, 0, ends)), factors)
        until = next((k for k, session in enumerate(week.sessions) if session.day >= ends), len(week.sessions))
        if until == at.sessions:
            continue  # nobody is there all week
        known = stage.built(_known(stage, year, real, today, stage.asked.forecast_days, today))
        now_s = known.sessions[at.sessions].starts_s
        at, done = carried_over(at, told_in, known), work_over(done, told_in, known)
        meant = intention(with_overdue(known, at, now_s), at, done, stage.course)
        at, done = carried_over(at, known, week), work_over(done, known, week)
        work, at = lived(with_overdue(week, at, now_s), at, until, meant, stage.course)
        done, told_in = (*done, *work), week
    return work_over(done, told_in, stage.built(real))


def labour_factors(stage: Stage, year: int) -> Mapping[str, float]:
    """How much longer or shorter each kind of work takes that winter; the same for the same seed, year and name."""
    share = stage.asked.vary_percent / 100
    if not share:
        return {}
    scenario = stage.scenario
    found = {}
    for task in (*scenario.tasks, *scenario.jobs, *scenario.rounds):
        drawn = np.random.default_rng([stage.asked.seed, year, zlib.crc32(task.encode())])
        found[task] = float(drawn.uniform(1 - share, 1 + share))
    return found


def _known(stage: Stage, year: int, real: Outlook, day: date, forecast_days: int, gone_by: date) -> Outlook:
    """What is known on a day; of the days before ``gone_by`` it is known how they were."""
    outlook = stage.winters.as_known(year, day, forecast_days)
    windows = {
        need: {d: real.windows[need].get(d, ()) if d < gone_by else hours for d, hours in days.items()}
        for need, days in outlook.windows.items()
    }
    return replace(outlook, windows=windows)
