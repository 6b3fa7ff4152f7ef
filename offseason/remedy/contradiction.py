"""Lines of a scenario that cannot all be true, whatever help, seats, space or weather there were: the smallest cores.

A freezer too small is no contradiction: a larger one can be had. That gear is to be ready before it can be dry is one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import timedelta

from offseason.remedy.by_time import Clash
from offseason.remedy.statements import SEASON_FROM, dates_of_its_own, owner_of, statements_of
from offseason.remedy.timed import Case, Cases
from offseason.scenario.core import smallest
from offseason.scenario.model import Scenario
from offseason.scenario.times import LONGEST_SEASON_DAYS
from offseason.scenario.yaml_tree import Node, Path, read_tree
from offseason.weather.outlook import Outlook
from offseason.workload.sessions import DAY_S, day_starts_s

MOST = 12
"""Contradictions looked for; who has mended so many looks again."""


@dataclass(frozen=True, order=True)
class Line:
    """One line of a core: its place in the file, whose it is, and what it says, as in ``ready_by: 2027-03-01``."""

    line: int
    column: int
    owner: str
    said: str
    path: Path


@dataclass(frozen=True)
class Contradiction:
    """Lines of ``file`` that cannot all be true, none of which can be left out, and one sentence that says why."""

    file: str
    lines: tuple[Line, ...]
    sentence: str


def contradictions(
    source: str | bytes | Node, scenario: Scenario, outlook: Outlook | None, file: str
) -> tuple[Contradiction, ...]:
    """The contradictions of a scenario that could be read, in the order of the file.

    ``source``: its text or tree; ``scenario``: settled, with ``outlook``, what its records tell. Each core is as small
    as it gets: no line of it can be left out, or take its default, and the rest still contradict one another.
    """
    tree = source if isinstance(source, Node) else read_tree(source, file)[0]
    cases = Cases(scenario, outlook)
    names = [*scenario.gear, *scenario.jobs]
    found: dict[tuple[Path, ...], Contradiction] = {}
    passed_over: list[Path] = []
    while len(found) < MOST:
        case = cases.case(names, passed_over)
        clash = case.clash()
        if clash is None:
            break
        concerned = [case.lots[n].name for n in clash.lots]
        written = [path for path in statements_of(scenario, concerned) if tree.at(path) is not None]
        core = _core(cases, written, concerned, passed_over)
        if not core or core in found:
            break
        lines = tuple(sorted(_line(tree, path) for path in core))
        found[core] = Contradiction(file, lines, _why(cases, written, concerned, core))
        passed_over += _to_pass_over(core)
    return tuple(sorted(found.values(), key=lambda one: one.lines))


def _core(cases: Cases, written: list[Path], names: Collection[str], passed_over: Collection[Path]) -> tuple[Path, ...]:
    def clash(kept: Iterable[Path]) -> bool:
        return cases.case(names, set(written).difference(kept)).clash() is not None

    standing = [path for path in written if path not in passed_over]
    if not clash(standing):
        return ()
    core = smallest(standing, clash)
    # the first day of the season is told only where gear comes in on it, and might come sooner
    arrivals = [path for path in written if path[-1] in ("arrives", "from")]
    needed = cases.case(names, {*written, SEASON_FROM}.difference(core, arrivals)).clash() is None
    return (*core, SEASON_FROM) if needed else core


def _to_pass_over(core: tuple[Path, ...]) -> list[Path]:
    """The lines to take away so that what else there is shows: not those that other lots share, if it can be helped."""
    own = list(dates_of_its_own(core))
    limits = [path for path in core if path[-1] == "within"]
    steps = [path for path in core if path[0] in ("gear", "jobs")]
    return own or limits or steps or list(core)


def _line(tree: Node, path: Path) -> Line:
    of_item = isinstance(path[-1], int)
    line, column = tree.place(path, of_key=not of_item)
    key = str(path[-2] if of_item else path[-1])
    node = tree.at(path)
    value = "" if node is None or node.text is None else node.text
    return Line(line, column, owner_of(path), f"{key}: {value}", path)


def _why(cases: Cases, written: list[Path], names: Collection[str], core: tuple[Path, ...]) -> str:
    """What these lines come to; where they do so whenever gear comes in, with the day on which it does."""
    arrivals = {path for path in written if path[-1] == "arrives"}
    for told in ({*core, *arrivals}, set(core)):
        case = cases.case(names, set(written).difference(told))
        clash = case.clash()
        if clash is not None:
            return _sentence(case, clash)
    return ""


def _sentence(case: Case, clash: Clash) -> str:
    n, s, _ = clash.node
    lot = case.lots[n]
    step = lot.steps[s]
    what = f"'{step.task}'" + (f" of '{lot.name}'" if step.task != lot.name else "")
    if clash.deadline is None:
        return f"{what} cannot come within {_length(step.within_s or 0)}: what comes before it takes longer"
    by = _day_text(case.scenario, clash.deadline.by_s - 1)
    asked = "its comb must be safe from moths" if clash.deadline.protection else "must be"
    if clash.soonest_s > clash.deadline.by_s + LONGEST_SEASON_DAYS * DAY_S:  # not to be told by the day
        return f"{what} cannot be done for more than a year, and {asked} by {by}"
    return f"{what} cannot be done before {_day_text(case.scenario, clash.soonest_s)}, and {asked} by {by}"


def _day_text(scenario: Scenario, moment_s: int) -> str:
    """The day on the clock at that moment of the season: ``Mon 12 Oct 2026``."""
    guess = scenario.season.from_ + timedelta(seconds=moment_s)
    while day_starts_s(scenario, guess) > moment_s:
        guess -= timedelta(days=1)
    while day_starts_s(scenario, guess + timedelta(days=1)) <= moment_s:
        guess += timedelta(days=1)
    return f"{guess:%a} {guess.day} {guess:%b %Y}"


def _length(seconds: int) -> str:
    return f"{seconds // DAY_S} days" if seconds % DAY_S == 0 and seconds > DAY_S else f"{seconds / 3_600:g} h"
