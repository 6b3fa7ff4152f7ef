"""Keeps the screens of README.md and the guide real: runs each marked command, puts what it printed between the marks.

A screen begins with ``<!-- screen: offseason ... -->`` and ends with ``<!-- end -->``. The commands run in the order of
the file, in one copy of the scenarios, so that a plan made by one is there for the next. A scenario that is another one
with some words changed is made in the copy by ``<!-- made: NEW is OLD with "these words" for "those words" -->``, and
with more of them by ``and "..." for "..."`` behind it.

Run ``python tests/tools/readme_screens.py`` to write all of them anew (planning takes about a minute).
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
SHOWN = (ROOT / "README.md", ROOT / "docs" / "guide.md")
"""The files with screens."""

SCREEN = re.compile(r"<!-- screen: (?P<command>offseason [^\n]*?) -->\n(?P<body>.*?)<!-- end -->", re.DOTALL)
MADE = re.compile(r"<!-- made: (?P<new>\S+) is (?P<old>\S+) with (?P<words>[^\n]+) -->")
WORDS = re.compile(r'"(?P<now>[^"]+)" for "(?P<was>[^"]+)"')
ENDS = (0, 3)
"""Exit codes a screen may end with: done, and a winter that does not fit."""


def screens(text):
    """Command and body of each screen, in order."""
    return [(found["command"], found["body"]) for found in SCREEN.finditer(text)]


def body_of(command, folder):
    """What stands between the marks: the command as typed, and all it printed, run in ``folder``."""
    words = [sys.executable, "-m", *shlex.split(command)]
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}
    done = subprocess.run(words, cwd=folder, env=env, capture_output=True, text=True, encoding="utf-8", check=False)
    if done.returncode not in ENDS:
        raise SystemExit(f"{command} ended with {done.returncode}:\n{done.stderr}")
    return f"```console\n$ {command}\n{done.stdout.rstrip()}\n```\n"


def workshop(folder, text):
    """A folder like the top of the repository, in which the commands shown in ``text`` can run."""
    unwanted = shutil.ignore_patterns("*.plan*.yaml", "*.remed*.yaml")
    shutil.copytree(ROOT / "scenarios", folder / "scenarios", ignore=unwanted)
    for made in MADE.finditer(text):
        scenario = (folder / made["old"]).read_text("utf-8")
        for now, was in WORDS.findall(made["words"]):
            if scenario.count(was) != 1:
                raise SystemExit(f"{made['old']} has {was!r} {scenario.count(was)} times; once was meant")
            scenario = scenario.replace(was, now)
        (folder / made["new"]).write_text(scenario, "utf-8")
    return folder


def renewed(text, folder):
    """The text with every screen as it is now."""
    return SCREEN.sub(
        lambda found: f"<!-- screen: {found['command']} -->\n{body_of(found['command'], folder)}<!-- end -->", text
    )


if __name__ == "__main__":
    for shown in SHOWN:
        text = shown.read_text("utf-8")
        with tempfile.TemporaryDirectory() as made:
            shown.write_text(renewed(text, workshop(Path(made), text)), "utf-8")
