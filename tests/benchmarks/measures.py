"""What is measured: the list of cases, and the measure of each. Each is measured in a process of its own."""

from __future__ import annotations

import multiprocessing
import resource
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from offseason.solver.hunt import Hunt, Settings
from offseason.solver.model import build
from offseason.solver.relaxation import Relaxation
from offseason.workload.model import Workload
from tests.benchmarks import classical
from tests.benchmarks.batches import as_intervals
from tests.benchmarks.records import RELAXATION_MOST_S, Case
from tests.benchmarks.ways import WORKERS, dispatch_alone, highs, plain_cp_sat, whole_program
from tests.benchmarks.yards import workload_of

PROGRAM = "offseason"
WAYS: dict[str, Callable[[Workload, float, int], dict[str, Any]]] = {
    PROGRAM: whole_program,
    "dispatch alone": dispatch_alone,
    "plain CP-SAT": plain_cp_sat,
    "HiGHS": highs,
    "intervals": as_intervals,
}
CLASSICAL: dict[str, Callable[[classical.Problem, float, int], dict[str, Any]]] = {
    PROGRAM: classical.by_counting,
    "PyJobShop": classical.by_library,
}

PATIENCE = (3.0, 300.0)
"""A measure that takes more than so many times its seconds, and so many seconds more, is ended and told as failed."""

LOADED_BEFORE = ["ortools.sat.python.cp_model", "scipy.optimize", __name__]
"""What every process of a measure begins with: to load it anew for each would take longer than many measures do. This
module is not found from everywhere, which only costs time."""


@dataclass(frozen=True)
class Extent:
    """How much is measured: winters and seconds for each benchmark, and the sizes of each thing that grows.

    ``improved``: how far from its bound a plan is; ``compared``: with other ways, in the same seconds as it.
    The program's solves of ``compared`` are shown with those of ``improved``, so none is in both.
    """

    winters: tuple[str, ...] = ("hobby", "sideline", "commercial", "20x4x20", "50x10x25", "100x20x30")
    improved: tuple[tuple[str, float], ...] = (
        ("hobby", 120),
        ("sideline", 60),
        ("sideline", 120),
        ("commercial", 120),
        ("100x20x30", 120),
    )
    compared: tuple[tuple[str, float], ...] = (("hobby", 15), ("sideline", 30), ("commercial", 30), ("20x4x20", 10))
    shops: tuple[str, ...] = classical.JOB_SHOPS
    most_projects: int = 1_000
    classical_s: float = 30
    growing: tuple[tuple[str, tuple[str, ...]], ...] = (
        ("lots", ("6x8x20", "12x8x20", "25x8x20", "50x8x20")),
        ("people", ("15x2x20", "15x4x20", "15x8x20", "15x16x20")),
        ("weeks", ("20x6x8", "20x6x15", "20x6x30")),
        ("pieces", ("20x4x20", "20x4x20*10", "20x4x20*100")),
    )


TINY = Extent(
    winters=("3x2x10",),
    improved=(("3x2x10", 2),),
    compared=(("3x2x10", 4),),
    shops=("ft06",),
    most_projects=1,
    classical_s=2,
    growing=(("lots", ("2x2x10", "4x2x10")), ("pieces", ("3x2x10", "3x2x10*10"))),
)
"""For a trial of the benchmarks themselves, and for their tests."""


def cases(extent: Extent, published: Path | None) -> Iterator[Case]:
    """All there is to measure, in the order in which it is measured."""
    yield from (Case("size", name, "model") for name in extent.winters)
    for thing, names in extent.growing:
        yield from (Case("growth", name, thing) for name in names)
    yield from (Case("gap", name, PROGRAM, seconds) for name, seconds in extent.improved)
    for name, seconds in extent.compared:
        yield from (Case("ways", name, way, seconds) for way in WAYS)
    for name in extent.shops if classical.shops() else ():
        yield from (Case("job shops", name, way, extent.classical_s) for way in CLASSICAL)
    for name in list(classical.listed(published) if published else ())[: extent.most_projects]:
        yield from (Case("projects", name, way, extent.classical_s) for way in CLASSICAL)


BENCHES = ("size", "growth", "gap", "ways", "job shops", "projects")


def measured(case: Case, seed: int, published: Path | None = None) -> dict[str, Any]:
    """Measure one case here and now: what its way gave, seconds on the clock, and the memory at its peak."""
    began = time.perf_counter()
    if case.bench in {"size", "growth"}:
        return size(workload_of(case.of))
    if case.bench in {"gap", "ways"}:
        workload = workload_of(case.of)
        began = time.perf_counter()
        found = WAYS[case.way](workload, case.seconds, seed)
    elif case.bench == "job shops":
        found = CLASSICAL[case.way](classical.job_shop(case.of), case.seconds, seed)
        found["published"] = classical.published_shop(case.of)
    else:
        assert published is not None
        path, optimum = classical.listed(published)[case.of]
        found = {**CLASSICAL[case.way](classical.project(path), case.seconds, seed), "published": optimum}
    return {"took_s": time.perf_counter() - began, **found, "peak_mb": peak_mb()}


def size(workload: Workload) -> dict[str, Any]:
    """What a winter costs before any search: its model, a first plan by dispatch, and its relaxation."""
    began = time.perf_counter()
    model = build(workload)
    built_s = time.perf_counter() - began
    hunt = Hunt(model, Settings(0.0, WORKERS, 0, lambda _: None))
    hunt.first_plan()
    first_s = time.perf_counter() - began
    peak = peak_mb()
    began = time.perf_counter()
    relaxed = Relaxation(model.counts.rows).minimise(model.aims[-1].expr, RELAXATION_MOST_S)
    return {
        "lots": len(workload.lots),
        "people": len(workload.helpers),
        "sessions": len(workload.sessions),
        "pieces": sum(step.pieces for lot in workload.lots for step in lot.steps),
        "variables": len(model.counts.rows.lower),
        "rows": len(model.counts.rows.row_low),
        "built_s": built_s,
        "first_plan_s": None if hunt.best is None else first_s,
        "relaxed_s": None if relaxed.bound is None else time.perf_counter() - began,
        "peak_mb": peak,
    }


def peak_mb() -> float:
    """Most memory this process has had, in MB; of what it was started from, nothing counts where the system tells."""
    try:
        lines = Path("/proc/self/status").read_text(encoding="utf-8").splitlines()
        return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1024
    except (OSError, StopIteration):
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def measured_apart(case: Case, seed: int, published: Path | None = None) -> dict[str, Any]:
    """Measure in a fresh process, so that neither memory nor anything learnt is carried over; or say what failed."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(LOADED_BEFORE)
    began = time.perf_counter()
    ours, theirs = context.Pipe(duplex=False)
    child = context.Process(target=_tell, args=(theirs, case, seed, published))
    child.start()
    theirs.close()
    times, more_s = PATIENCE
    try:
        if not ours.poll(case.seconds * times + more_s):
            return {"failed": "took far longer than it was given"}
        found: dict[str, Any] = ours.recv()
    except EOFError:
        return {"failed": "ended without a word, perhaps for lack of memory"}
    finally:
        child.join(1)
        if child.is_alive():
            child.terminate()
        child.join()
        ours.close()
    return {**found, "whole_s": time.perf_counter() - began}


def _tell(to: Connection, case: Case, seed: int, published: Path | None) -> None:
    try:
        found = measured(case, seed, published)
    except Exception as fault:  # noqa: BLE001 - told in the table: one failure does not end a run of hours
        found = {"failed": f"{type(fault).__name__}: {fault}"}
    to.send(found)
