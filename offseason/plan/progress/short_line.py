"""From a short line a tired person can type to an entry of the log, or to a sentence on what is not clear in it.

Words may stand in any order. Every way to read them is weighed: names as they are written cost nothing, slips of the
fingers something, words that mean nothing most; the cheapest reading is taken, and where two are as cheap, none is.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, time
from itertools import count

from offseason.plan.layout import time_text
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.known import LOT, PERSON, STEP, WHOLE, Known
from offseason.plan.progress.rows import MINUTES_PER_DAY, clean_note
from offseason.plan.progress.unclear import meant_by, unclear, unknown_runs
from offseason.plan.progress.words import MOST_WORDS, Found, Word, meanings, pieces_of_text, words_of
from offseason.scenario.nearest import listed

_UNKNOWN, _NOT_TOGETHER, _MISSING, _INFERRED = 1_000, 400, 500, 10
_MOST_READINGS = 30_000
_MOST_CORRECTED = 4
_ONCE = {LOT: {LOT, WHOLE}, STEP: {STEP, WHOLE}, WHOLE: {LOT, STEP, WHOLE}, "number": {"number", "rest"}}
_ONCE |= {"rest": {"number", "rest"}, "minutes": {"minutes"}, "day": {"day"}, "until": {"until"}, "note": {"note"}}


@dataclass(frozen=True)
class Asked:
    """What a line says, before it is known how many pieces are left.

    ``pieces`` None: not written; ``rest``: all that is left. ``written``: how the day was written, empty where it was
    not. ``taken_as``: something was not written as it is called, or left out, and is said.
    """

    who: tuple[str, ...]
    lot: str
    step: str
    pieces: int | None
    rest: bool
    day: date
    written: str = ""
    until: time | None = None
    minutes: float | None = None
    note: str = ""
    taken_as: bool = False

    def content(self) -> str:
        """What was written, the same for every day it is read on."""
        again = self.until.fold if self.until is not None else 0
        said = (self.written, self.who, self.lot, self.step, self.pieces, self.rest, self.until, again)
        return repr((*said, self.minutes, self.note))

    def entry(self, pieces: int, name: str) -> Entry:
        """It as an entry of the log, of so many pieces and under this id."""
        said = (self.day, self.who, self.lot, self.step, pieces, self.until, self.minutes, self.note)
        return Entry(name, *said)


@dataclass(frozen=True)
class Reading:
    """Some way to read a line: its words in order, each with what it may mean."""

    found: tuple[Found, ...] = ()

    def value(self, kind: str) -> object:
        """What is found of a kind; None where nothing is."""
        return next((one.value for one in self.found if one.kind == kind), None)

    def fits(self, more: Found) -> bool:
        """Whether this may be said besides."""
        if more.kind == PERSON:
            return all(one.value != more.value for one in self.found if one.kind == PERSON)
        return not any(one.kind in _ONCE.get(more.kind, ()) for one in self.found)


def asked_of_line(parts: Sequence[str], names: Known, today: date) -> Asked | str:
    """What a line says, or a sentence on what is not clear in it."""
    words = words_of(parts)
    if not words:
        return "there are no words; write who did what to how many of which lot"
    if len(words) > MOST_WORDS:
        return f"a line of {len(words)} words is too long; put what is a note in quotes, or behind the word note"
    found: list[tuple[Reading, Asked | str]] = []
    for forgive in (False, True):
        found = _cheapest(words, names, today, forgive=forgive)
        if found and not any(isinstance(asked, str) for _, asked in found):
            break
    if not found:
        return "this line can be read in too many ways; put names and notes in quotes"
    meant = list({said(asked) if isinstance(asked, Asked) else asked: asked for _, asked in found}.values())
    if len(meant) > 1 and all(isinstance(asked, Asked) for asked in meant):
        ways = [f"'{said(asked)}'" for asked in meant[:3] if isinstance(asked, Asked)]
        return f"this can be read as {listed(ways, 'or')}; put names in quotes, or write more of them"
    return meant[0]


def corrected(parts: Sequence[str], names: Known, today: date) -> Asked | None:
    """What a line that is not clear would say with the nearest names in it; None where it still would not be clear."""
    words = words_of(parts)[: MOST_WORDS + 1]
    for _ in range(_MOST_CORRECTED):
        found = _cheapest(words, names, today, forgive=True) if len(words) <= MOST_WORDS else []
        clear = {said(asked): asked for _, asked in found if isinstance(asked, Asked)}
        if clear or not found:
            return next(iter(clear.values())) if len(clear) == 1 else None
        reading = found[0][0]
        spans = (
            (begin, end)
            for first, last in unknown_runs(reading.found)
            for size in range(last - first, 0, -1)
            for begin in range(first, last - size + 1)
            for end in [begin + size]
        )
        near = ((begin, end, meant_by(words[begin:end], reading.found, names)) for begin, end in spans)
        begin, end, name = next((one for one in near if one[2]), (0, 0, None))
        if name is None:
            return None
        words = (*words[:begin], *map(Word, pieces_of_text(name)), *words[end:])
    return None


def said(asked: Asked) -> str:
    """The line as it would be written in full."""
    return " ".join([*words_said(asked), *([f'"{asked.note}"'] if asked.note else [])])


def words_said(asked: Asked) -> list[str]:
    """The words of the line in full, without the note."""
    parts = [" + ".join(asked.who), asked.step]
    parts += ["all"] if asked.rest else [] if asked.pieces is None else [f"{asked.pieces:,}"]
    parts += [asked.lot] if asked.lot != asked.step else []
    parts += [f"{asked.minutes:g} min"] if asked.minutes is not None else []
    parts += [f"on {asked.day}"] if asked.written else []
    parts += [f"until {time_text(asked.until)}"] if asked.until is not None else []
    return " ".join(parts).split(" ")


def _cheapest(words: Sequence[Word], names: Known, today: date, *, forgive: bool) -> list[tuple[Reading, Asked | str]]:
    """The readings of least cost, each with what it says; none where there are too many to weigh."""
    options = [list(_options(words, at, names, today, forgive=forgive)) for at in range(len(words))]
    number = count()
    heap: list[tuple[int, int, int, Reading, Asked | str | None]] = [(0, next(number), 0, Reading(), None)]
    best: int | None = None
    found: list[tuple[Reading, Asked | str]] = []
    while heap:
        cost, weighed, at, reading, asked = heapq.heappop(heap)
        if best is not None and cost > best:
            break
        if weighed > _MOST_READINGS:
            return found
        if asked is not None:
            best = cost
            found.append((reading, asked))
        elif at == len(words):
            more, asked = _complete(words, reading, names, today)
            heapq.heappush(heap, (cost + more, next(number), at, reading, asked))
        else:
            for option in options[at]:
                if reading.fits(option):
                    longer = Reading((*reading.found, option))
                    heapq.heappush(heap, (cost + option.cost, next(number), option.end, longer, None))
    return found


def _options(words: Sequence[Word], at: int, names: Known, today: date, *, forgive: bool) -> Iterator[Found]:
    yield from names.meant(words, at, forgive=forgive)
    yield from meanings(words, at, today)
    yield Found("unknown", at + 1, words[at].text, _UNKNOWN)


def _complete(words: Sequence[Word], reading: Reading, names: Known, today: date) -> tuple[int, Asked | str]:
    """What a reading of all words says, with what was left out filled in where it can only be one thing."""
    who = tuple(str(one.value) for one in reading.found if one.kind == PERSON)
    whole = reading.value(WHOLE)
    lot, step = (reading.value(kind) if whole is None else whole for kind in (LOT, STEP))
    cost, inferred = 0, False
    if not who and len(names.people) == 1:
        who, cost, inferred = names.people, cost + _INFERRED, True
    if lot is None and step is not None and len(having := names.with_step(str(step))) == 1:
        lot, cost, inferred = having[0], cost + _INFERRED, True
    elif step is None and lot is not None and len(steps := names.steps(str(lot))) == 1:
        step, cost, inferred = steps[0], cost + _INFERRED, True
    missing = (not who) + (lot is None) + (step is None)
    problem = unclear(words, reading.found, who, lot, step, names)
    if problem is not None or lot is None or step is None:
        apart = lot is not None and step is not None and step not in names.steps(str(lot))
        return cost + _MISSING * missing + _NOT_TOGETHER * apart, problem or "it is not clear what was done"
    day = next((one for one in reading.found if one.kind == "day"), None)
    number, until, minutes, note = (reading.value(kind) for kind in ("number", "until", "minutes", "note"))
    if isinstance(minutes, float) and not 0 < minutes <= MINUTES_PER_DAY:
        return cost, f"{minutes:g} minutes cannot be; write more than 0 and up to a day"
    asked = Asked(
        who=who,
        lot=str(lot),
        step=str(step),
        pieces=number if isinstance(number, int) else None,
        rest=bool(reading.value("rest")),
        day=day.value if day is not None and isinstance(day.value, date) else today,
        written=day.written if day is not None else "",
        until=until if isinstance(until, time) else None,
        minutes=minutes if isinstance(minutes, float) else None,
        note=clean_note(str(note or "")),
        taken_as=inferred or any(one.cost and one.kind in {PERSON, LOT, STEP, WHOLE, "day"} for one in reading.found),
    )
    unsaid = asked.pieces is None and not asked.rest and asked.minutes is None
    many = unsaid and any(s.pieces > 1 for one in names.lots[asked.lot] for s in one.steps if s.task == asked.step)
    return cost + _MISSING * many, asked
