"""The table of what each choice of the program buys: the same winter planned in other ways in the same time."""

from __future__ import annotations

from typing import Any

from tests.benchmarks.records import Record, middle
from tests.benchmarks.tables import NONE, Found, cases_of, gap, number, of_aim, over, share, shown, table

PROGRAM = "offseason"
NOTES = """*As counts*: what the model sees, each aim in its order (comb exposed, optional work left, then what the
keeper prefers); *on the clock*: the best roster that keeps every promise among those led by these counts, which is what
anybody could work by. *Bound*: proven for the last aim, with the earlier held at what this way reached; *relaxation*:
the same with fractions of pieces. *Times*: the last aim on the clock, as a multiple of what `offseason` reached in the
same round; where an earlier aim differs, that decides, and it says so. A way that has found nothing in the share of
time of its first aim is given all the rest for it. A tenth of the time is kept back to put counts on the clock.

- `offseason`: the program as it is.
- `dispatch alone`: whoever is free takes up the most pressing work, the best of nine manners; no search, no bound.
- `plain CP-SAT`: the same rows and aims without a first plan as a hint, relaxation, or dispatches between.
- `HiGHS`: the same rows and aims as a mixed-integer programme, by `scipy.optimize.milp`, which says nothing of threads.
- `intervals`: each batch of each lot at each step as an interval with people, seats and spaces to the minute
  (`intervals.py`). Set-ups, liked weather and treatments that lapse are left out, which makes it easier; *rows broken*
  says how many rows of the counting model what it found does not keep. That it found nothing proves nothing."""


Aims = list[dict[str, Any]]
"""What a way told of each aim, in order."""

SAME = 1e-6
"""Values closer than this are the same: they came through a scale as floating point."""


def compared(record: Record) -> str:
    """The section, with a table for each winter; empty where nothing was measured."""
    parts = []
    for name in dict.fromkeys(case.of for case in cases_of(record, "ways")):
        ours = [case for case in cases_of(record, "ways") if case.of == name]
        program = next((record.runs(case) for case in ours if case.way == PROGRAM), [])
        rows = [[case.way, *_row(record.runs(case), program)] for case in ours]
        aims = next((run["aims"] for case in ours for run in record.runs(case) if "aims" in run), [])
        told = "; ".join(f"{aim['aim']} in {aim['unit']}" for aim in aims)
        given = f"{max(case.seconds for case in ours):g} seconds each. Aims: {told}."
        parts.append(f"### {name[:1].upper()}{name[1:]}\n\n{given}\n\n{table(rows, HEAD)}")
    return "" if not parts else "\n\n".join(["## What each choice buys", NOTES, *parts])


HEAD = ["way", "as counts", "bound", "gap", "relaxation", "on the clock", "times", "rows broken", "took s", "MB"]


def _row(runs: Found, program: Found) -> list[str]:
    good = [run for run in runs if "failed" not in run]
    if len(good) < len(runs):
        return ["failed", *[NONE] * (len(HEAD) - 2)]
    return [
        _values(good, "reached"),
        number(over(good, lambda run: run["aims"][-1]["bound"]), 2),
        share(over(good, lambda run: gap(run["aims"][-1]))),
        number(over(good, lambda run: run["aims"][-1].get("relaxed")), 2),
        _values(good, "clock"),
        NONE
        if any("failed" in run for run in program)
        else _times(*([run["aims"] for run in of] for of in (good, program))),
        number(over(good, lambda run: run.get("broken")), 0),
        shown(good, "took_s"),
        shown(good, "peak_mb", 0),
    ]


def _values(runs: Found, key: str) -> str:
    """The median of each aim, one after another."""
    names = list(dict.fromkeys(aim["aim"] for run in runs for aim in run["aims"]))
    values = [over(runs, lambda run, name=name: (of_aim(run["aims"], name) or {key: None})[key]) for name in names]
    return NONE if all(value is None for value in values) else " / ".join(number(value, 2) for value in values)


def _times(ours: list[Aims], program: list[Aims]) -> str:
    """The median over rounds of last aim to last aim; where an earlier one decides in any round, that in words."""
    ratios, verdicts = [], set()
    for mine, theirs in zip(ours, program, strict=False):
        if mine[-1]["clock"] is None or theirs[-1]["clock"] is None:
            return "no plan" if mine[-1]["clock"] is None else NONE
        verdicts.add(_decided(mine[:-1], theirs[:-1]))
        ratios.append(mine[-1]["clock"] / theirs[-1]["clock"] if theirs[-1]["clock"] else None)
    decided = verdicts - {""}
    if not decided:
        return number(middle(ratios), 3)
    return decided.pop() if len(decided) == 1 else "not alike in all rounds"


def _decided(mine: Aims, theirs: Aims) -> str:
    """Which of the earlier aims decides, and for whom; empty where none does."""
    for one in mine:
        other = of_aim(theirs, one["aim"])
        reached = other["clock"] if other is not None else 0.0  # no such aim: nothing was left to it
        if abs(one["clock"] - reached) > SAME * max(1.0, abs(reached)):
            return f"{'better' if one['clock'] < reached else 'worse'}: {one['aim']}"
    return ""
