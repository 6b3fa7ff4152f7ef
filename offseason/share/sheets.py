"""The work as a table for spreadsheets, and as plain text for a message."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Iterator, Sequence
from itertools import groupby

from offseason.plan.layout import number_text, time_text
from offseason.scenario.nearest import listed
from offseason.share.from_to import from_to_text
from offseason.share.handout import HandedOut, Handout
from offseason.share.terminal.layout import count_text, day_text, paragraph
from offseason.share.terminal.show import true_hours, work_text

COLUMNS_OF_WORK = ("day", "from", "to", "minutes", "who", "lot", "step", "pieces", "at", "cautions", "done")
_BOM = b"\xef\xbb\xbf"
_JOINERS = "\u200c\u200d"  # parts of the spelling of some languages, and of some emoji
# Published: OWASP, "CSV Injection". Where lists are parted by other signs than here, a cell may begin inside ours.
_BEGINS_A_FORMULA = re.compile(r"(^|[,;|\t\"'])(\s*)(?=[=+\-@＝＋－＠﹦﹢﹣﹫])")


def work_csv(handout: Handout) -> bytes:
    """All entries as a table (RFC 4180: CRLF; UTF-8 with its mark, without which some spreadsheets guess wrong).

    ``minutes`` are those that pass, also where the clocks change. No cell begins like a formula: there an apostrophe
    stands before it. Names are on one line.
    """
    text = io.StringIO(newline="")
    lines = csv.writer(text, lineterminator="\r\n")
    lines.writerow(COLUMNS_OF_WORK)
    lines.writerows(list(map(_cell, _cells(entry))) for entry in handout.entries)
    return _BOM + text.getvalue().encode()


def _cells(entry: HandedOut) -> tuple[str, ...]:
    row = entry.row
    minutes = number_text(round(60 * true_hours(row, entry.begins.tzinfo), 2))
    hours = (time_text(row.start), time_text(row.end), minutes)
    what = ("; ".join(row.who), row.lot, row.step, str(row.pieces), row.at or "")
    return (row.day.isoformat(), *hours, *what, "; ".join(entry.cautions), "done" if row.done else "")


def _cell(text: str) -> str:
    return _BEGINS_A_FORMULA.sub(r"\1\2'", on_one_line(text))


def on_one_line(text: str) -> str:
    """A name or sentence without line breaks and without signs that steer what shows it."""
    return "".join(
        " " if c.isspace() else "?" if unicodedata.category(c)[0] == "C" and c not in _JOINERS else c for c in text
    )


def text_of(handout: Handout, who: str | None) -> str:
    """The work to come of a person or of everybody (None), day by day, in at most 80 columns.

    Before it what changed and what does not fit; after it the days that bind, the cautions and the last word.
    """
    own = [entry for entry in handout.entries if who is None or who in entry.row.who]
    ahead = [entry for entry in own if not entry.row.done]
    parts = [
        _head(handout, who, len(own) - len(ahead)),
        _changes(handout, who),
        _listed("What does not fit", handout.left),
        *_days(ahead, who),
        "" if ahead else paragraph("No work is planned."),
        _deadlines(handout),
        _care(handout, ahead),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _head(handout: Handout, who: str | None, done: int) -> str:
    title = on_one_line(f"{handout.name}: work of {who or 'everybody'}")
    told = f"Planned {day_text(handout.made.date())}."
    if done:
        told += f" {count_text(done, 'entry', 'entries')} done already {'is' if done == 1 else 'are'} left out."
    return f"{paragraph(title)}\n{paragraph(told)}"


def _changes(handout: Handout, who: str | None) -> str:
    if handout.changes is None:
        return ""
    lines = [line for line in handout.changes.lines if who in {None, line.who}]
    title = f"Changed since the plan of {day_text(handout.changes.since.date())}"
    told = [f"{day_text(line.day)}{f', {line.who}' if who is None else ''}: {line.words}" for line in lines]
    return _listed(title, told or ["nothing"])


def _deadlines(handout: Handout) -> str:
    """Those that are not over, where the plan was made anew during the winter."""
    since = handout.since.date() if handout.since else handout.first
    told = [f"{day_text(one.day)}: {one.words}" for one in handout.deadlines if one.day >= since]
    return _listed("Days that bind", told)


def _days(entries: Sequence[HandedOut], who: str | None) -> Iterator[str]:
    for day, group in groupby(entries, key=lambda entry: entry.row.day):
        yield "\n".join([day_text(day), *(_line(entry, who) for entry in group)])


def _line(entry: HandedOut, who: str | None) -> str:
    row = entry.row
    others = [name for name in row.who if name != who]
    first = f"{listed(row.who)}: " if who is None else ""
    at = f", at {row.at}" if row.at else ""
    together = f", with {listed(others)}" if who is not None and others else ""
    care = f" [{', '.join(entry.cautions)}]" if entry.cautions else ""
    hours = from_to_text(row)
    return paragraph(on_one_line(f"{first}{work_text(row)}{at}{together}{care}"), len(hours) + 4, f"  {hours}")


def _care(handout: Handout, entries: Sequence[HandedOut]) -> str:
    """The sentences of these entries, and those that belong to no single entry."""
    here = {word for entry in entries for word in entry.cautions}
    of_entries = {word for entry in handout.entries for word in entry.cautions}
    told = [f"{word}: {said}" for word, said in handout.care if word in here or word not in of_entries]
    return "\n".join([*([_listed("Take care", told)] if told else []), paragraph(on_one_line(handout.last_word))])


def _listed(title: str, lines: Sequence[str]) -> str:
    return "\n".join([title, *(paragraph(on_one_line(line), 4, "  -") for line in lines)]) if lines else ""
