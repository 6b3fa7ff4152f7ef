"""A row of the log as text, and the rows of a file back as entries."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from dataclasses import replace

from offseason.plan.layout import name_text, number_text, quoted, time_text
from offseason.plan.progress.entry import Entry, content_key, id_of_content
from offseason.plan.values import MOST_PIECES, Values, day_of, name_of, number_of, text_of, time_of, word_of
from offseason.scenario.nearest import listed
from offseason.scenario.words import shown
from offseason.scenario.yaml_tree import Node, Path

ROW = ("id", "date", "until", "who", "lot", "step", "pieces", "minutes", "note")
MINUTES_PER_DAY = 1_440
MOST_OF_NOTE = 500
_MAY_BE_LEFT_OUT = ("id", "until", "minutes", "note")
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def entry_text(entry: Entry) -> str:
    """The entry as one line of the log, without its end."""
    parts = [f"id: {_id_text(entry.id)}", f"date: {entry.day.isoformat()}"]
    if entry.until is not None:
        parts.append(f'until: "{time_text(entry.until)}"')
    parts.append(f"who: [{', '.join(name_text(name) for name in entry.who)}]")
    parts += [f"lot: {name_text(entry.lot)}", f"step: {name_text(entry.step)}", f"pieces: {entry.pieces}"]
    if entry.minutes is not None:
        parts.append(f"minutes: {number_text(entry.minutes)}")
    if note := clean_note(entry.note):
        parts.append(f"note: {quoted(note)}")
    return f"- {{{', '.join(parts)}}}"


def _id_text(name: str) -> str:
    # 1234567890 and 12e4567890 are numbers to other readers of YAML
    return name if re.fullmatch("[0-9a-f]*[abcdf][0-9a-f]*", name) else quoted(name)


def clean_note(note: str) -> str:
    """The note on one line, without signs that cannot be printed or that turn the line round; cut where it is long."""
    kept = (" " if c.isspace() else "?" if _unprintable(c) else c for c in note)
    return " ".join("".join(kept).split())[:MOST_OF_NOTE].rstrip()


def _unprintable(character: str) -> bool:
    return unicodedata.category(character) in ("Cc", "Cs") or character in _TURNING


class RowReader(Values):
    """Reads the rows of one log."""

    def __init__(self, file: str, tree: Node) -> None:
        super().__init__(file, tree, [])
        self.seen: Counter[str] = Counter()
        self.remarks: list[str] = []

    def row(self, path: Path) -> Entry | None:
        """The entry at ``path``; None where it is wrong, which is said. A row written without an id is given one."""
        if not self.block(path, ROW, "a row of the log", may_be_left_out=_MAY_BE_LEFT_OUT):
            return None
        before = len(self.problems)
        day, who = self.get((*path, "date"), day_of), self.who((*path, "who"))
        lot, step = self.get((*path, "lot"), name_of), self.get((*path, "step"), name_of)
        pieces, until = self.get((*path, "pieces"), _signed_pieces), self.get((*path, "until"), time_of)
        minutes, note = self.get((*path, "minutes"), _minutes), self.get((*path, "note"), text_of)
        name = self.get((*path, "id"), _id)
        line = self.tree.place(path)[0]
        if len(self.problems) > before or day is None or lot is None or step is None or pieces is None or not who:
            return None
        people = tuple(dict.fromkeys(who))
        if twice := [one for one, times in Counter(who).items() if times > 1]:
            self.remarks.append(
                f"{self.file}:{line}: {listed(twice[:20])} is named more than once in this row; counted once."
            )
        entry = Entry(name or "", day, people, lot, step, pieces, until, minutes, clean_note(note or ""), line)
        return entry if name else self._named(entry)

    def _named(self, entry: Entry) -> Entry:
        content = content_key(entry)
        self.seen[content] += 1
        return replace(entry, id=id_of_content(content, self.seen[content]))


def _id(node: Node) -> str:
    name = name_of(node)
    if len(name) > 120:
        raise ValueError(f"{shown(name)} is too long for an id; delete 'id' and what follows it, and one is made")
    return name


def _signed_pieces(node: Node) -> int:
    text = word_of(node, "a whole number")
    digits = text[1:] if text[:1] in {"-", "+"} else text
    if not (digits.isascii() and digits.isdigit() and len(digits) < 10):
        raise ValueError(f"{shown(text)} is not a whole number; write one such as 80, or -80 to take back 80")
    if int(digits) > MOST_PIECES:
        raise ValueError(f"{int(digits)} pieces are more than a lot can have ({MOST_PIECES:,})")
    if int(digits) == 0:
        raise ValueError("a row of 0 pieces says nothing; write how many were done, or delete the row")
    return int(text)


def _minutes(node: Node) -> float:
    minutes = number_of(node)
    if not 0 < minutes <= MINUTES_PER_DAY:
        raise ValueError(f"{shown(node.text)} minutes are not possible; write more than 0 and up to {MINUTES_PER_DAY}")
    return minutes
