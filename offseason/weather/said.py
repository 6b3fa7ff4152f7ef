"""What the keeper is told of the weather a winter is planned with: which days are from where, and why that winter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import groupby

from offseason.weather.poor import by_fit_hours, rank_of, ranked
from offseason.weather.season import MothSeason
from offseason.weather.span import SPRING_DAYS_AFTER, Span

_MOST_NAMED = 3
_ESTIMATE = "(an estimate from daily means, never a prediction)"


def forecast_said(files: Sequence[str], span: Span, known: Sequence[date], *, looks_ahead: bool) -> str:
    """Which days of the season the forecast tells of; ``looks_ahead``: work asks for some hours after it as well."""
    if not known:
        return f"{listed(files)} {_verb(files, 'tells', 'tell')} of no day of the season."
    sentence = f"Weather of {days_text(known)} is from {listed(files)}"
    if looks_ahead and known[-1] < span.season_last:
        sentence += "; its last day rarely counts as fit, for what comes after it is not known"
    return f"{sentence}."


def past_said(
    files: Sequence[str],
    span: Span,
    year: int,
    which: int | str,
    fit: Mapping[int, float],
    needs: Sequence[str],
    *,
    beyond: bool,
) -> str:
    """Which past winter stands for the days not forecast, and how poor it was beside the others.

    ``fit``: for each usable year the hours fit while somebody is here; ``beyond``: a forecast tells of other days.
    """
    order, count = by_fit_hours(fit), len(fit)
    days = "Beyond it each day is" if beyond else "Each day is"
    among = f"the {count} winters in {listed(files)}" if count > 1 else f"winter in {listed(files)}"
    if isinstance(which, int):
        chosen = "the year asked for, one of " + among if count > 1 else "the only " + among
    elif count == 1:
        chosen = "the only " + among
    else:
        word = {"poor year": ranked(rank_of(count), "poorest"), "poorest year": "poorest", "middle year": "middle one"}
        chosen = f"the {word[which]} of {among}"
    sentence = f"{days} as in the winter of {span.winter(year)}, {chosen}"
    if not needs:
        return f"{sentence}; no work here waits for weather that is judged from records."
    sentence += f" for {listed(needs)}: {_hours(fit[year])} fit while somebody is here"
    middle = order[(count - 1) // 2]
    return f"{sentence}." if middle == year or count == 1 else f"{sentence}; the middle one had {fit[middle]:,.0f}."


def unknown_said(files: Sequence[str], *, beyond: bool) -> str:
    """That nothing stands for the days not forecast, and so none of them is fit. ``files``: those of the history."""
    days = "Beyond it no day is" if beyond else "No day is"
    why = "no file of past winters stands under history:"
    if files:
        why = f"{listed(files)} {_verb(files, 'has', 'have')} no whole past winter"
    return f"{days} fit but by hours written under windows:, for {why}."


def left_out_said(missing: Mapping[int, int], lacking: Mapping[int, int], span: Span) -> str | None:
    """Which past winters were left out, because so many days are missing or lack what work asks of the weather."""
    days = len(span.season_days())
    why = {year: f"{count} of its {days} days are missing" for year, count in missing.items()}
    why |= {year: f"{lacking[year]} of its {days} days lack what work asks, such as rain or wind" for year in lacking}
    if not why:
        return None
    if len(why) == 1:
        ((year, reason),) = why.items()
        return f"Winter {span.winter(year)} was left out: {reason}."
    return f"Winters left out: {listed([f'{span.winter(year)} ({why[year]})' for year in sorted(why)], 'winters')}."


def this_winter_said(files: Sequence[str], span: Span) -> str:
    """That the history reaches into the winter to be planned, and that this part is not used."""
    day = day_text(span.season_first)
    return f"What {listed(files)} {_verb(files, 'has', 'have')} from {day} on is not used: it belongs in the forecast."


def moths_said(season: MothSeason, files: Sequence[str], span: Span) -> str:
    """When moths fly, of how many years that was chosen; or that it is not known."""
    moths = season.moths
    if moths is None:
        last = day_text(span.day(span.at(span.season_last) + SPRING_DAYS_AFTER))
        return (
            f"When moths fly is not known: no spring in {listed(files)} is seen to warm up before {last}. So no "
            "protection of comb is planned; write moths: and in it season_starts: with the day they first fly here."
        )
    if moths.season_starts == span.season_first and moths.season_ends is None:
        return f"Moths are taken to fly all winter, by {_years(season.springs, 'winter')} {_ESTIMATE}."
    starts = f"from about {day_text(moths.season_starts)} on, after {_chosen(season.springs, 'earliest', 'spring')}"
    if moths.season_ends is not None and moths.season_ends >= span.season_first:
        ends = f"until about {day_text(moths.season_ends)}, after {_chosen(season.autumns, 'latest', 'autumn')}"
        return f"Moths fly {ends}, and {starts} {_ESTIMATE}."
    return f"Moths fly {starts} {_ESTIMATE}."


def _chosen(count: int, word: str, of: str) -> str:
    return f"the {ranked(rank_of(count), word)} of {count} {of}s" if count > 1 else f"the only {of} known"


def _years(count: int, of: str) -> str:
    return f"{count} {of}s" if count > 1 else f"the only {of} known"


def _hours(hours: float) -> str:
    return f"{hours:,.0f} hour{'' if round(hours) == 1 else 's'}"


def _verb(files: Sequence[str], one: str, many: str) -> str:
    return one if len(files) == 1 else many


def listed(words: Sequence[str], rest: str = "files") -> str:
    """``a``, ``a and b``, ``a, b and c``, ``a, b, c and 4 more files``."""
    if len(words) > _MOST_NAMED + 1:
        return f"{', '.join(words[:_MOST_NAMED])} and {len(words) - _MOST_NAMED} more {rest}"
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def day_text(day: date) -> str:
    """``18 Apr 2027``."""
    return f"{day.day} {day:%b %Y}"


def days_text(days: Sequence[date]) -> str:
    """Days in order in few words: ``5–14 Oct 2026``, ``28 Oct–3 Nov 2026``, or several such."""
    numbered = groupby(enumerate(days), key=lambda pair: pair[1].toordinal() - pair[0])
    runs = [[day for _, day in run] for _, run in numbered]
    if len(runs) > _MOST_NAMED:
        return f"{len(days)} days of {_run(days[0], days[-1])}"
    return listed([_run(run[0], run[-1]) for run in runs])


def _run(first: date, last: date) -> str:
    if first == last:
        return day_text(first)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day}–{day_text(last)}"
    begins = f"{first.day} {first:%b}" if first.year == last.year else day_text(first)
    return f"{begins}–{day_text(last)}"
