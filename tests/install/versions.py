"""The oldest and the newest allowed version of everything, each tried: ``python tests/install/versions.py``.

For every Python from 3.11 on that is found here, a clean environment gets the wheel with the newest versions; that of
the oldest Python gets it once more with the oldest, which are those that stand behind ``>=`` in ``pyproject.toml``. In
each, a winter is gone through on the command line, and the tests named below are run. The source is not beside it.
The figures are kept in ``figures.json``.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))  # what tests share is found from the root of the repository

from tests.install.packed import (  # noqa: E402
    PROJECT,
    WINTER,
    counted,
    environment,
    of_one_python,
    pythons,
    run,
    source,
    wheel,
    winter,
)  # fmt: skip
from tests.tools.kept_figures import Figure, figure, keep  # noqa: E402

TESTS = (
    "tests/test_cli.py", "tests/test_help.py", "tests/test_share_command.py", "tests/test_record.py",
    "tests/test_replan_command.py", "tests/scenario", "tests/plan", "tests/share/calendar",
    "tests/share/test_layout.py", "tests/solver/test_long_work.py",
)  # fmt: skip
"""Those that lean on what others wrote: entries, files, plans, the solver, calendars, tables, counting."""
NEEDED = ("pytest", "hypothesis", "jsonschema", "vobject")
"""What of the extra ``test`` they need."""
BESIDE = ("tests", "scenarios", "docs", "pyproject.toml", "README.md")
"""What they read besides the package."""


@dataclass(frozen=True)
class Trial:
    """An environment to try: ``pinned`` holds versions to keep to, ``builder`` those of what builds the wheel."""

    age: str
    python: str
    pinned: tuple[str, ...] = ()
    builder: tuple[str, ...] = ()


def oldest(requirements: Sequence[str]) -> tuple[str, ...]:
    """``name==bound`` for each; stops at a requirement without a lower bound."""
    return tuple(_oldest(Requirement(one)) for one in requirements)


def _oldest(requirement: Requirement) -> str:
    (bound,) = [one.version for one in requirement.specifier if one.operator == ">="] or [None]
    if bound is None:
        raise SystemExit(f"{requirement} in pyproject.toml says no oldest version")
    return f"{requirement.name}=={bound}"


def main() -> int:
    """0 where everything that was tried is well."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--only", choices=("oldest", "newest"), help="one of the two")
    parser.add_argument("--python", action="append", metavar="NAME", help="on this one only, such as python3.12")
    parser.add_argument("--test", action="append", metavar="FILE", help="these tests in place of those; keeps nothing")
    asked = parser.parse_args()
    here = asked.python or list(pythons())
    pinned = oldest(PROJECT["project"]["dependencies"])
    builder = oldest(PROJECT["build-system"]["requires"])
    trials = [Trial("oldest", here[0], pinned, builder), *(Trial("newest", python) for python in here)]
    lost = 0
    for trial in trials:
        if asked.only in (None, trial.age):
            with tempfile.TemporaryDirectory() as folder:
                found = tried(trial, Path(folder), asked.test or TESTS)
            lost += int(found["losses"])
            if asked.test:
                print(json.dumps(found), flush=True)
            else:
                keep(__file__, found, of_one_python(found))
    return 1 if lost else 0


def tried(trial: Trial, folder: Path, tests: Sequence[str]) -> Figure:
    """The figures of one environment: commands and tests that were run, and those of them that failed."""
    began = time.monotonic()
    limits = folder / "builder.txt"
    limits.write_text("\n".join(trial.builder) + "\n", "utf-8")
    packed = wheel(source(folder / "source"), folder / "wheel", PIP_CONSTRAINT=str(limits))
    needed = [one for one in PROJECT["project"]["optional-dependencies"]["test"] if Requirement(one).name in NEEDED]
    inside = environment(trial.python, folder / "env", [packed, *needed], pinned=trial.pinned)
    empty = folder / "a keeper's own"
    empty.mkdir()
    winter(inside, empty)
    count, failed = suite(inside, folder / "suite", tests)
    listed = "import importlib.metadata as m, sys; print(*(f'{n} {m.version(n)}' for n in sys.argv[1:]), sep=', ')"
    names = [Requirement(one).name for one in PROJECT["project"]["dependencies"]]
    versions = run(inside, "-c", listed, *names).strip()
    return figure(
        f"{trial.age} versions on {run(inside, '--version').strip()}: {versions}",
        f"python tests/install/versions.py --only {trial.age}",
        len(WINTER) + count,
        failed,
        time.monotonic() - began,
    )


def suite(inside: Path, at: Path, tests: Sequence[str]) -> tuple[int, int]:
    """How many tests were run and how many failed, of the installed package: its source is left out."""
    at.mkdir()
    for name in BESIDE:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, at / name, ignore=shutil.ignore_patterns("__pycache__", ".*"))
        else:
            shutil.copy(ROOT / name, at)
    report = at / "report.xml"
    command = [inside, "-m", "pytest", "-q", "-m", "not slow", f"--junitxml={report}", *tests]
    clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    done = subprocess.run(list(map(str, command)), cwd=at, check=False, capture_output=True, text=True, env=clean)
    if done.returncode not in (0, 1):  # 1: tests failed; else they were not run
        raise SystemExit(f"the tests did not run:\n{done.stdout[-2_000:]}{done.stderr[-2_000:]}")
    count, failed = counted(report)
    if failed:
        print(done.stdout[-4_000:], file=sys.stderr)
    return count, failed


if __name__ == "__main__":
    sys.exit(main())
