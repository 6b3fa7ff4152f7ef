"""The values that files of plans and logs are made of, each read with what to say where it is not one."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date, datetime, time
from typing import TypeVar

from offseason.scenario.nearest import offer
from offseason.scenario.problems import MOST_TOLD, Problem
from offseason.scenario.words import YEARS, parse_date, shown
from offseason.scenario.yaml_tree import Node, Path

MOST_PIECES = 10_000_000
MOST_PEOPLE = 100  # as many as a scenario may name
_TIME = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2}))?( again)?")
_NOT_FINITE = {".inf": float("inf"), "-.inf": float("-inf"), ".nan": float("nan")}
_COMMA = "a name with a comma goes in quotes, and several people in square brackets, as in who: [Ines, Tomas]"

T = TypeVar("T")


class Values:
    """Reads the values of one file and collects in ``problems`` what is wrong with them."""

    def __init__(self, file: str, tree: Node, problems: list[Problem]) -> None:
        self.file, self.tree, self.problems = file, tree, problems

    def who(self, path: Path) -> tuple[str, ...]:
        """The people named at ``path``: one name, or a list of them."""
        node = self.tree.at(path)
        if node is None:
            return ()
        if node.text is not None:
            name = self.get(path, name_of)
            return () if name is None else (name,)
        if len(node.inside) > MOST_PEOPLE:
            self.say(path, f"{len(node.inside):,} people are named here; one row is done by {MOST_PEOPLE} at most")
            return ()
        names = [self.get((*path, n), name_of) for n in self.items(path)]
        if not node.inside:
            self.say(path, "nobody is named here; write who does this work, as in [Ines]")
        return tuple(name for name in names if name is not None)

    def block(self, path: Path, known: tuple[str, ...], what: str, *, may_be_left_out: tuple[str, ...]) -> bool:
        """Whether keys and values stand here; says what is unknown among them and what is missing."""
        node = self.tree.at(path)
        if node is None or not isinstance(node.data, dict):
            self.say(path, f"{what} is made of keys and values ({', '.join(known)}); this is something else")
            return False
        for key, value in node.inside.items():
            if self.enough:
                break
            if key not in known and value.text == "" and value.data is None:
                self.say((*path, key), f"'{str(key)[:60]}' stands alone here; {_COMMA}", on_key=True)
            elif key not in known:
                self.say(
                    (*path, key), f"'{str(key)[:60]}' is not a word known here; {offer(str(key), known)}", on_key=True
                )
        for key in known:
            if key not in node.inside and key not in may_be_left_out:
                self.say(path, f"{what} wants '{key}', and there is none")
        return True

    @property
    def enough(self) -> bool:
        """Whether more is wrong than is told: the rest need not be looked at."""
        return len(self.problems) > MOST_TOLD

    def items(self, path: Path) -> Iterator[int]:
        """The places in the list at ``path``; none where nothing is there, or no list, which is said.

        It ends where ``enough`` is wrong.
        """
        node = self.tree.at(path)
        if node is None:
            return
        if not isinstance(node.data, list):
            self.say(path, f"'{path[-1]}' wants a list, one line for each, or [] for none")
            return
        for place in range(len(node.inside)):
            if self.enough:
                return
            yield place

    def get(self, path: Path, read: Callable[[Node], T]) -> T | None:
        """The value at ``path``; None where there is none, which ``_block`` has said, or where it is wrong."""
        node = self.tree.at(path)
        if node is None:
            return None
        try:
            return read(node)
        except ValueError as error:
            self.say(path, str(error))
            return None

    def say(self, path: Path, text: str, *, on_key: bool = False) -> None:
        """Notes what is wrong at ``path``, or with its key."""
        self.problems.append(Problem(self.file, *self.tree.place(path, of_key=on_key), text))


def text_of(node: Node) -> str:
    """Any text. Like all readers here, raises ValueError with a sentence where it is something else."""
    if node.text is None:
        raise ValueError(f"{shown(node.data)} cannot stand here; write a name")
    return node.text


def name_of(node: Node) -> str:
    """A name, which is not empty."""
    if node.text == "" or (node.text is not None and node.data is None):
        raise ValueError("a name is missing here")
    return text_of(node)


def word_of(node: Node, wanted: str) -> str:
    """What stands there as it was written; ``wanted``: what should."""
    if node.text is None or node.data is None:
        raise ValueError(f"{shown(node.data)} cannot stand here; write {wanted}")
    return node.text.strip()


def day_of(node: Node) -> date:
    """A date, as in 2026-10-17."""
    return parse_date(word_of(node, "a date, as in 2026-10-17"))


def time_of(node: Node) -> time:
    """A time by the clock on the wall; ``fold`` 1 for one with ``again`` behind it."""
    text = word_of(node, "a time, as in 09:30")
    match = _TIME.fullmatch(text)
    if match is None:
        raise ValueError(f"{shown(text)} is not a time of day; write hours and minutes, as in 09:30")
    try:
        return time(int(match[1]), int(match[2]), int(match[3] or 0), fold=1 if match[4] else 0)
    except ValueError:
        raise ValueError(f"{shown(text)} is a time that no clock shows; hours go from 00:00 to 23:59") from None


def whole_of(node: Node) -> int:
    """A whole number from 0 up."""
    text = word_of(node, "a whole number")
    if not re.fullmatch(r"[0-9]{1,9}", text):
        raise ValueError(f"{shown(text)} is not a whole number; write one such as 12")
    return int(text)


def pieces_of(node: Node) -> int:
    """A number of pieces from 0 up."""
    number = whole_of(node)
    if number > MOST_PIECES:
        raise ValueError(f"{number} pieces are more than a lot can have ({MOST_PIECES:,})")
    return number


def number_of(node: Node) -> float:
    """Any number, also one without end."""
    text = word_of(node, "a number")
    if text in _NOT_FINITE:
        return _NOT_FINITE[text]
    if type(node.data) not in {int, float}:
        raise ValueError(f"{shown(text)} is not a number; write one such as 12.5")
    return float(node.data)


def yes_or_no_of(node: Node) -> bool:
    """``true`` or ``false``."""
    text = word_of(node, "true or false")
    if text not in {"true", "false"}:
        raise ValueError(f"{shown(text)} is neither true nor false; write one of the two")
    return text == "true"


def digest_of_file(node: Node) -> str:
    """The digest of a file, as 64 letters and digits."""
    text = word_of(node, "the 64 letters and digits that offseason wrote")
    if not re.fullmatch(r"[0-9a-f]{64}", text):
        raise ValueError(f"{shown(text)} is not the digest of a file; leave here the 64 signs that offseason wrote")
    return text


def moment_of(node: Node) -> datetime:
    """A date and time with its distance from UTC."""
    text = word_of(node, "a date and time")
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise ValueError(f"{shown(text)} is not a date and time; write it as in 2026-10-17 18:30:00+00:00") from None
    return of_a_winter(moment)


def of_a_winter(moment: datetime) -> datetime:
    """The moment, of a year for which winters are planned: farther away no clock of a place can be told."""
    if moment.year not in YEARS:
        raise ValueError(f"{shown(moment)} is in a year no winter is planned for; write one from 1900 to 2199")
    return moment
