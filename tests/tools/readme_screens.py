"""Keeps the screens of README.md real: runs each marked command and puts what it printed between the marks.

A screen begins with ``<!-- screen: offseason ... -->`` and ends with ``<!-- end -->``. The commands run in the order of
the file, in one copy of the scenarios, so that a plan made by one is there for the next.

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
SCREEN = re.compile(r"<!-- screen: (?P<command>offseason [^\n]*?) -->\n(?P<body>.*?)<!-- end -->", re.DOTALL)


def screens(text):
    """Command and body of each screen, in order."""
    return [(found["command"], found["body"]) for found in SCREEN.finditer(text)]


def body_of(command, folder):
    """What stands between the marks: the command as typed, and all it printed, run in ``folder``."""
    words = [sys.executable, "-m", *shlex.split(command)]
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}
    done = subprocess.run(words, cwd=folder, env=env, capture_output=True, text=True, encoding="utf-8", check=False)
    if done.returncode != 0:
        raise SystemExit(f"{command} ended with {done.returncode}:\n{done.stderr}")
    return f"```console\n$ {command}\n{done.stdout.rstrip()}\n```\n"


def workshop(folder):
    """A folder like the top of the repository, in which commands of the README can run."""
    shutil.copytree(ROOT / "scenarios", folder / "scenarios", ignore=shutil.ignore_patterns("*.plan*.yaml"))
    return folder


def renewed(text, folder):
    """The text with every screen as it is now."""
    return SCREEN.sub(
        lambda found: f"<!-- screen: {found['command']} -->\n{body_of(found['command'], folder)}<!-- end -->", text
    )


if __name__ == "__main__":
    readme = ROOT / "README.md"
    with tempfile.TemporaryDirectory() as made:
        readme.write_text(renewed(readme.read_text("utf-8"), workshop(Path(made))), "utf-8")
