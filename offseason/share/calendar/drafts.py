"""What stands in a calendar, in words: an entry for each stretch of work and for each deadline."""

from __future__ import annotations

import json
import unicodedata
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from offseason.scenario.nearest import listed
from offseason.share.calendar.stretches import Stretch, instant, stretches
from offseason.share.from_to import from_to_text
from offseason.share.handout import Deadline, HandedOut, Handout

MOST_IN_TITLE = 4
_DAY = timedelta(days=1)
_SHORTEST = timedelta(minutes=1)
_STEERS = {*"\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"}


@dataclass(frozen=True)
class Draft:
    """An entry to be written: from ``begins`` to before ``ends``, both moments or both days.

    ``key``: what it is of, the same in every plan of the winter. ``work``: whether people are busy meanwhile.
    """

    key: str
    begins: datetime | date
    ends: datetime | date
    title: str
    text: str
    place: str
    work: bool


def drafts(handout: Handout, who: str | None) -> list[Draft]:
    """The entries of a person's calendar, or of everybody's (None): work in order of time, then the deadlines."""
    found = [*(_work(handout, one, who) for one in stretches(handout, who)), *_deadlines(handout)]
    # RFC 5545 section 3.4: a calendar has at least one component
    return found or [_nothing(handout, who)]


def plain(text: str) -> str:
    """A name or sentence on one line, without signs that would steer what shows it.

    What is written from right to left is set apart, so that it leaves the order of its line alone; signs that join
    letters or pictures stay.
    """
    if text.isascii() and text.isprintable():
        return text
    kept = (" " if c.isspace() else c for c in text if c not in _STEERS)
    one_line = "".join("?" if unicodedata.category(c) in {"Cc", "Cs"} else c for c in kept)
    if any(unicodedata.bidirectional(c) in {"R", "AL", "AN"} for c in one_line):
        return f"\u2068{one_line}\u2069"
    return one_line


def _work(handout: Handout, stretch: Stretch, who: str | None) -> Draft:
    begins, ends = stretch.begins, stretch.ends
    if instant(ends) <= instant(begins):  # RFC 5545 section 3.8.2.2: an end is later than its beginning
        ends = begins + _SHORTEST
    return Draft(
        key=json.dumps([stretch.who, stretch.day.isoformat(), stretch.number]),
        begins=begins,
        ends=ends,
        title=f"{'Bees' if who else plain(stretch.who)}: {_joined([*_titles(stretch.entries)])}",
        text="\n".join([*_lines(stretch), "", *_care(handout, stretch.entries), plain(handout.last_word)]),
        place=", ".join(dict.fromkeys(plain(entry.row.at) for entry in stretch.entries if entry.row.at)),
        work=True,
    )


def _titles(entries: tuple[HandedOut, ...]) -> Iterator[str]:
    """``freeze 40 super combs``, ``seal 20`` (of the same), and how much more there is."""
    pieces: Counter[tuple[str, str]] = Counter()
    for entry in entries:
        pieces[entry.row.step, entry.row.lot] += entry.row.pieces
    before = None
    for (step, lot), count in [*pieces.items()][:MOST_IN_TITLE]:
        if step == lot:
            yield plain(step)
        elif lot == before:
            yield f"{plain(step)} {count:,}"
        else:
            yield f"{plain(step)} {_pieces(count, lot)}"
        before = lot
    if len(pieces) > MOST_IN_TITLE:
        yield f"and {len(pieces) - MOST_IN_TITLE} more"


def _joined(titles: list[str]) -> str:
    return ("; " if any("," in title for title in titles) else ", ").join(titles)


def _pieces(count: int, lot: str) -> str:
    return f"{count:,} {plain(lot)}" if count > 1 else f"one of the {plain(lot)}"


def _lines(stretch: Stretch) -> Iterator[str]:
    """A line for each piece of work: ``09:00-10:30 scrape: 12 brood boxes, at bench, with Bo [dust]``."""
    for entry in stretch.entries:
        row = entry.row
        words = plain(row.step) if row.step == row.lot else f"{plain(row.step)}: {_pieces(row.pieces, row.lot)}"
        at = f", at {plain(row.at)}" if row.at else ""
        others = [plain(name) for name in row.who if name != stretch.who]
        together = f", with {listed(others)}" if others else ""
        care = f" [{', '.join(map(plain, entry.cautions))}]" if entry.cautions else ""
        yield f"{from_to_text(row)} {words}{at}{together}{care}"


def _care(handout: Handout, entries: tuple[HandedOut, ...]) -> Iterator[str]:
    here = {word for entry in entries for word in entry.cautions}
    told = [f"{_begun(plain(word))}: {plain(sentence)}" for word, sentence in handout.care if word in here]
    yield from [*told, *([""] if told else [])]


def _begun(word: str) -> str:
    return word[:1].upper() + word[1:]


def _deadlines(handout: Handout) -> Iterator[Draft]:
    seen: Counter[tuple[str | None, str]] = Counter()
    for deadline in sorted(handout.deadlines, key=lambda one: (one.day, one.words, one.lot or "")):
        seen[deadline.lot, deadline.words] += 1
        key = json.dumps(["deadline", deadline.lot, deadline.words, seen[deadline.lot, deadline.words]])
        yield _all_day(key, deadline.day, _deadline_words(deadline), plain(handout.last_word))


def _deadline_words(deadline: Deadline) -> str:
    lot = f" ({plain(deadline.lot)})" if deadline.lot and deadline.lot not in deadline.words else ""
    return f"Bees: {plain(deadline.words)}{lot}"


def _nothing(handout: Handout, who: str | None) -> Draft:
    whom = f" for {plain(who)}" if who else ""
    return _all_day(json.dumps(["nothing"]), handout.first, f"Bees: no work is planned{whom}", "")


def _all_day(key: str, day: date, title: str, text: str) -> Draft:
    # RFC 5545 section 3.6.1: the day of the end is no longer part of it
    return Draft(key, day, day + _DAY, title, text, "", work=False)
