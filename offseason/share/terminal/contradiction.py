"""Lines of a scenario that cannot all be true, as a keeper finds them in the file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from offseason.remedy.contradiction import Contradiction, Line
from offseason.scenario.nearest import listed
from offseason.share.terminal.layout import clean, paragraph


def contradiction_text(found: Iterable[Contradiction]) -> str:
    """Each contradiction: its lines in the order of the file, then what they come to; empty where there is none."""
    each = list(found)
    if not each:
        return ""
    which, one = (
        ("These lines of the file", "one of them") if len(each) == 1 else ("The lines under each of these", "one each")
    )
    head = f"{which} cannot all be true, whatever help, space or weather there is; change {one}:"
    return "\n".join([paragraph(head), *(line for one in each for line in _lines(one))])


def _lines(one: Contradiction) -> Iterator[str]:
    yield paragraph(clean(one.sentence) + ".", 4, "  -")
    for (number, owner, key), lines in groupby(one.lines, key=lambda line: (line.line, line.owner, _key(line))):
        values = listed([clean(line.said.partition(": ")[2]) for line in lines])
        yield paragraph(f"{clean(owner)}: {key}: {values}", 18, f"      line {number}")


def _key(line: Line) -> str:
    return line.said.partition(": ")[0]
