"""The scenario a plan was made from: where it is, and whether it is still the same."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from offseason.plan.document import Plan


def digest_of(path: Path) -> str:
    """SHA-256 of the file, in hexadecimal digits. Raises OSError where it cannot be read."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def scenario_beside(plan: Plan, plan_path: Path) -> Path:
    """Where the scenario of the plan is expected: its name, in the folder of the plan."""
    return plan_path.parent / plan.scenario_file


def changed_since(plan: Plan, scenario_path: Path) -> bool:
    """Whether the scenario file is another than the one the plan was made from."""
    return digest_of(scenario_path) != plan.scenario_sha256


def name_beside(scenario_path: Path, plan_path: Path) -> str:
    """The name under which ``scenario_beside`` finds the scenario again: its way from the folder of the plan."""
    return Path(os.path.relpath(scenario_path, plan_path.parent)).as_posix()
