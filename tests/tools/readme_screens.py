"""Keeps the screens of README.md and the guide real: runs what they show, and puts what it printed between the marks.

Run ``python tests/tools/readme_screens.py`` to write all of them anew (a few minutes), or with the name of one of the
files. How a page is marked stands in ``page_run.py``.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.tools.page_run import MARK, ROOT, Workshop, step_of

SHOWN = (ROOT / "README.md", ROOT / "docs" / "guide.md")
"""The files with screens."""


def renewed(text: str, workshop: Workshop) -> str:
    """The text with every screen as it is now."""
    parts, at = [], 0
    for found in MARK.finditer(text):
        shown = workshop.do(step_of(found))
        if shown is not None:
            parts += [text[at : found.start("body")], shown]
            at = found.end("body")
    return "".join([*parts, text[at:]])


if __name__ == "__main__":
    named = [path for path in SHOWN if path.name in sys.argv[1:]]
    for path in named or SHOWN:
        with tempfile.TemporaryDirectory() as folder:
            path.write_text(renewed(path.read_text("utf-8"), Workshop(Path(folder) / "yard")), "utf-8")
