"""From the text of a plan file to a plan, or to everything that is wrong with it, each with line and column."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import datetime
from typing import get_args

from offseason.plan.document import Aim, How, LeftOver, Plan, Row, WeatherFile
from offseason.plan.layout import FORMAT
from offseason.plan.values import (
    Values,
    day_of,
    digest_of_file,
    moment_of,
    name_of,
    number_of,
    of_a_winter,
    pieces_of,
    text_of,
    time_of,
    whole_of,
    word_of,
    yes_or_no_of,
)
from offseason.scenario.decode import MAX_BYTES
from offseason.scenario.problems import Problem, ScenarioError, all_told
from offseason.scenario.words import shown
from offseason.scenario.yaml_tree import Node, Path, read_tree

HEADER = (
    "format", "scenario", "sha256", "made", "made_with", "since", "proven", "weather", "records", "aims", "left",
    "work", "end",
)  # fmt: skip
ROW = ("day", "from", "to", "who", "lot", "step", "pieces", "at", "set_up", "done")
AIM = ("aim", "unit", "reached", "best_possible", "gap_percent")
RECORD = ("file", "sha256")
LEFT = ("lot", "step", "pieces", "how")
NO_ROOM = ("place", "spaces", "from", "how")
_MAY_BE_LEFT_OUT = ("end", "at", "set_up", "done", "since", "proven", "weather", "records", "aims", "left", "made_with")
NOT_WHOLE = (
    "the file is not whole, its last line ('end: of the plan') is missing: take the copy whose name ends in .before, "
    "if there is one, or plan again"
)
_OF_A_SCENARIO = frozenset(("season", "crew", "tasks", "gear"))
_OF_A_PLAN = frozenset(("format", "sha256", "work"))
_MOST_ENTRIES = 500_000  # some 25,000 rows
_MOST_LINES = 50_000
_TOO_MANY_LINES = f"these are more than {_MOST_LINES:,} lines, and a plan has some thousand; is this the right file?"
_MINUTES_PER_DAY = 1_440


class PlanFileError(Exception):
    """The plan file cannot be used; ``problems`` lists every mistake found, each once, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__(all_told(self.problems))


def parse_plan(source: str | bytes, file: str) -> Plan:
    """The plan written in ``source``; ``file`` is its name in messages. Raises PlanFileError with every mistake."""
    if not source.strip():
        raise PlanFileError([Problem(file, 0, 0, "the file is empty; `offseason plan` writes a plan")])
    if (source.count("\n") if isinstance(source, str) else source.count(b"\n")) > _MOST_LINES:
        raise PlanFileError([Problem(file, 0, 0, _TOO_MANY_LINES)])
    try:
        tree, problems = read_tree(source, file, most_entries=_MOST_ENTRIES)
    except ScenarioError as error:
        told = [Problem(file, 0, 0, NOT_WHOLE)] if _is_cut_off(source) else [_of_a_plan(p) for p in error.problems]
        raise PlanFileError(told) from None
    if isinstance(tree.data, dict) and len(_OF_A_SCENARIO & tree.data.keys()) > 1 and not _OF_A_PLAN & tree.data.keys():
        sentence = "this looks like a scenario, not a plan; `offseason plan` makes a plan from it"
        raise PlanFileError([Problem(file, 0, 0, sentence)])
    if isinstance(tree.data, dict) and _OF_A_PLAN & tree.data.keys() and "end" not in tree.data:
        raise PlanFileError([Problem(file, 0, 0, NOT_WHOLE)])
    reader = _Reader(file, tree, [_of_a_plan(p) for p in problems])
    plan = reader.plan()
    if reader.problems or plan is None:
        raise PlanFileError(reader.problems)
    return plan


def _is_cut_off(source: str | bytes) -> bool:
    """Whether it begins as a plan does, and does not end so."""
    if len(source) > MAX_BYTES:
        return False
    text = source if isinstance(source, str) else source.decode("utf-8", "replace")
    return re.search(r"^format:", text, re.MULTILINE) is not None and not re.search(r"^end:", text, re.MULTILINE)


def _of_a_plan(problem: Problem) -> Problem:
    text = problem.text.replace("a scenario", "a plan").replace("one scenario", "one plan")
    return Problem(problem.file, problem.line, problem.column, text)


class _Reader(Values):
    """Reads one plan."""

    def plan(self) -> Plan | None:
        if not self.block((), HEADER, "a plan", may_be_left_out=_MAY_BE_LEFT_OUT):
            return None
        number = self.get(("format",), whole_of)
        if number is not None and number != FORMAT:
            self.say(("format",), f"this is layout {number} of a plan file, and only layout {FORMAT} can be read here")
        scenario, digest = self.get(("scenario",), name_of), self.get(("sha256",), digest_of_file)
        made, made_with = self.get(("made",), moment_of), self.get(("made_with",), text_of)
        proven = self.get(("proven",), yes_or_no_of)
        weather = [self.get(("weather", n), text_of) for n in self.items(("weather",))]
        records = [self._record(("records", n)) for n in self.items(("records",))]
        aims = [self._aim(("aims", n)) for n in self.items(("aims",))]
        left = [self._left(("left", n)) for n in self.items(("left",))]
        rows = [self._row(("work", n)) for n in self.items(("work",))]
        if scenario is None or digest is None or made is None or None in aims or None in rows:
            return None
        done, judged = tuple(r for r in rows if r), tuple(a for a in aims if a)
        said = tuple(sentence for sentence in weather if sentence)
        since, files = self.get(("since",), _wall_moment), tuple(one for one in records if one)
        told = tuple(one for one in left if one)
        seen = set()
        for n, one in enumerate(left):
            if one and one.key in seen:
                self.say(("left", n), _twice(one))
            seen |= {one.key} if one else set()
        return Plan(scenario, digest, made, made_with or "", bool(proven), judged, done, said, since, files, told)

    def _record(self, path: Path) -> WeatherFile | None:
        if not self.block(path, RECORD, "a file of weather", may_be_left_out=()):
            return None
        file, digest = self.get((*path, "file"), name_of), self.get((*path, "sha256"), digest_of_file)
        return None if file is None or digest is None else WeatherFile(file, digest)

    def _aim(self, path: Path) -> Aim | None:
        if not self.block(path, AIM, "an aim", may_be_left_out=_MAY_BE_LEFT_OUT):
            return None
        aim, unit = self.get((*path, "aim"), name_of), self.get((*path, "unit"), text_of)
        numbers = [self.get((*path, key), number_of) for key in AIM[2:]]
        reached, best, gap = numbers
        if aim is None or unit is None or reached is None or best is None or gap is None:
            return None
        return Aim(aim, unit, reached, best, gap)

    def _left(self, path: Path) -> LeftOver | None:
        how_node, place_node = self.tree.at((*path, "how")), self.tree.at((*path, "place"))
        if place_node is not None or (how_node is not None and how_node.text == "overfull"):
            return self._no_room(path)
        if not self.block(path, LEFT, "what is left", may_be_left_out=()):
            return None
        lot, step = self.get((*path, "lot"), name_of), self.get((*path, "step"), name_of)
        pieces, how = self.get((*path, "pieces"), _some_pieces), self.get((*path, "how"), _how)
        return LeftOver(lot, step, pieces, how) if lot and step and pieces and how else None

    def _no_room(self, path: Path) -> LeftOver | None:
        self.block(path, NO_ROOM, "a place without room", may_be_left_out=())
        place, since = self.get((*path, "place"), name_of), self.get((*path, "from"), day_of)
        spaces, how = self.get((*path, "spaces"), _some_pieces), self.get((*path, "how"), _overfull)
        return LeftOver("", "", spaces, how, place, since) if place and since and spaces and how else None

    def _row(self, path: Path) -> Row | None:
        if not self.block(path, ROW, "a row", may_be_left_out=_MAY_BE_LEFT_OUT):
            return None
        day, who = self.get((*path, "day"), day_of), self.who((*path, "who"))
        start, end = self.get((*path, "from"), time_of), self.get((*path, "to"), time_of)
        lot, step = self.get((*path, "lot"), name_of), self.get((*path, "step"), name_of)
        pieces, at = self.get((*path, "pieces"), pieces_of), self.get((*path, "at"), name_of)
        set_up = self.get((*path, "set_up"), _minutes)
        if start is not None and end is not None and end <= start and end.fold <= start.fold:
            self.say((*path, "to"), f"this row ends at {end:%H:%M}, before it begins at {start:%H:%M}")
        if day is None or start is None or end is None or lot is None or step is None or pieces is None:
            return None
        line = self.tree.place(path)[0]
        done = self.get((*path, "done"), yes_or_no_of)
        return Row(day, start, end, who, lot, step, pieces, at, set_up or 0.0, line, bool(done))


def _twice(left: LeftOver) -> str:
    if left.how == "overfull":
        return f"{left.place} is said to be overfull twice; write it once, with the most spaces it ever has too few"
    return f"{left.step} of {left.lot} is said to be left {left.how} twice; write it once, with all its pieces"


def _minutes(node: Node) -> float:
    minutes = number_of(node)
    if not 0 <= minutes <= _MINUTES_PER_DAY:
        raise ValueError(f"{shown(node.text)} minutes of set-up are not possible; write 0 to {_MINUTES_PER_DAY}")
    return minutes


def _some_pieces(node: Node) -> int:
    pieces = pieces_of(node)
    if not pieces:
        raise ValueError("0 pieces are nothing left over; write 1 or more, or take this line out")
    return pieces


def _how(node: Node) -> How:
    text = word_of(node, "undone, open or late")
    found: How | None = next((how for how in get_args(How) if how == text), None)
    if found is None:
        raise ValueError(f"{shown(text)} is no way to leave work; write undone, open or late")
    return found


def _overfull(node: Node) -> How:
    text = word_of(node, "overfull")
    if text != "overfull":
        raise ValueError(f"{shown(text)} is no word for a place without room; write overfull")
    return "overfull"


def _wall_moment(node: Node) -> datetime:
    text = word_of(node, "a date and time")
    try:
        moment = datetime.strptime(text, "%Y-%m-%d %H:%M")  # noqa: DTZ007  by the clock on the wall
    except ValueError:
        raise ValueError(f"{shown(text)} is not a date and time; write it as in 2026-10-17 18:30") from None
    return of_a_winter(moment)
