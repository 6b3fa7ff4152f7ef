"""From the bytes of a file to text: encodings, size, and characters that nobody can see."""

from __future__ import annotations

import codecs
import re

from offseason.scenario.problems import Problem, ScenarioError

MAX_BYTES = 10_000_000
# What YAML allows, less the three line separators that editors do not count as new lines.
_UNSEEN = re.compile("[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_SAVE = "save the file as UTF-8 (in the editor: Save as, Encoding)"


def decoded(source: str | bytes, file: str) -> str:
    """The text of a scenario file, without byte-order mark.

    Raises ScenarioError for more than 10 MB, bytes that are no text, and characters that cannot be printed.
    """
    if len(source) > MAX_BYTES:
        raise ScenarioError([Problem(file, 0, 0, TOO_BIG)])
    text = source if isinstance(source, str) else _from_bytes(source, file)
    text = text.removeprefix("\ufeff")
    if unseen := list(_unseen(text, file)):
        raise ScenarioError(unseen)
    return text


TOO_BIG = "the file is larger than 10 MB; a scenario is a few hundred lines: is this the right file?"


def _from_bytes(data: bytes, file: str) -> str:
    mark, encoding = next((found for found in _MARKS if data.startswith(found[0])), (b"", "utf-8"))
    body = data[len(mark) :]
    if not mark and b"\0" in body[:200]:
        text = f"this is not plain text, or text saved as UTF-16 without its mark; {_SAVE}"
        raise ScenarioError([Problem(file, 1, 1, text)])
    try:
        return body.decode(encoding)
    except UnicodeDecodeError as error:
        line, column = line_and_column(body[: error.start].decode(encoding, errors="replace"))
        text = f"the letter here is not {encoding[:6].rstrip('-').upper()}; {_SAVE}"
        raise ScenarioError([Problem(file, line, column, text)]) from None


def _unseen(text: str, file: str) -> list[Problem]:
    found: dict[str, list[int]] = {}
    for match in _UNSEEN.finditer(text):
        found.setdefault(match[0], []).append(match.start())
    problems = []
    for character, places in found.items():
        line, column = line_and_column(text[: places[0]])
        more = {1: "", 2: " and once more below"}.get(len(places), f" and {len(places) - 1} times more below")
        sentence = f"a character that cannot be seen or printed (U+{ord(character):04X}) stands here{more}; delete it"
        problems.append(Problem(file, line, column, sentence))
    return problems


def line_and_column(before: str) -> tuple[int, int]:
    """Line and column, both from 1, of the character that follows the text ``before``."""
    lines = re.split("\r\n|\n|\r", before)
    return len(lines), len(lines[-1]) + 1
