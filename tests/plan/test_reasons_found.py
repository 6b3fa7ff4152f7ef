"""Small events in a winter under way: whatever is named as the reason of a change is to be found in what is written.

The check reads the sentences as a keeper does, and looks each up in the two plans, the two scenarios and the log.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from random import Random

import pytest

from offseason.plan.audit import audit
from offseason.plan.changes import Cause, Change, Key, Kind, Reason, Side, changes
from offseason.plan.document import Plan, Row
from offseason.plan.progress.entry import Entry
from offseason.scenario.model import Scenario
from offseason.workload.build import build_workload
from tests.begun import FIRST, begun, first_plan, happens, morning, read, small

DAY_LONG = timedelta(days=1)
DAY = r"\w{3} (\d{4}-\d\d-\d\d)"
WHEN = r"(?:on \w{3} (\d{4}-\d\d-\d\d)|at \d\d:\d\d that day)"


@dataclass(frozen=True)
class Told:
    """All that is written down of a change of plans."""

    old: Plan
    new: Plan
    was: Scenario
    now: Scenario
    log: tuple[Entry, ...]
    found: tuple[Change, ...]
    since: datetime

    def rows(self, plan: Plan, lot: str, step: str) -> list[Row]:
        return [row for row in plan.rows if (row.lot, row.step) == (lot, step)]

    def done(self, plan: Plan, work: tuple[str, str]) -> int:
        return sum(row.pieces for row in self.rows(plan, *work) if row.done)

    def until(self, plan: Plan, work: tuple[str, str], day: date) -> int:
        """Pieces through a step by the end of a day."""
        return sum(row.pieces for row in self.rows(plan, *work) if row.day <= day)

    def planned(self, work: tuple[str, str]) -> int:
        """Pieces that were planned for the time that is over."""
        rows = [row for row in self.rows(self.old, *work) if not row.done]
        return sum(row.pieces for row in rows if datetime.combine(row.day, row.start) < self.since)


def work_of(text: str) -> tuple[str, str]:
    """``scrape (boxes)`` as lot and step; the name of a job or round alone is both."""
    match = re.fullmatch(r"(.+) \((.+)\)", text)
    return (match[2], match[1]) if match else (text, text)


def day_of(written: str | None, change: Change) -> date:
    """The day that is written; none: that of the change."""
    return date.fromisoformat(written) if written else change.key.day


def entry(plan: Plan, person: str, day: date, work: tuple[str, str]) -> set[tuple]:
    return {
        (row.start, row.end, row.pieces)
        for row in plan.rows
        if row.day == day and person in row.who and (row.lot, row.step) == work and not row.done
    }


def is_so(told: Told, change: Change) -> bool:  # noqa: C901, PLR0911, PLR0912  one question for each sentence there is
    key, text = change.key, change.why.text
    work = (key.lot, key.step)
    others = [c for c in told.found if c.key != key and c.why.cause is not Cause.FIT]
    if text == "to fit the rest":
        return bool(others)
    if text == "no reason was found":
        return not others
    if match := re.fullmatch(
        r"(?:the work ran over .*: )?(\d+) of (\d+) were done(?:: the log takes (\d+) back)?", text
    ):
        back = sum(-e.pieces for e in told.log if e.pieces < 0 and (e.lot, e.step) == work)
        made = max(0, told.done(told.new, work) - told.done(told.old, work))
        known = work[0] in {*told.now.gear, *told.now.jobs, *told.now.rounds}
        return known and (int(match[1]), int(match[2])) == (made, told.planned(work)) and int(match[3] or 0) <= back
    if match := re.fullmatch(r"(.+): no longer in the scenario", text):
        return match[1] == key.lot and match[1] not in {*told.now.gear, *told.now.jobs, *told.now.rounds}
    if match := re.fullmatch(r"(.+): (.+) is no longer asked for", text):
        return (match[1], match[2]) == work and match[2] not in told.now.gear[match[1]].steps
    if match := re.fullmatch(r"(.+) is no longer in the crew", text):
        return match[1] not in told.now.crew and match[1] in told.was.crew
    if match := re.fullmatch(r"only (\d+) to do now, not (\d+)", text):
        had = sum(row.pieces for row in told.rows(told.old, *work))
        return int(match[1]) == told.now.gear[key.lot].count < int(match[2]) == had
    if match := re.fullmatch(r"(\d+) more are done than were planned by now", text):
        return int(match[1]) == told.done(told.new, work) - told.done(told.old, work) - told.planned(work) > 0
    if match := re.fullmatch(r"(?:(.+): )?(\d+) (?:were|was) taken as done before and no longer (?:are|is)", text):
        of = work_of(match[1]) if match[1] else work
        return int(match[2]) == told.done(told.old, of) - told.done(told.new, of)
    if match := re.fullmatch(r"(?:(.+): )?the log takes (\d+) back", text):
        of = work_of(match[1]) if match[1] else work
        return int(match[2]) <= sum(-e.pieces for e in told.log if e.pieces < 0 and (e.lot, e.step) == of)
    if match := re.fullmatch(r"(.+) was not done in time \((\d+) (.+)\)", text):
        of = (match[3], match[1])
        return int(match[2]) == told.planned(of) - told.done(told.new, of) + told.done(told.old, of) > 0
    if match := re.fullmatch(rf"the last of the load in (.+) \((.+)\) now comes {WHEN}", text):
        steps = [name for name, task in told.now.tasks.items() if task.then.rests == match[1]]
        return any(moved_so(told, change, (match[2], step), day_of(match[3], change)) for step in steps)
    if match := re.fullmatch(rf"(.+?) (?:is due within .+ of it and )?now comes {WHEN}", text):
        return moved_so(told, change, work_of(match[1]), day_of(match[2], change))
    if match := re.fullmatch(r"(.+) then does (.+)", text):
        both = [entry(plan, match[1], key.day, work_of(match[2])) for plan in (told.old, told.new)]
        return bool(both[1]) and both[0] != both[1] and work_of(match[2]) != work
    if match := re.fullmatch(r"(.+) is taken then: (.+?) does (.+)", text):
        both = [entry(plan, match[2], key.day, work_of(match[3])) for plan in (told.old, told.new)]
        return match[1] in told.now.places and bool(both[1]) and both[0] != both[1]
    if match := re.fullmatch(rf"(.+) then holds (.+) \((.+) on {DAY}\)", text):
        day = date.fromisoformat(match[4])
        was, is_ = ([r for r in told.rows(p, match[2], match[3]) if r.day == day] for p in (told.old, told.new))
        return told.now.tasks[match[3]].then.rests == match[1] and day <= key.day and bool(is_) and was != is_
    if match := re.fullmatch(rf"(.+) then still holds (.+) \((.+) now comes {WHEN}\)", text):
        return moved_so(told, change, (match[2], match[3]), day_of(match[4], change))
    if match := re.fullmatch(rf"(.+) is wanted for (.+) on {DAY}", text):
        return bool(told.rows(told.new, *work_of(match[2]))) and date.fromisoformat(match[3]) <= key.day
    if match := re.fullmatch(r"it takes (\S+) min each now, not (\S+)", text):
        return round(told.now.tasks[key.step].minutes_each, 2) == round(float(match[1]), 2) > float(match[2])
    if text in ("not in the old plan", "new in the scenario"):
        return not told.rows(told.old, *work)
    if match := re.fullmatch(r"(?:asked for before too; )?the old plan had (\d+) of (\d+)", text):
        return int(match[1]) == sum(r.pieces for r in told.rows(told.old, *work)) < int(match[2])
    if match := re.fullmatch(r"(\d+) to do now, not (\d+)", text):
        had, has = (sum(r.pieces for r in told.rows(p, *work)) for p in (told.old, told.new))
        return (int(match[1]), int(match[2])) == (has, had) and told.was != told.now
    if text.startswith("not possible before: "):
        return told.was != told.now and change.kind is not Kind.DROPPED
    if match := re.fullmatch(r"the comb of (.+) would lie open for too long", text):
        return told.now.gear[match[1]].comb is not None
    if match := re.fullmatch(r"(.+) is away \(.+\)", text):
        return any(key.day in days for days in told.now.crew[match[1]].away)
    if match := re.fullmatch(r"(.+) arrive on (\S+), .+ later", text):
        return told.now.gear[match[1]].arrives == date.fromisoformat(match[2]) > key.day
    return audited(told, change)


def moved_so(told: Told, change: Change, work: tuple[str, str], day: date) -> bool:
    """Work comes on that day now, and was elsewhere, at another hour or with other people before.

    What delays other work comes later than it did, and what brings it forward comes sooner: of that day, or of the day
    the change was planned for, other pieces are through than before.
    """
    if not any(row.day == day and not row.done for row in told.rows(told.new, *work)):
        return False
    to = change.to
    days = (change.key.day, day, *([to.day] if to else []))
    between = [on - before for on in days for before in (DAY_LONG, timedelta())]
    through = [[told.until(plan, work, on) for on in between] for plan in (told.old, told.new)]
    if to is not None and to.day < change.key.day:
        return any(new > old for old, new in zip(*through, strict=True))
    on_the_day = [[entry(plan, name, day, work) for name in told.now.crew] for plan in (told.old, told.new)]
    return any(new < old for old, new in zip(*through, strict=True)) or on_the_day[0] != on_the_day[1]


def audited(told: Told, change: Change) -> bool:
    """The audit says so of this very work: in the old plan by the scenario of now, or put back into the new plan."""
    work = (change.key.lot, change.key.step)
    ahead = [r for r in told.old.rows if not r.done and datetime.combine(r.day, r.start) >= told.since]
    done = [r for r in told.new.rows if r.done]
    rest = [r for r in told.new.rows if not r.done and (r.lot, r.step) != work]
    of_work = [r for r in ahead if (r.lot, r.step) == work]
    plans = ([*done, *ahead], [*done, *rest, *of_work])
    said = [
        b for rows in plans for b in audit(told.now, replace(told.new, rows=tuple(rows)), None) if b.row is not None
    ]
    return any(
        b.text.endswith(f": {change.why.text}") and (b.row.lot, b.row.step) == work and b.row.day == change.key.day
        for b in said
        if b.row is not None
    )


def found_false(text: str, cause: Cause = Cause.KNOCK_ON) -> bool:
    """Whether the check sees through a reason made up for a paint row that was planned for a day."""
    scenario = read(small())
    row = Row(FIRST + 2 * DAY_LONG, time(9, 30), time(11), ("Ines",), "boxes", "paint", 6, line=1)
    old = Plan("winter.yaml", "0" * 64, datetime(2026, 10, 1, tzinfo=UTC), "by hand", False, (), (row,))
    new = replace(old, rows=(replace(row, day=row.day + 5 * DAY_LONG),))
    to = Key(new.rows[0].day, "Ines", "boxes", "paint")
    change = Change(Kind.MOVED, Key(row.day, "Ines", "boxes", "paint"), 6, 6, to=to, why=Reason(cause, text))
    return not is_so(Told(old, new, scenario, scenario, (), (change,), morning(FIRST)), change)


@pytest.mark.parametrize(
    "text",
    [
        "to fit the rest",
        "0 of 6 were done",
        "boxes: no longer in the scenario",
        "boxes: paint is no longer asked for",
        "only 3 to do now, not 6",
        "6 were taken as done before and no longer are",
        "scrape was not done in time (6 boxes)",
        "scrape (boxes) now comes on Sat 2026-10-24",
        "Ines then does scrape (boxes)",
        "rack then holds combs (freeze on Mon 2026-10-19)",
        "Ines is away (2026-10-19)",
        "no hour of that day is fit for painting",
        "rack holds 8 pieces, and from Mon 2026-10-19 11:00 up to 12 are in it: 4 too many",
    ],
)
def test_the_check_sees_through_a_reason_that_is_made_up(text):
    assert found_false(text)
    assert not found_false("no reason was found", Cause.FIT)


@pytest.mark.slow
def test_whatever_small_thing_happens_every_reason_given_is_to_be_found_in_what_is_written():
    first = first_plan(read(small()))
    told_of: Counter[Cause] = Counter()
    events = 0
    for seed in range(5):
        yard, random = begun(plan=first), Random(seed)
        for _ in range(6):
            old, was = yard.plan, read(yard.data)
            event = happens(yard, random)
            events += 1
            anew = yard.replan(seconds=0.7)
            if anew.plan is not yard.plan:
                break  # it can no longer be done: the old plan stays, and there is nothing to tell
            now = read(yard.data)
            assert audit(now, yard.plan, None) == ()
            known = Side(old, was, None, build_workload(was)) if random.random() < 0.5 else Side(old)
            found = changes(known, Side(yard.plan, now, None, build_workload(now)), yard.log)
            told = Told(old, yard.plan, was, now, yard.log, found.changes, yard.now)
            for change in found.changes:
                assert change.why.text, change
                assert is_so(told, change), f"seed {seed}, {event}: {change}"
                told_of[change.why.cause] += 1
    assert events >= 20
    assert len(told_of) >= 5, told_of
