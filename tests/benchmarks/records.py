"""Raw figures of benchmarks, kept beside the page while they are measured, so that a run broken off can go on."""

from __future__ import annotations

import hashlib
import json
import os
import platform
from dataclasses import asdict, dataclass, field, replace
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from statistics import median
from typing import Any

import offseason

PROGRAM = Path(offseason.__file__).parent
RELAXATION_MOST_S = 20.0
"""The relaxation of a winter is given so many seconds where only its time is measured."""

PACKAGES = ("ortools", "scipy", "numpy", "pyjobshop")
ONLY_SHOWS = {"all.py", "page.py", "compared.py", "tables.py", "replanning.py", "test_benchmarks.py"}
"""Files here on which no figure depends."""


@dataclass(frozen=True)
class Case:
    """One thing to measure: which benchmark, of what, in which way, for so many seconds (0: as long as it takes)."""

    bench: str
    of: str
    way: str
    seconds: float = 0.0


@dataclass(frozen=True)
class Figures:
    """What one run of a case gave; ``found`` is what its measure returned, or ``{"failed": why}``."""

    case: Case
    run: int
    found: dict[str, Any]


@dataclass
class Record:
    """All figures of one machine and one state of the program, in the file they are kept in."""

    path: Path
    made_on: dict[str, str]
    figures: list[Figures] = field(default_factory=list)

    def has(self, case: Case, run: int) -> bool:
        """Whether this run of the case was measured already."""
        return any(one.case == case and one.run == run for one in self.figures)

    def add(self, figures: Figures) -> None:
        """Keep one more, at once: the file is whole at every moment."""
        self.figures.append(replace(figures, found={key: _short(value) for key, value in figures.found.items()}))
        lines = ",\n".join(json.dumps(asdict(one), ensure_ascii=False) for one in self.figures)
        beside = self.path.with_suffix(".part")
        beside.write_text(f'{{"made_on": {json.dumps(self.made_on)},\n"figures": [\n{lines}\n]}}\n', encoding="utf-8")
        beside.replace(self.path)

    def of(self, bench: str) -> list[Figures]:
        """Figures of one benchmark, in the order in which they were measured."""
        return [one for one in self.figures if one.case.bench == bench]

    def runs(self, case: Case) -> list[dict[str, Any]]:
        """What the runs of a case gave, in order of the runs."""
        ours = sorted((one for one in self.figures if one.case == case), key=lambda one: one.run)
        return [one.found for one in ours]


def this_machine() -> dict[str, str]:
    """What a figure depends on besides what is measured: machine, versions, the state of the program's sources."""
    with_ = {name: _version(name) for name in PACKAGES}
    return {
        "cores": str(os.cpu_count()),
        "memory": _memory(),
        "system": f"{platform.system()}, {platform.machine()}",
        "Python": platform.python_version(),
        **with_,
        "offseason": offseason.__version__,
        "sources": sources(),
    }


def sources() -> str:
    """First digits of a checksum over the program and what measures it: figures of two states are not mixed."""
    found = hashlib.sha256()
    ours = [path for path in Path(__file__).parent.glob("*.py") if path.name not in ONLY_SHOWS]
    for path in sorted([*PROGRAM.rglob("*.py"), *ours]):
        found.update(path.name.encode() + b"\0" + path.read_bytes())
    return found.hexdigest()[:12]


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return "not there"


def _short(value: Any) -> Any:
    """Seconds and MB to a tenth of a thousandth: the file goes with the repository. Aims are kept as they are."""
    return round(value, 4) if isinstance(value, float) else value


def _memory() -> str:
    try:
        return f"{os.sysconf('SC_PAGE_SIZE') * os.sysconf('SC_PHYS_PAGES') / 2**30:.1f} GiB"
    except (AttributeError, OSError, ValueError):
        return "not told"


class OtherMachineError(Exception):
    """The figures kept were made on another machine, with other versions or by another state of the program."""


def opened(path: Path, *, as_it_is: bool = False) -> Record:
    """The record kept in a file, or an empty one; ``as_it_is``: only to be shown, whatever machine it is of.

    Raises ``OtherMachineError`` where going on would mix what cannot be compared.
    """
    here = this_machine()
    if not path.is_file():
        return Record(path, here)
    kept = json.loads(path.read_text(encoding="utf-8"))
    if not as_it_is and kept["made_on"] != here:
        differs = sorted(key for key in here if kept["made_on"].get(key) != here[key])
        raise OtherMachineError(
            f"The figures in {path} were made with other {', '.join(differs)}. "
            f"Move that file away, or delete it, to measure anew; or show it as it is with --render."
        )
    figures = [Figures(Case(**one["case"]), one["run"], one["found"]) for one in kept["figures"]]
    return Record(path, kept["made_on"], figures)


def middle(values: list[float | None]) -> float | None:
    """The median; None where a run gave none, for a median over the lucky runs would flatter."""
    known = [value for value in values if value is not None]
    return median(known) if values and len(known) == len(values) else None
