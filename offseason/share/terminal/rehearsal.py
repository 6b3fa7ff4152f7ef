"""How a plan would have gone in past winters: in how many all was done, winter by winter, and which work is fragile."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable, Iterator
from datetime import date
from typing import Protocol, TextIO

from offseason.plan.rehearsed import Fragile, Rehearsal, WinterLived, fragile
from offseason.scenario.model import Scenario, Season
from offseason.scenario.nearest import listed
from offseason.share.terminal.layout import COLUMNS, clean, count_text, day_text, paragraph, short_day_text, table
from offseason.workload.model import Importance

MOST_FRAGILE = 12
BAR = 30
SECONDS_BETWEEN_LINES = 5.0


class Rehearsing(Protocol):
    """How far a rehearsal is: winters that are over, of how many, and the share of all their weeks (0..1)."""

    @property
    def winters(self) -> int:
        """Winters that are over."""

    @property
    def of_winters(self) -> int:
        """Winters in all."""

    @property
    def share(self) -> float:
        """Share of all weeks of all winters."""


def bar_text(at: Rehearsing) -> str:
    """``[##########....................]  33 %, 3 of 10 winters``."""
    full = round(BAR * at.share)
    return f"[{'#' * full}{'.' * (BAR - full)}] {100 * at.share:3.0f} %, {at.winters} of {at.of_winters} winters"


class BarLine:
    """Writes how far it is to ``stream``: on a terminal one line is rewritten, else a new line, seconds apart."""

    def __init__(self, stream: TextIO, clock: Callable[[], float] = time.monotonic) -> None:
        self._stream = stream
        self._clock = clock
        self._terminal = stream.isatty()
        self._last_written: float | None = None
        self._last_text = ""

    def __call__(self, at: Rehearsing) -> None:
        """Show how far it is."""
        text, now = bar_text(at), self._clock()
        due = self._terminal or self._last_written is None or now - self._last_written >= SECONDS_BETWEEN_LINES
        if due and text != self._last_text:
            self._write(f"\r{text:<{COLUMNS - 1}}" if self._terminal else f"{text}\n")
            self._last_written, self._last_text = now, text

    def close(self) -> None:
        """End the rewritten line, so that what follows stands on a line of its own."""
        if self._terminal and self._last_text:
            self._write("\n")
            self._last_text = ""

    def _write(self, text: str) -> None:
        with contextlib.suppress(OSError):  # whoever read along has gone: no reason to stop
            self._stream.write(text)
            self._stream.flush()


def rehearsal_text(scenario: Scenario, rehearsal: Rehearsal) -> str:
    """The whole report; there is at least one winter in it."""
    winters = rehearsal.winters
    season = scenario.season
    parts = [
        paragraph(_title(season, rehearsal)),
        paragraph(_verdict(winters)),
        paragraph(_spread(rehearsal)),
        _by_winter(season, rehearsal),
        _fragile(rehearsal),
        paragraph(_assumed(rehearsal)),
        paragraph(_unknown(rehearsal)),
    ]
    return "\n\n".join(part for part in parts if part)


def winter_name(season: Season, year: int) -> str:
    """``2017/18``, or ``2017`` where the season lies within one year."""
    over = season.until.year - season.from_.year
    return f"{year}/{(year + over) % 100:02d}" if over else f"{year}"


def failed_text(winter: WinterLived) -> str | None:
    """What was not kept in that winter, in a few words; None: nothing."""
    left = [one for one in winter.must if one.left]
    late = [one for one in winter.must if one.late and not one.left]
    combs = [clean(comb.lot) for comb in winter.combs if not comb.in_time]
    parts = [
        f"{what} {_few([f'{clean(one.step)}' for one in some])}"
        for what, some in (("left:", left), ("late:", late))
        if some
    ]
    parts += [f"comb open: {_few(combs)}"] if combs else []
    return "; ".join(parts) or None


def _few(names: list[str]) -> str:
    known = list(dict.fromkeys(names))
    return listed(known) if len(known) <= 2 else f"{known[0]} and {len(known) - 1} more"


def _title(season: Season, rehearsal: Rehearsal) -> str:
    first, last = rehearsal.winters[0].year, rehearsal.winters[-1].year
    span = (
        winter_name(season, first) if first == last else f"{winter_name(season, first)} to {winter_name(season, last)}"
    )
    of = f" of {rehearsal.asked}" if len(rehearsal.winters) < rehearsal.asked else ""
    stopped = " Stopped before the others." if of else ""
    winters = (
        count_text(len(rehearsal.winters), "past winter") if not of else f"{len(rehearsal.winters)}{of} past winters"
    )
    return f"{clean(season.name)}, rehearsed in {winters} ({span}).{stopped}"


def _verdict(winters: tuple[WinterLived, ...]) -> str:
    n = len(winters)
    of = f"of {count_text(n, 'past winter')}"
    text = f"In {sum(w.all_in_time for w in winters)} {of} all that must be done was done in time"
    late = sum(w.all_done and not w.all_in_time for w in winters)
    text += f" (in {late} more it was done, but some of it late)" if late else ""
    if any(winter.combs for winter in winters):
        return f"{text}; in {sum(w.comb_in_time for w in winters)} of {n} every comb was protected in time."
    return f"{text}; there is no comb to protect."


def _spread(rehearsal: Rehearsal) -> str:
    planned = f"The plan has the last of it done on {day_text(rehearsal.planned)}. " if rehearsal.planned else ""
    if not any(not one.comes_back for winter in rehearsal.winters for one in winter.must):
        return "No work on gear and no job must be done."
    finished = sorted(w.finished for w in rehearsal.winters if w.finished)
    if not finished:
        return f"{planned}In none of these winters was all of it done."
    never = len(rehearsal.winters) - len(finished)
    if len(rehearsal.winters) == 1:
        return f"{planned}In that winter it was done on {day_text(finished[0])}."
    ordered: list[date | None] = [*finished, *[None] * never]
    middle = ordered[len(ordered) // 2]
    told = f"earliest {day_text(finished[0])}, middle {day_text(middle) if middle else 'not at all'}"
    last = f"latest not at all (in {count_text(never, 'winter')})" if never else f"latest {day_text(finished[-1])}"
    return f"{planned}In these winters: {told}, {last}."


def _by_winter(season: Season, rehearsal: Rehearsal) -> str:
    rows = [
        (
            winter_name(season, winter.year),
            short_day_text(winter.finished) if winter.finished else ("-" if winter.all_done else "not all"),
            _later(winter.finished, rehearsal.planned),
            short_day_text(winter.comb_safe) if winter.comb_safe else ("-" if winter.comb_in_time else "not in time"),
            failed_text(winter) or "",
        )
        for winter in rehearsal.winters
    ]
    return table(rows, ("Winter", "must-work done", "days later", "comb safe", "not kept"), numbers=(2,), wrap=(4,))


def _later(finished: date | None, planned: date | None) -> str:
    return f"{(finished - planned).days:+d}".replace("+0", "0") if finished and planned else ""


def _fragile(rehearsal: Rehearsal) -> str:
    found = fragile(rehearsal.winters)
    if not found:
        return paragraph("No work is fragile: in none of these winters was any left, late, or later than planned.")
    rows = [
        (
            f"{clean(one.step)}: {clean(one.lot)}" if one.step != one.lot else clean(one.lot),
            one.importance.value,
            _left(one),
            str(one.winters_late or ""),
            "" if one.days_later is None else f"{one.days_later:+.1f}",
        )
        for one in found[:MOST_FRAGILE]
    ]
    headers = ("Fragile work", "", "left in winters", "late in", "days later")
    more = len(found) - MOST_FRAGILE
    text = table(rows, headers, numbers=(3, 4), wrap=(0,)) + (f"\n... and {more} more." if more > 0 else "")
    if any(one.winters_late for one in found):
        text += "\n" + paragraph("Late: after its own date, or longer after the step before it than is allowed.")
    return text


def _left(one: Fragile) -> str:
    if not one.winters_left:
        return ""
    return f"{one.winters_left} (at most {one.most_left:,} of {one.wanted:,})"


def _assumed(rehearsal: Rehearsal) -> str:
    return " ".join(_assumptions(rehearsal))


def _assumptions(rehearsal: Rehearsal) -> Iterator[str]:
    days = rehearsal.forecast_days
    ahead = f"for {count_text(days, 'day')} after it" if days else "of that day"
    yield (
        "Assumed: each past winter's weather on this winter's days and hours of help; days that have a forecast "
        "already are as forecast in all of them. Each Monday the keeper re-plans, "
        f"quickly and without the long search, knowing the weather so far and a forecast {ahead} that comes true; "
        "beyond it she counts on what the other winters were like. As long as nothing falls behind the plan she keeps "
        "to its days, though a day before them may turn out fit."
    )
    if rehearsal.vary_percent:
        yield (
            f"Labour took up to {rehearsal.vary_percent:g} % longer or shorter than planned, drawn for each winter and "
            f"kind of work (seed {rehearsal.seed}), and each re-planning took it as planned."
        )
    else:
        yield "Labour took as long as planned."
    if treat_by := sorted(comb.treat_by for winter in rehearsal.winters for comb in winter.combs):
        first, last = day_text(treat_by[0]), day_text(treat_by[-1])
        by = first if first == last else f"{first} to {last}"
        yield f"Comb had to be protected by the dates of each winter's own moths, where records tell them ({by})."
    if rehearsal.by_hand:
        needs = listed([clean(need) for need in rehearsal.by_hand])
        yield f"Hours written by hand for {needs} were the same in every winter, on the days they name."
    if any(one.importance is not Importance.MUST for winter in rehearsal.winters for one in winter.works):
        yield "Of optional work, only what the plan has is counted."


def _unknown(rehearsal: Rehearsal) -> str:
    few = " So few winters say little of the next one." if len(rehearsal.winters) < 10 else ""
    return (
        "What this cannot know: illness, late deliveries, a forecast that fails, a winter unlike any of these. Whoever "
        f"plans anew with 'offseason plan' after a setback may do better than the keeper here.{few}"
    )
