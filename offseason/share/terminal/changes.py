"""What a new plan changes: a line with the sum, then for each person, day by day, what is different and why."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import groupby

from offseason.plan.changes import Cause, Change, Changes, Key, Kind, Presence, Result
from offseason.plan.layout import time_text
from offseason.plan.reading import CombSafety, tightest
from offseason.share.terminal.layout import clean, count_text, day_text, paragraph, short_day_text, table
from offseason.share.terminal.show import Selection

_A_DAY = re.compile(r"(?:(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) )?(\d{4}-\d\d-\d\d)")
MOST_LOTS = 2
_WORTH_SAYING = timedelta(minutes=30)


@dataclass(frozen=True)
class Line:
    """One change as one person sees it on one day; ``why`` "": it stands elsewhere, or there is nothing to say."""

    person: str
    day: date
    work: str
    what: str
    why: str = ""
    order: int = 0


def changes_text(found: Changes, selection: Selection | None = None) -> str:
    """The sum, and the changes of the selected days and person."""
    chosen = selection or Selection()
    head = paragraph(sum_text(found))
    if not found.changes:
        return head
    lines = [line for line in lines_of(found, chosen) if _takes(chosen, line)]
    if not lines:
        return f"{head}\n\n{paragraph(f'Nothing changes {chosen}'.rstrip() + '.')}"
    people = groupby(sorted(lines, key=lambda line: (line.person, line.day, line.order)), key=lambda line: line.person)
    blocks = ["\n".join([paragraph(clean(person)), *_days(found, person, list(own))]) for person, own in people]
    return "\n\n".join([head, *blocks])


def sum_text(found: Changes) -> str:
    """How many entries change, in which way, and what comes of it for the comb and the end of the work."""
    results = [*_comb(found.before, found.after), *filter(None, [_must(found.before, found.after)])]
    if not found.changes and found.before == found.after:
        return "Nothing changes."
    if not found.changes:
        return "; ".join(["Nothing changes", *results]) + "."
    return "; ".join([_counted(found), *results]) + "."


def _counted(found: Changes) -> str:
    ways: dict[str, set[Key]] = {}
    for change in sorted(found.changes, key=lambda c: (not c.overdue, list(Kind).index(c.kind))):
        if not any(change.key in keys for way, keys in ways.items() if way != "to others"):
            ways.setdefault(_late(change) if change.overdue else change.kind.value, set()).add(change.key)
        if change.to is not None and change.to.person != change.key.person and not change.overdue:
            ways.setdefault("to others", set()).add(change.key)
    number = {way: len(keys) for way, keys in ways.items()}
    of_old = [
        (Kind.MOVED, "moved"), (Kind.DROPPED, "dropped"), (Kind.FEWER, "with fewer pieces"),
        (Kind.MORE, "with more"),
    ]  # fmt: skip
    words = [f"{number[kind]:,} {word}" for kind, word in of_old if kind in number]
    if "to others" in number and Kind.MOVED in number:
        words[0] += f" ({number['to others']:,} to another person)"
    changed = sum(number.get(kind, 0) for kind, _ in of_old)
    since = f" from {day_text(found.since.date())} on" if found.since else ""
    said = f"{changed:,} of {count_text(found.entries, 'entry', 'entries')}{since}"
    parts = [f"{said} {'changes' if changed == 1 else 'change'}{': ' + ', '.join(words) if words else ''}"]
    if new := number.get(Kind.NEW):
        parts.append(f"{new:,} {'is' if new == 1 else 'are'} new")
    if late := number.get("late"):
        parts.append(f"{late:,} of days that are over {'was' if late == 1 else 'were'} not done in full")
    if gone := number.get("gone"):
        parts.append(f"{gone:,} of days that are over {'is' if gone == 1 else 'are'} no longer asked for")
    if hours := number.get(Kind.HOURS):
        parts.append(f"{hours:,} at another time of the same day")
    return "; ".join(parts)


def _late(change: Change) -> str:
    """Work of days that are over: not done, or no longer wanted."""
    return "gone" if change.why.cause in (Cause.GONE, Cause.GEAR) else "late"


def _comb(before: Result | None, after: Result | None) -> list[str]:
    """What becomes of each lot of comb whose day or days in hand change, those with the fewest left first."""
    if before is None or after is None or not after.comb:
        return []
    was = {lot.lot: lot for lot in before.comb}
    changed = sorted((lot for lot in after.comb if lot != was.get(lot.lot)), key=_urgency)
    said = [_lot(was.get(lot.lot), lot) for lot in changed[:MOST_LOTS]]
    if len(changed) > MOST_LOTS:
        said.append(f"{count_text(len(changed) - MOST_LOTS, 'more lot')} of comb with other days in hand")
    least = tightest(after.comb)
    if not said and least is not None and least.days_in_hand is not None:
        return [f"comb is safe as before, {count_text(least.days_in_hand, 'day')} in hand"]
    return said


def _urgency(lot: CombSafety) -> tuple[bool, int]:
    return lot.safe, 9_999 if lot.days_in_hand is None else lot.days_in_hand


def _lot(was: CombSafety | None, lot: CombSafety) -> str:
    name = clean(lot.lot)
    if not lot.safe:
        return f"{name}: NOT all protected at the end of the new plan"
    if lot.since is None:
        return f"{name}: safe without any work now"
    if was is None or not was.safe or was.since is None:
        spare = "" if lot.days_in_hand is None else f", {count_text(lot.days_in_hand, 'day')} in hand"
        return f"{name}: safe from {short_day_text(lot.since)}{spare}"
    days = (lot.since - was.since).days
    when = f"{count_text(abs(days), 'day')} {'later' if days > 0 else 'sooner'}" if days else "as before"
    spare = f"{count_text(lot.days_in_hand or 0, 'day')} in hand instead of {was.days_in_hand or 0:,}"
    return f"{name}: safe {when} ({short_day_text(lot.since)}), {spare}"


def _must(before: Result | None, after: Result | None) -> str:
    if before is None or after is None or before.must_ends == after.must_ends or after.must_ends is None:
        return ""
    was = f" instead of {short_day_text(before.must_ends)}" if before.must_ends else ""
    return f"work that must be done ends {short_day_text(after.must_ends)}{was}"


def _takes(chosen: Selection, line: Line) -> bool:
    return (
        (chosen.first is None or line.day >= chosen.first)
        and (chosen.last is None or line.day <= chosen.last)
        and (chosen.who is None or line.person == chosen.who)
    )


def lines_of(found: Changes, chosen: Selection) -> Iterator[Line]:
    """Each change as each person it concerns sees it."""
    for change in found.changes:
        yield from _of(change, chosen)


def _of(change: Change, chosen: Selection) -> Iterator[Line]:
    key, why = change.key, why_text(change)
    work = _work(change)
    match change.kind:
        case Kind.NEW:
            yield Line(key.person, key.day, work, "new", why, 2)
        case Kind.MORE:
            yield Line(key.person, key.day, work, f"more, beside {_pieces(change, change.of_pieces)} as before", why, 2)
        case Kind.FEWER:
            yield Line(key.person, key.day, work, f"fewer{_of_so_many(change)}", why, 1)
        case Kind.DROPPED:
            yield Line(key.person, key.day, work, f"left out{_of_so_many(change)}", why, 0)
        case Kind.HOURS:
            was, now = change.starts or (time(), time())
            yield Line(key.person, key.day, work, f"from {_minute(now)} instead of {_minute(was)}", why, 3)
        case Kind.MOVED if change.to is not None:
            yield from _moved(change, change.to, work, why, chosen)


def _moved(change: Change, to: Key, work: str, why: str, chosen: Selection) -> Iterator[Line]:
    """A move is told on both days; its reason where it was, unless that is not shown or tells it to somebody else."""
    key, same = change.key, change.key.person == to.person
    told = Line(key.person, key.day, work, _gone_to(change, to) + _of_so_many(change), why, 0)
    if not change.overdue:
        yield told
    again = "" if same and not change.overdue and _takes(chosen, told) else why
    yield Line(to.person, to.day, work, _come_from(change, to), again, 2)


def _gone_to(change: Change, to: Key) -> str:
    if to.person == change.key.person:
        return f"moved to {short_day_text(to.day)}"
    on = "" if to.day == change.key.day else f" on {short_day_text(to.day)}"
    return f"done by {to.person}{on}"


def _come_from(change: Change, to: Key) -> str:
    key = change.key
    left = "left over from" if change.overdue else "moved from"
    if to.person == key.person:
        return f"{left} {short_day_text(key.day) if key.day != to.day else 'earlier that day'}"
    instead = f"instead of {key.person}"
    return instead if to.day == key.day else f"{instead} on {short_day_text(key.day)}"


def why_text(change: Change) -> str:
    """The reason, its days as people write them."""
    text = re.sub(r"(?<=\d)\.\.(?=\d)", " to ", change.why.text)
    return _A_DAY.sub(lambda found: short_day_text(date.fromisoformat(found[1])), text)


def _of_so_many(change: Change) -> str:
    return (
        f" ({change.pieces:,} of {change.of_pieces:,})" if _counts(change) and change.pieces < change.of_pieces else ""
    )


def _counts(change: Change) -> bool:
    return change.key.lot != change.key.step


def _work(change: Change) -> str:
    key = change.key
    if _counts(change):
        return f"{key.step}: {change.pieces if change.pieces > 1 else 'one of the'} {key.lot}"
    return f"{key.lot} ({change.minutes:.0f} min)" if change.minutes else key.lot


def _pieces(change: Change, number: int) -> str:
    return f"{number:,}" if _counts(change) else "what was there"


def _days(found: Changes, person: str, lines: Sequence[Line]) -> Iterator[str]:
    for day, group in groupby(lines, key=lambda line: line.day):
        own = list(group)
        reasons = {line.why for line in own if line.why}
        together = reasons.pop() if len(reasons) == 1 and sum(bool(line.why) for line in own) > 1 else ""
        over = found.since is not None and day < found.since.date()
        there = "over" if over else called(found.presences.get((person, day), Presence()), day)
        title = f"{day_text(day)}: {there}{f' - {together}' if together else ''}"
        yield paragraph(clean(title), 4)[2:]
        cells = [(line.work, line.what + (f": {line.why}" if line.why and not together else "")) for line in own]
        yield table(cells, wrap=(0, 1), indent=4)


def called(there: Presence, day: date) -> str:
    """From when to when somebody is called on a day, and what it was before where that is another time."""
    before, after = there.before, there.after
    if after is None:
        return f"not called (was {_span(before)})" if before else "not called"
    if before is None:
        return f"called {_span(after)} (was not called)"
    moments = [datetime.combine(day, clock.replace(fold=0)) for clock in (*before, *after)]
    if max(abs(moments[0] - moments[2]), abs(moments[1] - moments[3])) <= _WORTH_SAYING:
        return _span(after)
    return f"{_span(after)} (was {_span(before)})"


def _span(hours: tuple[time, time]) -> str:
    return "-".join(map(_minute, hours))


def _minute(clock: time) -> str:
    return time_text(clock.replace(second=0))
