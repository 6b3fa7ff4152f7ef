"""A winter that does not fit, as the commands look for remedies of it, tell them and keep them beside the scenario."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from offseason.commands.begun import Begun
from offseason.commands.settled import settled
from offseason.plan.document import Plan, WeatherFile
from offseason.plan.origin import digest_of, records_of
from offseason.plan.unwritten import cannot_write
from offseason.remedy.contradiction import contradictions
from offseason.remedy.edits import CannotBePlannedError, applied
from offseason.remedy.file import Kept, remedies_path, unfit_for_remedies, write_remedies
from offseason.remedy.lever import Change, Found
from offseason.remedy.search import find_remedies
from offseason.remedy.yard import Yard
from offseason.scenario.decode import decoded
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.read import parse_scenario
from offseason.scenario.yaml_edit import CannotEditError
from offseason.share.shell import for_shell
from offseason.share.terminal.contradiction import contradiction_text
from offseason.share.terminal.layout import clean, paragraph
from offseason.share.terminal.left import left_said_text
from offseason.share.terminal.remedies import remedies_text
from offseason.share.terminal.shortfall import own_dates_text, shortfall_text
from offseason.solver import Progress
from offseason.weather.outlook import Outlook
from offseason.workload.build import build_workload
from offseason.workload.model import Schedule, Workload

LEAST_S = 1.0
"""Remedies are looked for at least so long."""

USUAL_S, SMALL_S, SMALL_SESSIONS = 60.0, 7.0, 150
"""Remedies of a winter of fewer sessions are looked for so long, unless more than the usual is asked for. Ours."""

STARTING_AND_TELLING_S = 4.0
"""What a command needs besides, of the time it was given: to start, to read, to say what fails. Ours."""

SHARE_IF_SHORT, SMALL_PLAN_S = 0.45, 2.0
"""Part of the time, or effort, for the best plan of a winter that does not fit, and the most for that of a small one;
in the rest remedies are looked for. Ours."""


@dataclass(frozen=True)
class Effort:
    """How long a command may search in all, with how many workers and which seed, and whom to tell."""

    seconds: float
    workers: int
    seed: int
    tell: Callable[[Progress], None] | None


@dataclass(frozen=True)
class Winter:
    """A scenario: the file it is from and its text, as ``written`` and settled, and what is planned of it."""

    path: Path
    text: str
    written: Scenario
    scenario: Scenario
    outlook: Outlook | None
    workload: Workload
    digest: str
    records: tuple[WeatherFile, ...]


def winter_of(path: Path) -> Winter:
    """The winter of a scenario file. Raises ScenarioError, WeatherFileError and OSError."""
    digest, text = digest_of(path), decoded(path.read_bytes(), str(path))
    written = parse_scenario(text, str(path))
    scenario, outlook = settled(written, path)
    records = records_of(scenario, path.parent)
    return Winter(path, text, written, scenario, outlook, build_workload(scenario, outlook), digest, records)


def seconds_if_short(winter: Winter, effort: Effort) -> float:
    """How long the best plan is looked for where the winter does not fit."""
    share_s = SHARE_IF_SHORT * effort.seconds
    return min(share_s, SMALL_PLAN_S) if _soon_answered(winter, effort) else share_s


def _soon_answered(winter: Winter, effort: Effort) -> bool:
    return effort.seconds <= USUAL_S and len(winter.workload.sessions) < SMALL_SESSIONS


def remedies_for(winter: Winter, schedule: Schedule, effort: Effort) -> Found:
    """What would make it fit, in the time that ``schedule``, the best plan of it as it is, has left."""
    yard = Yard(winter.scenario, winter.outlook, allowed=_can_be_written(winter))
    seconds = effort.seconds - schedule.seconds - STARTING_AND_TELLING_S
    if _soon_answered(winter, effort):
        seconds = min(seconds, SMALL_S)
    return _found(yard, schedule, seconds, effort)


def remedies_for_rest(winter: Winter, begun: Begun, schedule: Schedule, effort: Effort) -> Found:
    """What would make the rest of it fit, in as long again as ``schedule``, the best plan of that, might take."""
    yard = Yard(
        winter.scenario,
        winter.outlook,
        begun=begun.workload,
        today=begun.first_day,
        allowed=_can_be_written(winter),
        after_done=begun.after_done,
    )
    return _found(yard, schedule, effort.seconds, effort)


def _can_be_written(winter: Winter) -> Callable[[Sequence[Change]], bool]:

    def can_be_written(changes: Sequence[Change]) -> bool:
        """Whether what comes of it is not refused when it is read, as for a step left out that moves the pieces."""
        try:
            applied(winter.text, winter.written, changes)
        except CannotBePlannedError:
            return False
        except CannotEditError:
            return True  # not by us, for how the text is laid out; by the keeper
        return True

    return can_be_written


def _found(yard: Yard, schedule: Schedule, seconds: float, effort: Effort) -> Found:
    return find_remedies(
        yard,
        schedule,
        seconds=max(seconds, LEAST_S),
        workers=effort.workers,
        seed=effort.seed,
        tell=effort.tell,
    )


def what_fails(winter: Winter, schedule: Schedule, found: Found | None) -> str:
    """What cannot be true whatever help there were, what is left, and what would be enough."""
    told = contradictions(winter.text, winter.scenario, winter.outlook, str(winter.path))
    parts = [contradiction_text(told)] if told else []
    return "\n\n".join([*parts, what_is_left(winter, schedule, found)])


def what_is_left(winter: Winter, schedule: Schedule, found: Found | None, dates: str = "") -> str:
    """What is left, and what would be enough. ``dates``: what is to be said of the dates by which it is wanted."""
    impossible = found is not None and found.impossible
    short = shortfall_text(winter.scenario, winter.workload, schedule, advice=found is None, impossible=impossible)
    parts = ["\n".join(one for one in (short, dates) if one)]
    parts += [remedies_text(winter.scenario, found)] if found is not None else []
    return "\n\n".join(parts)


def what_is_left_now(
    winter: Winter, begun: Workload, schedule: Schedule | None, plan: Plan, found: Found | None
) -> str:
    """The same of a winter that has begun. ``schedule`` None: no better plan than the one there was was found."""
    if schedule is not None:
        dates = own_dates_text(winter.workload, begun, schedule.left)
        return what_is_left(replace(winter, workload=begun), schedule, found, dates)
    left = left_said_text(plan, winter.scenario)
    told = f"{left}\n{paragraph('No plan that leaves less was found, so it is kept.')}"
    return told if found is None else f"{told}\n\n{remedies_text(winter.scenario, found)}"


@dataclass(frozen=True)
class Then:
    """The plan of a winter that has begun, to be planned anew with a changed scenario; ``options``: those given now."""

    plan: Path
    options: tuple[str, ...] = ()


def keep(winter: Winter, found: Found, then: Then | None = None) -> tuple[str, str]:
    """Keeps the remedies beside the scenario: where they are and how to apply one, and what went wrong.

    ``then``: of a winter that has begun, what is to be done with the new scenario.
    """
    if not found.remedies:
        return "", ""
    target = remedies_path(winter.path)
    if wrong := unfit_for_remedies(target):
        return "", f"{wrong} So no remedy can be applied."
    try:
        write_remedies(target, Kept(winter.path.name, winter.digest, now(), found, winter.records))
    except (OSError, ValueError) as error:
        return "", f"{cannot_write(target, error, 'copy the winter to another folder')} So no remedy can be applied."
    which = "it" if len(found.remedies) == 1 else "the first of them (or the number of another)"
    and_then = ", and plan the rest of the winter with it" if then else ""
    told = f"Kept in {target}. To write a new scenario with {which}{and_then}:"
    commands = [f"offseason remedies {for_shell(winter.path)} --apply 1"]
    commands += [replan_words(then.plan, remedied_path(winter.path, 1))] if then else []
    again = f"\n{paragraph(f'Add {listed(then.options)} as you gave it now.')}" if then and then.options else ""
    return "\n  ".join([paragraph(clean(told)), *commands]) + again, ""


def replan_words(plan: Path, scenario: Path | None = None) -> str:
    """The command that plans the rest of a winter anew, with another scenario where one is named."""
    named = f" --scenario {for_shell(scenario)}" if scenario else ""
    return f"offseason replan {for_shell(plan)}{named}"


def remedied_path(scenario: Path, number: int) -> Path:
    """Where the scenario with a remedy made is written, where no other place is named."""
    return scenario.with_suffix(f".remedy-{number}.yaml")


def now() -> datetime:
    """The time by this machine, to the second."""
    return datetime.now(UTC).astimezone().replace(microsecond=0)
