"""``python tests/faults/kill.py [COMMAND ...]``: each command killed (SIGKILL) at each of its calls that write.

Needs strace and, as long as all of them are tried, some ten minutes; ``--list`` names the commands. After each kill the
files are looked at, then the command is run again. ``--fail ENOSPC`` (or EIO, EROFS ...): the call fails instead.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2])]

from tests.faults.judged import losses, not_going_on, not_told, told  # noqa: E402  also run by itself
from tests.faults.tracing import Call, traced  # noqa: E402  also run by itself
from tests.faults.yard import CASES, READS, before, files_in, put  # noqa: E402  also run by itself
from tests.tools.kept_figures import figure, keep  # noqa: E402  also run by itself

ONLY_READ = "only-read"
"""Not a command, but all of those that have nothing to write."""

TIMES = 3
"""So often is a call aimed at that was missed because the run took another way to it."""


@dataclass(frozen=True)
class Hit:
    """What came of one call that was hit; ``aimed``: whether it was that very call."""

    aimed: bool
    losses: tuple[str, ...] = ()


def calls_of(name: str) -> tuple[Call, ...]:
    """Every call by which the command of this case writes."""
    with tempfile.TemporaryDirectory() as made:
        put(Path(made), before(name))
        found = traced(Path(made), CASES[name].words)
    if found.ran.code not in {0, 3} or not found.calls:
        raise RuntimeError(f"{name} writes nothing: {found.ran.said}")
    if found.outside:
        raise RuntimeError(f"{name} writes elsewhere: {found.outside[0]}")
    return found.calls


def killed_at(name: str, call: Call) -> Hit:
    """The command killed as it was about to make this call."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        put(folder, before(name))
        ran = traced(folder, CASES[name].words, f"{call.kind}:signal=SIGKILL:when={call.number}")
        if not ran.calls or ran.calls[-1] != call:
            return Hit(aimed=False)
        found = [*losses(name, files_in(folder)), *not_going_on(name, folder)]
    return Hit(aimed=True, losses=tuple(found))


def failed_at(name: str, call: Call, error: str) -> Hit:
    """The command of which this call failed."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        put(folder, before(name))
        ran = traced(folder, CASES[name].words, f"{call.kind}:error={error}:when={call.number}")
        if call not in ran.calls:
            return Hit(aimed=False)
        now = files_in(folder)
        found = [*losses(name, now), *not_told(name, ran.ran, now.keys(), folder), *not_going_on(name, folder)]
    return Hit(aimed=True, losses=tuple(found))


def hit(name: str, number: int, calls: Sequence[Call], error: str | None = None) -> Hit:
    """The call that is the ``number``-th of ``calls`` killed, or failing with ``error``.

    A run that reads more files than the last one, say because Python compiles them, comes to it by another count of
    calls: then they are counted anew.
    """
    for again in range(TIMES):
        now = calls_of(name) if again else calls
        if len(now) != len(calls):
            continue
        found = killed_at(name, now[number]) if error is None else failed_at(name, now[number], error)
        if found.aimed:
            return found
    return Hit(aimed=False, losses=("could not be hit",))


def writes_nothing(name: str) -> tuple[str, ...]:
    """The calls by which a command that is only to read writes all the same."""
    words, where = READS[name]
    with tempfile.TemporaryDirectory() as made:
        put(Path(made), before(where))
        found = traced(Path(made), words)
        if found.ran.code != 0:
            raise RuntimeError(f"{name}: {found.ran.said}")
        return (*map(str, found.calls), *found.outside)


def each(name: str, error: str | None) -> tuple[int, int]:
    """How many calls of a case were hit, and what was lost in all."""
    calls, lost = calls_of(name), []
    for number, call in enumerate(calls):
        lost += told(hit(name, number, calls, error).losses, f"{name}, {call}")
    return len(calls), len(lost)


def main() -> int:
    parser = argparse.ArgumentParser(description="Kill each command at each of its calls that write.")
    parser.add_argument("commands", nargs="*", metavar="COMMAND")
    parser.add_argument("--fail", metavar="ERROR", help="let the call fail with this error instead, such as ENOSPC")
    parser.add_argument("--list", action="store_true", help="name the commands")
    given = parser.parse_args()
    known = [*CASES, ONLY_READ]
    if given.list:
        print(*known, sep="\n")
        return 0
    if unknown := sorted(set(given.commands) - set(known)):
        parser.error(f"{', '.join(unknown)}: none of {', '.join(known)}")
    lost = [
        _only_read() if name == ONLY_READ else _one(name, given.fail)
        for name in given.commands or (CASES if given.fail else known)
    ]
    return 1 if sum(lost) else 0


def _one(name: str, error: str | None) -> int:
    began = time.monotonic()
    tried, lost = each(name, error)
    how = f"a call that writes fails with {error}" if error else "killed at each call that writes"
    command = f"python tests/faults/kill.py {name}{f' --fail {error}' if error else ''}"
    keep(__file__, figure(f"{how}: {name}", command, tried, lost, time.monotonic() - began))
    return lost


def _only_read() -> int:
    began = time.monotonic()
    lost = sum(bool(told(writes_nothing(name), name)) for name in READS)
    command = f"python tests/faults/kill.py {ONLY_READ}"
    keep(__file__, figure("commands that only read write nothing", command, len(READS), lost, time.monotonic() - began))
    return lost


if __name__ == "__main__":
    sys.exit(main())
