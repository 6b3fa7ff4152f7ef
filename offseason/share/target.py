"""Where a file may be written: asked before the work, so that nothing is overwritten and no search is in vain."""

from __future__ import annotations

import errno
import os
import re
import secrets
import shutil
import stat
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path

from offseason.share.picture.svg import MARK

MOST_OF_HEAD = 65_536
LONGEST_SHOWN = 80
_OURS = re.compile(rb"^format:\s*\d+\s*(#.*)?$", re.MULTILINE)
_MADE_FROM = re.compile(rb"^scenario:", re.MULTILINE)


def unfit_for_plan(target: Path, scenario: Path) -> str | None:
    """Why no plan can be written to ``target``, in a sentence; None where it can. The folder is tried by writing."""
    shown = _shown(target)
    try:
        if target.exists() and target.samefile(scenario):
            return f"{shown} is the scenario itself; name another file for the plan."
        if why := _not_a_plan(target):
            return f"{shown} is {why}; it was left as it is. Name another file with --to."
        if target.exists() and (why := _not_a_plan(before_of(target))):
            told = f"The plan in {shown} would be kept as {_shown(before_of(target))}, but that is {why}."
            return f"{told} Name another file with --to."
        _try_folder(target)
    except (OSError, ValueError) as error:
        return cannot_write(target, error)
    return None


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
    shown = _shown(target)
    try:
        if target.exists() and any(source.exists() and target.samefile(source) for source in sources):
            return f"{shown} is what the picture is drawn from; name another file for the picture."
        if why := _not_a_picture(target):
            return f"{shown} is {why}; it was left as it is. Name another file with --picture."
        if target.suffix.lower() != ".svg":
            return f"{shown}: a picture is written as SVG; give it a name that ends in .svg, as in weather.svg."
        _try_folder(target)
    except (OSError, ValueError) as error:
        return cannot_write(target, error)
    return None


def before_of(target: Path) -> Path:
    """Where the plan that was at ``target`` is kept."""
    return target.with_name(f"{target.name}.before")


def keep_old(target: Path) -> Path | None:
    """Copies what is at ``target`` beside it, over the one kept before; where to, or None where there was nothing.

    Errors: OSError; nothing is changed then.
    """
    if not target.exists():
        return None
    kept = before_of(target)
    half = target.with_name(f".{secrets.token_hex(8)}.half-written")
    try:
        shutil.copy2(target, half)
        half.replace(kept)
    finally:
        half.unlink(missing_ok=True)
    return kept


def cannot_write(path: Path, error: Exception) -> str:
    """A sentence for the keeper: which file cannot be written, why, and what to do instead."""
    shown, folder = _shown(path), _shown(Path(os.path.realpath(path)).parent if "\0" not in str(path) else path)
    number = error.errno if isinstance(error, OSError) else None
    if number in (errno.ENOENT, errno.ENOTDIR) and not Path(os.path.realpath(path)).parent.is_dir():
        return f"{shown} cannot be written: there is no such folder as {folder}; make it first, or name another file."
    if number in (errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOENT):
        return f"{shown} cannot be written: you may not write into the folder {folder}; name a file in another folder."
    if number == errno.ENAMETOOLONG:
        return f"{shown} cannot be written: the name is too long for a file; choose a shorter one."
    if isinstance(error, OSError):
        return f"{shown} cannot be written: {error.strerror or error}; make room, or name a file in another folder."
    return f"{shown} cannot be written: this is not a name a file can have; choose another."


def _try_folder(target: Path) -> None:
    with tempfile.NamedTemporaryFile(prefix=".", suffix=".trial", dir=Path(os.path.realpath(target)).parent):
        pass


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
    with path.open("rb") as stream:
        head = stream.read(MOST_OF_HEAD).replace(b"\0", b"").replace(b"\r", b"\n")  # also as some editors save it
    return None if is_ours(head) else f"a file that is not a {kind} of offseason"


def _shown(path: Path) -> str:
    text = str(path)
    return text if len(text) <= LONGEST_SHOWN else f"{text[:40]}...{text[-30:]}"


def write_new(target: Path, text: str) -> str | None:
    """Writes a file that is not there yet; what went wrong, in a sentence."""
    begun = False
    try:
        with target.open("x", encoding="utf-8", newline="") as stream:
            begun = True
            stream.write(text)
    except FileExistsError:
        return there_already(target)
    except (OSError, ValueError) as error:
        if begun:
            target.unlink(missing_ok=True)  # half a scenario is none
        return cannot_write(target, error)
    return None


def there_already(target: Path) -> str:
    """That nothing is written over a file that is there."""
    return f"{target} is there already and was left as it is; name another with --to."
