"""All past winters, several at a time, each in a process of its own."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from offseason.plan.rehearsed import Rehearsal, WinterLived
from offseason.rehearsal.outcome import planned_finish
from offseason.rehearsal.replay import Stage, live

if TYPE_CHECKING:
    from multiprocessing.sharedctypes import Synchronized
    from multiprocessing.synchronize import Event

SECONDS_BETWEEN_LOOKS = 0.2
"""How often is looked how far the winters are."""


@dataclass(frozen=True)
class Progress:
    """How far the rehearsal is: winters that are over, of how many, and the share of all their weeks."""

    winters: int
    of_winters: int
    share: float


Tell = Callable[[Progress], None]


def rehearse(stage: Stage, *, workers: int | None = None, on_progress: Tell = lambda _: None) -> Rehearsal:
    """Live through every past winter with the plan, several at a time (``workers``; None: one for each core).

    The same stage gives the same numbers, whatever the workers. Ctrl-C ends it and gives the winters that are over;
    before the first is over it is raised again.
    """
    years = stage.winters.years
    workers = min(len(years), workers or _cores())
    over = _here(stage, on_progress) if workers <= 1 else _side_by_side(stage, workers, on_progress)
    return Rehearsal(
        winters=tuple(over[year] for year in years if year in over),
        asked=len(years),
        planned=planned_finish(stage.planned, stage.course),
        forecast_days=stage.asked.forecast_days,
        vary_percent=stage.asked.vary_percent,
        seed=stage.asked.seed,
        by_hand=tuple(need for need, windows in stage.scenario.weather.windows.items() if windows),
    )


def _cores() -> int:
    """Cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _here(stage: Stage, on_progress: Tell) -> dict[int, WinterLived]:
    """One after another, in this process."""
    years, of_weeks = stage.winters.years, len(stage.weeks()) * len(stage.winters.years)
    over: dict[int, WinterLived] = {}
    weeks = 0

    def go_on() -> bool:
        nonlocal weeks
        on_progress(Progress(len(over), len(years), weeks / of_weeks))
        weeks += 1
        return True

    try:
        for year in years:
            winter = live(stage, year, go_on)
            if winter is not None:
                over[year] = winter
        on_progress(Progress(len(over), len(years), 1.0))
    except KeyboardInterrupt:
        if not over:
            raise
    return over


def _side_by_side(stage: Stage, workers: int, on_progress: Tell) -> dict[int, WinterLived]:
    """Spawned, not forked: the threads of the libraries would not survive that."""
    years, of_weeks = stage.winters.years, len(stage.weeks()) * len(stage.winters.years)
    spawn = multiprocessing.get_context("spawn")
    stop, weeks = spawn.Event(), spawn.Value("q", 0)
    over: dict[int, WinterLived] = {}
    with ProcessPoolExecutor(workers, spawn, _enter, (stage, stop, weeks)) as pool:
        try:
            with _unheard():
                waiting: dict[Future[WinterLived | None], int] = {pool.submit(_one, year): year for year in years}
            while waiting:
                ended, _ = wait(waiting, SECONDS_BETWEEN_LOOKS, FIRST_COMPLETED)
                for future in ended:
                    year, winter = waiting.pop(future), future.result()
                    if winter is not None:
                        over[year] = winter
                on_progress(Progress(len(over), len(years), weeks.value / of_weeks))
        except KeyboardInterrupt:
            if not over:
                raise
        finally:
            stop.set()
            pool.shutdown(wait=True, cancel_futures=True)
    return over


@contextmanager
def _unheard() -> Iterator[None]:
    """Ctrl-C waits until this is over; processes started meanwhile never hear it, not even while they load."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


_entered: list[tuple[Stage, Event, Synchronized[int]]] = []
"""In a process that lives winters: what it was started with."""


def _enter(stage: Stage, stop: Event, weeks: Synchronized[int]) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever started us hears it, and says when to stop
    _entered[:] = [(stage, stop, weeks)]


def _one(year: int) -> WinterLived | None:
    ((stage, stop, weeks),) = _entered

    def go_on() -> bool:
        with weeks.get_lock():
            weeks.value += 1
        return not stop.is_set()

    return live(stage, year, go_on)
