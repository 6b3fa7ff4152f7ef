"""``python tests/faults/clock.py [COMMAND ...]``: the clock set a day back or on in mid-run, and files of 2040.

Needs Linux and a C compiler: a small library, made on the spot, stands before the clocks of the system.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2])]

from tests.faults.judged import known, losses, not_going_on, told  # noqa: E402  also run by itself
from tests.faults.yard import CASES, before, files_in, put, run  # noqa: E402  also run by itself
from tests.tools.kept_figures import figure, keep  # noqa: E402  also run by itself

DAY_S = 86_400
AFTER_S = 1
TIMES_AS_LONG, SECONDS_MORE = 3, 10
FUTURE = datetime(2040, 1, 1, tzinfo=UTC).timestamp()
_LIBRARY = f"""
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <sys/time.h>
#include <time.h>
static int real(clockid_t which, struct timespec *at) {{
    static int (*found)(clockid_t, struct timespec *);
    if (!found) found = dlsym(RTLD_NEXT, "clock_gettime");
    return found(which, at);
}}
int clock_gettime(clockid_t which, struct timespec *at) {{
    static struct timespec began;
    struct timespec now;
    int said = real(which, at);
    real(CLOCK_MONOTONIC, &now);
    if (!began.tv_sec) began = now;
    if (which == CLOCK_REALTIME && now.tv_sec - began.tv_sec >= {AFTER_S}) at->tv_sec += atol(getenv("CLOCK_JUMPS_S"));
    return said;
}}
int gettimeofday(struct timeval *at, void *zone) {{
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    at->tv_sec = now.tv_sec;
    at->tv_usec = now.tv_nsec / 1000;
    return 0;
}}
time_t time(time_t *at) {{
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    if (at) *at = now.tv_sec;
    return now.tv_sec;
}}
"""


def library(folder: Path) -> Path:
    """Makes the library that stands before the clocks."""
    source, made = folder / "clocks.c", folder / "clocks.so"
    source.write_text(_LIBRARY, encoding="utf-8")
    subprocess.run(["cc", "-shared", "-fPIC", "-o", str(made), str(source), "-ldl"], check=True)
    return made


def jumped(name: str, by_s: int, clocks: Path) -> tuple[str, ...]:
    """What was lost, or took far too long, when the clock jumped by so much while the command ran."""
    at, began = known(name), time.monotonic()
    with tempfile.TemporaryDirectory() as made:
        put(Path(made), before(name))
        run(Path(made), CASES[name].words)
    usual_s, began = time.monotonic() - began, time.monotonic()
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        put(folder, before(name))
        for file in before(name):
            os.utime(folder / file, (FUTURE, FUTURE))
        ran = run(folder, CASES[name].words, by=("env", f"LD_PRELOAD={clocks}", f"CLOCK_JUMPS_S={by_s}"))
        took_s, found = (
            time.monotonic() - began,
            [*losses(name, files_in(folder), best_so_far=True), *not_going_on(name, folder)],
        )
    return (*found, *_wrong(ran.code, at.codes[0], took_s, TIMES_AS_LONG * usual_s + SECONDS_MORE))


def _wrong(code: int, expected: int, took_s: float, most_s: float) -> Iterator[str]:
    if code != expected:
        yield f"it ends with {code} instead of {expected}"
    if took_s > most_s:
        yield f"it takes {took_s:.0f} s"


def main() -> int:
    parser = argparse.ArgumentParser(description="Set the clock while each command runs.")
    parser.add_argument("commands", nargs="*", metavar="COMMAND", help="one of those of kill.py --list")
    given = parser.parse_args()
    began, names = time.monotonic(), given.commands or list(CASES)
    with tempfile.TemporaryDirectory() as made:
        clocks = library(Path(made))
        tries = [(name, by_s) for name in names for by_s in (-DAY_S, DAY_S)]
        lost = sum(len(told(jumped(name, by_s, clocks), f"{name}, clock by {by_s} s")) for name, by_s in tries)
    command = " ".join(["python tests/faults/clock.py", *given.commands])
    keep(
        __file__,
        figure(
            "the clock jumps by a day while it runs, files of 2040", command, len(tries), lost, time.monotonic() - began
        ),
    )
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main())
