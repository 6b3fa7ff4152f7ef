"""``python tests/faults/stop.py [COMMAND ...] [--moments N]``: Ctrl-C at moments spread over the run of each command.

Needs nothing but time: some ten minutes for all. After each the files are looked at, and what was said is held to them.
"""

from __future__ import annotations

import argparse
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2])]

from tests.faults.judged import LEFT_OVER, known, losses, told  # noqa: E402  also run by itself
from tests.faults.yard import CASES, Ran, before, files_in, put, started  # noqa: E402  also run by itself
from tests.tools.kept_figures import figure, keep  # noqa: E402  also run by itself

STOPPED = 130
SEED = 8


def pressed(name: str, after_s: float) -> tuple[str, ...]:
    """What was lost, or told wrongly, when Ctrl-C was pressed so long after the command was started."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        put(folder, before(name))
        process = started(folder, CASES[name].words)
        try:
            said, _ = process.communicate(timeout=after_s)
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGINT)
            said, _ = process.communicate(timeout=300)
        ran = Ran(process.returncode, said)
        now = files_in(folder)
        return (*losses(name, now, best_so_far=True), *_wrong(name, ran, now))


def _wrong(name: str, ran: Ran, now: dict[str, bytes]) -> Iterator[str]:
    # what is pressed before the interpreter has come to our first line is its own affair; no file is touched by then
    ours = "offseason/" in ran.said or "Stopped" in ran.said
    if ran.code == -signal.SIGINT or (ran.code in {1, STOPPED} and not ours):
        if now != known(name).before:
            yield "stopped before it began, it changed a file"
        return
    if "Traceback" in ran.said or "fault of offseason" in ran.said:
        yield f"it says: {ran.said[-500:]}"
    if ran.code not in {STOPPED, *known(name).codes}:
        yield f"it ends with {ran.code}: {ran.said[-300:]}"
    if ran.code == STOPPED and now != known(name).before:
        yield "it says that no file was written or changed, and one was"
    if left := sorted(filter(LEFT_OVER.search, now)):
        yield f"{', '.join(left)} is left over"


def main() -> int:
    parser = argparse.ArgumentParser(description="Press Ctrl-C at moments spread over each command.")
    parser.add_argument("commands", nargs="*", metavar="COMMAND", help="one of those of kill.py --list")
    parser.add_argument("--moments", type=int, default=13, metavar="N", help="for each command (13)")
    given = parser.parse_args()
    signal.signal(signal.SIGINT, signal.default_int_handler)  # work in the background has it ignored
    chance, began, tried, lost = random.Random(SEED), time.monotonic(), 0, 0
    for name in given.commands or CASES:
        with tempfile.TemporaryDirectory() as made:
            put(Path(made), before(name))
            from_start = time.monotonic()
            started(Path(made), CASES[name].words).communicate(timeout=300)
            whole_s = time.monotonic() - from_start
        known(name)
        for n in range(given.moments):
            after_s = whole_s * (n + chance.random()) / given.moments
            lost += len(told(pressed(name, after_s), f"{name}, Ctrl-C after {after_s:.2f} s of {whole_s:.2f}"))
            tried += 1
    words = " ".join(given.commands)
    command = f"python tests/faults/stop.py {words} --moments {given.moments}".replace("  ", " ")
    keep(__file__, figure("Ctrl-C at any moment", command, tried, lost, time.monotonic() - began))
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main())
