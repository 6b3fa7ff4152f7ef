"""People: there at the time, able to do the work, at one place at a time, as many as the work takes."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.plan.audit.broken import Broken, Promise, broken, length_text, named
from offseason.plan.audit.calendar import is_away
from offseason.plan.audit.case import Case
from offseason.plan.audit.timeline import Stint
from offseason.scenario.model import HelperEntry


def outside_hours(case: Case) -> Iterator[Broken]:
    """A row lies within the hours of everyone in it, and nobody works on a day they are away."""
    for stint in case.timeline.stints:
        yield from _clock_never_shows(case, stint)
        for name in _known(case, stint):
            yield from _hours_of(case, stint, name)


def _hours_of(case: Case, stint: Stint, name: str) -> Iterator[Broken]:
    row, season, helper = stint.row, case.scenario.season, case.scenario.crew[name]
    spans = case.calendar.of(name, row.day)
    inside = sum(max(0, min(stint.ends, ends) - max(stint.begins, begins)) for begins, ends in spans)
    if any(begins <= stint.begins and stint.ends <= ends for begins, ends in spans):
        return
    if not season.from_ <= row.day <= season.until:
        yield broken(Promise.HOURS, row, f"nobody works outside the season, {season.from_} to {season.until}")
    elif is_away(helper, row.day):
        days = next(d for d in helper.away if row.day in d)
        yield broken(Promise.AWAY, row, f"{name} is away ({days})")
    elif not spans:
        yield broken(Promise.HOURS, row, f"{name} does not come on that day")
    else:
        hours = ", ".join(f"{case.clock.shows(b):%H:%M}-{case.clock.shows(e):%H:%M}" for b, e in spans)
        over = length_text(max(stint.ends - stint.begins - inside, 0))
        yield broken(Promise.HOURS, row, f"{name} is there {hours} that day; {over} of this lies outside these hours")


def _clock_never_shows(case: Case, stint: Stint) -> Iterator[Broken]:
    row = stint.row
    for shown in (row.start, row.end):
        if not case.clock.ever_shows(row.day, shown):
            yield broken(Promise.HOURS, row, f"no clock shows {shown:%H:%M} on that day: the clocks go forward over it")


def unable(case: Case) -> Iterator[Broken]:
    """Everyone in a row can do that kind of work."""
    for stint in case.timeline.stints:
        if stint.step is None:
            continue
        for name in _known(case, stint):
            if not _able(case.scenario.crew[name], stint.step.name):
                yield broken(Promise.ABLE, stint.row, f"{name} does not do this work ({stint.step.name})")


def _able(helper: HelperEntry, work: str) -> bool:
    return (helper.can is None or work in helper.can) and work not in helper.cannot


def two_places_at_once(case: Case) -> Iterator[Broken]:
    """Nobody is in two rows at the same time."""
    busy: dict[str, Stint] = {}
    for stint in case.timeline.stints:
        for name in dict.fromkeys(stint.row.who):
            last = busy.get(name)
            if last is not None and stint.begins < last.ends and stint.begins < stint.ends:
                both = length_text(min(last.ends, stint.ends) - stint.begins)
                said = f"{name} is already at other work for {both} of this ({named(last.row)})"
                yield broken(Promise.ONE_PLACE_AT_A_TIME, stint.row, said)
            if last is None or stint.ends >= last.ends:
                busy[name] = stint


def hands(case: Case) -> Iterator[Broken]:
    """A row has exactly as many people as the work takes together, each named once."""
    for stint in case.timeline.stints:
        who = stint.row.who
        twice = next((name for name in who if who.count(name) > 1), None)
        if twice is not None:
            yield broken(Promise.HANDS, stint.row, f"{twice} is named twice")
        elif stint.step is not None and len(who) != stint.step.hands:
            takes = "1 person" if stint.step.hands == 1 else f"{stint.step.hands} people together"
            more = len(who) - stint.step.hands
            amount = f"{more} too many" if more > 0 else f"{-more} too few"
            yield broken(Promise.HANDS, stint.row, f"this work takes {takes}, and here are {len(who)}: {amount}")


def _known(case: Case, stint: Stint) -> list[str]:
    return [name for name in dict.fromkeys(stint.row.who) if name in case.scenario.crew]
