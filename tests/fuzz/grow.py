"""Adds to the corpus of a reader the inputs that reach lines of ours which none in it reaches, most new lines first."""

from __future__ import annotations

import argparse
import hashlib
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

from readers import READERS, refusal  # noqa: E402  found only once their folder is on the path

MOST_FILES = 36
MOST_BYTES = 4_096
"""Of one input: the corpus stays small."""

Steps = frozenset[tuple[str, int, int]]


def steps_of(reader: str, data: bytes, folder: Path) -> Steps:
    """From which line of ours to which the reader goes for this input: (file, from, to)."""
    seen: set[tuple[str, int, int]] = set()
    ours = str(HERE.parents[1] / "offseason")

    def enter(frame: FrameType, _event: str, _argument: Any) -> Callable[..., Any] | None:
        file, before = frame.f_code.co_filename, frame.f_lineno
        if not file.startswith(ours):
            return None

        def step(inner: FrameType, event: str, _argument: Any) -> Callable[..., Any]:
            nonlocal before
            if event == "line":
                seen.add((file, before, inner.f_lineno))
                before = inner.f_lineno
            return step

        return step

    others = sys.gettrace()  # such as that of branch coverage
    sys.settrace(enter)
    try:
        refusal(reader, data, folder)
    except Exception:  # noqa: BLE001, S110  a loss is told by others
        pass
    finally:
        sys.settrace(others)
    return frozenset(seen)


def main() -> int:
    parser = argparse.ArgumentParser(description="Add to the corpus what reaches more than is reached by it.")
    parser.add_argument("reader", choices=READERS)
    parser.add_argument("grown", type=Path)
    given = parser.parse_args()
    corpus = HERE / "corpus" / given.reader
    with tempfile.TemporaryDirectory() as name:
        there = [path.read_bytes() for path in corpus.iterdir()]
        reached = {step for data in there for step in steps_of(given.reader, data, Path(name))}
        new = {path.read_bytes() for path in given.grown.iterdir() if path.stat().st_size <= MOST_BYTES}
        more = {data: steps_of(given.reader, data, Path(name)) for data in new}
    added = 0
    while more and len(there) + added < MOST_FILES:
        data = max(more, key=lambda one: (len(more[one] - reached), -len(one), one))
        if not more[data] - reached:
            break
        reached |= more.pop(data)
        (corpus / hashlib.sha256(data).hexdigest()[:12]).write_bytes(data)
        added += 1
    print(f"{given.reader}: {added} inputs added to the corpus, {len(there) + added} in all")
    return 0


if __name__ == "__main__":
    sys.exit(main())
