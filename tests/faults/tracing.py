"""Every call by which a command writes, counted by ``strace``; and the command once more, hit at just one of them."""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from tests.faults.yard import Ran, run

MISSING = "strace is not here: it counts the calls that write and hits one of them (Debian: apt-get install strace)"
_OPENS = ("open", "openat", "openat2", "creat")
_WRITES = (
    *("write", "pwrite64", "writev", "pwritev", "pwritev2", "sendfile", "copy_file_range", "splice", "fallocate"),
    *("truncate", "ftruncate", "fsync", "fdatasync", "sync_file_range", "msync"),
    *("rename", "renameat", "renameat2", "link", "linkat", "symlink", "symlinkat", "mknod", "mknodat"),
    *("unlink", "unlinkat", "rmdir", "mkdir", "mkdirat", "chmod", "fchmod", "fchmodat", "chown", "fchown", "fchownat"),
    *("utime", "utimes", "utimensat", "futimesat", "setxattr", "lsetxattr", "fsetxattr"),
)
_LINE = re.compile(r"^(\d+)\s+(\w+)\((.*)$")
_TO_WRITE = re.compile(r"\b(O_WRONLY|O_RDWR|O_CREAT|O_TRUNC)\b")
_NAMED = re.compile(r'"((?:[^"\\]|\\.)+)"')
_HELD = re.compile(r"\d<([^<>]*)>")  # the file behind a number, as in write(3</home/winter.yaml>, ...)
_RANDOM = re.compile(r"\.[0-9a-z_]{8,16}\.(half-written|trial)")
_NO_FILES = ("/dev/", "/proc/", "pipe:", "socket:", "anon_inode:")


@dataclass(frozen=True)
class Call:
    """A call that writes: the ``number``-th of this kind in the main thread; ``about``: the files, without chance."""

    kind: str
    number: int
    about: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.kind} {' '.join(self.about)}"


@dataclass(frozen=True)
class Traced:
    """How a run ended, its calls that write into its folder, and the files it wrote to elsewhere."""

    ran: Ran
    calls: tuple[Call, ...]
    outside: tuple[str, ...]


def traced(folder: Path, words: tuple[str, ...], inject: str = "") -> Traced:
    """Runs the command with its calls written down; ``inject``: as the option of ``strace`` has it."""
    if shutil.which("strace") is None:
        raise RuntimeError(MISSING)
    with tempfile.TemporaryDirectory() as made:
        notes = Path(made) / "calls"
        by = [
            "strace",
            "-f",
            "-qq",
            "-y",
            "-s",
            "0",
            "-o",
            str(notes),
            "-e",
            f"trace=/^({'|'.join((*_OPENS, *_WRITES))})$",
        ]
        # quicker with a filter in the kernel, but strace 6.1 sends no signal then
        by += ["-e", f"inject={inject}"] if inject else ["--seccomp-bpf"]
        ran = run(folder, words, by=tuple(by))
        lines = notes.read_text(encoding="utf-8", errors="replace").splitlines() if notes.exists() else []
    calls, outside = _calls(lines, folder.resolve())
    return Traced(ran, calls, outside)


def _calls(lines: list[str], folder: Path) -> tuple[tuple[Call, ...], tuple[str, ...]]:
    seen: Counter[tuple[str, str]] = Counter()
    calls, outside = [], []
    main = ""
    for line in lines:
        found = _LINE.match(line)
        if found is None:
            continue
        thread, kind, rest = found.groups()
        main = main or thread
        seen[thread, kind] += 1
        if kind in _OPENS and kind != "creat" and not _TO_WRITE.search(rest):
            continue
        asked = rest.rpartition(") = ")[0] or rest
        paths = _NAMED.findall(asked) or _HELD.findall(asked)
        inside = [path for path in paths if not path.startswith(_NO_FILES) and _is_in(path, folder)]
        if inside:
            about = tuple(_RANDOM.sub(r".*.\1", os.path.relpath(folder / path, folder)) for path in inside)
            if thread != main:
                raise RuntimeError(f"another thread than the first writes: {line}")
            calls.append(Call(kind, seen[thread, kind], about))
        elif paths and not all(path.startswith(_NO_FILES) for path in paths):
            outside.append(line)
    return tuple(calls), tuple(outside)


def _is_in(path: str, folder: Path) -> bool:
    return not path.startswith("/") or Path(path).is_relative_to(folder)
