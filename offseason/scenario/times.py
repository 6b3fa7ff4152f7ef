"""Dates and hours that cannot be: seasons, arrivals, deadlines, absences, hours given twice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.hours import hours_on, season_days
from offseason.scenario.model import HelperEntry, Season
from offseason.scenario.nearest import nearest
from offseason.scenario.words import WEEKDAYS, Days, Hours, parse_days, parse_weekdays, shown
from offseason.scenario.yaml_tree import Path

LONGEST_SEASON_DAYS = 400
_FARTHEST_MOTHS_DAYS = 366
_DAY_SECONDS = 86_400


def time_findings(draft: Draft) -> Iterator[Finding]:
    """Every date or stretch of hours that cannot be as written."""
    yield from _season(draft)
    season = draft.season if draft.season and draft.season.from_ <= draft.season.until else None
    yield from _moths(draft, season)
    for name, helper in draft.crew.items():
        yield from _helper(draft, name, helper, season)
    yield from _rounds_in_whole_days(draft)
    yield from _windows(draft, season)
    if season:
        yield from _outside(draft, season)
    yield from _order_of_days(draft)
    yield from _last_painted(draft)


def _season(draft: Draft) -> Iterator[Finding]:
    season = draft.season
    if season is None:
        return
    days = season.days
    if days < 1:
        begins = f"{season.from_}{_elsewhere(draft, ('season', 'from'), ('season', 'until'))}"
        text = f"the season ends on {season.until}, before it begins on {begins}; which year is meant?"
        yield Finding(("season", "until"), text)
    elif days > LONGEST_SEASON_DAYS:
        text = f"the season lasts {days} days; plan one winter at a time, {LONGEST_SEASON_DAYS} days at most"
        yield Finding(("season", "until"), text)
    if season.timezone is not None and not _known_zone(season.timezone):
        zones = sorted(available_timezones())
        # Abbreviations are all alike: of those only the same letters count.
        alike = [z for z in zones if len(season.timezone) > 4 or z.casefold() == season.timezone.casefold()]
        close = nearest(season.timezone, alike)
        add = f"did you mean '{close}'? If not, leave it out" if close else "leave it out, or write one such as CET"
        yield Finding(("season", "timezone"), f"'{season.timezone[:60]}' is not a time zone known here; {add}")


def _known_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def _moths(draft: Draft, season: Season | None) -> Iterator[Finding]:
    moths = draft.moths
    if moths is None:
        return
    if moths.season_ends is not None and moths.season_ends >= moths.season_starts:
        starts = f"{moths.season_starts}{_elsewhere(draft, ('moths', 'season_starts'), ('moths', 'season_ends'))}"
        text = (
            f"the last moth season cannot end on {moths.season_ends}, when the next starts on {starts}; "
            "write the end of the one before the winter, or leave it out"
        )
        yield Finding(("moths", "season_ends"), text)
    if season is None:
        return
    away = max((season.from_ - moths.season_starts).days, (moths.season_starts - season.until).days)
    if away > _FARTHEST_MOTHS_DAYS:
        text = f"{moths.season_starts} is more than a year from the season ({_span(season)}); which year is meant?"
        yield Finding(("moths", "season_starts"), text)


def _span(season: Season) -> str:
    return f"{season.from_} to {season.until}"


def _helper(draft: Draft, name: str, helper: HelperEntry, season: Season | None) -> Iterator[Finding]:
    path: Path = ("crew", name)
    given: dict[int, str] = {}
    for raw, weekdays in draft.keyed((*path, "works"), parse_weekdays):
        twice = [WEEKDAYS[day] for day in weekdays if day in given]
        if twice:
            text = f"'{twice[0]}' is already given under '{given[WEEKDAYS.index(twice[0])]}'; write each weekday once"
            yield Finding((*path, "works", raw), text, on_key=True)
        given |= {day: raw for day in weekdays if day not in given}
    also = draft.keyed((*path, "also"), parse_days)
    yield from _same_days(also, (*path, "also"))
    for raw, days in also:
        if season and (days.last < season.from_ or days.first > season.until):
            yield Finding((*path, "also", raw), f"'{raw}' is {_outside_of(season)}", on_key=True)
        yield from _hours_twice(helper, days, helper.also.get(days, ()), (*path, "also", raw))
    for one, two in _overlapping(helper.away):
        told = f"{helper.away[two]} overlaps {helper.away[one]}, written before it; write these days once"
        yield Finding((*path, "away", two), told)
    if season and draft.sound("crew", name) and not ever_there(helper, season):
        text = f"'{name[:60]}' has no hours in this season; write them under works: or also:, or delete this person"
        yield Finding(path, text, on_key=True)


def _same_days(keys: Sequence[tuple[str, Days]], path: Path) -> Iterator[Finding]:
    for one, two in _overlapping([days for _, days in keys]):
        text = f"'{keys[two][0]}' overlaps '{keys[one][0]}'; write each day once"
        yield Finding((*path, keys[two][0]), text, on_key=True)


def _overlapping(spans: Sequence[Days]) -> Iterator[tuple[int, int]]:
    """Each stretch of days that shares a day with another, with one such: the places of both, the earlier first."""
    order = sorted(range(len(spans)), key=lambda n: spans[n].first)
    longest: int | None = None
    for n in order:
        if longest is not None and spans[n].first <= spans[longest].last:
            yield min(n, longest), max(n, longest)
        if longest is None or spans[n].last > spans[longest].last:
            longest = n


def _hours_twice(helper: HelperEntry, days: Days, hours: Sequence[Hours], path: Path) -> Iterator[Finding]:
    weekly = [(weekday, h) for weekdays, stretches in helper.works.items() for weekday in weekdays for h in stretches]
    for day in season_days(days.first, min(days.last, date.fromordinal(days.first.toordinal() + 6))):
        for more in hours:
            for weekday, usual in weekly:
                if weekday == day.weekday() and more.start < usual.end and usual.start < more.end:
                    text = (
                        f"{more} overlaps {usual}, the hours of every {WEEKDAYS[weekday]} under works; "
                        "write only the hours that come on top"
                    )
                    yield Finding(path, text)
                    return


def can_be_planned(season: Season) -> bool:
    """Whether it ends after it begins, and is no longer than what is planned at once."""
    return 1 <= season.days <= LONGEST_SEASON_DAYS


def ever_there(helper: HelperEntry, season: Season) -> bool:
    """Whether a helper comes on any day of the season."""
    last = min(season.until, date.fromordinal(season.from_.toordinal() + LONGEST_SEASON_DAYS))
    return any(hours_on(helper, day) for day in season_days(season.from_, last))


def _rounds_in_whole_days(draft: Draft) -> Iterator[Finding]:
    for name, inspection in draft.rounds.items():
        every = inspection.every
        if not isinstance(every, int) or not draft.sound("rounds", name):
            continue
        if every < _DAY_SECONDS or every % _DAY_SECONDS:
            yield Finding(("rounds", name, "every"), "a round comes back in whole days; write it as in 14 d or 2 w")


def _windows(draft: Draft, season: Season | None) -> Iterator[Finding]:
    for need in draft.weather.windows:
        path: Path = ("weather", "windows", need)
        keys = draft.keyed(path, parse_days)
        # A single day within a span says what is different on that day; all else that overlaps is a mistake.
        yield from _same_days([(raw, days) for raw, days in keys if days.first < days.last], path)
        yield from _same_days([(raw, days) for raw, days in keys if days.first == days.last], path)
        for raw, days in keys:
            if season and (days.last < season.from_ or days.first > season.until):
                yield Finding((*path, raw), f"'{raw}' is {_outside_of(season)}", on_key=True)


def _outside_of(season: Season) -> str:
    return f"outside the season ({_span(season)}); write days of it, or strike this line out"


def _outside(draft: Draft, season: Season) -> Iterator[Finding]:
    for path, day in _single_days(draft):
        if not season.from_ <= day <= season.until:
            line = draft.line("season", "from" if day < season.from_ else "until")
            where = f", as line {line} says" if line != draft.tree.place(path)[0] else ""
            yield Finding(path, f"{day} is outside the season ({_span(season)}{where}); write a day of it")


def _single_days(draft: Draft) -> Iterator[tuple[Path, date]]:
    for section, fields in _DAYS_OF.items():
        entries: Mapping[str, object] = getattr(draft, section)
        for name, entry in entries.items():
            for key, attribute in fields:
                day = getattr(entry, attribute)
                if day is not None:
                    yield (section, name, key), day


_DAYS_OF = {
    "gear": (("arrives", "arrives"), ("ready_by", "ready_by")),
    "jobs": (("from", "from_"), ("by", "by")),
    "rounds": (("from", "from_"), ("until", "until")),
}


def _order_of_days(draft: Draft) -> Iterator[Finding]:
    for section, (first, last) in _DAYS_OF.items():
        for name, entry in getattr(draft, section).items():
            one, two = getattr(entry, first[1]), getattr(entry, last[1])
            if one is not None and two is not None and two < one:
                path: Path = (section, name, last[0])
                earlier = f"{first[0]}: {one}{_elsewhere(draft, (section, name, first[0]), path)}"
                yield Finding(path, f"{last[0]}: {two} is earlier than {earlier}; which of the two is meant?")


def _elsewhere(draft: Draft, path: Path, told: Path) -> str:
    """Where the other of two lines stands that cannot both be true; nothing where it is the line of the mistake."""
    line = draft.tree.place(path)[0]
    return f" (line {line})" if line != draft.tree.place(told)[0] else ""


def _last_painted(draft: Draft) -> Iterator[Finding]:
    for name, lot in draft.gear.items():
        year, path = lot.last_painted, ("gear", name, "last_painted")
        if isinstance(year, str) and year not in ("never", "unknown"):
            yield Finding(path, f"'{year[:60]}' is not a year; write one as in 2022, or never or unknown")
        elif isinstance(year, int) and year < 1900:
            yield Finding(path, f"{shown(year)} is not a year; write all four figures, as in 2022")
        elif isinstance(year, int) and draft.season and year > draft.season.until.year:
            yield Finding(path, f"{shown(year)} is still to come; write the year it was last painted, never or unknown")
