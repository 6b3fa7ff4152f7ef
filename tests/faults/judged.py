"""Whether files were lost: each is as it was or as it was to be, none is half there, and the next run goes on."""

from __future__ import annotations

import json
import os
import re
import tempfile
import time
from collections.abc import Iterable, Iterator
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from offseason.plan.progress.log import LogFileError, parse_log
from tests.faults.yard import CASES, Files, Ran, before, files_in, put, run

LEFT_OVER = re.compile(r"(^|/)\.[0-9a-f]{16}\.half-written$")
LONG_AGO_S = 7_200
_STATE = ".offseason-share"
_ENDS = re.compile(rb"(</svg>|^end: of the (plan|remedies)\b.*)\s*\Z", re.MULTILINE)
_BY_CHANCE = re.compile(
    rb"^made: .*$|^seconds: .*$|\{id: \w+|^(DTSTAMP|LAST-MODIFIED|CREATED|SEQUENCE|UID)[:;].*$|[0-9a-f]{16,}",
    re.MULTILINE,
)


_WHAT_TO_DO = re.compile(
    r"make room|name (a|another) |copy the winter|run (the command|this) again|share again", re.IGNORECASE
)


@dataclass(frozen=True)
class Known:
    """What the folder of a case may come to: before the command, after it, and after it was run twice."""

    before: Files
    once: Files
    twice: Files
    codes: tuple[int, int]
    said: str


@cache
def known(name: str) -> Known:
    """The case run undisturbed, twice."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        put(folder, before(name))
        first = run(folder, CASES[name].words)
        if first.code not in {0, 3}:
            raise RuntimeError(f"{name} does not even end well undisturbed: {first.said}")
        once = files_in(folder)
        second = run(folder, CASES[name].words)
        return Known(before(name), once, files_in(folder), (first.code, second.code), first.said)


def losses(name: str, now: Files, *, best_so_far: bool = False) -> Iterator[str]:
    """What was lost or is half there when the command of a case was cut short, in a sentence each.

    ``best_so_far``: what a search has found by then will do, too, as long as it has its end.
    """
    at = known(name)

    def is_whole(file: str, content: bytes) -> bool:
        return _is_whole(at, file, content) or (best_so_far and _ENDS.search(content) is not None)

    for file, was in at.before.items():
        if file not in now:
            yield f"{file} is gone"
        elif now[file] != was and not is_whole(file, now[file]):
            yield f"{file} is neither as it was nor as it was to be"
    for file in now.keys() - at.before.keys():
        if not LEFT_OVER.search(file) and not is_whole(file, now[file]):
            yield f"{file} is there, and not whole"


def _is_whole(at: Known, file: str, content: bytes) -> bool:
    if file.endswith(".log.yaml"):
        return _is_whole_log(at.before.get(file, b""), content)
    if file.endswith(_STATE):  # while files are written, both those that were and those to be are listed
        shared = {one.removeprefix("out/") for one in at.once if one.startswith("out/")} - {_STATE}
        return json.loads(content)["files"].keys() >= shared
    as_it_was = [files[file] for files in (at.once, at.twice) if file in files]
    # what is kept of an older file is that file, whichever
    as_it_was += [at.before[kept] for kept in (file.removesuffix(".before"),) if kept in at.before]
    return any(_without_chance(content) == _without_chance(one) for one in as_it_was)


def _is_whole_log(was: bytes, content: bytes) -> bool:
    try:
        log = parse_log(content, "log")
    except LogFileError:
        return False
    return content.startswith(was) and (not content or content.endswith(b"\n")) and not any(
        "cut off" in remark for remark in log.remarks
    )  # fmt: skip


def _without_chance(content: bytes) -> bytes:
    return _BY_CHANCE.sub(b"", content)


def not_going_on(name: str, folder: Path) -> tuple[str, ...]:
    """What is wrong with the command run once more, a while later, in the folder in which it was cut short.

    From the same state it is gone on only once, for what it comes to is then known.
    """
    now = files_in(folder)
    state = (
        name,
        frozenset(
            ("left over", b"") if LEFT_OVER.search(file) else (file, _without_chance(content))
            for file, content in now.items()
        ),
    )
    if state not in _gone_on:
        _gone_on[state] = tuple(_not_going_on(name, folder, now))
    return _gone_on[state]


_gone_on: dict[tuple[str, frozenset[tuple[str, bytes]]], tuple[str, ...]] = {}


def _not_going_on(name: str, folder: Path, now: Files) -> Iterator[str]:
    for file in filter(LEFT_OVER.search, now):
        os.utime(folder / file, (time.time() - LONG_AGO_S,) * 2)
    ran = run(folder, CASES[name].words)
    at = known(name)
    if ran.code not in at.codes:
        yield f"run again it ends with {ran.code}: {ran.said[-300:]}"
    after = files_in(folder)
    yield from (f"{said}, when it was run again" for said in losses(name, after))
    if left := sorted(filter(LEFT_OVER.search, after)):
        yield f"{', '.join(left)} is left over, also when it was run again"
    if ran.code == at.codes[0] and (missing := at.once.keys() - after.keys()):
        yield f"run again it does not write {', '.join(sorted(missing))}"


def not_told(name: str, ran: Ran, now: AbstractSet[str], folder: Path) -> Iterator[str]:
    """What is wrong with how a failed call was told. Where it did no harm there is nothing to tell."""
    at = known(name)
    if "Traceback" in ran.said or "fault of offseason" in ran.said:
        yield f"it says: {ran.said[-300:]}"
    if ran.code == at.codes[0] and now >= at.once.keys() and " cannot be " not in ran.said:
        return
    if ran.code not in {2, 3}:
        yield f"it ends with {ran.code}: {ran.said[-300:]}"
    names = {Path(file).name for file in (*at.once, *at.before)} | {folder.name, "out"}
    if not any(one in ran.said for one in names) or not _WHAT_TO_DO.search(ran.said):
        yield f"it says: {ran.said[-300:]}"


def told(losses: Iterable[str], where: str) -> list[str]:
    """Each with the place at which it was lost; printed as well."""
    found = [f"{where}: {loss}" for loss in losses]
    for one in found:
        print(f"  LOST {one}", flush=True)
    return found
