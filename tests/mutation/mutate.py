"""Mutation testing: ``python tests/mutation/mutate.py trade``, or ``audit`` (needs ``offseason[mutation]``).

A mutant is the source with one thing in it changed: a ``<`` made ``<=``, a number one more, an argument left out. A
test has to fail for each. Those that survive are put into ``survivors.json``, where somebody has to write why no test
can fail (``why``); one without it counts as lost. Mutants are made of functions only: tables and constants, read once
at import, are none of them. ``--in FOLDER`` works there and goes on where it stopped; ``--every N`` tries each
N-th only; ``--fresh`` tries survivors without a reason again, each in a process of its own, since what is called as a
module is read is only changed there.
"""

from __future__ import annotations

import argparse
import ast
import difflib
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT)]

from tests.tools.kept_figures import figure, keep  # noqa: E402  found from the root of the repository

SURVIVORS = Path(__file__).with_name("survivors.json")
FEWEST_SPACES = 2
"""In a sentence: what has fewer may be a name that something is looked up by."""
OF_WORDS = "words of a sentence: tests read what it names and what it asks for, not each letter"
_LITERAL = re.compile(r"'[^']*'|\"[^\"]*\"")
COPIED = ("offseason", "tests", "scenarios", "docs", "README.md", "DEVELOPERS.md")
SURVIVED, NOT_TRIED, NO_TEST = 0, None, 33
"""As mutmut notes them; any other is a mutant that was found out."""


@dataclass(frozen=True)
class Part:
    """What is mutated, and the tests that have to find it out."""

    what: str
    source: str
    tests: tuple[str, ...]


PARTS = {
    "trade": Part("the trade", "offseason/trade", ("tests/trade",)),
    "audit": Part(
        "the audit",
        "offseason/plan/audit",
        tuple(sorted(f"tests/plan/{p.name}" for p in ROOT.glob("tests/plan/test_audit*"))),
    ),
}


@dataclass(frozen=True)
class Survivor:
    """A mutant that no test found out: the function, its lines as they were and became, and why that is well."""

    of: str
    was: str
    became: str
    why: str = ""


def main() -> int:
    parser = argparse.ArgumentParser(
        description="Change the source in one place after the other; tests have to notice."
    )
    parser.add_argument("part", choices=PARTS)
    parser.add_argument("--in", dest="folder", type=Path, metavar="FOLDER", help="work there, and go on there")
    parser.add_argument("--every", type=int, default=1, metavar="N", help="each N-th mutant only")
    parser.add_argument("--fresh", action="store_true", help="try survivors again, each in a process of its own")
    given = parser.parse_args()
    if given.folder:
        return _tried(given.part, given.folder, given.every, fresh=given.fresh)
    with tempfile.TemporaryDirectory() as folder:
        return _tried(given.part, Path(folder) / "copy", given.every, fresh=given.fresh)


def _tried(name: str, folder: Path, every: int, *, fresh: bool) -> int:
    began = time.monotonic()
    part = PARTS[name]
    if not folder.exists():
        _copied(part, folder)
    mutmut = [sys.executable, "-c", "from mutmut.__main__ import cli; cli()"]
    if not list((folder / "mutants").glob("**/*.meta")):  # the first run makes all mutants, and tries one
        subprocess.run([*mutmut, "run", "none"], cwd=folder, check=False, env=_environment(folder), capture_output=True)
    names = sorted(_codes(folder, part))[::every]
    subprocess.run([*mutmut, "run", *names], cwd=folder, check=False, env=_environment(folder))
    codes = {one: code for one, code in _codes(folder, part).items() if one in set(names)}
    of_all = len(codes)
    codes = {one: code for one, code in codes.items() if code is not NOT_TRIED}
    if not codes:
        print("no mutant was tried; no figures are kept", file=sys.stderr)
        return 2
    alive = [one for one, code in codes.items() if code in {SURVIVED, NO_TEST}]
    explained = kept_survivors(part, [_survivor(folder, one) for one in alive])
    if fresh and (asked := [one for one, known in zip(alive, explained, strict=True) if not known.why]):
        alive = [one for one in alive if one not in asked or not _found_out(folder, part, one)]
        explained = kept_survivors(part, [_survivor(folder, one) for one in alive])
    lost = sum(not one.why for one in explained)
    some = f" of each {every}. of them" * (every > 1) + f", broken off before {of_all:,}" * (len(codes) < of_all)
    what = f"mutants of {part.what}: {len(explained):,} survived{some}"
    command = f"python tests/mutation/mutate.py {name}" + f" --every {every}" * (every > 1) + " --fresh" * fresh
    keep(__file__, figure(what, command, len(codes), lost, _with_before(folder, began)), f"mutants of {part.what}:")
    return 1 if lost else 0


def _with_before(folder: Path, began: float) -> float:
    """Seconds since then and in the runs before that this one goes on from."""
    spent = folder / "seconds.txt"
    seconds = time.monotonic() - began + (float(spent.read_text("utf-8")) if spent.exists() else 0)
    spent.write_text(str(seconds), "utf-8")
    return seconds


def _environment(folder: Path) -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}


def _copied(part: Part, folder: Path) -> None:
    folder.mkdir(parents=True)
    for name in COPIED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(ROOT / name, folder)
    settings = (ROOT / "pyproject.toml").read_text("utf-8")
    (folder / "pyproject.toml").write_text(f"{settings}\n{_settings(part)}", "utf-8")


def _settings(part: Part) -> str:
    return f"""\
[tool.mutmut]
source_paths = ["offseason"]
only_mutate = ["{part.source}/*.py"]
pytest_add_cli_args_test_selection = {json.dumps(part.tests)}
pytest_add_cli_args = ["-m", "not slow", "-p", "no:xdist", "-p", "no:cacheprovider"]
also_copy = {json.dumps(COPIED[1:])}
"""


def _codes(folder: Path, part: Part) -> dict[str, int | None]:
    """Every mutant by its name, with what came of it."""
    found: dict[str, int | None] = {}
    for notes in (folder / "mutants" / part.source).glob("*.meta"):
        found |= json.loads(notes.read_text("utf-8"))["exit_code_by_key"]
    return found


def _found_out(folder: Path, part: Part, mutant: str) -> bool:
    """Whether a test fails in a process in which everything is read with this mutant in place."""
    tests = [sys.executable, "-m", "pytest", "-q", "-x", "-m", "not slow", "-p", "no:xdist", *part.tests]
    at = folder / "mutants"
    env = {**_environment(at), "MUTANT_UNDER_TEST": mutant}
    return subprocess.run(tests, cwd=at, check=False, env=env, capture_output=True).returncode != 0


def _survivor(folder: Path, mutant: str) -> Survivor:
    module, _, name = mutant.rpartition(".")
    path = module.replace(".", "/")
    file = next(one for one in (f"{path}.py", f"{path}/__init__.py") if (folder / "mutants" / one).exists())
    bodies = _bodies(folder / "mutants" / file)
    function, _, _ = name.rpartition("__mutmut_")
    changed = [line for line in difflib.ndiff(bodies[f"{function}__mutmut_orig"], bodies[name]) if line[0] in "-+"]
    return Survivor(
        f"{file}: {function.removeprefix('x_').removeprefix('xǁ').replace('ǁ', '.')}",
        "\n".join(line[2:].strip() for line in changed if line[0] == "-"),
        "\n".join(line[2:].strip() for line in changed if line[0] == "+"),
    )


@cache
def _bodies(file: Path) -> dict[str, list[str]]:
    """The lines of each function of a mutated module; of a method by the name it has there."""
    return {
        node.name: [ast.unparse(node.args), *ast.unparse(node.body).splitlines()]
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.FunctionDef)
    }


def kept_survivors(part: Part, survived: Sequence[Survivor]) -> list[Survivor]:
    """The same, with the reasons that somebody has written; kept in place of those of this part before."""
    before = read_survivors()
    reasons = {(one.of, one.was, one.became): one.why for one in before}
    now = [replace(one, why=reasons.get((one.of, one.was, one.became)) or _of_words(one)) for one in survived]
    others = [one for one in before if not one.of.startswith(f"{part.source}/")]
    rows = sorted([*others, *now], key=lambda one: (one.of, one.was, one.became))
    text = ",\n".join(json.dumps(asdict(one), ensure_ascii=False) for one in rows)
    SURVIVORS.write_text(f"[\n{text}\n]\n", "utf-8")
    return now


def _of_words(one: Survivor) -> str:
    """The reason for a mutant that changes no more than how a sentence is spelt; empty for any other."""
    for was, became in zip(_LITERAL.findall(one.was), _LITERAL.findall(one.became), strict=False):
        if was != became:
            same = became.replace("XX", "").casefold() == was.casefold()
            return OF_WORDS if same and was.count(" ") >= FEWEST_SPACES else ""
    return ""


def read_survivors() -> list[Survivor]:
    """Those that are known, with why they are left alone."""
    return [Survivor(**one) for one in json.loads(SURVIVORS.read_text("utf-8"))] if SURVIVORS.exists() else []


if __name__ == "__main__":
    sys.exit(main())
