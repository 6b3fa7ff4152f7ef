"""The same events, planned anew in three ways: how many entries change, and how long. Writes docs/replanning.md.

    python tests/benchmarks/replanning.py [--runs 3] [--seconds 12] [--to docs/replanning.md]

A plain re-solve knows what is done and not what was promised; a re-solve guided by the old plan is given its counts to
begin its search from; ``replan`` is ``offseason replan``. Medians of the runs, each with another seed.
"""

from __future__ import annotations

import argparse
import os
import platform
import tempfile
import time
from collections.abc import Sequence
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path
from statistics import median

from tabulate import tabulate

from offseason import __version__
from offseason.commands.replan import plan_anew
from offseason.plan.document import Plan, Row
from offseason.plan.make import plan_from
from offseason.plan.progress.believed import believed
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.standing import done_of, kept
from offseason.plan.promised import promised
from offseason.solver import solve
from offseason.solver.course import counts_on, course_of
from offseason.solver.hunt import Hunt, Settings
from offseason.solver.improve import improve
from offseason.solver.manner import Manner
from offseason.solver.model import build
from offseason.solver.search import schedule_of
from offseason.workload.build import build_workload
from offseason.workload.model import Schedule, Work, Workload
from offseason.workload.sessions import elapsed_s
from offseason.workload.standing import with_standing
from tests.begun import changed, first_plan
from tests.sideline_events import EVENTS, Event, sideline, told


def plain(workload: Workload, _promised: Sequence[Work], seconds: float, seed: int) -> Schedule:
    """As if there had been no plan, from what is done."""
    return solve(workload, seconds=seconds, seed=seed)


def guided(workload: Workload, work: Sequence[Work], seconds: float, seed: int) -> Schedule:
    """The aims of a new plan, with a first plan led by the old one, from which every search sets out."""
    hunt = Hunt(build(workload), Settings(seconds, 2, seed, lambda _: None))
    guide = counts_on(workload, course_of(workload, work))
    guide = [known + past[:, 1:] for known, past in zip(guide, hunt.model.counts.past, strict=True)]
    for fill in (False, True):
        hunt.dispatch(Manner(guide=guide, fill=fill, full_loads=0.0))
    if hunt.best is None:
        hunt.first_plan()
    if hunt.best is None:
        return solve(workload, seconds=seconds, seed=seed)
    for aim in range(len(hunt.model.aims)):
        improve(workload, hunt, aim)
    return schedule_of(hunt, stopped=False)


WAYS = {"plain re-solve": plain, "re-solve guided by the old plan": guided}


def measured(
    event: Event, plan: Plan, folder: Path, seconds: float, seed: int
) -> list[tuple[str, float, int, int, int]]:
    """For each way: its name, seconds taken, entries changed, entries there were, and pieces of must-work left."""
    scenario, outlook = sideline(folder, event.text)
    entries, now = told(event, plan)
    old = [row for row in plan.rows if row.day >= event.today]
    whole = build_workload(scenario, outlook)
    done: tuple[Entry, ...] = believed(whole, kept(entries))[0]
    workload = with_standing(whole, elapsed_s(scenario, now), done_of(scenario, whole, done, now))
    found = []
    for name, way in WAYS.items():
        began = time.monotonic()
        made = way(workload, promised(scenario, workload, old), seconds, seed)
        took = time.monotonic() - began
        rows = plan_from(
            workload, made, scenario_file="", scenario_sha256="", made=plan.made, made_with=""
        ).rows  # fmt: skip
        found.append((name, took, *_counted(old, rows, event), _left(made)))
    began = time.monotonic()
    anew = plan_anew(scenario, outlook, plan, kept(entries), now, seconds=seconds, workers=2, seed=seed)
    took = time.monotonic() - began
    assert not anew.faults
    rows = [row for row in anew.plan.rows if not row.done]
    return [*found, ("offseason replan", took, *_counted(old, rows, event), _left(anew.schedule))]


def _counted(old: Sequence[Row], rows: Sequence[Row], event: Event) -> tuple[int, int]:
    return changed(old, [replace(row, done=False) for row in rows], event.days)


def _left(made: Schedule | None) -> int:
    return sum(pieces for _, _, pieces in made.left_undone) if made is not None else 0


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--seconds", type=float, default=12)
    parser.add_argument("--to", type=Path, default=Path(__file__).parents[2] / "docs" / "replanning.md")
    asked = parser.parse_args()
    lines = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        scenario, outlook = sideline(folder)
        plan = first_plan(scenario, outlook, seconds=20)
        for event in EVENTS:
            runs = [measured(event, plan, folder, asked.seconds, seed) for seed in range(asked.runs)]
            for way in zip(*runs, strict=True):
                shown = f"{median(run[2] for run in way):g} of {way[0][3]}"
                left = f"{median(run[4] for run in way):g}"
                lines.append([event.name, way[0][0], shown, left, f"{median(run[1] for run in way):.1f}"])
    asked.to.write_text(_page(lines, asked.runs, asked.seconds), encoding="utf-8")
    print(f"{asked.to} written")


def _page(lines: Sequence[Sequence[str]], runs: int, seconds: float) -> str:
    machine = f"{os.cpu_count()} cores, {platform.machine()}, {platform.system()}"
    with_ = f"Python {platform.python_version()}, OR-Tools {version('ortools')}, offseason {__version__}"
    table = tabulate(lines, headers=["event", "way", "entries changed", "pieces left", "seconds"], tablefmt="github")
    return f"""# Planning anew, compared

The table is written by `python tests/benchmarks/replanning.py --runs {runs} --seconds {seconds:g}` and not by hand,
on {machine}; {with_}.
Each number is the median of {runs} run{"" if runs == 1 else "s"}, each with another seed. Each way was given
{seconds:g} seconds, the guided one as many again where its first plan did not fit.

The events befall the plan of `scenarios/sideline.yaml` (`tests/sideline_events.py` tells each to the letter). An entry
is what one person does of one step of one lot on one day; it changes where its pieces are others than before, and one
that is new counts too, so more can change than there were. Entries before the day of planning do not count, nor do
those of the Saturday on which the helper is away.

{table}

*Plain re-solve* knows what is done and not what was promised. *Guided* has the aims of a new plan, and sets out from a
plan led by the counts of the old one. *offseason replan* keeps what was promised wherever it can be, and moves least.
Pieces left: must-work that does not fit, or was not made to fit in this time; the plan is for the rest.

## What *offseason replan* does

It has one aim, the work that is moved, and of plans that leave as little takes the one with the fewest changed
entries, those of the next days weighed more. The ways below are tried in turn and share the time; only the bound of
the aim is a proof. The mathematics are in [model.md](model.md#when-a-winter-has-begun).

1. All promised work that still can be stays with its people, at its minute. What was lost, or can no longer be, is
   given out in the time between.
2. Where a freezer, or any place that takes whole loads, is full load after load, what was lost has no turn unless
   something gives way. So promised loads are given up one by one, each time the one that helps most; it comes at the
   end instead. That is tried where no plan was found without, and where a plan was found but moves a load.
3. Where that is not enough, a plan is made that the old one does not lead, then one without its promises; then the
   least that must be left is looked for.
4. The search moves counts of pieces, and does not see people. Afterwards whatever does not contradict what it found
   goes back to the people and minutes that were promised, lot after lot, and at last what differs by its hour alone.
"""


if __name__ == "__main__":
    main()
