"""``python tests/faults/full.py [COMMAND ...]``: each command on a disk that is full, and on one that is read only.

Needs to be root where disks may be mounted: a small one in memory is made and filled. Where that is not allowed a limit
on the size of files takes the place of the full disk, what is read only is left out, and both are said.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[2])]

from tests.faults.judged import known, losses, not_going_on, not_told, told  # noqa: E402  also run by itself
from tests.faults.yard import CASES, before, files_in, put, run  # noqa: E402  also run by itself
from tests.tools.kept_figures import figure, keep  # noqa: E402  also run by itself

KB = 1_024
DISK_KB = 512
LEFT_KB = (0, 8, 24, 48, 96)
"""Room left on the disk when the command begins."""


@contextmanager
def small_disk() -> Iterator[Path]:
    """A disk in memory. Errors: PermissionError where none may be mounted."""
    with tempfile.TemporaryDirectory() as made:
        how = ["mount", "-t", "tmpfs", "-o", f"size={DISK_KB}k", "offseason-fault", made]
        if os.geteuid() != 0 or subprocess.run(how, check=False, capture_output=True).returncode:
            raise PermissionError("no disk may be mounted here")
        try:
            yield Path(made)
        finally:
            subprocess.run(["umount", made], check=True)


def full(name: str, left_kb: int) -> tuple[str, ...]:
    """What was lost, or told wrongly, on a disk with so much room; with more room the command must go on."""
    with small_disk() as folder:
        put(folder, before(name))
        filler = folder / "filler"
        _fill(filler, left_kb)
        ran = run(folder, CASES[name].words)
        now = {file: content for file, content in files_in(folder).items() if file != filler.name}
        found = [*losses(name, now), *not_told(name, ran, now.keys(), folder)]
        filler.unlink()
        return (*found, *not_going_on(name, folder))


def _fill(filler: Path, left_kb: int) -> None:
    with filler.open("wb", buffering=0) as stream, suppress(OSError):
        while True:
            stream.write(b"\0" * 4 * KB)
    with filler.open("r+b") as stream:
        stream.truncate(max(0, filler.stat().st_size - left_kb * KB))


def limited(name: str, largest: int) -> tuple[str, ...]:
    """The same where no file may be larger than so many bytes."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        put(folder, before(name))
        ran = run(folder, CASES[name].words, limit=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (largest,) * 2))
        now = files_in(folder)
        return (*losses(name, now), *not_told(name, ran, now.keys(), folder), *not_going_on(name, folder))


def read_only(name: str) -> tuple[str, ...]:
    """What was lost, or told wrongly, where nothing at all can be written."""
    with small_disk() as folder:
        put(folder, before(name))
        subprocess.run(["mount", "-o", "remount,ro", str(folder)], check=True)
        ran = run(folder, CASES[name].words)
        now = files_in(folder)
        found = [*losses(name, now), *not_told(name, ran, now.keys(), folder)]
        if now != known(name).before:
            found.append("something was written")
        subprocess.run(["mount", "-o", "remount,rw", str(folder)], check=True)
        return (*found, *not_going_on(name, folder))


def main() -> int:
    parser = argparse.ArgumentParser(description="Run each command on a full disk, and on one that is read only.")
    parser.add_argument("commands", nargs="*", metavar="COMMAND", help="one of those of kill.py --list")
    given = parser.parse_args()
    names = given.commands or list(CASES)
    command = " ".join(["python tests/faults/full.py", *given.commands])
    try:
        with small_disk():
            how, tries = "a full disk", [(name, full, kb) for name in names for kb in LEFT_KB]
    except PermissionError as error:
        print(f"{error}: a limit on the size of files stands for the full disk, and read-only disks are left out")
        how, tries = "a limit on the size of files", [(name, limited, kb * KB // 8) for name in names for kb in LEFT_KB]
    began = time.monotonic()
    lost = sum(len(told(tried(name, size), f"{name}, {how}, {size}")) for name, tried, size in tries)
    keep(__file__, figure(how, command, len(tries), lost, time.monotonic() - began))
    if how == "a full disk":
        began = time.monotonic()
        more = sum(len(told(read_only(name), f"{name}, read only")) for name in names)
        keep(__file__, figure("a disk that can only be read", command, len(names), more, time.monotonic() - began))
        lost += more
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main())
