"""The two commands of the README on every Python that is found here: ``python tests/install/readme.py``.

Each is run as it stands there, in a copy of the repository and with nothing set up, where ``python3`` is that Python.
``--fast``: only the fast tests. The figures are kept in ``figures.json``.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))  # what tests share is found from the root of the repository

from tests.install.packed import counted, of_one_python, pythons, run  # noqa: E402
from tests.tools.kept_figures import Figure, figure, keep  # noqa: E402

LEFT_OUT = (".git", ".venv", "__pycache__", "*.egg-info", "build", ".hypothesis", ".*_cache")


def main() -> int:
    """0 where both commands ended well on every Python."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--fast", action="store_true", help="only the fast tests")
    parser.add_argument("--python", action="append", metavar="NAME", help="only this one, such as python3.12")
    asked = parser.parse_args()
    lost = 0
    for python in asked.python or pythons():
        for command in ("plan", "test"):
            found = tried(python, command, fast=asked.fast)
            keep(__file__, found, of_one_python(found))
            lost += int(found["losses"])
    return 1 if lost else 0


def command_of(name: str) -> str:
    """The command between its marks in the README."""
    readme = (ROOT / "README.md").read_text("utf-8")
    return re.search(rf"<!-- command: {name} -->\n```sh\n(.*?)\n```\n<!-- end -->", readme, re.DOTALL)[1]


def tried(python: str, name: str, *, fast: bool) -> Figure:
    """The figures of one command: 1 tried for a plan, and each test of those that are run."""
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        copy, report = Path(folder) / "copy", Path(folder) / "report.xml"
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(*LEFT_OUT))
        (Path(folder) / "bin").mkdir()
        real = run(python, "-c", "import sys; print(sys.executable)").strip()
        (Path(folder) / "bin" / "python3").symlink_to(real)
        environ = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
        environ["PATH"] = f"{folder}/bin:{environ['PATH']}"
        environ["PYTEST_ADDOPTS"] = f"--junitxml={report}" + (" -m 'not slow'" if fast else "")
        command = ["bash", "-euo", "pipefail", "-c", command_of(name)]
        done = subprocess.run(command, cwd=copy, env=environ, check=False, capture_output=True, text=True)
        if done.returncode:
            print(done.stdout[-4_000:], done.stderr[-4_000:], file=sys.stderr)
        count, failed = counted(report) if report.exists() else (1, 0)
    of = " (fast tests)" if fast and name == "test" else ""
    return figure(
        f"the README's {name} command on {run(python, '--version').strip()}: in a copy, nothing set up{of}",
        "python tests/install/readme.py" + (" --fast" if fast else ""),
        count,
        failed or int(done.returncode != 0),
        time.monotonic() - began,
    )


if __name__ == "__main__":
    sys.exit(main())
