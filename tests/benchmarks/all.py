"""All benchmarks in one command; the page is written from what was measured and never by hand.

    python tests/benchmarks/all.py [--runs 3] [--only size gap ...] [--published FOLDER] [--to docs/benchmarks.md]

Every figure is kept at once beside the page (benchmarks.json), so what was broken off goes on where it was when the
same command is given again. ``--list`` tells what would be measured, how long it takes at most, and how long it took
where there are figures of all of it (much is proven to its end long before its time is up); ``--render`` only writes
the page from what is kept; ``--tiny`` measures next to nothing, to see whether all works. ``--published``: the folder
of project scheduling instances (see ``rcpsp.py``), which are not part of this repository.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))  # what tests share is found from the root of the repository

from tests.benchmarks.classical import listed  # noqa: E402
from tests.benchmarks.measures import BENCHES, TINY, Extent, cases, measured_apart  # noqa: E402
from tests.benchmarks.page import denied, page  # noqa: E402
from tests.benchmarks.records import Case, Figures, OtherMachineError, Record, middle, opened  # noqa: E402
from tests.benchmarks.tables import number, table  # noqa: E402

DEFAULT_PAGE = ROOT / "docs" / "benchmarks.md"
BESIDES_S = 5.0
"""For the estimate: seconds each measure takes besides those it is given (to start, read, build, put on the clock)."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure what is still missing, and write the page after each round and at the end. 1: it could not go on, or an
    optimum was beaten."""
    asked = _asked(arguments)
    extent = TINY if asked.tiny else Extent()
    todo = [case for case in cases(extent, asked.published) if not asked.only or case.bench in asked.only]
    if not asked.render and (asked.published is None or not listed(asked.published)):
        print("No folder with j30.csv is named by --published, so projects are not measured.", file=sys.stderr)
    if asked.list:
        _list(todo, asked.runs, opened(asked.to.with_suffix(".json"), as_it_is=True))
        return 0
    try:
        record = opened(asked.to.with_suffix(".json"), as_it_is=asked.render)
    except OtherMachineError as told:
        print(told, file=sys.stderr)
        return 1
    if asked.render:
        asked.to.write_text(page(record), encoding="utf-8")
        return 0
    try:
        _measure(record, todo, asked.runs, asked.published, asked.to)
    except KeyboardInterrupt:
        asked.to.write_text(page(record), encoding="utf-8")
        print(f"\nBroken off; {asked.to} has what there is. The same command goes on from here.", file=sys.stderr)
        return 1
    print(f"{asked.to} written")
    if wrong := denied(record):
        print(f"The published optimum is beaten, or denied by a bound: {', '.join(wrong)}.", file=sys.stderr)
    return 1 if wrong else 0


def _measure(record: Record, todo: list[Case], runs: int, published: Path | None, to: Path) -> None:
    """One round after another, so that what is compared is measured side by side; each round with another seed."""
    for run in range(runs):
        for at, case in enumerate(todo):
            if record.has(case, run):
                continue
            given = f", {case.seconds:g} s" if case.seconds else ""
            print(f"run {run + 1} of {runs}, {at + 1} of {len(todo)}: {case.bench}, {case.of}, {case.way}{given}")
            found = measured_apart(case, run, published)
            if "failed" in found:
                print(f"  failed: {found['failed']}", file=sys.stderr)
            record.add(Figures(case, run, found))
        to.write_text(page(record), encoding="utf-8")


def _list(todo: list[Case], runs: int, record: Record) -> None:
    rows = []
    for bench in [*BENCHES, ""]:
        ours = [case for case in todo if bench in {case.bench, ""}]
        most_s = sum(case.seconds + BESIDES_S for case in ours) * runs
        took = [middle([run.get("whole_s") for run in record.runs(case)]) for case in ours]
        took_s = None if None in took else sum(one for one in took if one is not None) * runs
        minutes = [number(None if s is None else s / 60, 0) for s in (most_s, took_s)]
        rows.append([bench or "together", str(len(ours)), str(runs), *minutes])
    print(table(rows, ["benchmark", "measures", "runs", "minutes at most", "minutes it took"]))


def _asked(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=3, help="rounds; figures are medians of them (3)")
    parser.add_argument("--only", nargs="+", choices=BENCHES, default=[], metavar="NAME", help=", ".join(BENCHES))
    parser.add_argument("--published", type=Path, help="folder with j30.csv and the instances it names")
    parser.add_argument("--to", type=Path, default=DEFAULT_PAGE, help="the page")
    parser.add_argument("--tiny", action="store_true", help="next to nothing, to see whether all works")
    parser.add_argument("--list", action="store_true", help="what would be measured, and how long it takes at most")
    parser.add_argument("--render", action="store_true", help="only write the page from the figures kept")
    asked = parser.parse_args(arguments)
    if asked.tiny and asked.to == DEFAULT_PAGE:
        parser.error("--tiny wants --to: its figures do not belong among the others")
    if asked.published is not None:
        asked.published = asked.published.resolve()
    return asked


if __name__ == "__main__":
    sys.exit(main())
