"""What a command ends with."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from offseason.share.exit_codes import CANNOT_BE_DONE, FILE_WRONG
from offseason.share.terminal.layout import paragraph
from offseason.workload.model import Schedule


@dataclass(frozen=True)
class Outcome:
    """What a command ends with: exit code, what it has to show, where it put a file, and what it complains of."""

    code: int
    text: str = ""
    kept: str = ""
    complaint: str = ""


def nothing_found(schedule: Schedule | None) -> bool:
    """Whether the search ended without any plan, not even one that leaves much."""
    return schedule is not None and bool(schedule.left) and not schedule.work


def no_such_log(named: Path) -> Outcome:
    """That a log which was named is not there; taken for none, all that was planned would count as done."""
    return Outcome(FILE_WRONG, complaint=paragraph(f"{named}: there is no log of this name."))


def not_touched(target: Path, shortfall: str) -> Outcome:
    """The end of a search that found no plan at all: what does not fit, and that no file was changed."""
    told = paragraph(f"No plan was found that could be written. {target} was not touched.")
    return Outcome(CANNOT_BE_DONE, complaint=f"{shortfall}\n{told}")
