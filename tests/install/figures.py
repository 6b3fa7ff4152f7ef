"""What was tried and what was lost, kept so that the page on trust can be written from it."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from xml.etree import ElementTree as ET

FIGURES = Path(__file__).with_name("figures.json")

Figure = dict[str, str | int]


def counted(report: Path) -> tuple[int, int]:
    """Tests that were run and those that failed, from the report that pytest writes."""
    counts = ET.parse(report).getroot().find("testsuite").attrib  # noqa: S314  written by pytest a moment ago
    return int(counts["tests"]) - int(counts["skipped"]), int(counts["failures"]) + int(counts["errors"])


def now() -> str:
    """The moment, to the second."""
    return datetime.now(UTC).isoformat(timespec="seconds")


def keep(figure: Figure) -> None:
    """Writes the figures in place of those before of the same, which is what stands before the colon."""
    about = str(figure["what"]).partition(":")[0]
    kept = json.loads(FIGURES.read_text("utf-8")) if FIGURES.exists() else []
    kept = [one for one in kept if one["what"].partition(":")[0] != about]
    kept = sorted([*kept, figure], key=lambda one: one["what"])
    FIGURES.write_text("[\n" + ",\n".join(map(json.dumps, kept)) + "\n]\n", "utf-8")
