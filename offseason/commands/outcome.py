"""What a command ends with."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Outcome:
    """What a command ends with: exit code, what it has to show, where it put a file, and what it complains of."""

    code: int
    text: str = ""
    kept: str = ""
    complaint: str = ""
