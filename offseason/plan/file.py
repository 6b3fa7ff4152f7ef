"""The plan file: written so that it is never half there, read so that every mistake is named at its place."""

from __future__ import annotations

import os
import secrets
import stat
from contextlib import suppress
from pathlib import Path

from offseason.plan.document import Plan
from offseason.plan.layout import plan_text
from offseason.plan.parse import PlanFileError, parse_plan
from offseason.scenario.decode import MAX_BYTES
from offseason.scenario.problems import Problem

__all__ = ["PlanFileError", "plan_text", "read_plan", "write_plan", "write_whole"]


def write_plan(path: Path, plan: Plan) -> None:
    """Writes the plan in one go, as ``write_whole`` does.

    Raises PlanFileError where nothing can be written; the old file then stays as it was.
    """
    try:
        write_whole(path, plan_text(plan).encode())
    except (OSError, ValueError) as error:
        raise _cannot(path, "written", error) from None


def write_whole(path: Path, content: bytes) -> None:
    """Writes a file beside ``path`` and then puts it there in one go: a reader sees the old file or the new one.

    A file that was there keeps its permissions. Errors: OSError, or ValueError for a name no file can have; the old
    file then stays as it was.
    """
    target = Path(os.path.realpath(path))
    half = target.with_name(f".{secrets.token_hex(8)}.half-written")
    try:
        with half.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            half.chmod(stat.S_IMODE(target.stat().st_mode))
        half.replace(target)
    finally:
        with suppress(OSError):
            half.unlink()
    settle_folder(target.parent)


def settle_folder(folder: Path) -> None:
    """Has the names of new files in the folder survive a power cut, where the system can do so."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def read_plan(path: Path) -> Plan:
    """The plan in the file at ``path``, each row with its line. Raises PlanFileError with every mistake."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise PlanFileError([Problem(str(path), 0, 0, "this is not a file; name the plan file itself")])
        with path.open("rb") as stream:
            source = stream.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        raise _cannot(path, "read", error) from None
    return parse_plan(source, str(path))


def _cannot(path: Path, done: str, error: Exception) -> PlanFileError:
    match error:
        case FileNotFoundError() | NotADirectoryError():
            why = "there is no file of this name" if done == "read" else "there is no such folder to write it in"
        case PermissionError():
            why = f"the file cannot be {done}: you are not allowed to"
        case IsADirectoryError():
            why = "this is a folder; name a file in it"
        case OSError():
            why = f"the file cannot be {done}: {error.strerror}"
        case _:
            why = "the name is not one a file can have"
    return PlanFileError([Problem(str(path), 0, 0, why)])
