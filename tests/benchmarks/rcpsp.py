"""Published project-scheduling instances of 30 jobs, as winters of one-piece lots that hold their places by units.

    python tests/benchmarks/rcpsp.py --published FOLDER [--seconds 30] [--only j301_1 j302_1 ...]

FOLDER holds ``j30.csv`` (columns instance, file, upper: the proven optimum) and the files it names, from
R. Kolisch, A. Sprecher, "PSPLIB – A project scheduling problem library", EJOR 96 (1997) 205–216. The data come with no
licence and are not part of this repository. Exit code 1 where a published optimum is beaten: then the model is wrong.
"""

from __future__ import annotations

import argparse
import csv
import re
import sys
import time
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from tabulate import tabulate

from offseason.solver import solve
from offseason.workload.model import Lot, Order, Place, Prefer, Session, Stay, Step, Workload

PRECEDENCE = re.compile(r"PRECEDENCE RELATIONS:\n.*?\n(.*?)\*{5}", re.DOTALL)
REQUESTS = re.compile(r"REQUESTS/DURATIONS:\n.*?\n-+\n(.*?)\*{5}", re.DOTALL)
AVAILABLE = re.compile(r"RESOURCEAVAILABILITIES:\n.*?\n\s*(.*?)\n")


@dataclass(frozen=True)
class Instance:
    """Jobs by number: those right after each, its duration, the units of each resource it takes; what there is."""

    after: dict[int, list[int]]
    lasts: dict[int, int]
    takes: dict[int, list[int]]
    available: list[int]


def read(path: Path) -> Instance:
    """An instance in the library's own format."""
    text = path.read_text(encoding="utf-8")
    found = [pattern.search(text) for pattern in (PRECEDENCE, REQUESTS, AVAILABLE)]
    if None in found:
        raise SystemExit(f"{path} is not an instance as the library writes them.")
    order, requests, available = (match[1] for match in found if match)
    after = {n[0]: n[3:] for n in _numbers(order)}
    jobs = _numbers(requests)
    return Instance(after, {n[0]: n[2] for n in jobs}, {n[0]: n[3:] for n in jobs}, [int(n) for n in available.split()])


def _numbers(lines: str) -> list[list[int]]:
    return [[int(n) for n in line.split()] for line in lines.strip().splitlines()]


def workload(instance: Instance) -> Workload:
    """Each job a lot of one piece that holds its units while it lasts; time in whole units from 0."""
    jobs = sorted(instance.lasts)
    horizon = sum(instance.lasts.values())
    lots = []
    for job in jobs:
        stays = tuple(Stay(place, units, False) for place, units in enumerate(instance.takes[job]) if units)
        step = Step(f"job {job}", 1, 0, hands=0, wait_s=instance.lasts[job], stays=stays)
        lots.append(Lot(f"job {job}", f"job {job}", 1, (step,)))
    orders = [Order((jobs.index(job), 0), (jobs.index(then), 0)) for job in jobs for then in instance.after[job]]
    return Workload(
        sessions=tuple(Session(date(2026, 10, 5), t, t, ()) for t in range(horizon + 1)),
        helpers=(),
        places=tuple(Place(f"resource {n + 1}", holds=units) for n, units in enumerate(instance.available)),
        lots=tuple(lots),
        orders=tuple(orders),
        prefer=Prefer.SOONEST,
        until_s=horizon,
    )


def main() -> int:
    """Solve, print the table, and say by the exit code whether a published optimum was beaten."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--published", type=Path, required=True, help="folder with j30.csv and the instances")
    parser.add_argument("--seconds", type=float, default=30, help="for each instance (30)")
    parser.add_argument("--only", nargs="+", default=[], help="names of instances; all unless given")
    arguments = parser.parse_args()
    table = arguments.published / "j30.csv"
    if not table.is_file():
        print(f"There is no {table}, so nothing was measured. See the top of this file for where the set comes from.")
        return 0
    with table.open(encoding="utf-8", newline="") as stream:
        listed = [row for row in csv.DictReader(stream) if not arguments.only or row["instance"] in arguments.only]
    rows = []
    for row in listed:
        began = time.perf_counter()
        aim = solve(workload(read(arguments.published / row["file"])), seconds=arguments.seconds).aims[-1]
        rows.append(
            [row["instance"], int(row["upper"]), round(aim.reached), round(aim.bound), time.perf_counter() - began]
        )
        print(f"{len(rows)} of {len(listed)}", end="\r", file=sys.stderr, flush=True)
    print(tabulate(rows, ["instance", "published", "reached", "bound", "seconds"], floatfmt=".1f"))
    reached = sum(row[2] == row[1] for row in rows)
    beaten = [row[0] for row in rows if row[2] < row[1] or row[3] > row[1]]
    print(f"\n{reached} of {len(rows)} reach the published optimum, {sum(r[2] == r[3] for r in rows)} proven")
    if beaten:
        print(f"The published optimum is beaten, or denied by the bound, in: {', '.join(beaten)}")
    return int(bool(beaten))


if __name__ == "__main__":
    sys.exit(main())
