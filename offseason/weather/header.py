"""The first line of a weather file in the plain layout: what each column is, and in which unit."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from offseason.scenario.nearest import listed, nearest, offer
from offseason.weather.first_lines import refuse_other_layouts
from offseason.weather.headings import LONGEST_LINE, fields_of, heading, separator_of
from offseason.weather.notes import fault, quoted
from offseason.weather.records import Note
from offseason.weather.table import DAILY_COLUMNS, HOURLY_COLUMNS
from offseason.weather.units import UNITS, Unit, unit_named

_ANY = ("time", "day", *HOURLY_COLUMNS, *DAILY_COLUMNS)
_WORDS_KNOWN = frozenset(part for word in _ANY for part in word.split())


@dataclass(frozen=True)
class Header:
    """``clock``: the field the time or day is in, ``zone`` what stands behind it in brackets (None: nothing).

    ``columns``: name -> (field, unit). ``width``: how many fields a row has.
    """

    hourly: bool
    separator: str
    width: int
    clock: int
    zone: str | None
    columns: Mapping[str, tuple[int, Unit]]
    notes: tuple[Note, ...]


def header_of(line: str, row: int, file: str) -> Header:
    """What the header line says. Raises WeatherFileError with what to write instead."""
    separator, fields = _separated(line, row, file)
    headings = [heading(field) for field in fields]
    words = [word for word, _ in headings]
    if re.match(r"[0-9]{4}[-/][0-9]", words[0]):
        text = "the file begins with data; put a line of column names first, such as"
        raise fault(file, row, f"{text} time [UTC],temperature [°C] or day,lowest [°C],highest [°C]")
    refuse_other_layouts(fields, row, file)
    hourly = _by_the_hour(words, row, file)
    kinds = HOURLY_COLUMNS if hourly else DAILY_COLUMNS
    clock = "time" if hourly else "day"
    columns: dict[str, tuple[int, Unit]] = {}
    unused: list[str] = []
    for place, (word, unit) in enumerate(headings):
        if word and words.index(word) != place:
            raise fault(file, row, f"two columns are called {quoted(word)}; strike one out")
        if word in kinds:
            columns[word] = (place, _unit(word, unit, kinds[word], row, file))
        elif word and word != clock:
            _refuse_if_mistyped(word, words, (clock, *kinds), row, file)
            unused.append(word)
    needed = ("temperature",) if hourly else ("lowest", "highest")
    _refuse_zone_of_days(clock, dict(headings).get("day"), row, file)
    if missing := [word for word in needed if word not in columns]:
        written = listed(f"{word} [°C]" for word in missing)
        hint = f" (columns found: {', '.join(quoted(word) for word in words[:12])})"
        raise fault(file, row, f"there is no column {written}; no weather can be judged without it{hint}")
    notes = [Note(row, f"not used: {', '.join(quoted(w) for w in unused)}")] if unused else []
    place = words.index(clock)
    return Header(hourly, separator, len(fields), place, headings[place][1], columns, tuple(notes))


def _separated(line: str, row: int, file: str) -> tuple[str, list[str]]:
    """What sets the columns apart, and their headings."""
    if len(line) > LONGEST_LINE:
        raise fault(file, row, "the first line is far too long for column names; save the records as CSV")
    separator = separator_of(line)
    if separator is None:
        text = "the columns are not set apart; put a comma, a semicolon or a tab between them, as in"
        raise fault(file, row, f"{text} time [UTC],temperature [°C]")
    fields = fields_of(line, separator)
    while fields and not fields[-1].strip():
        fields.pop()  # a separator at the end of the line names nothing
    if not fields:
        raise fault(file, row, "the columns have no names; begin with a line such as time [UTC],temperature [°C]")
    return separator, fields


def _by_the_hour(words: list[str], row: int, file: str) -> bool:
    if "time" in words and "day" in words:
        raise fault(
            file, row, "there is a column 'time' and a column 'day'; keep time for hours, or day for whole days"
        )
    if "time" in words or "day" in words:
        return "time" in words
    close = next((f"; did you mean '{word}' by {quoted(w)}?" for w in words for word in [_meant(w)] if word), "")
    found = ", ".join(quoted(word) for word in words[:12])
    text = "no column says when: head one 'time [UTC]' for records by the hour, or 'day' for records by the day"
    raise fault(file, row, f"{text} (columns found: {found}){close}")


def _refuse_zone_of_days(clock: str, zone: str | None, row: int, file: str) -> None:
    if clock == "day" and zone and zone.casefold() != "local":
        raise fault(file, row, f"{quoted(zone)} behind 'day': days go by the clock at the place; write day alone")


def _meant(word: str) -> str | None:
    close = nearest(word, ("time", "day"))
    return close if close and not _WORDS_KNOWN & set(word.split()) else None


def _unit(word: str, unit: str | None, kind: str, row: int, file: str) -> Unit:
    brackets = [f"[{known.word}]" for known in UNITS[kind]]
    if not unit:
        raise fault(
            file, row, f"the column '{word}' does not say its unit; write '{word}' and {listed(brackets, 'or')}"
        )
    known = unit_named(unit, kind)
    if known is None:
        choose = offer(unit, [known.word for known in UNITS[kind]], what="units of this column")
        raise fault(file, row, f"{quoted(unit)} is not a unit of '{word}'; {choose}")
    return known


def _refuse_if_mistyped(word: str, words: list[str], known: tuple[str, ...], row: int, file: str) -> None:
    """A name that is almost one of ours is a slip; one that shares a word with ours, as wind gust does, is another."""
    free = [name for name in known if name not in words]
    close = nearest(word, free)
    if close and not _WORDS_KNOWN & set(word.split()):
        raise fault(file, row, f"the column {quoted(word)} is not known; did you mean '{close}'?")
