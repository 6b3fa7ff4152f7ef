"""Ten boxes or ten thousand: is the model of a winter as quick to build, and its first plan as quick to make?

    python tests/benchmarks/scale.py [--runs 7] [--times 100]

The same winter is planned with every count as it is and with every count so many times as large: pieces, and the
minutes and spaces for them (all times longer by that factor, all places larger). Medians of several runs, taken in
turn so that a busy machine slows both alike. Exit code 1 where either grows by half or more.
"""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import replace
from datetime import date, timedelta
from random import Random
from statistics import median

from tabulate import tabulate

from offseason.solver import Progress, solve
from offseason.solver.model import build
from offseason.workload.model import Helper, Importance, Lot, Place, Session, Stay, Step, Workload

DAY_S, HOUR_S = 86_400, 3_600
FIRST = date(2026, 10, 5)
WEEKS = 20
LIMIT = 1.5
NONE_AT_ONCE = "looking for a plan in which all fits"


class FirstPlanError(Exception):
    """Raised to leave the search once there is a plan."""


def boxes(random: Random, number: int, weeks: int = WEEKS) -> Lot:
    """Boxes to scrape where it fits, to mend a fifth of, to paint twice and to put away."""
    count = random.randint(20, 90)
    coat = {"setup_s": 1_200, "at": 1, "need": "painting", "wait_s": 16 * HOUR_S, "stays": (Stay(2),)}
    steps = (
        Step("scrape", count, 360, at=0, importance=Importance.COULD),
        Step("mend", -(-count // 5), 480, at=0),
        Step("first coat", count, 360, needs=(0,), **coat),
        Step("second coat", count, 300, **coat),
        Step("put away", count, 60, stays=(Stay(4),)),
    )
    return Lot(f"boxes {number}", f"boxes {number}", count, steps, random.randint(0, 30) * DAY_S * weeks // WEEKS)


def combs(random: Random, number: int, weeks: int = WEEKS) -> Lot:
    """Combs to freeze and to seal before the moths fly."""
    count = random.randint(100, 600)
    freeze = Step("freeze", count, 18, wait_s=DAY_S, stays=(Stay(3),), protected=True)
    seal = Step("seal", count, 30, stays=(Stay(4),), protected=True)
    name = f"combs {number}"
    arrives_s = random.randint(0, 40) * DAY_S * weeks // WEEKS
    guarded = {"treat_by_s": 6 * weeks * DAY_S, "protect_until_s": 7 * weeks * DAY_S}
    return Lot(name, name, count, (freeze, seal), arrives_s, **guarded)


def winter(lots: int, people: int, weeks: int = WEEKS) -> Workload:
    """A toy winter of mornings and afternoons, three days in ten fit for painting; a freezer for every 30 lots."""
    weather, gear = Random(1), Random(2)  # a longer winter has the same lots
    sessions = [
        Session(
            FIRST + timedelta(days=day),
            day * DAY_S + starts_h * HOUR_S,
            day * DAY_S + (starts_h + 3) * HOUR_S,
            tuple(range(people)),
            frozenset({"painting"} if weather.random() < 0.3 else ()),
        )
        for day in range(weeks * 7)
        for starts_h in (9, 13)
        if day % 7 < 5
    ]
    places = (
        Place("bench", seats=2),
        Place("paint stand", seats=1 + people // 2),
        Place("rack", holds=20 * people),
        Place("freezer", holds=100 * max(1, lots // 30), whole_loads=True),
        Place("loft", holds=100_000),
    )
    no_painter = frozenset({"scrape", "mend", "first coat", "freeze", "seal", "put away"})
    helpers = tuple(Helper(f"helper {n}", None if n % 2 == 0 else no_painter) for n in range(people))
    made = tuple((combs if n % 3 == 2 else boxes)(gear, n, weeks) for n in range(lots))
    return Workload(tuple(sessions), helpers, places, made, until_s=weeks * 7 * DAY_S)


def times_as_large(workload: Workload, times: int) -> Workload:
    """Every count so many times as large: pieces, spaces, and all times but the minutes of one piece."""

    def longer(entry: object, *names: str) -> dict[str, int]:
        return {name: getattr(entry, name) * times for name in names if getattr(entry, name) is not None}

    def step(one: Step) -> Step:
        return replace(one, **longer(one, "pieces", "setup_s", "wait_s", "within_s", "lasts_s"))

    def lot(one: Lot) -> Lot:
        changed = longer(one, "count", "arrives_s", "ready_by_s", "treat_by_s", "protect_until_s")
        return replace(one, steps=tuple(step(s) for s in one.steps), **changed)

    return replace(
        workload,
        sessions=tuple(replace(s, **longer(s, "starts_s", "ends_s")) for s in workload.sessions),
        places=tuple(replace(p, **longer(p, "holds")) for p in workload.places),
        lots=tuple(lot(one) for one in workload.lots),
        until_s=workload.until_s * times,
    )


def seconds_to_build(workload: Workload) -> float:
    """Seconds until the model stands."""
    began = time.perf_counter()
    build(workload)
    return time.perf_counter() - began


def seconds_to_first_plan(workload: Workload) -> float:
    """Seconds from the workload to the first plan that keeps every promise."""

    def until_a_plan(progress: Progress) -> None:
        if progress.stage == NONE_AT_ONCE:
            raise SystemExit("There was no first plan: the toy winter is too tight to measure with.")
        if progress.best is not None:
            raise FirstPlanError

    began = time.perf_counter()
    try:
        solve(workload, seconds=60, on_progress=until_a_plan)
    except FirstPlanError:
        return time.perf_counter() - began
    raise SystemExit("The search ended without a word of its first plan.")


def main() -> int:
    """Measure, print the table, and say by the exit code whether the limit is kept."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=7, help="runs of each, at least 5 (7)")
    parser.add_argument("--times", type=int, default=100, help="how many times as large (100)")
    arguments = parser.parse_args()
    rows = []
    for lots, people in ((6, 2), (15, 3), (30, 6)):
        small = winter(lots, people)
        large = times_as_large(small, arguments.times)
        for what, measure in (("model", seconds_to_build), ("first plan", seconds_to_first_plan)):
            runs = [(measure(small), measure(large)) for _ in range(max(5, arguments.runs))]
            one, many = (median(column) for column in zip(*runs, strict=True))
            rows.append([f"{lots} lots, {people} people", what, one, many, many / one])
    head = ["winter", "median seconds to", "×1", f"×{arguments.times}", "ratio"]
    print(tabulate(rows, head, floatfmt=("", "", ".3f", ".3f", ".2f")))
    worst = max(row[-1] for row in rows)
    print(f"\nworst ratio {worst:.2f}, to stay below {LIMIT}")
    return int(worst >= LIMIT)


if __name__ == "__main__":
    sys.exit(main())
