"""Text and lines of iCalendar files: signs that mean something escaped and back, long lines put together again."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from icalendar import Component, vText

MOST_OCTETS = 75
_NOT_FIRST, _LATER_OCTET = 0b1100_0000, 0b1000_0000  # of a sign in UTF-8
_MEANT = str.maketrans({"\\": r"\\", ";": r"\;", ",": r"\,", "\n": r"\n"})


class Text(vText):
    r"""A text, escaped as RFC 5545 section 3.3.11 says and nothing else (vText turns the two signs ``\N`` into one)."""

    def to_ical(self) -> bytes:
        """The escaped text in UTF-8."""
        return str(self).translate(_MEANT).encode()


def unescaped(value: str) -> str:
    """The text that an escaped one stands for."""
    return re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], value)


def lines_of(component: Component) -> list[str]:
    """The lines of the component, not yet cut to length."""
    return [str(line) for line in component.content_lines() if line]


def folded(lines: Iterable[str]) -> bytes:
    """The lines in UTF-8, none longer than 75 octets, each closed by CR and LF (RFC 5545 section 3.1).

    No sign and no escape is cut in two: some phones do not put that together again, and icalendar 7.3.2 cuts between
    two backslashes.
    """
    return b"".join(b"\r\n ".join(_parts(line.encode())) + b"\r\n" for line in lines)


def _parts(line: bytes) -> Iterator[bytes]:
    room = MOST_OCTETS
    while len(line) > room:
        end = room
        while line[end] & _NOT_FIRST == _LATER_OCTET:
            end -= 1
        if (end - len(line[:end].rstrip(b"\\"))) % 2:
            end -= 1
        yield line[:end]
        line, room = line[end:], MOST_OCTETS - 1  # the space that goes before counts too
    yield line


def unfolded(content: bytes) -> list[str]:
    """Each line put together. Raises UnicodeDecodeError where it is not UTF-8."""
    text = content.decode().replace("\r\n", "\n").removesuffix("\n")
    return re.sub(r"\n[ \t]", "", text).split("\n")
