"""The words of a short line: numbers, lengths of time, clock times, days and notes, each as far as it stands alone."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta

from offseason.scenario.words import WEEKDAYS, parse_date

MOST_WORDS = 80
_WORD = re.compile(r"[-−–]?\d+(?:[.,:]\d+)+[^\s,+&]*|[^\s,+&]+|[,+&]")
_NUMBER = re.compile(r"([-−–]?)(\d{1,9}|\d{1,3}(?:,\d{3}){1,2})")
_HOURS = re.compile(r"(\d{1,4}(?:[.,]\d{1,4})?|\d{1,3}:\d{2}) ?(?:h|hr|hrs|hour|hours)\.?")
_MINUTES = re.compile(r"(\d{1,5}(?:[.,]\d{1,4})?) ?(?:min|mins|minute|minutes)\.?")
_BOTH = re.compile(rf"{_HOURS.pattern}(?: ?(\d{{1,3}}) ?(?:min|mins|minute|minutes)\.?|(?<=h)(\d{{2}}))")
_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})")
_OTHER_DATE = re.compile(r"\d{1,2}[./-]\d{1,2}[./-](\d{2}|\d{4})?|\d{4}[./]\d{1,2}[./]\d{1,2}|\d{4}-\d{1,2}-\d{1,2}")
_QUOTES = {'"': '"', "“": "”", "„": "“", "«": "»"}
_FILLERS = frozenset({"+", "&", ",", "and", "with", "of", "the", "did", "has", "in", "for", "took", ";", "."})
_COUNTED = frozenset({"piece", "pieces", "pcs", "part", "parts"})
_REST = frozenset({"all", "rest", "done", "finished"})
_UNTIL = frozenset({"until", "till", "til"})
_OF_TIME = frozenset({"h", "hr", "hrs", "hour", "hours", "min", "mins", "minute", "minutes", "today", "yesterday"})
_OF_TIME |= {"on", "last", "again", "note"}


@dataclass(frozen=True)
class Word:
    """One word of a line; ``quoted``: several written as one, in quotes."""

    text: str
    quoted: bool = False


@dataclass(frozen=True)
class Found:
    """What the words up to ``end`` may mean: ``kind`` and value, and how far-fetched that is (``cost``; 0: plain).

    ``wrong``: they can mean nothing else, and are wrong; a sentence. ``written``: how a relative day was written.
    """

    kind: str
    end: int
    value: object = None
    cost: int = 0
    wrong: str = ""
    written: str = ""


def words_of(parts: Iterable[str]) -> tuple[Word, ...]:
    """The words of a line as the shell hands them over: a part with spaces in it was quoted."""
    found: list[Word] = []
    for part in parts:
        if any(c.isspace() for c in part):
            found += [Word(text, quoted=True) for text in [part.strip()] if text]
        else:
            found += [Word(text) for text in pieces_of_text(part)]
    return tuple(found)


def pieces_of_text(text: str) -> list[str]:
    """The words of a text, signs between names apart: ``Ines+Zoë`` is three words."""
    return _WORD.findall(text)


def parts_of_line(line: str) -> list[str]:
    """The parts of a line of a file, as a shell would make them. Raises ValueError where a quote is never closed."""
    parts: list[str] = []
    at = 0
    while at < len(line):
        if line[at].isspace():
            at += 1
        elif line[at] in _QUOTES:
            close = _closing(line, at)
            # a blank within keeps it apart from plain words
            parts.append(f"{line[at + 1 : close]} ")
            at = close + 1
        elif line[at] == "#" and (at + 1 == len(line) or line[at + 1].isspace()):
            break
        else:
            end = next((n for n in range(at, len(line)) if line[n].isspace()), len(line))
            parts.append(line[at:end])
            at = end
    return parts


def _closing(line: str, opened: int) -> int:
    wanted = _QUOTES[line[opened]]
    for at in range(opened + 1, len(line)):
        if line[at] in {wanted, '"'} and (at + 1 == len(line) or not line[at + 1].isalnum()):
            return at
    raise ValueError("the quote opened here is never closed")


def meanings(words: Sequence[Word], at: int, today: date) -> Iterator[Found]:
    """Everything but names that the words from ``at`` on may mean."""
    word = words[at]
    if word.quoted:
        yield Found("note", at + 1, word.text.strip(), 2)
        return
    folded = word.text.casefold()
    if folded in _FILLERS:
        yield Found("", at + 1, cost=1)
    if folded.rstrip(":") == "note" and at + 1 < len(words):
        yield Found("note", len(words), " ".join(w.text for w in words[at + 1 :]), 2)
    if folded in _REST:
        yield Found("rest", at + 1, True)
    yield from _time_spent(words, at)
    yield from _number(words, at)
    yield from _day(words, at, today)
    yield from _until(words, at)


def is_plain(text: str) -> bool:
    """Whether this word has a meaning of its own, and so is no name only begun: ``the`` is not Theo."""
    folded = text.casefold().strip(".:")
    plain = folded in _FILLERS | _REST | _UNTIL | _COUNTED | _OF_TIME
    return plain or _weekday(folded) is not None


def _number(words: Sequence[Word], at: int) -> Iterator[Found]:
    match = _NUMBER.fullmatch(words[at].text)
    if match:
        number = int(match[2].replace(",", ""))
        counted = at + 1 < len(words) and words[at + 1].text.casefold() in _COUNTED
        yield Found("number", at + (2 if counted else 1), -number if match[1] else number)


def _time_spent(words: Sequence[Word], at: int) -> Iterator[Found]:
    for end in range(at + 1, min(at + 4, len(words)) + 1):
        text = " ".join(w.text.casefold() for w in words[at:end])
        if match := _BOTH.fullmatch(text):
            yield Found("minutes", end, 60 * _decimal(match[1]) + int(match[2] or match[3]))
        elif match := _HOURS.fullmatch(text):
            yield Found("minutes", end, 60 * _decimal(match[1]))
        elif match := _MINUTES.fullmatch(text):
            yield Found("minutes", end, _decimal(match[1]))


def _decimal(text: str) -> float:
    hours, colon, minutes = text.partition(":")
    return round(float(hours.replace(",", ".")) + (int(minutes) / 60 if colon else 0), 4)


def _day(words: Sequence[Word], at: int, today: date) -> Iterator[Found]:
    on = words[at].text.casefold() in {"on", "last"}
    at += on
    if at == len(words):
        return
    text = words[at].text.casefold()
    if text in {"today", "yesterday"}:
        yield Found("day", at + 1, today - timedelta(days=text == "yesterday"), written=text)
    elif re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
        try:
            yield Found("day", at + 1, parse_date(text), written=text)
        except ValueError as error:
            yield Found("day", at + 1, wrong=str(error))
    elif on and (weekday := _weekday(text)) is not None:
        yield Found(
            "day", at + 1, today - timedelta(days=(today.weekday() - weekday) % 7), 1, written=WEEKDAYS[weekday]
        )
    elif _OTHER_DATE.fullmatch(text) and (on or len(re.findall(r"\d+", text)) == 3):
        yield Found("day", at + 1, wrong=f"'{text[:60]}' is not a date; write year-month-day, as in {today}")


def _weekday(text: str) -> int | None:
    names = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
    return next((n for n, name in enumerate(names) if len(text) > 2 and name.startswith(text)), None)


def _until(words: Sequence[Word], at: int) -> Iterator[Found]:
    if words[at].text.casefold() not in _UNTIL or at + 1 == len(words):
        return
    text = words[at + 1].text
    if match := _CLOCK.fullmatch(text):
        again = at + 2 < len(words) and words[at + 2].text.casefold() == "again"
        try:
            value = time(int(match[1]), int(match[2]), fold=int(again))
        except ValueError:
            told = f"'{text}' is a time that no clock shows; hours go from 00:00 to 23:59"
            yield Found("until", at + 2, wrong=told)
        else:
            yield Found("until", at + 2 + again, value)
    elif text[:1].isdigit():
        yield Found("until", at + 2, wrong=f"'{text[:60]}' is not a time of day; write hours and minutes, as in 15:30")
