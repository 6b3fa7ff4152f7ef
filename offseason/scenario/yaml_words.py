"""What is wrong with the YAML of a file, in words for someone who has never heard of YAML."""

from __future__ import annotations

import re

from yaml import MarkedYAMLError

from offseason.scenario.nearest import listed
from offseason.scenario.problems import Problem

_COLON = "a colon cannot stand here; if it belongs to the text, put the text in quotes; if not, check the indentation"
# (what the parser was doing, what it met, what to tell the keeper; {begun} is the line where it began)
_SENTENCES = (
    ("", "mapping values are not allowed", _COLON),
    ("", "sequence entries are not allowed", "a dash cannot begin a list here; begin the list on a line of its own"),
    ("simple key", "could not find expected ':'", "'{word}' has no colon after it; write a key, a colon and a value"),
    ("quoted scalar", "unknown escape", r"a backslash in double quotes has a meaning of its own; use single quotes"),
    ("quoted scalar", "hexadecimal", r"a backslash in double quotes has a meaning of its own; use single quotes"),
    ("quoted scalar", "", "the quote opened on line {begun} is never closed"),
    (
        "flow sequence",
        "",
        "the list opened with [ on line {begun} is not closed with ], or a comma is missing before this",
    ),
    (
        "flow mapping",
        "",
        "the block opened with {{ on line {begun} is not closed with }}, or a comma is missing before this",
    ),
    ("block mapping", "", "this line does not fit those above; indent it as they are, or close the quotes before it"),
    ("block collection", "", "this line does not fit the list above; indent it as its other lines are"),
    ("block scalar", "", "a value cannot begin with | or > here; write the text on one line, in quotes if need be"),
    ("", "cannot start any token", "a value cannot begin with '{letter}'; put it in quotes"),
    ("scanning an a", "", "a value cannot begin with & or * here; put it in quotes"),
    ("tag", "", "a value cannot begin with ! here; put it in quotes"),
    ("", "tag handle", "a value cannot begin with ! here; put it in quotes"),
    ("directive", "", "a line cannot begin with %; put the text in quotes"),
    ("", "directive", "a line cannot begin with %; put the text in quotes"),
    ("", "document start", "this line belongs to nothing above; begin it at the margin with a key and a colon"),
    (
        "node",
        "",
        "a value is missing or begins with a sign that has a meaning in YAML; put text with such signs in quotes",
    ),
)
_NO_SPACE = "the colon in '{word}' wants a space after it"
_ELSE = "this cannot be read; check the indentation, quotes and brackets here and on the line above"


def syntax_problem(error: Exception, text: str, file: str) -> Problem:
    """The parser's error as a problem; lines indented with tabs are named first, as the likeliest cause."""
    lines = re.split("\r\n|\n|\r", text)
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    if tabbed := [n for n, content in enumerate(lines, 1) if re.match(r" *\t\s*[^\s#]", content)]:
        return Problem(file, tabbed[0], lines[tabbed[0] - 1].index("\t") + 1, _tabs(tabbed))
    if not isinstance(error, MarkedYAMLError):
        return Problem(file, line, column, _ELSE)
    doing, met = error.context or "", error.problem or ""
    sentence = next((s for d, m, s in _SENTENCES if d in doing and m in met), _ELSE)
    if re.match(r"\s*:(\s|$)", lines[line - 1] if line <= len(lines) else ""):
        return Problem(file, line, column, "the name before the colon is missing")
    if sentence == _COLON and (stuck := _stuck(lines, line)):
        number, column, word = stuck
        return Problem(file, number, column, _NO_SPACE.format(word=word[:60]))
    begun = error.context_mark.line + 1 if error.context_mark else line
    word = lines[begun - 1].strip() if begun <= len(lines) else ""
    if "'{word}'" in sentence and error.context_mark:
        sentence = _NO_SPACE if ":" in word else sentence
        line, column = begun, error.context_mark.column + 1
    elif error.context_mark and line > len(lines) - (not lines[-1]):
        # The parser only noticed at the end of the file; where it began is what the keeper must look at.
        line, column = begun, error.context_mark.column + 1
    letter = lines[line - 1][column - 1 : column] if line <= len(lines) else ""
    return Problem(file, line, column, sentence.format(begun=begun, word=word[:60], letter=letter))


def _tabs(lines: list[int]) -> str:
    others = listed(str(n) for n in lines[1:])
    also = {1: "", 2: f" (as does line {others})"}.get(len(lines), f" (as do lines {others})")
    if len(lines) > 6:
        also = f" (as do {len(lines) - 1} more lines)"
    return f"this line begins with a tab{also}; put two spaces in place of each tab"


def _stuck(lines: list[str], line: int) -> tuple[int, int, str] | None:
    """A line, here or just above, whose first colon has no space after it: its number, column and text."""
    for number in (line, line - 1):
        content = lines[number - 1] if 0 < number <= len(lines) else ""
        if match := re.match(r"(\s*)([^\s:#'\"{\[-][^:#'\"{\[]*:[^\s:]\S*)", content):
            return number, len(match[1]) + 1, match[2]
    return None
