"""What was recorded in the log of a winter, how the work stands with it, and what is to be remarked."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from offseason.plan.layout import time_text
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.log import Log
from offseason.plan.progress.pieces import lots_called, most_pieces
from offseason.plan.progress.taking import Taken
from offseason.scenario.nearest import listed
from offseason.share.terminal.layout import clean, count_text, day_text, paragraph, remarks_text, short_day_text
from offseason.workload.model import Workload

MOST_LINES = 20


def recorded_text(workload: Workload, log: Log, taken: Taken, today: date, log_name: str) -> str:
    """What was taken into the log, how each step touched stands, how lines were understood, and remarks.

    ``log``: with what was taken. Only the first rows of many are shown; how the work stands is shown for all.
    """
    blocks = [
        "\n".join(paragraph(clean(text), 2) for text in taken.taken_as),
        _rows(taken.entries, log_name),
        "\n".join(standing_text(workload, log, lot, step, taken.entries, today) for lot, step in _touched(taken)),
        "\n".join(paragraph(clean(text), 2, "-") for text in _few(taken.known)),
        remarks_text(_few([*taken.remarks, *log.remarks])),
    ]
    return "\n\n".join(block for block in blocks if block)


def standing_text(workload: Workload, log: Log, lot: str, step: str, entries: Iterable[Entry], today: date) -> str:
    """How a step stands: ``super combs, freeze: 240 of 1,900 done; 80 today``; of a round, for which days it is."""
    name = clean(lot if lot == step else f"{lot}, {step}")
    lots = lots_called(workload, lot)
    of_step = [e for e in log.entries if (e.lot, e.step) == (lot, step)]
    new = [e for e in entries if (e.lot, e.step) == (lot, step)]
    if lots[0].period is not None:
        made = [one.period for one in lots if one.period and _made(of_step, *one.period)]
        last = f", the last for {day_text(made[-1][0])} to {day_text(made[-1][1])}" if made else ""
        return paragraph(f"{name}: made for {len(made)} of {count_text(len(lots), 'time')} in this winter{last}.", 2)
    most, done = most_pieces(lots[0], step), sum(e.pieces for e in of_step)
    if most == 1:
        return paragraph(f"{name}: {'done' if done > 0 else 'not done'}.", 2)
    parts = " parts" if lot == step else ""
    days = listed(_of_day(of_step, day, today) for day in sorted({e.day for e in new})[-3:])
    return paragraph(f"{name}: {done:,} of {most:,}{parts} done; {days}.", 2)


def _made(entries: Iterable[Entry], first: date, last: date) -> bool:
    return sum(e.pieces for e in entries if first <= e.day <= last) > 0


def _of_day(entries: Iterable[Entry], day: date, today: date) -> str:
    pieces = sum(e.pieces for e in entries if e.day == day)
    return f"{pieces:,} {'today' if day == today else f'on {short_day_text(day)}'}"


def _touched(taken: Taken) -> dict[tuple[str, str], None]:
    return dict.fromkeys((entry.lot, entry.step) for entry in taken.entries)


def _rows(entries: Sequence[Entry], log_name: str) -> str:
    if not entries:
        return "Nothing new was recorded."
    shown = [paragraph(_row(entry), 4, " ") for entry in entries[:MOST_LINES]]
    more = len(entries) - len(shown)
    shown += [f"  and {more:,} more"] if more else []
    return "\n".join([paragraph(f"Recorded in {clean(log_name)}:"), *shown])


def _row(entry: Entry) -> str:
    what = entry.step if entry.lot == entry.step else f"{entry.step}, {entry.lot}"
    parts = [f"{clean(what)}: {entry.pieces:,}"]
    parts += [f"{entry.minutes:g} min"] if entry.minutes is not None else []
    parts += [f"until {time_text(entry.until)}"] if entry.until is not None else []
    parts += [f'"{clean(entry.note)}"'] if entry.note else []
    return f"{day_text(entry.day)}  {clean(listed(entry.who))}  {', '.join(parts)}"


def _few(sentences: Iterable[str]) -> list[str]:
    told = list(sentences)
    more = len(told) - MOST_LINES
    return [*told[:MOST_LINES], *([f"and {more:,} more such remarks"] if more > 0 else [])]
