"""The plan file: written so that it is never half there, read so that every mistake is named at its place."""

from __future__ import annotations

import stat
from pathlib import Path

from offseason.plan.document import Plan
from offseason.plan.layout import plan_text
from offseason.plan.parse import PlanFileError, parse_plan
from offseason.plan.unwritten import why_unwritten
from offseason.plan.whole import write_whole
from offseason.scenario.decode import MAX_BYTES
from offseason.scenario.problems import Problem

__all__ = ["PlanFileError", "plan_text", "read_plan", "write_plan"]


def write_plan(path: Path, plan: Plan) -> None:
    """Writes the plan in one go, as ``write_whole`` does.

    Raises PlanFileError where nothing can be written; the old file then stays as it was.
    """
    try:
        write_whole(path, plan_text(plan).encode())
    except (OSError, ValueError) as error:
        why = f"the file cannot be written: {why_unwritten(path, error)}"
        raise PlanFileError([Problem(str(path), 0, 0, why)]) from None


def read_plan(path: Path) -> Plan:
    """The plan in the file at ``path``, each row with its line. Raises PlanFileError with every mistake."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise PlanFileError([Problem(str(path), 0, 0, "this is not a file; name the plan file itself")])
        with path.open("rb") as stream:
            source = stream.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        raise _cannot_read(path, error) from None
    return parse_plan(source, str(path))


def _cannot_read(path: Path, error: Exception) -> PlanFileError:
    match error:
        case FileNotFoundError() | NotADirectoryError():
            why = "there is no file of this name; `offseason plan` makes a plan from a scenario"
        case PermissionError():
            why = "the file cannot be read: you are not allowed to"
        case OSError():
            why = f"the file cannot be read: {error.strerror}"
        case _:
            why = "the name is not one a file can have"
    return PlanFileError([Problem(str(path), 0, 0, why)])
