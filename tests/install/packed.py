"""The package as others get it: built into a wheel or a source archive, and installed where nothing else is.

All of it asks the package index, as pip does for everybody.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

from packaging.specifiers import SpecifierSet

from tests.tools.kept_figures import Figure

ROOT = Path(__file__).parents[2]
PACKED = ("LICENSE", "README.md", "pyproject.toml", "offseason")
PROJECT: Mapping[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))

PLAN = "winter.plan.yaml"
WINTER: tuple[str, ...] = (
    "--version",
    "--help",
    "start winter.yaml --year 2026",
    "check winter.yaml",
    "plan winter.yaml --effort 1 --quiet",
    f"show {PLAN} --week 2026-10-10",
    f"share {PLAN} --to for-helpers",
    f"record {PLAN} Jonas scrape 1 boxes due for paint 12 min on 2026-10-10",
    f"replan {PLAN} --today 2026-10-12 --seconds 3 --quiet",
    f"changes {PLAN}",
    f"audit {PLAN}",
)
"""What a keeper does in a winter, from an empty folder on; each of them ends well."""


def run(*words: str | Path, into: Path | None = None, **env: str) -> str:
    """What a command said; if it fails, this does, with what it said. ``into``: the folder in which it runs."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "COV_"))}
    done = subprocess.run(
        list(map(str, words)), capture_output=True, check=False, cwd=into, env=clean | env, timeout=1_200
    )
    said = done.stdout.decode(errors="replace") + done.stderr.decode(errors="replace")
    if done.returncode:
        raise AssertionError(f"{' '.join(map(str, words))} ended with {done.returncode}:\n{said}")
    return said


def counted(report: Path) -> tuple[int, int]:
    """Tests that were run and those that failed, from the report that pytest writes."""
    counts = ET.parse(report).getroot().find("testsuite").attrib  # noqa: S314  written by pytest a moment ago
    return int(counts["tests"]) - int(counts["skipped"]), int(counts["failures"]) + int(counts["errors"])


def of_one_python(found: Figure) -> str:
    """How the names of all runs of this kind on this Python begin: what comes after it, versions say, may change."""
    return str(found["what"]).partition(":")[0] + ":"


def source(to: Path) -> Path:
    """A copy of what is packed: building writes beside what it builds, and would find there what was built before."""
    to.mkdir(parents=True)
    for name in PACKED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, to / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(ROOT / name, to)
    return to


def wheel(of: Path, to: Path, **env: str) -> Path:
    """The wheel of a folder of sources, or of a source archive."""
    run(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", to, of, **env)
    (made,) = to.glob("*.whl")
    return made


def source_archive(of: Path, to: Path) -> Path:
    """The source archive of a folder of sources, made by the build backend itself."""
    builder, backend = to / "builder", PROJECT["build-system"]["build-backend"]
    run(sys.executable, "-m", "pip", "install", "-q", "--target", builder, *PROJECT["build-system"]["requires"])
    build = f"import {backend} as backend; backend.build_sdist({str(to)!r})"
    run(sys.executable, "-c", build, into=of, PYTHONPATH=str(builder))
    (made,) = to.glob("*.tar.gz")
    return made


def environment(python: str, at: Path, packages: Iterable[str | Path], *, pinned: Sequence[str] = ()) -> Path:
    """The Python of a new virtual environment with these packages in it. ``pinned``: versions to keep to.

    Nothing is compiled beforehand: most of what comes along is never used.
    """
    run(python, "-m", "venv", at)
    inside = at / "bin" / "python"
    limits = at / "pinned.txt"
    limits.write_text("\n".join(pinned) + "\n", "utf-8")
    run(inside, "-m", "pip", "install", "-q", "--no-compile", "-c", limits, *packages)
    return inside


def winter(python: Path, into: Path, *how: str) -> dict[str, str]:
    """What the installed program says at each command of a winter, run in an empty folder; ``how``: of Python."""
    return {words: run(python, *how, "-m", "offseason", *words.split(), into=into) for words in WINTER}


def pythons() -> Iterator[str]:
    """Every Python here that may be used and can be started, from the oldest on."""
    allowed = SpecifierSet(PROJECT["project"]["requires-python"])
    for minor in range(30):
        name = f"python3.{minor}"
        if f"3.{minor}.99" in allowed and shutil.which(name):
            started = subprocess.run([name, "-c", "import ensurepip"], check=False, capture_output=True)
            if started.returncode == 0:
                yield name
