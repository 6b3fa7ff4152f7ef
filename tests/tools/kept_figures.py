"""The figures of a run, kept beside what was run, so that the page on trust can be written from them."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

Figure = dict[str, str | int]
NAME = "figures.json"


def figure(what: str, command: str, tried: int, losses: int, seconds: float) -> Figure:
    """What a run of now tried and lost."""
    return {
        "what": what,
        "command": command,
        "tried": tried,
        "losses": losses,
        "seconds": round(seconds),
        "when": datetime.now(UTC).isoformat(timespec="seconds"),
    }


def keep(beside: str, new: Figure, about: str = "") -> None:
    """Keeps the figures beside what was run, in place of those of the same name or of all that begin with ``about``."""
    path = Path(beside).with_name(NAME)
    kept = json.loads(path.read_text("utf-8")) if path.exists() else []
    kept = [one for one in kept if one["what"] != new["what"] and not (about and one["what"].startswith(about))]
    kept = sorted([*kept, new], key=lambda one: one["what"])
    path.write_text("[\n" + ",\n".join(map(json.dumps, kept)) + "\n]\n", "utf-8")
    print(json.dumps(new), flush=True)
