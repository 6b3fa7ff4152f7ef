"""The figures of fault runs, kept so that the page on trust can be written from them."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

FIGURES = Path(__file__).with_name("figures.json")


def keep(what: str, command: str, tried: int, losses: int, seconds: float) -> None:
    """Keeps the figures of one run, in place of those of the run of the same name before it."""
    figure = {
        "what": what,
        "command": command,
        "tried": tried,
        "losses": losses,
        "seconds": round(seconds),
        "when": datetime.now(UTC).isoformat(timespec="seconds"),
    }
    kept = json.loads(FIGURES.read_text(encoding="utf-8")) if FIGURES.exists() else []
    kept = [one for one in kept if one["what"] != what] + [figure]
    kept.sort(key=lambda one: one["what"])
    FIGURES.write_text("[\n" + ",\n".join(map(json.dumps, kept)) + "\n]\n", encoding="utf-8")
    print(json.dumps(figure), flush=True)
