"""The work on the page: every entry once, under its day and the first who does it; on paper a day is a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import groupby

from offseason.plan.document import Row
from offseason.plan.layout import number_text, time_text
from offseason.plan.progress.record_line import record_line
from offseason.share.from_to import from_to_text
from offseason.share.handout import HandedOut, Handout
from offseason.share.page.markup import name, names_value, on_day, shown, value

FULL_SHEET = 33
"""Lines of a day, names among them, beyond which its letters on paper are smaller: A4 and Letter hold about so many."""


def days(handout: Handout, care: Mapping[str, str]) -> str:
    """A section for each day with work. ``care``: for each word of caution the id of its sentence."""
    by_day = groupby(handout.entries, key=lambda entry: entry.row.day)
    return "\n".join(_day(handout, list(entries), care) for _, entries in by_day)


def _day(handout: Handout, entries: list[HandedOut], care: Mapping[str, str]) -> str:
    day = entries[0].row.day
    people = {person: n for n, person in enumerate(handout.people)}
    there = sorted({who for one in entries for who in one.row.who}, key=lambda who: (people.get(who, len(people)), who))
    lists = "\n".join(_person(person, entries, care) for person in there)
    return (
        f'<section class="day{_busy(entries)}" id="d-{day}" data-day="{day}" aria-labelledby="h-{day}"'
        f"{_height(entries, there)}>"
        f'<h3 id="h-{day}">{on_day(day)}</h3><p class="sheet">{name(handout.name)}</p>\n'
        f"{lists}\n{_foot(handout, entries)}</section>"
    )


def _busy(entries: list[HandedOut]) -> str:
    lines = [who for entry in entries for who in entry.row.who]
    return " busy" if len(lines) + len(set(lines)) > FULL_SHEET else ""


def _height(entries: list[HandedOut], there: list[str]) -> str:
    """About how high the day is on a phone: what is far away is not drawn until it comes near."""
    return f' style="contain-intrinsic-size:auto {5 + 3 * len(there) + 5 * len(entries)}rem"'


def _person(person: str, entries: list[HandedOut], care: Mapping[str, str]) -> str:
    lines = "\n".join(
        _entry(entry, care) if entry.row.who[0] == person else _also(entry, person, care)
        for entry in entries
        if person in entry.row.who
    )
    return f'<div class="of" data-of={value(person)}><h4>{name(person)}</h4><ul>\n{lines}\n</ul></div>'


def _entry(entry: HandedOut, care: Mapping[str, str]) -> str:
    row, at = entry.row, _pieces_at(entry)
    data = "".join(
        f" data-{key}={written}"
        for key, written in (
            ("day", value(row.day.isoformat())),
            ("who", names_value(row.who)),
            ("lot", value(row.lot)),
            ("step", value(row.step)),
            ("pieces", value(str(row.pieces))),
            ("record", value(_line(entry))),
            *([("at", str(at))] if at is not None else []),
        )
    )
    beside = _care(entry, care)
    line = " ".join(_words(row))
    held = f'<p><b class="d">done</b>{line}</p>' if row.done else f'<label><input type="checkbox">{line}</label>'
    alone = "" if len(row.who) > 1 else " solo"
    return f'<li class="entry{alone}" id="e-{entry.id}"{data}{" data-done" if row.done else ""}>{held}{beside}</li>'


def _care(entry: HandedOut, care: Mapping[str, str]) -> str:
    words = ", ".join(
        f'<a href="#{care[word]}">{shown(word)}</a>' if word in care else f"<b>{shown(word)}</b>"
        for word in entry.cautions
    )
    return f'<span class="c">Care: {words}</span>' if words else ""


def _line(entry: HandedOut) -> str:
    """The line to send back. The note keeps apart what is done twice on a day: a line sent twice is recorded once."""
    return f'{entry.record} "planned {time_text(entry.row.start)}"'


def _pieces_at(entry: HandedOut) -> int | None:
    """Where in the line the number of pieces stands, as scripts count letters; None where no other can stand there."""
    row = entry.row
    one, other = (record_line(replace(row, pieces=pieces)) for pieces in (1, 2))
    before = next((at for at, pair in enumerate(zip(one, other, strict=False)) if pair[0] != pair[1]), 0)
    if row.pieces < 2 or entry.record != f"{one[:before]}{row.pieces}{one[before + 1 :]}":
        return None
    return len(one[:before].encode("utf-16-le", "surrogatepass")) // 2


def _words(row: Row) -> Iterator[str]:
    yield f'<span class="t">{from_to_text(row, "–")}</span>'
    yield f"<span><b>{name(row.step)}</b>{_of_what(row)}</span>"
    who = " and ".join(map(name, row.who))
    yield f'<i class="w">{who}</i>'
    if row.at is not None:
        yield f'<span class="a">at {name(row.at)}</span>'
    if row.set_up_minutes:
        yield f"<span>{number_text(round(row.set_up_minutes, 1))} min of it to set up</span>"


def _of_what(row: Row) -> str:
    """How many of what, in the words of ``offseason show``; nothing for a job or a round, whose name says it."""
    if row.lot == row.step:
        return ""
    return f": {f'{row.pieces:,}' if row.pieces > 1 else 'one of the'} {name(row.lot)}"


def _also(entry: HandedOut, person: str, care: Mapping[str, str]) -> str:
    """Stands where a second person looks: the entry itself is under the first, and is on the page only once."""
    row = entry.row
    others = " and ".join(name(who) for who in row.who if who != person)
    words = f"{from_to_text(row, '–')} {shown(row.step)}"
    return (
        f'<li class="also" data-day="{row.day}" data-who={names_value([person])} data-for="e-{entry.id}">'
        f'<a href="#e-{entry.id}">{words}</a>, with {others}: see there{_care(entry, care)}</li>'
    )


def _foot(handout: Handout, entries: list[HandedOut]) -> str:
    """What a day's sheet on paper says of care."""
    there = {word for entry in entries for word in entry.cautions}
    told = "".join(f"<p><b>{shown(word)}</b> {shown(said)}</p>" for word, said in handout.care if word in there)
    return f'<div class="foot">{told}<p>{shown(handout.last_word)}</p></div>'
