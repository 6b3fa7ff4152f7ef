"""From the text of a plan file to a plan, or to everything that is wrong with it, each with line and column."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from datetime import date, datetime, time
from typing import TypeVar

from offseason.plan.document import Aim, Plan, Row
from offseason.plan.layout import FORMAT
from offseason.scenario.nearest import offer
from offseason.scenario.problems import Problem, ScenarioError
from offseason.scenario.words import parse_date, shown
from offseason.scenario.yaml_tree import Node, Path, read_tree

HEADER = ("format", "scenario", "sha256", "made", "made_with", "since", "proven", "weather", "aims", "work", "end")
ROW = ("day", "from", "to", "who", "lot", "step", "pieces", "at", "set_up", "done")
AIM = ("aim", "unit", "reached", "best_possible", "gap_percent")
_MAY_BE_LEFT_OUT = ("at", "set_up", "done", "since", "proven", "weather", "aims", "made_with")
MOST_PIECES = 10_000_000
_MOST_ENTRIES = 500_000  # some 25,000 rows
_MINUTES_PER_DAY = 1_440
_TIME = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2}))?( again)?")
_NOT_FINITE = {".inf": float("inf"), "-.inf": float("-inf"), ".nan": float("nan")}

T = TypeVar("T")


class PlanFileError(Exception):
    """The plan file cannot be used; ``problems`` lists every mistake found, each once, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(p) for p in self.problems))


def parse_plan(source: str | bytes, file: str) -> Plan:
    """The plan written in ``source``; ``file`` is its name in messages. Raises PlanFileError with every mistake."""
    if not source.strip():
        raise PlanFileError([Problem(file, 0, 0, "the file is empty; `offseason plan` writes a plan")])
    try:
        tree, problems = read_tree(source, file, most_entries=_MOST_ENTRIES)
    except ScenarioError as error:
        raise PlanFileError(_of_a_plan(p) for p in error.problems) from None
    if isinstance(tree.data, dict) and {"season", "crew"} <= tree.data.keys() and not set(HEADER) & tree.data.keys():
        sentence = "this is a scenario, not a plan; `offseason plan` makes a plan of it"
        raise PlanFileError([Problem(file, 0, 0, sentence)])
    reader = _Reader(file, tree, [_of_a_plan(p) for p in problems])
    plan = reader.plan()
    if reader.problems or plan is None:
        raise PlanFileError(reader.problems)
    return plan


def _of_a_plan(problem: Problem) -> Problem:
    text = problem.text.replace("a scenario", "a plan").replace("one scenario", "one plan")
    return Problem(problem.file, problem.line, problem.column, text)


class _Reader:
    """Reads one file and collects what is wrong with it."""

    def __init__(self, file: str, tree: Node, problems: list[Problem]) -> None:
        self.file, self.tree, self.problems = file, tree, problems

    def plan(self) -> Plan | None:
        if not self._block((), HEADER, "a plan"):
            return None
        if self.tree.at(("end",)) is None:
            self._say((), "the last line, 'end: of the plan', is missing: the file seems to be cut off")
        number = self._get(("format",), _whole)
        if number is not None and number != FORMAT:
            self._say(("format",), f"this is layout {number} of a plan file, and only layout {FORMAT} can be read here")
        scenario, digest = self._get(("scenario",), _name), self._get(("sha256",), _digest)
        made, made_with = self._get(("made",), _moment), self._get(("made_with",), _text)
        proven = self._get(("proven",), _yes_or_no)
        weather = [self._get(("weather", n), _text) for n in self._items(("weather",))]
        aims = [self._aim(("aims", n)) for n in self._items(("aims",))]
        rows = [self._row(("work", n)) for n in self._items(("work",))]
        if scenario is None or digest is None or made is None or None in aims or None in rows:
            return None
        done, judged = tuple(r for r in rows if r), tuple(a for a in aims if a)
        said = tuple(sentence for sentence in weather if sentence)
        since = self._get(("since",), _wall_moment)
        return Plan(scenario, digest, made, made_with or "", bool(proven), judged, done, said, since)

    def _aim(self, path: Path) -> Aim | None:
        if not self._block(path, AIM, "an aim"):
            return None
        aim, unit = self._get((*path, "aim"), _name), self._get((*path, "unit"), _text)
        numbers = [self._get((*path, key), _number) for key in AIM[2:]]
        reached, best, gap = numbers
        if aim is None or unit is None or reached is None or best is None or gap is None:
            return None
        return Aim(aim, unit, reached, best, gap)

    def _row(self, path: Path) -> Row | None:
        if not self._block(path, ROW, "a row"):
            return None
        day, who = self._get((*path, "day"), _day), self._who((*path, "who"))
        start, end = self._get((*path, "from"), _time), self._get((*path, "to"), _time)
        lot, step = self._get((*path, "lot"), _name), self._get((*path, "step"), _name)
        pieces, at = self._get((*path, "pieces"), _pieces), self._get((*path, "at"), _name)
        set_up = self._get((*path, "set_up"), _minutes)
        if start is not None and end is not None and end <= start and end.fold <= start.fold:
            self._say((*path, "to"), f"this row ends at {end:%H:%M}, before it begins at {start:%H:%M}")
        if day is None or start is None or end is None or lot is None or step is None or pieces is None:
            return None
        line = self.tree.place(path)[0]
        done = self._get((*path, "done"), _yes_or_no)
        return Row(day, start, end, who, lot, step, pieces, at, set_up or 0.0, line, bool(done))

    def _who(self, path: Path) -> tuple[str, ...]:
        node = self.tree.at(path)
        if node is None:
            return ()
        if node.text is not None:
            name = self._get(path, _name)
            return () if name is None else (name,)
        names = [self._get((*path, n), _name) for n in self._items(path)]
        if not node.inside:
            self._say(path, "nobody is named here; write who does this work, as in [Ines]")
        return tuple(name for name in names if name is not None)

    def _block(self, path: Path, known: tuple[str, ...], what: str) -> bool:
        """Whether keys and values stand here; says what is unknown among them and what is missing."""
        node = self.tree.at(path)
        if node is None or not isinstance(node.data, dict):
            self._say(path, f"{what} is made of keys and values ({', '.join(known)}); this is something else")
            return False
        for key, value in node.inside.items():
            if key not in known and value.text == "" and value.data is None:
                self._say((*path, key), f"'{str(key)[:60]}' stands alone here; {_COMMA}", on_key=True)
            elif key not in known:
                self._say(
                    (*path, key), f"'{str(key)[:60]}' is not a word known here; {offer(str(key), known)}", on_key=True
                )
        for key in known:
            if key not in node.inside and key not in _MAY_BE_LEFT_OUT and key != "end":
                self._say(path, f"{what} wants '{key}', and there is none")
        return True

    def _items(self, path: Path) -> range:
        node = self.tree.at(path)
        if node is None:
            return range(0)
        if not isinstance(node.data, list):
            self._say(path, f"'{path[-1]}' wants a list, one line for each, or [] for none")
            return range(0)
        return range(len(node.inside))

    def _get(self, path: Path, read: Callable[[Node], T]) -> T | None:
        """The value at ``path``; None where there is none, which ``_block`` has said, or where it is wrong."""
        node = self.tree.at(path)
        if node is None:
            return None
        try:
            return read(node)
        except ValueError as error:
            self._say(path, str(error))
            return None

    def _say(self, path: Path, text: str, *, on_key: bool = False) -> None:
        self.problems.append(Problem(self.file, *self.tree.place(path, of_key=on_key), text))


_COMMA = "a name with a comma goes in quotes, and several people in square brackets, as in who: [Ines, Tomas]"


def _text(node: Node) -> str:
    if node.text is None:
        raise ValueError(f"{shown(node.data)} cannot stand here; write a name")
    return node.text


def _name(node: Node) -> str:
    if node.text == "" or (node.text is not None and node.data is None):
        raise ValueError("a name is missing here")
    return _text(node)


def _word(node: Node, wanted: str) -> str:
    if node.text is None or node.data is None:
        raise ValueError(f"{shown(node.data)} cannot stand here; write {wanted}")
    return node.text.strip()


def _day(node: Node) -> date:
    return parse_date(_word(node, "a date, as in 2026-10-17"))


def _time(node: Node) -> time:
    text = _word(node, "a time, as in 09:30")
    match = _TIME.fullmatch(text)
    if match is None:
        raise ValueError(f"{shown(text)} is not a time of day; write hours and minutes, as in 09:30")
    try:
        return time(int(match[1]), int(match[2]), int(match[3] or 0), fold=1 if match[4] else 0)
    except ValueError:
        raise ValueError(f"{shown(text)} is a time that no clock shows; hours go from 00:00 to 23:59") from None


def _whole(node: Node) -> int:
    text = _word(node, "a whole number")
    if not re.fullmatch(r"[0-9]{1,9}", text):
        raise ValueError(f"{shown(text)} is not a whole number; write one such as 12")
    return int(text)


def _pieces(node: Node) -> int:
    number = _whole(node)
    if number > MOST_PIECES:
        raise ValueError(f"{number} pieces are more than a lot can have ({MOST_PIECES:,})")
    return number


def _number(node: Node) -> float:
    text = _word(node, "a number")
    if text in _NOT_FINITE:
        return _NOT_FINITE[text]
    if type(node.data) not in {int, float}:
        raise ValueError(f"{shown(text)} is not a number; write one such as 12.5")
    return float(node.data)


def _minutes(node: Node) -> float:
    minutes = _number(node)
    if not 0 <= minutes <= _MINUTES_PER_DAY:
        raise ValueError(f"{shown(node.text)} minutes of set-up are not possible; write 0 to {_MINUTES_PER_DAY}")
    return minutes


def _yes_or_no(node: Node) -> bool:
    text = _word(node, "true or false")
    if text not in {"true", "false"}:
        raise ValueError(f"{shown(text)} is neither true nor false; write one of the two")
    return text == "true"


def _digest(node: Node) -> str:
    text = _word(node, "the 64 letters and digits that offseason wrote")
    if not re.fullmatch(r"[0-9a-f]{64}", text):
        raise ValueError(f"{shown(text)} is not the digest of a scenario; leave here the 64 signs that offseason wrote")
    return text


def _wall_moment(node: Node) -> datetime:
    text = _word(node, "a date and time")
    try:
        return datetime.strptime(text, "%Y-%m-%d %H:%M")  # noqa: DTZ007  by the clock on the wall
    except ValueError:
        raise ValueError(f"{shown(text)} is not a date and time; write it as in 2026-10-17 18:30") from None


def _moment(node: Node) -> datetime:
    text = _word(node, "a date and time")
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        raise ValueError(f"{shown(text)} is not a date and time; write it as in 2026-10-17 18:30:00+00:00") from None
