"""Small winters, and every command that writes, with the folder it is run in: a second of work each."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
Files = Mapping[str, bytes]

WINTER = b"""\
# our yard: minutes are guesses
season: {name: Winter at Fern Hollow, from: 2026-10-05, until: 2026-10-23}
crew:
  Ottilie: {works: {mon-fri: 09:00-12:00}}
tasks:
  scrape: {minutes_each: 6, importance: must}   # a guess
  oil: {minutes_each: 2}
gear:
  feeders: {piece: feeder, count: 60, steps: [scrape, oil]}
"""
# two combs fit into the freezer at a time, and there are four mornings to change the load: room for one more is enough
SHORT = b"""\
season: {from: 2026-10-05, until: 2026-10-09}
moths: {season_starts: 2026-10-10}
crew:
  Ottilie: {works: {mon-fri: 09:00-12:00}}
places:
  freezer: {holds: 2 combs, celsius: -18}
  loft: {holds: 60 combs}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: 20 h, in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear:
  combs: {piece: medium comb, count: 12, comb: dry, rests: loft, steps: [freeze, seal]}
"""
OUTDOORS = b"""\
season: {name: Winter at Fern Hollow, from: 2026-10-05, until: 2026-10-18}
crew:
  Ottilie: {works: {mon-fri: 09:00-12:00}}
places:
  shed: {holds: 100 boxes, celsius: 15, humidity_percent: 50}
tasks:
  coat: {minutes_each: 10, weather: painting, paint: latex, then: {dries: latex, in: shed}}
gear:
  lids: {piece: telescoping lid, count: 10, rests: shed, last_painted: never, steps: [coat]}
weather:
  history: records.csv
  beyond_forecast: middle year
  needs: {painting: {like: painting with latex}}
"""
RECORDS = ("day,lowest [°C],highest [°C],humidity [%],rain [mm],wind [m/s]\n" + "".join(
    f"{year}-{month:02}-{day:02},14,22,55,0,2\n"
    for year in (2024, 2025) for month, last in ((9, 30), (10, 31), (11, 30)) for day in range(1, last + 1)
)).encode()  # fmt: skip
_ROW = "- {{id: a{n}, date: 2026-10-{day:02}, who: [Ottilie], lot: feeders, step: scrape, pieces: 10, minutes: 90}}\n"
LOG = "".join(_ROW.format(n=n, day=5 + n) for n in range(4)).encode()

PLAN = ("plan", "winter.yaml", "--effort", "1", "--quiet")
RECORD = ("record", "winter.plan.yaml", "Ottilie", "scrape", "5", "feeders", "30", "min", "--today", "2026-10-09")
REPLAN = ("replan", "winter.plan.yaml", "--today", "2026-10-12", "--seconds", "5", "--workers", "1", "--quiet")
SHARE = ("share", "winter.plan.yaml", "--to", "out")
REMEDIES = ("remedies", "short.yaml", "--seconds", "5", "--workers", "1", "--quiet")
PICTURE = ("weather", "outdoors.yaml", "--picture", "fit.svg")


@dataclass(frozen=True)
class Case:
    """A command, and which were run before it in its folder; ``files``: what is there from the start."""

    words: tuple[str, ...]
    files: Files
    before: tuple[tuple[str, ...], ...] = ()


_OUTDOORS = {"outdoors.yaml": OUTDOORS, "records.csv": RECORDS}
_WINTER = {"winter.yaml": WINTER}
_LOGGED = {"winter.yaml": WINTER, "winter.log.yaml": LOG}
CASES = {
    "start": Case(("start", "winter.yaml", "--year", "2026"), {}),
    "plan": Case(PLAN, _WINTER),
    "plan-over": Case(PLAN, _WINTER, (PLAN,)),
    "plan-short": Case(("plan", "short.yaml", "--effort", "2", "--quiet"), {"short.yaml": SHORT}),
    "record-first": Case(RECORD, _WINTER, (PLAN,)),
    "record": Case(RECORD, _LOGGED, (PLAN,)),
    "replan": Case(REPLAN, _LOGGED, (PLAN,)),
    "share": Case(SHARE, _WINTER, (PLAN,)),
    "share-over": Case(SHARE, _LOGGED, (PLAN, SHARE, REPLAN)),
    "remedies": Case(REMEDIES, {"short.yaml": SHORT}),
    "remedies-over": Case(REMEDIES, {"short.yaml": SHORT}, (REMEDIES,)),
    "remedies-apply": Case(("remedies", "short.yaml", "--apply", "1"), {"short.yaml": SHORT}, (REMEDIES,)),
    "weather-picture": Case(PICTURE, _OUTDOORS),
    "weather-picture-over": Case(PICTURE, _OUTDOORS, (PICTURE,)),
    "rehearse-picture": Case(
        ("rehearse", "outdoors.yaml", "--workers", "1", "--quiet", "--picture", "spread.svg"),
        _OUTDOORS,
        (("plan", "outdoors.yaml", "--effort", "1", "--quiet"),),
    ),
    "pace": Case(("pace", "winter.plan.yaml", "--use", "--today", "2026-10-09"), _LOGGED, (PLAN,)),
    "carry-over": Case(("carry-over", "winter.plan.yaml", "--to", "next.yaml"), _LOGGED, (PLAN,)),
}

# commands that only read, each with the case before which its folder is as it is wanted
READS = {
    "check": (("check", "winter.yaml"), "plan"),
    "show": (("show", "winter.plan.yaml"), "replan"),
    "audit": (("audit", "winter.plan.yaml"), "replan"),
    "changes": (("changes", "winter.plan.yaml"), "share-over"),
    "weather": (("weather", "outdoors.yaml"), "weather-picture"),
    "rehearse": (("rehearse", "outdoors.yaml", "--workers", "1", "--quiet"), "rehearse-picture"),
    "pace (not --use)": (("pace", "winter.plan.yaml", "--today", "2026-10-09"), "pace"),
    "spare": (("spare", "winter.plan.yaml", "--seconds", "2", "--workers", "1", "--quiet"), "replan"),
    "worth": (("worth", "winter.yaml"), "replan"),
}


@dataclass(frozen=True)
class Ran:
    """How a command ended, and all that it said."""

    code: int
    said: str


def run(folder: Path, words: tuple[str, ...], **how: object) -> Ran:
    """Runs a command of ours in the folder to its end; ``how``: as ``started`` has it."""
    process = started(folder, words, **how)
    said, _ = process.communicate(timeout=300)
    return Ran(process.returncode, " ".join(said.split()))


def started(
    folder: Path,
    words: tuple[str, ...],
    *,
    by: tuple[str, ...] = (),
    instead: tuple[str, ...] | None = None,
    limit: Callable[[], None] | None = None,
) -> subprocess.Popen[str]:
    """Starts it; all that it says comes out in one stream.

    ``by``: the program that starts it, with its own words; ``instead``: what is run in its place; ``limit``: what is
    called in its process before it begins.
    """
    return subprocess.Popen(
        [*by, *(instead or (sys.executable, "-m", "offseason", *words))],
        cwd=folder,
        env=surroundings(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        preexec_fn=limit,  # noqa: PLW1509  no thread is running here
    )


def surroundings() -> dict[str, str]:
    """The environment in which commands are tried: nothing is compiled on the way, so each run is like the last."""
    return {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", "COLUMNS": "80"}


def files_in(folder: Path) -> dict[str, bytes]:
    """Every file in the folder and below, by its name from there."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }


def put(folder: Path, files: Files) -> None:
    """Makes the files, with the folders they lie in."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


@cache
def before(name: str) -> Files:
    """What lies in the folder before the command of this case is run."""
    case = CASES[name]
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        put(folder, case.files)
        for words in case.before:
            ran = run(folder, words)
            if ran.code not in {0, 3}:
                raise RuntimeError(f"{' '.join(words)}: {ran.said}")
        return files_in(folder)
