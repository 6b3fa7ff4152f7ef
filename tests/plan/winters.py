"""Tiny winters and plans written as text, so that a test shows both at a glance."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time

from offseason.plan.audit import Broken, audit
from offseason.plan.document import Plan, Row
from offseason.scenario.model import Scenario
from offseason.scenario.yaml_tree import read_tree

_ROW = re.compile(
    r"(?P<day>\S+) (?P<start>[\d:]+)-(?P<end>[\d:]+)(?P<again> again)? \| (?P<who>[^|]+) \| "
    r"(?P<step>.+) (?P<pieces>\d+) of (?P<lot>[^|@]+?)(?: \+(?P<set_up>[\d.]+) min)?(?: @ (?P<at>.+))?"
)


def winter(text: str) -> Scenario:
    """The scenario in this text, each entry checked by itself only."""
    tree, problems = read_tree(text, "winter.yaml")
    assert problems == []
    return Scenario.model_validate(tree.data)


def plan(text: str) -> Plan:
    """A plan of rows ``day start-end | who + who | step n of lot +20 min @ place``; lines are counted from 1."""
    rows = tuple(_row(line.strip(), number) for number, line in enumerate(text.strip().splitlines(), 1))
    return Plan("winter.yaml", "0" * 64, datetime(2026, 10, 1, tzinfo=UTC), "by hand", False, (), rows)


def _row(text: str, line: int) -> Row:
    match = _ROW.fullmatch(text)
    assert match is not None, text
    end = time.fromisoformat(match["end"])
    return Row(
        day=date.fromisoformat(match["day"]),
        start=time.fromisoformat(match["start"]),
        end=end.replace(fold=1) if match["again"] else end,
        who=tuple(match["who"].split(" + ")),
        lot=match["lot"],
        step=match["step"],
        pieces=int(match["pieces"]),
        at=match["at"],
        set_up_minutes=float(match["set_up"] or 0),
        line=line,
    )


def changed(text: str, old: str, new: str) -> str:
    """The text with its only ``old`` replaced."""
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the text"
    return text.replace(old, new)


def without_line(text: str, number: int) -> str:
    """The text without one line, counted from 1."""
    lines = text.strip().splitlines()
    return "\n".join(lines[: number - 1] + lines[number:])


def judged(scenario: str, rows: str) -> tuple[Broken, ...]:
    """What the audit says of these rows in this winter."""
    return audit(winter(scenario), plan(rows))


def assert_keeps(scenario: str, rows: str) -> None:
    """The plan keeps every promise."""
    assert [b.text for b in judged(scenario, rows)] == []


def assert_breaks(scenario: str, rows: str, promise: str, *lines: int | None, says: str = "") -> None:
    """The audit names exactly this promise, at exactly these lines (None: no row), and its sentence says this."""
    found = assert_finds(scenario, rows, *((promise, line) for line in lines))
    assert all(says in b.text for b in found), [b.text for b in found]


def assert_finds(scenario: str, rows: str, *told: tuple[str, int | None]) -> tuple[Broken, ...]:
    """The audit names exactly these promises at these lines, in this order."""
    found = judged(scenario, rows)
    assert [(str(b.promise), b.row.line if b.row else None) for b in found] == list(told), [b.text for b in found]
    return found
