"""``python tests/faults/memory.py [COMMAND ...]``: with too little memory, ended from inside, or without a package.

Needs nothing but time. Memory is limited for the process (address space, in steps); the process is ended by SIGABRT, as
the solver's own code ends it when it finds itself in the wrong; a package it stands on is hidden from it.
"""

from __future__ import annotations

import argparse
import random
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2])]

from tests.faults.judged import known, losses, not_going_on, told  # noqa: E402  also run by itself
from tests.faults.yard import CASES, Ran, before, files_in, put, run, started  # noqa: E402  also run by itself
from tests.tools.kept_figures import figure, keep  # noqa: E402  also run by itself

MEGABYTES = range(40, 320, 12)
SEARCHES = ("plan-over", "replan", "plan-short", "remedies-over")
PACKAGES = ("ortools", "numpy", "pydantic", "yaml", "tabulate", "icalendar")
MOMENTS = 12
SEED = 8
_HIDING = "import sys, runpy; sys.modules[{name!r}] = None; runpy.run_module('offseason', run_name='__main__')"


def starved(name: str, megabytes: int) -> tuple[str, ...]:
    """What was lost, or told wrongly, when there was only so much memory."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        put(folder, before(name))
        size = megabytes << 20
        ran = run(folder, CASES[name].words, limit=lambda: resource.setrlimit(resource.RLIMIT_AS, (size, size)))
        return (*losses(name, files_in(folder), best_so_far=True), *_wrong(name, ran), *not_going_on(name, folder))


def _wrong(name: str, ran: Ran) -> Iterator[str]:
    if ran.code in known(name).codes or ran.code < 0:  # libraries in other languages end the process as they like
        return
    if "offseason" in ran.said and ("Traceback" in ran.said or "fault of offseason" in ran.said):
        yield f"it ends with {ran.code} and says: {ran.said[-400:]}"


def aborted(name: str, after_s: float) -> tuple[str, ...]:
    """What was lost when the process was ended by SIGABRT so long after it was started."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        put(folder, before(name))
        process = started(folder, CASES[name].words)
        try:
            process.communicate(timeout=after_s)
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGABRT)
            process.communicate(timeout=300)
        return (*losses(name, files_in(folder), best_so_far=True), *not_going_on(name, folder))


def incomplete(package: str) -> tuple[str, ...]:
    """What is wrong with how it is told that a package is missing, by the commands that need it."""
    found = []
    with tempfile.TemporaryDirectory() as made:
        for name in ("plan-over", "share-over", "replan"):
            folder = Path(made) / name
            put(folder, before(name))
            command = [sys.executable, "-c", _HIDING.format(name=package), *CASES[name].words]
            ran = run(folder, (), instead=tuple(command))
            if files_in(folder) != before(name) and ran.code != 0:
                found.append(f"{name}: a file was changed")
            whole = ran.code in known(name).codes
            if not whole and (package not in ran.said or "pip install" not in ran.said or "Traceback" in ran.said):
                found.append(f"{name} ends with {ran.code}: {ran.said[-300:]}")
    return tuple(found)


def main() -> int:
    parser = argparse.ArgumentParser(description="Run commands with too little memory, ended from inside, incomplete.")
    parser.add_argument("commands", nargs="*", metavar="COMMAND", help=f"one of kill.py --list ({', '.join(SEARCHES)})")
    given = parser.parse_args()
    names = given.commands or SEARCHES
    command = " ".join(["python tests/faults/memory.py", *given.commands])
    began = time.monotonic()
    lost = sum(len(told(starved(name, mb), f"{name}, {mb} MB")) for name in names for mb in MEGABYTES)
    keep(__file__, figure("too little memory", command, len(names) * len(MEGABYTES), lost, time.monotonic() - began))
    chance, began, more = random.Random(SEED), time.monotonic(), 0
    for name in names:
        with tempfile.TemporaryDirectory() as made:
            put(Path(made), before(name))
            from_start = time.monotonic()
            run(Path(made), CASES[name].words)
            whole_s = time.monotonic() - from_start
        for _ in range(MOMENTS):
            after_s = whole_s * chance.random()
            more += len(told(aborted(name, after_s), f"{name}, SIGABRT after {after_s:.2f} s"))
    keep(__file__, figure("ended from inside (SIGABRT)", command, len(names) * MOMENTS, more, time.monotonic() - began))
    began = time.monotonic()
    without = sum(len(told(incomplete(package), f"without {package}")) for package in PACKAGES)
    keep(
        __file__, figure("a package it stands on is missing", command, len(PACKAGES), without, time.monotonic() - began)
    )
    return 1 if lost + more + without else 0


if __name__ == "__main__":
    sys.exit(main())
