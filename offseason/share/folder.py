"""The folder in which a plan is shared: what in it is ours, and how all of it is written without harm to the rest."""

from __future__ import annotations

import errno
import json
import os
import stat
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from hashlib import sha256
from pathlib import Path
from types import MappingProxyType

from offseason.plan.alone import print_of
from offseason.plan.unwritten import cannot_write
from offseason.plan.whole import copy_whole, write_whole
from offseason.share.kept import Aside, kept_as

STATE = ".offseason-share"
MOST_BYTES = 50_000_000
_FORMAT = 1
_ELSEWHERE = "name another folder with --to"


class FolderError(Exception):
    """The folder cannot be shared into; the message is a sentence for the keeper."""


@dataclass(frozen=True)
class Ours:
    """The files of ours in a folder, by name, each with the person it is for (None: for everybody).

    ``winter``: the id of the winter that was shared last; empty where none was. ``prints``: of each file what tells
    what we wrote there from anything else, and the same of those kept for somebody, which are never taken away.
    """

    winter: str = ""
    files: Mapping[str, str | None] = field(default_factory=lambda: MappingProxyType({}))
    prints: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def people(self) -> tuple[str, ...]:
        """Those who have a file, in the order in which they came to have one."""
        return tuple(dict.fromkeys(person for person in self.files.values() if person is not None))


def ours_in(folder: Path) -> Ours:
    """What is ours in the folder; nothing in one that is not there yet. Raises FolderError."""
    try:
        mode = folder.stat().st_mode
    except FileNotFoundError:
        if os.path.lexists(folder):
            raise FolderError(f"{folder} is a link to what is not there; name a folder.") from None
        if not folder.parent.is_dir():
            told = f"{folder} cannot be made: there is no folder {folder.parent}; make that first, or name another."
            raise FolderError(told) from None
        return Ours()
    except (OSError, ValueError) as error:
        raise FolderError(cannot_write(folder, error, _ELSEWHERE)) from None
    if not stat.S_ISDIR(mode):
        raise FolderError(f"{folder} is no folder; name a folder, or one to be made, with --to.")
    source = old_file(folder, STATE)
    return Ours() if source is None else _of_source(source, folder)


def old_file(folder: Path, name: str) -> bytes | None:
    """What stands in a file of the folder, which is never one outside of it; None where there is none.

    Raises FolderError for what is no file, and where it cannot be read.
    """
    path = folder / name
    if why := _no_file(path):
        raise FolderError(f"{path} is {why}; put it elsewhere, or name another folder with --to.")
    try:
        with path.open("rb") as stream:
            return stream.read(MOST_BYTES)
    except FileNotFoundError:
        return None
    except OSError as error:
        told = f"{path}: this file cannot be read: {error.strerror or error}"
        raise FolderError(f"{told}; put that right, or name another folder with --to.") from None


def unfit(folder: Path, names: Iterable[str], ours: Ours) -> str | None:
    """Why files of these names cannot be written to the folder, in a sentence; None where they can."""
    for name in names:
        path = folder / name
        if why := _no_file(path):
            return f"{path} is {why}; nothing was written. Put it elsewhere, or name another folder with --to."
        if name not in ours.files and os.path.lexists(path):
            told = f"{path} is there and is none of the files that were shared here ({STATE} does not list it)."
            return f"{told} Nothing was written. Put it elsewhere, or name another folder with --to."
    return None


def to_keep(folder: Path, files: Mapping[str, bytes], ours: Ours) -> Aside:
    """Which files somebody changed since we wrote them and would lose, as something else is written over them now.

    Raises FolderError where one cannot be kept, for something else has the name under which it would be.
    """
    found: dict[str, str] = {}
    over = []
    for name, content in files.items():
        was = old_file(folder, name)
        if was in (None, content) or (found_print := _print(was)) in ours.prints.get(name, ()):
            continue
        found[name] = found_print
        if kept_as(name) in files:  # as the plan that was shared: it is one of the files itself, and asked for as such
            continue
        kept = old_file(folder, kept_as(name))
        if kept is not None and _print(kept) not in ours.prints.get(kept_as(name), ()):
            told = f"{folder / name} was changed since it was shared, and would be kept as {kept_as(name)}; but there"
            told = f"{told} is a file of that name that was not kept here, or was changed since. Nothing was written."
            raise FolderError(f"{told} Put {kept_as(name)} elsewhere, or name another folder with --to.")
        if kept not in (None, was):
            over.append(name)
    return Aside(MappingProxyType(found), frozenset(over))


def write_all(folder: Path, files: Mapping[str, bytes], after: Ours, before: Ours, aside: Aside) -> None:
    """Makes the folder and writes the files in their order, each whole or not at all; then ours that are no more go.

    Of ``aside`` each is kept beside its place before it is written over. A file goes only if it is what we wrote: a
    list of files can come with a folder from somebody else.
    Raises FolderError where something cannot be written; what is written by then stays, and is known as ours.
    """
    path, written = folder, False
    safe: list[str] = []
    try:
        folder.mkdir(exist_ok=True)
        # while it lasts, both what was and what is to be is ours: it may be cut short
        kept = {kept_as(name): (found,) for name, found in aside.prints.items()}
        prints = {**kept, **{name: (_print(content),) for name, content in files.items()}}
        either = {name: (*before.prints.get(name, ()), *of) for name, of in prints.items()}
        meanwhile = Ours(after.winter, {**before.files, **after.files}, {**before.prints, **either})
        for name, content in {STATE: _source(meanwhile), **files}.items():
            if name in aside.prints:
                path = folder / kept_as(name)
                copy_whole(folder / name, path)
                safe.append(name)
            path = folder / name
            write_whole(path, content)
            written = written or name != STATE
        for name in before.files.keys() - after.files.keys():
            path = folder / name
            if _is_what_we_wrote(path, before.prints.get(name, ())):
                path.unlink(missing_ok=True)
        path = folder / STATE
        kept_once = {name: of for name, of in before.prints.items() if name not in before.files}
        write_whole(path, _source(replace(after, prints={**kept_once, **prints})))
    except (OSError, ValueError) as error:
        mixed = f" By now some files in {folder} are new and others old: share again before you send any."
        told = f"{cannot_write(path, error, _ELSEWHERE)}{mixed if written else ''} {aside.told(safe)}"
        raise FolderError(told.rstrip()) from None


def _print(content: bytes) -> str:
    return sha256(content).hexdigest()


def _is_what_we_wrote(path: Path, prints: Collection[str]) -> bool:
    return _no_file(path) is None and print_of(path) in prints


def _no_file(path: Path) -> str | None:
    """What stands at the path that is no file; None for a file, and for nothing at all."""
    try:
        mode = path.lstat().st_mode
    except FileNotFoundError:
        return None
    except OSError as error:
        return "a name that cannot be" if error.errno == errno.ENAMETOOLONG else "something that cannot be looked at"
    if stat.S_ISLNK(mode):
        return "a link, which may lead out of the folder"
    if stat.S_ISDIR(mode):
        return "a folder"
    return None if stat.S_ISREG(mode) else "a device, a pipe or the like"


def _of_source(source: bytes, folder: Path) -> Ours:
    wrong = FolderError(
        f"{folder / STATE} says which files here are ours, and cannot be read. Name a new folder with --to, or delete "
        f"it together with the files that were shared into {folder}."
    )
    try:
        read = json.loads(source)
    except (ValueError, RecursionError):
        raise wrong from None
    match read:
        case {"format": int(), "winter": str() as winter, "files": dict() as files}:
            pass
        case _:
            raise wrong
    if not all(isinstance(name, str) and isinstance(person, str | None) for name, person in files.items()):
        raise wrong
    # a name that leads elsewhere was never written here
    known = {name: who for name, who in files.items() if _is_name(name)}
    return Ours(winter, MappingProxyType(known), MappingProxyType(_prints_in(read)))


def _prints_in(read: Mapping[str, object]) -> dict[str, tuple[str, ...]]:
    match read.get("prints"):
        case dict() as prints:
            return {name: tuple(map(str, of)) for name, of in prints.items() if isinstance(of, list)}
        case _:
            return {}


def _is_name(name: str) -> bool:
    return name not in {"", ".", ".."} and not set(name) & set("/\\:\0")


def _source(ours: Ours) -> bytes:
    state = {"format": _FORMAT, "winter": ours.winter, "files": dict(ours.files), "prints": dict(ours.prints)}
    return f"{json.dumps(state, indent=1)}\n".encode()
