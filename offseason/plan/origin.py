"""The scenario and the weather a plan was made from: where they are, and whether they are still the same."""

from __future__ import annotations

import errno
import hashlib
import os
import stat
from pathlib import Path

from offseason.plan.document import Plan, WeatherFile
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.weather.lines import MAX_BYTES


def digest_of(path: Path) -> str:
    """SHA-256 of the file, in hexadecimal digits.

    Raises OSError where it cannot be read, is no file, or is larger than any file read here: a plan from someone else
    may name a device, which never ends, or a pipe, which waits.
    """
    if not stat.S_ISREG(path.stat().st_mode):
        raise OSError(errno.EINVAL, "this is not a file", str(path))
    with path.open("rb") as stream:
        content = stream.read(MAX_BYTES + 1)
    if len(content) > MAX_BYTES:
        raise OSError(errno.EFBIG, f"the file is larger than {MAX_BYTES // 1_000_000} MB", str(path))
    return hashlib.sha256(content).hexdigest()


def scenario_beside(plan: Plan, plan_path: Path) -> Path:
    """Where the scenario of the plan is expected: its name, in the folder of the plan."""
    return plan_path.parent / os.fsdecode(plan.scenario_file.encode())


def changed_since(plan: Plan, scenario_path: Path) -> bool:
    """Whether the scenario file is another than the one the plan was made from."""
    return digest_of(scenario_path) != plan.scenario_sha256


def records_of(scenario: Scenario, folder: Path) -> tuple[WeatherFile, ...]:
    """The weather files a scenario in this folder names, as they are now. Raises OSError where one cannot be read."""
    names = dict.fromkeys((*scenario.weather.forecast, *scenario.weather.history))
    return tuple(WeatherFile(name, digest_of(folder / name)) for name in names)


def records_changed_since(plan: Plan, folder: Path) -> tuple[str, ...]:
    """Names of the plan's weather files that are other than when it was made, or gone; ``folder``: the scenario's."""
    return tuple(one.file for one in plan.records if not _is_still(folder / one.file, one.sha256))


def records_said(plan: Plan, folder: Path) -> str | None:
    """That weather files of the plan have changed since it was made, to go on with what follows from that."""
    changed = records_changed_since(plan, folder)
    if not changed:
        return None
    return f"{listed(changed)} {'have' if len(changed) > 1 else 'has'} changed since this plan was made"


def _is_still(path: Path, digest: str) -> bool:
    try:
        return digest_of(path) == digest
    except (OSError, ValueError):  # ValueError: a name with a zero byte, written by hand
        return False


def name_beside(scenario_path: Path, plan_path: Path) -> str:
    """The name under which ``scenario_beside`` finds the scenario again: its way from the folder of the plan.

    It is text, also where names of files are not: what is no UTF-8 is replaced, and the scenario has to be named.
    """
    name = Path(os.path.relpath(scenario_path, plan_path.parent)).as_posix()
    return os.fsencode(name).decode(errors="replace")
