"""Hours fit for work: what was read, how many there are month by month, and a few days hour by hour."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from offseason.share.fit_days import HOURS, NOT_BY_HAND, FitDays, is_known, said_of, stretches
from offseason.share.picture import MOST_DAYS
from offseason.share.terminal.layout import clean, count_text, day_text, paragraph, short_day_text, table
from offseason.trade.cautions import LAST_WORD
from offseason.weather.judge import Reason, Reasons
from offseason.weather.records import Daily, Reading

MOST_NOTES = 12
MOST_MONTHS = 24
"""Longer records are told by the months of the calendar, all years together."""

A_WINTER = 182
SHOWN_DAYS, MOST_DAYS_UNASKED, MOST_DAYS_ASKED = 7, 14, 31
HOURS_INDENT = 14
NO_BREAK = "\N{NO-BREAK SPACE}"

_SHORT: Mapping[int, str] = MappingProxyType(
    {
        NOT_BY_HAND: "not by hand",
        Reason.FIT: "FIT",
        Reason.UNKNOWN: "not known",
        Reason.TOO_COLD: "too cold",
        Reason.TOO_WARM: "too warm",
        Reason.TOO_DAMP: "too damp",
        Reason.NEAR_DEW_POINT: "dew",
        Reason.RAIN: "rain",
        Reason.TOO_WINDY: "wind",
        Reason.WET_WOOD: "wet wood",
        Reason.COLD_AFTER: "cold after",
        Reason.RAIN_AFTER: "rain after",
        Reason.UNKNOWN_AFTER: "not known after",
    }
)


def read_text(name: str, reading: Reading, timezone: str | None) -> list[str]:
    """What was read from the file of this name, in a sentence, and what was noticed in it."""
    daily = isinstance(reading.record, Daily)
    clock = "" if daily else f", by the clock of {clean(timezone)}" if timezone else ", by UTC (no time zone is given)"
    head = f"{clean(name)}: {count_text(reading.rows, 'row')}, {'day by day' if daily else 'hour by hour'}{clock}."
    notes = [f"{f'Row {note.row:,}: ' if note.row else ''}{note.text}" for note in reading.notes]
    left = len(notes) - MOST_NOTES
    more = [f"And {count_text(left, 'more remark')} of this kind."] if left > 0 else []
    return [head, *notes[:MOST_NOTES], *more]


def none_or_too_many(every: FitDays, shown: FitDays, *, drawn: bool) -> str | None:
    """Why the days chosen of ``every`` cannot be shown, or not be ``drawn``; None where they can."""
    if not len(shown):
        return f"there is no weather of these days; it goes from {day_text(every.first)} to {day_text(every.last)}."
    if drawn and len(shown) > MOST_DAYS:
        last = shown.first + timedelta(days=A_WINTER - 1)
        return (
            f"{len(shown):,} days are too many for one picture, which has room for {MOST_DAYS}; choose some, as in "
            f"--from {shown.first} --until {last}."
        )
    return None


def weather_text(shown: FitDays, said: Sequence[str], *, asked: bool) -> str:
    """The table of months and the hours of some days. ``said``: what to say first, in sentences.

    ``asked``: the days were chosen by the keeper, so that up to MOST_DAYS_ASKED of them are written out.
    """
    few = shown if len(shown) <= (MOST_DAYS_ASKED if asked else MOST_DAYS_UNASKED) else None
    days = few or shown.between(None, shown.first + timedelta(days=SHOWN_DAYS - 1))
    parts = [
        "\n".join(paragraph(clean(sentence)) for sentence in said),
        _span(shown),
        _months(shown),
        *_hours(days),
        *([] if few else [_others(shown)]),
        paragraph(LAST_WORD),
    ]
    return "\n\n".join(part for part in parts if part)


def _span(shown: FitDays) -> str:
    return paragraph(f"From {day_text(shown.first)} to {day_text(shown.last)}: {count_text(len(shown), 'day')}.")


def _months(shown: FitDays) -> str:
    months = np.array([12 * day.year + day.month - 1 for day in _days(shown)])
    together = months[-1] - months[0] >= MOST_MONTHS
    keys = months % 12 if together else months
    rows = []
    for key in dict.fromkeys(keys.tolist()):
        name = f"{date(2000 if together else key // 12, key % 12 + 1, 1):{'%b' if together else '%b %Y'}}"
        for need, codes in shown.reasons.items():
            rows.append((name, need, *_counts(codes[keys == key], whole_days=shown.whole_days)))
            name = ""
    unit = "days" if shown.whole_days else "hours"
    headers = ("Month", "weather for", f"{unit} fit", "of known", "where not, mostly because")
    told = ["All years together."] if together else []
    if shown.whole_days:
        told.append("A day counts as fit if any of its hours is.")
    return "\n\n".join(
        [*([paragraph(" ".join(told))] if told else []), table(rows, headers, numbers=(2, 3), wrap=(1, 4))]
    )


def _days(shown: FitDays) -> Iterator[date]:
    return (shown.first + timedelta(days=n) for n in range(len(shown)))


def _counts(codes: Reasons, *, whole_days: bool) -> tuple[str, str, str]:
    fit, known = codes == Reason.FIT, is_known(codes)
    if whole_days:
        unfit = codes[~fit.any(axis=1)]
        return f"{int(fit.any(axis=1).sum()):,}", f"{int(known.any(axis=1).sum()):,}", _commonest(unfit.ravel())
    return f"{int(fit.sum()):,}", f"{int(known.sum()):,}", _commonest(codes[~fit])


def _commonest(unfit: NDArray[np.int8]) -> str:
    if not len(unfit):
        return "-"
    codes, counts = np.unique(unfit, return_counts=True)
    return said_of(int(codes[counts.argmax()]))


def _hours(shown: FitDays) -> Iterator[str]:
    told = "Hours of the day by the clock on the wall: FIT, or the first reason why not"
    after = any((codes >= Reason.COLD_AFTER).any() for codes in shown.reasons.values())
    yield paragraph(f"{told}; 'after' means in the hours after the work." if after else f"{told}.")
    for need, codes in shown.reasons.items():
        lines = [
            paragraph(_day(of_day), HOURS_INDENT, f"  {short_day_text(day)}").replace(NO_BREAK, " ")
            for day, of_day in zip(_days(shown), codes, strict=True)
        ]
        yield "\n".join([paragraph(clean(need)), *lines])


def _day(codes: Reasons) -> str:
    """``00-09 too cold, 09-13 FIT``; a stretch is not broken over two lines."""
    told = [
        f"{'all day' if stop - start == HOURS else f'{start:02}-{stop:02}'} {_SHORT[code]}"
        for start, stop, code in stretches(codes)
    ]
    return ", ".join(one.replace(" ", NO_BREAK) for one in told)


def _others(shown: FitDays) -> str:
    first = shown.first + timedelta(days=SHOWN_DAYS)
    last = min(first + timedelta(days=SHOWN_DAYS - 1), shown.last)
    return paragraph(
        f"Other days: write which, as in --from {first} --until {last}; up to {MOST_DAYS_ASKED} are written out, "
        f"and --picture OUT.svg draws up to {MOST_DAYS}."
    )
