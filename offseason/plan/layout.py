"""A plan as text: a short header, then one row to a line, for reading, hand-editing and comparing line by line."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from datetime import date, time
from itertools import groupby

from offseason.plan.document import Aim, LeftOver, Plan, Row

FORMAT = 1
END = "end: of the plan  # the last line: without it the file is not whole"
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_HEAD = """\
# A winter's plan, written by offseason. One line under "work" is one piece of work.
# It may be edited by hand; `offseason audit` then says which promises it no longer keeps.
# Pieces of a job are equal parts of it. Times are those of the clock on the wall;
# a time the clock shows twice in one night is written "02:30 again" when the second is meant.
"""
_LEFT = """\
# What this plan leaves: work never done (undone), combs open to moths (open), steps done too late (late)."""
_NO_ROOM = "# And places with so many spaces too few for what arrives, from that day on (overfull)."
# Words that some readers of YAML take for something else than text.
_NOT_TEXT = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null"})
_PLAIN_SIGNS = frozenset(" '’-./()_")
# What YAML shows as it is; everything else is escaped, line separators and byte-order marks among it.
_SHOWN = re.compile("[\x20-\x7e\xa0-\u2027\u202f-\u2065\u206a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")


def plan_text(plan: Plan) -> str:
    """The plan as the text of its file, rows in order of day, start and people."""
    return "\n".join([*_header(plan), *_work(plan.rows), END, ""])


def _header(plan: Plan) -> Iterator[str]:
    yield f"{_HEAD}format: {FORMAT}"
    yield f"scenario: {name_text(plan.scenario_file)}"
    yield f'sha256: "{plan.scenario_sha256}"'
    yield f'made: "{plan.made.isoformat(sep=" ")}"'
    yield f"made_with: {name_text(plan.made_with)}"
    if plan.since is not None:
        yield f'since: "{plan.since.isoformat(sep=" ", timespec="minutes")}"'
    yield f"proven: {'true' if plan.proven else 'false'}"
    if plan.weather:
        yield "weather:"
        yield from (f"  - {name_text(sentence)}" for sentence in plan.weather)
    if plan.records:
        yield "records:"
        yield from (f'  - {{file: {name_text(one.file)}, sha256: "{one.sha256}"}}' for one in plan.records)
    yield "aims:" if plan.aims else "aims: []"
    for aim in plan.aims:
        yield f"  - {_aim(aim)}"
    if plan.left:
        yield from (_LEFT, *([_NO_ROOM] if any(one.how == "overfull" for one in plan.left) else []), "left:")
        yield from (f"  - {_left(one)}" for one in plan.left)


def _aim(aim: Aim) -> str:
    reached, best, gap = (number_text(n) for n in (aim.reached, aim.best_possible, aim.gap_percent))
    names = f"aim: {name_text(aim.aim)}, unit: {name_text(aim.unit)}"
    return f"{{{names}, reached: {reached}, best_possible: {best}, gap_percent: {gap}}}"


def _left(left: LeftOver) -> str:
    if left.how == "overfull" and left.since is not None:
        since = left.since.isoformat()
        return f"{{place: {name_text(left.place)}, spaces: {left.pieces}, from: {since}, how: {left.how}}}"
    return f"{{lot: {name_text(left.lot)}, step: {name_text(left.step)}, pieces: {left.pieces}, how: {left.how}}}"


def _work(rows: tuple[Row, ...]) -> Iterator[str]:
    yield "work:" if rows else "work: []"
    for day, of_day in groupby(sorted(rows, key=_in_order), key=lambda row: row.day):
        yield f"  # {_weekday(day)} {day.isoformat()}"
        for row in of_day:
            yield f"  - {row_text(row)}"


def row_text(row: Row) -> str:
    """One row as it stands in the file."""
    who = ", ".join(name_text(name) for name in row.who)
    parts = [f"day: {row.day.isoformat()}", f'from: "{time_text(row.start)}"', f'to: "{time_text(row.end)}"']
    parts += [f"who: [{who}]", f"lot: {name_text(row.lot)}", f"step: {name_text(row.step)}", f"pieces: {row.pieces}"]
    if row.at is not None:
        parts.append(f"at: {name_text(row.at)}")
    if row.set_up_minutes:
        parts.append(f"set_up: {number_text(row.set_up_minutes)}")
    if row.done:
        parts.append("done: true")
    return f"{{{', '.join(parts)}}}"


def _in_order(row: Row) -> tuple[date, int, time, tuple[str, ...], time, str, str, int]:
    return row.day, row.start.fold, row.start, row.who, row.end, row.lot, row.step, row.pieces


def _weekday(day: date) -> str:
    return _WEEKDAYS[day.weekday()]


def time_text(shown: time) -> str:
    """``09:00``, with seconds where there are any, and ``again`` when the clock shows it for the second time."""
    text = shown.strftime("%H:%M:%S" if shown.second else "%H:%M")
    return f"{text} again" if shown.fold else text


def number_text(number: float) -> str:
    """A number that reads back as exactly the same; whole ones without a point."""
    if math.isnan(number):
        return ".nan"
    if math.isinf(number):
        return ".inf" if number > 0 else "-.inf"
    return str(int(number)) if float(number).is_integer() and abs(number) < 1e15 else repr(float(number))


def name_text(name: str) -> str:
    """A name as it is where that cannot be misread, else in double quotes."""
    plain = name[:1].isalpha() and not name.endswith(" ") and name.casefold() not in _NOT_TEXT
    if plain and all(c.isalnum() or c in _PLAIN_SIGNS for c in name):
        return name
    return quoted(name)


def quoted(text: str) -> str:
    """Any text in double quotes, on one line."""
    return f'"{"".join(_escaped(c) for c in text)}"'


def _escaped(character: str) -> str:
    if character in '"\\':
        return f"\\{character}"
    if _SHOWN.fullmatch(character):
        return character
    code = ord(character)
    return f"\\x{code:02X}" if code < 0x100 else f"\\u{code:04X}" if code < 0x10000 else f"\\U{code:08X}"
