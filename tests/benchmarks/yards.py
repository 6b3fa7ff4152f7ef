"""The winters that are measured, by name: the three scenarios, and yards of any size made up.

A name is ``hobby``, ``sideline``, ``commercial``, or lots x people x weeks, as ``50x10x25``; ``50x10x25*100`` has
every count a hundred times as large, and the times and places for it.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from offseason.scenario.read import read_scenario
from offseason.weather.winter import settle
from offseason.workload.build import build_workload
from offseason.workload.model import Lot, Session, Workload
from tests.benchmarks.scale import DAY_S, times_as_large, winter

SCENARIOS = Path(__file__).parents[2] / "scenarios"
SIZE = re.compile(r"(\d+)x(\d+)x(\d+)(?:\*(\d+))?")
MOST_LOTS, MOST_PEOPLE, MOST_WEEKS = 100, 20, 30

AUTUMN_CELSIUS, MILDEST_S, BOTTOM_CELSIUS = 17.0, 60 * DAY_S, 10
"""A toy store: 17 °C on the first day, 10 °C, below which moths do nothing, after 60 days and from then on."""


def workload_of(name: str) -> Workload:
    """The winter of that name. Raises ValueError for a name that is none, or a yard larger than they are made."""
    size = SIZE.fullmatch(name)
    if size is None:
        path = SCENARIOS / f"{name}.yaml"
        if not path.is_file():
            raise ValueError(f"“{name}” is no scenario here and no size such as 50x10x25 (lots, people, weeks).")
        return build_workload(*settle(read_scenario(path), path.parent))
    lots, people, weeks, times = (int(n or 1) for n in size.groups())
    if not (0 < lots <= MOST_LOTS and 0 < people <= MOST_PEOPLE and 0 < weeks <= MOST_WEEKS):
        raise ValueError(f"{name}: at most {MOST_LOTS} lots, {MOST_PEOPLE} people and {MOST_WEEKS} weeks.")
    made = yard(lots, people, weeks)
    return made if times == 1 else times_as_large(made, times)


def yard(lots: int, people: int, weeks: int) -> Workload:
    """The toy winter of ``scale.py`` with comb that moths find in the mild weeks of autumn."""
    plain = winter(lots, people, weeks)
    heat = _heat(plain.sessions, plain.until_s)
    return replace(plain, lots=tuple(_warmed(lot, heat) for lot in plain.lots))


def _warmed(lot: Lot, heat: tuple[int, ...]) -> Lot:
    return lot if lot.treat_by_s is None else replace(lot, open_heat=heat)


def _heat(sessions: tuple[Session, ...], until_s: int) -> tuple[int, ...]:
    """Tenths of degree-days above 10 °C from the end of each session to the end of the next."""
    ends = [*(session.ends_s for session in sessions), until_s]
    found = []
    for begins, ends_s in pairwise(ends):
        celsius = AUTUMN_CELSIUS - (AUTUMN_CELSIUS - BOTTOM_CELSIUS) * min(1.0, begins / MILDEST_S)
        found.append(round((celsius - BOTTOM_CELSIUS) * 10 * max(0, ends_s - begins) / DAY_S))
    return tuple(found)
