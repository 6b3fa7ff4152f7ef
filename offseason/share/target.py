"""Where a file may be written: asked before the work, so that nothing is overwritten and no search is in vain."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable, Iterable
from pathlib import Path

import yaml

from offseason.plan.alone import alone_beside, print_of
from offseason.plan.document import Plan
from offseason.plan.file import PlanFileError, write_plan
from offseason.plan.unwritten import cannot_write, shown, why_unwritten
from offseason.plan.whole import copy_whole, put_new, try_folder
from offseason.scenario.problems import Problem
from offseason.share.picture.svg import MARK

MOST_OF_HEAD = 65_536
SIZE_TRIED = 32_768
"""So many bytes must fit into the folder of a file before a search for what goes into it is begun. Ours."""

_OURS = re.compile(rb"^format:\s*\d+\s*(#.*)?$", re.MULTILINE)
_OF_A_SCENARIO = re.compile(rb"^['\"]?(season|crew|gear)['\"]?[ \t]*:", re.MULTILINE)
_MADE_FROM = re.compile(rb"^scenario:(.*)$", re.MULTILINE)


def unfit_for_plan(target: Path, scenario: Path) -> str | None:
    """Why no plan can be written to ``target``, in a sentence; None where it can. The folder is tried by writing."""
    named = shown(target)
    try:
        if target.exists() and target.samefile(scenario):
            return f"{named} is the scenario itself; name another file for the plan."
        if why := _not_a_plan(target):
            return f"{named} is {why}; it was left as it is. Name another file with --to."
        if target.exists() and (why := _not_a_plan(before_of(target))):
            told = f"The plan in {named} would be kept as {shown(before_of(target))}, but that is {why}."
            return f"{told} Name another file with --to."
        try_folder(Path(os.path.realpath(target)).parent, SIZE_TRIED)
    except (OSError, ValueError) as error:
        return cannot_write(target, error)
    return None


def of_another_scenario(plan: Path, scenario: Path) -> str | None:
    """That the plan there is of another scenario, which is still there: ``winter.yml`` beside ``winter.yaml``.

    By its first lines alone, so also where it was spoilt by hand further down. None where it is not so, or no plan is
    there.
    """
    try:
        made_from = _MADE_FROM.search(_head_of(plan))
        name = yaml.safe_load(made_from[1].decode(errors="replace")) if made_from else None
        other = plan.parent / str(name)
        of_another = bool(name) and other.is_file() and not other.samefile(scenario)
    except (OSError, ValueError, yaml.YAMLError):
        return None
    return f"{shown(plan)} is the plan of {shown(other)}" if of_another else None


def is_plan(path: Path) -> bool:
    """Whether this is a plan file of ours, by its first lines; False where there is none or it cannot be read."""
    try:
        return path.exists() and _not_a_plan(path) is None
    except (OSError, ValueError):
        return False


def unfit_for_picture(target: Path, sources: Iterable[Path]) -> str | None:
    """Why no picture can be written to ``target``, in a sentence; None where it can. The folder is tried by writing.

    ``sources``: the files it is drawn from.
    """
    named = shown(target)
    try:
        if target.exists() and any(source.exists() and target.samefile(source) for source in sources):
            return f"{named} is what the picture is drawn from; name another file for the picture."
        if why := _not_a_picture(target):
            return f"{named} is {why}; it was left as it is. Name another file with --picture."
        if target.suffix.lower() != ".svg":
            return f"{named}: a picture is written as SVG; give it a name that ends in .svg, as in weather.svg."
        try_folder(Path(os.path.realpath(target)).parent, SIZE_TRIED)
    except (OSError, ValueError) as error:
        return cannot_write(target, error)
    return None


def before_of(target: Path) -> Path:
    """Where the plan that was at ``target`` is kept."""
    return target.with_name(f"{target.name}.before")


def unfit_to_keep(scenario: Path) -> str | None:
    """Why a scenario cannot be kept beside it, in words that follow "because"; None where it can."""
    why = _not_ours(before_of(scenario), "scenario", lambda head: bool(_OF_A_SCENARIO.search(head)))
    return (
        f"it would be kept as {shown(before_of(scenario))}, and that is {why}; put that elsewhere first"
        if why
        else None
    )


def keep_old(target: Path) -> Path | None:
    """Copies what is at ``target`` beside it, over the one kept before; where to, or None where there was nothing.

    Errors: OSError; nothing is changed then.
    """
    if not target.exists():
        return None
    kept = before_of(target)
    copy_whole(target, kept)
    return kept


def _not_a_plan(path: Path) -> str | None:
    return _not_ours(path, "plan", lambda head: bool(_OURS.search(head) and _MADE_FROM.search(head)))


def _not_a_picture(path: Path) -> str | None:
    return _not_ours(path, "picture", lambda head: MARK.encode() in head)


def _not_ours(path: Path, kind: str, is_ours: Callable[[bytes], bool]) -> str | None:
    """What stands there instead of a plan or picture of ours; None for one of ours, and for nothing at all."""
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(mode):
        return f"a folder, not a {kind} file"
    if not stat.S_ISREG(mode):  # never opened: a device or a pipe would wait, or act
        return f"a device, a pipe or the like, not a {kind} file"
    if not os.access(path, os.R_OK | os.W_OK):
        return "a file you may not change"
    return None if is_ours(_head_of(path)) else f"a file that is not a {kind} of offseason"


def _head_of(path: Path) -> bytes:
    """The first lines of a file, also as some editors save it."""
    with path.open("rb") as stream:
        return stream.read(MOST_OF_HEAD).replace(b"\0", b"").replace(b"\r", b"\n")


def put_plan(target: Path, plan: Plan, seen: str | None, *, keep: bool = True) -> Path | None:
    """Writes a plan; one that was there is kept beside it: where, or None. ``seen``: its print when the work began.

    Where another program wrote there meanwhile nothing is written: both would have kept the old plan under one name,
    and it would be lost. Raises PlanFileError.
    """
    path = target
    try:
        with alone_beside(target):
            if print_of(target) != seen:
                told = "another program wrote it while this plan was made, so it was left as it is; run this again"
                raise PlanFileError([Problem(str(target), 0, 0, told)])
            path = before_of(target)
            kept = keep_old(target) if keep else None
            path = target
            write_plan(target, plan)
    except (OSError, ValueError) as error:
        raise PlanFileError([Problem(str(path), 0, 0, f"cannot be written: {why_unwritten(path, error)}")]) from None
    return kept


def write_new(target: Path, text: str, option: str = " with --to") -> str | None:
    """Writes a file that is not there yet; what went wrong, in a sentence. ``option``: by which word another is named.

    Nothing is written over a file that is there.
    """
    try:
        put_new(target, text.encode())
    except FileExistsError:
        return f"{target} is there already and was left as it is; name another{option}."
    except (OSError, ValueError) as error:
        return cannot_write(target, error)
    return None
