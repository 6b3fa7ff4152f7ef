"""Writes ``docs/trust.md`` from the figures that runs have kept: python tests/tools/trust_page.py

Nobody edits that page: what is promised and how it is tried stands here, the figures come from the runs.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

ROOT = Path(__file__).parents[2]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))  # what tests share is found from the root of the repository

from tests.faults.yard import CASES  # noqa: E402

PAGE = ROOT / "docs" / "trust.md"
FIGURES = tuple(ROOT / "tests" / of / "figures.json" for of in ("faults", "fuzz", "install", "mutation"))
Figure = Mapping[str, str | int]


@dataclass(frozen=True)
class Kind:
    """A kind of mishap: the figures whose name begins with one of ``begins``, and what is to be said of them.

    ``instead``: beginnings of what is run only where something else cannot be.
    """

    title: str
    begins: tuple[str, ...]
    text: str
    instead: tuple[str, ...] = ()


KINDS = (
    Kind(
        "Killed at any moment",
        ("killed at each call that writes: ", "commands that only read"),
        """\
Each file is written beside its place, settled on the disk, and put there in one go; a new file never takes the
place of one that is there; a log only ever grows, by whole rows. Whatever moment a command is killed at (`kill -9`,
or a battery that is empty), each file that was there is there byte for byte, or the whole new one is, and the next
run goes on.

Tried by counting every call of the system by which a command writes (opening, writing, settling, moving, linking,
deleting, changing permissions), and killing it at each of them, one run for each. Then the files are compared with
those of an undisturbed run, and the command is run again: it has to succeed, or to say that its file is there
already. What a killed run leaves half-written under a name of its own (`.…half-written`) does no harm, and goes
with the next run an hour later. A command that only reads has to make no such call at all.""",
    ),
    Kind(
        "Disks that are full, fail, or can only be read",
        ("a call that writes fails with ENOSPC", "a call that writes fails with EIO", "a full disk", "a disk that"),
        """\
What was there stays, and a sentence names the file, the reason and what to do. A command that searches tries the
folder first, so that no search is in vain.

Tried by letting each of the same calls fail once, with "no room left" (`ENOSPC`) and with "the disk did not take
it" (`EIO`); and without any trick, on a small disk with less and less room left, and on one mounted read-only.""",
        ("a limit on the size",),
    ),
    Kind(
        "Two commands at once",
        ("at the same time: ",),
        """\
Rows recorded by many at the same time are all in the log, once. Two plans looked for at the same time do not push
out the one that was there before both: the second to be done leaves the first as it is, and says so. Of several
that begin the same new file one writes it, and the others say that it is there. Where the system can hold a folder
(Linux, macOS), plan, replan, `pace --use` and share wait for one another while one of them writes beside the same
files, up to 20 seconds; record waits for others that write the same log.

Tried by starting them together on the same files; what was there must still be there or kept beside, and each
command must end well or say what to do.""",
    ),
    Kind(
        "Ctrl-C",
        ("Ctrl-C",),
        """\
While a file is saved Ctrl-C is not heard; before, it ends the command with *Stopped. No file was written or
changed.*, and that is true; while a plan is looked for it keeps the best plan so far.

Tried by pressing it at moments spread over the whole run of each command.""",
    ),
    Kind(
        "The clock set back or on",
        ("the clock jumps",),
        """\
No limit of time hangs on the clock on the wall. A log remarks on rows of days before the last, and asks whether the
clock is right; it loses none of them.

Tried by setting the clock a day back, and a day on, a second after the start, with all files dated in the future.""",
    ),
    Kind(
        "Too little memory, a library that gives up, a part that is missing",
        ("too little memory", "ended from inside", "a package"),
        """\
Nothing is written before all of it is known, so whatever ends the process then, no file has been touched; what ends
it while it writes is no other than a kill. Memory that runs out, and a package that is not there, are told as what
they are.

Tried with the memory of the process limited in steps; by ending it from inside (`SIGABRT`), as libraries in other
languages do when they are at their wits' end; and with each package it stands on hidden from it.""",
    ),
    Kind(
        "Files from somebody else",
        ("fuzzing: ",),
        """\
A file that is nonsense, or malice, is refused in sentences, in bounded time and memory; nothing in it is run.

Tried by fuzzing each reader, guided by which of its lines an input reaches: anything but a value or a sentence of
its own is a loss, and so is an input that takes too long or too much memory. Files of up to 10 MB made to be nasty
are in the tests.""",
    ),
    Kind(
        "Installed where nothing else is",
        ("oldest versions", "newest versions", "the README's plan command", "the README's test command"),
        """\
The wheel holds all that the program needs. It works with the oldest and with the newest version of each library it
asks for, on each Python from 3.11 on that was at hand.

Tried in new virtual environments: a winter is gone through on the command line from an empty folder, then the tests
are run that lean on what others wrote. Here *tried* counts commands and tests, *losses* those that failed. The
README's own two commands are run as they stand there, in a copy of the repository.""",
    ),
    Kind(
        "Tests that notice",
        ("mutants of the trade", "mutants of the audit"),
        """\
The rules of the trade and the audit, which judges every plan, are what all else is measured by: a change in them has
to be noticed.

Tried by changing one thing after the other in their functions (a `<` made `<=`, a number one more, an argument left
out): the tests have to fail each time. Those that survived are in `tests/mutation/survivors.json`, each with the
reason why no test can or should fail; *losses* are those without a reason.""",
    ),
)
OF_EACH_COMMAND = ("killed at each call that writes", "a call that writes fails with")
"""Figures of these are of one command each, and all are to be there."""
HEAD = """\
# What you can trust it with

A keeper's plan and log are a season's work. This page says what is promised of them, how that was tried, and with
what result. It is written by `python tests/tools/trust_page.py` from the figures that the runs kept; each can be
repeated with the command beside it, in a copy of this repository with its tests set up. *Tried*: moments, calls or
inputs. *Losses*: a file lost, changed or half there, a command that could not go on afterwards, or a message that
did not say what to do.
"""
FOOT = """\
## Not covered

- **A library that ends the process** (the solver's own code, or one below it): this cannot be caught from Python.
  The files are whole then, as after a kill, but what is said is what that library says, which is no sentence of
  ours.
- **Disks that lie.** A row is told as recorded, and a plan as written, when the disk says that it has settled them.
  A disk or a stick that says so before it is true can lose the last file in a power cut; no program can see that.
  Power cuts themselves were not tried, kills were.
- **Drives of other computers** (network drives, folders that a service copies to elsewhere): not tried. Where such
  a drive cannot hold a folder, two commands at once do not wait for one another there.
- **Windows and macOS**: never run there. The ways that are theirs are written by the documentation, and a stand-in
  for the locks of Windows is in the tests.
- **Other programs.** An editor that holds an old version and saves it over a new plan is not noticed while it does
  so; `.before` keeps one plan, the last.
- **Two plans at once where the second begins when the first is written** are one after the other: the first is then
  the one that is kept, as always.
- **Several winters shared into one folder at once from two computers.**
"""


def page(figures: Sequence[Figure]) -> str:
    """The page with these figures; each has to be of a kind that is known here."""
    rest = list(figures)
    parts = [HEAD]
    for kind in KINDS:
        own = [one for one in rest if str(one["what"]).startswith((*kind.begins, *kind.instead))]
        rest = [one for one in rest if one not in own]
        parts.append("\n".join([f"## {kind.title}\n", kind.text, "", *_table(own, kind.begins)]))
    if rest:
        raise ValueError(f"nothing is said of: {', '.join(str(one['what']) for one in rest)}")
    return "\n".join([*parts, FOOT])


def _table(figures: Sequence[Figure], begins: Sequence[str]) -> Iterator[str]:
    for begin in begins:
        told = [str(one["what"]) for one in figures if str(one["what"]).startswith(begin)]
        if not told:
            yield f"**Not run yet:** {begin.strip(': ')}.\n"
        elif begin.startswith(OF_EACH_COMMAND) and (
            missing := CASES.keys() - {one.rpartition(": ")[2] for one in told}
        ):
            yield f"**Not run yet:** {begin.strip(': ')}: {', '.join(sorted(missing))}.\n"
    if not figures:
        return
    yield "| what | tried | losses | took | when | again with |"
    yield "|---|--:|--:|--:|---|---|"
    for one in figures:
        when = datetime.fromisoformat(str(one["when"]))
        took = f"{round(int(one['seconds']) / 60)} min" if int(one["seconds"]) >= 120 else f"{one['seconds']} s"
        cells = (one["what"], f"{one['tried']:,}", one["losses"], took, f"{when:%Y-%m-%d}", f"`{one['command']}`")
        yield f"| {' | '.join(map(str, cells))} |"
    tried, losses = (sum(int(one[key]) for one in figures) for key in ("tried", "losses"))
    yield f"| **in all** | **{tried:,}** | **{losses}** | | | |\n"


def kept() -> list[Figure]:
    """The figures there are, of all runs."""
    return [one for path in FIGURES if path.exists() for one in json.loads(path.read_text(encoding="utf-8"))]


if __name__ == "__main__":
    PAGE.write_text(page(kept()), encoding="utf-8")
