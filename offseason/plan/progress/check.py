"""Whether an entry can be true, by what there is and what was done before; and what is odd in one that can."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import date, datetime

from offseason.plan.layout import time_text
from offseason.plan.progress.entry import Entry, content_key
from offseason.plan.progress.log import Log
from offseason.plan.progress.pieces import lots_called, most_pieces
from offseason.plan.progress.room import too_full
from offseason.scenario.hours import hours_on
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed, offer
from offseason.workload.flow import follows
from offseason.workload.model import Lot, Workload
from offseason.workload.sessions import day_ends_s, day_starts_s, elapsed_s

Counts = Mapping[date, int]


def entry_problems(workload: Workload, scenario: Scenario, log: Log, entry: Entry, now: datetime) -> tuple[str, ...]:
    """Why an entry cannot be true beside those of the log: a sentence for each reason; none where it can.

    ``now``: by the clocks of the yard.
    """
    if unknown := tuple(_unknown_names(workload, scenario, entry)):
        return unknown
    lots = lots_called(workload, entry.lot)
    found = list(_impossible_days(scenario, entry, now))
    if lots[0].period is None:
        found += _too_many(log, entry, lots[0])
        found += [] if found else _before_the_step_before(log, entry, lots[0])
    elif entry.pieces > 1 or entry.pieces < -1:
        found.append(f"'{entry.lot}' is a round: it is made once at a time, not {entry.pieces:,} times")
    elif entry.pieces < 0 and sum(e.pieces for e in _same_work(log, entry)) + entry.pieces < 0:
        found.append(f"'{entry.lot}' is not in the log, so it cannot be taken back")
    return tuple(found)


def entry_remarks(
    workload: Workload, scenario: Scenario, log: Log, entry: Entry, *, dated: bool = False
) -> tuple[str, ...]:
    """What is odd in an entry that can be true: it is kept, for what was done was done.

    ``dated``: its day was written by a hand, and not told by a clock that may be wrong.
    """
    found = list(_seen_before(log, entry))
    last = max((e.day for e in log.entries), default=entry.day)
    if entry.day < last and not dated:
        found.append(f"it is dated {entry.day}, before the last one in the log ({last}): is the clock right?")
    if entry.pieces < 0:
        return tuple(found)
    lots = lots_called(workload, entry.lot)
    lot = next((one for one in lots if one.period and one.period[0] <= entry.day <= one.period[1]), lots[0])
    found += _people(workload, scenario, entry, lot)
    found += _days(scenario, entry)
    if lot.period is None:
        found += _too_soon(scenario, log, entry, lot)
        found += too_full(workload, scenario, log, entry)
        found += _jobs_first(workload, log, entry, lot)
    else:
        found += _rounds(log, entry, lot)
    return tuple(found)


def _unknown_names(workload: Workload, scenario: Scenario, entry: Entry) -> Iterator[str]:
    for name in dict.fromkeys(entry.who):
        if name not in scenario.crew:
            yield f"nobody here is called '{name[:60]}'; {offer(name, scenario.crew, what='the people are')}"
    known = list(dict.fromkeys(lot.stated for lot in workload.lots))
    if entry.lot not in known:
        yield f"there is no lot, job or round called '{entry.lot[:60]}'; {offer(entry.lot, known, what='there are')}"
        return
    steps = list(dict.fromkeys(step.task for step in lots_called(workload, entry.lot)[0].steps))
    if entry.step not in steps:
        told = offer(entry.step, steps, what="its work is") if steps else "nothing is to be done to it"
        yield f"'{entry.step[:60]}' is not done to '{entry.lot}' this winter; {told}"


def _impossible_days(scenario: Scenario, entry: Entry, now: datetime) -> Iterator[str]:
    if entry.day > now.date():
        yield f"{entry.day} is still to come: today is {now.date()}; only what was done is recorded"
    elif entry.until is not None and _is_later(scenario, entry, now):
        clock = time_text(now.time().replace(second=0, fold=now.fold))
        yield f"{time_text(entry.until)} is still to come: it is {clock} now; only what was done is recorded"
    gear = scenario.gear.get(entry.lot)
    arrives = gear.arrives if gear is not None else None
    if arrives is not None and entry.day < arrives:
        yield (
            f"'{entry.lot}' come in on {arrives}, after {entry.day}; where they came sooner, write that day under "
            "arrives: in the scenario first"
        )
    elif entry.day < scenario.season.from_:
        yield f"{entry.day} is before this winter, which begins on {scenario.season.from_}; is the year right?"


def _is_later(scenario: Scenario, entry: Entry, now: datetime) -> bool:
    return _moment_s(scenario, entry, latest=True) > elapsed_s(scenario, now)


def _too_many(log: Log, entry: Entry, lot: Lot) -> Iterator[str]:
    most = most_pieces(lot, entry.step)
    before = _by_day(_same_work(log, entry))
    after = _by_day([*_same_work(log, entry), entry])
    done = max([0, *before.values()])
    over = max(after.values()) - most
    if entry.pieces > 0 and over > 0:
        left = max(0, most - done)
        yield f"of {most:,} {_of(entry)} {done:,} are done and {left:,} are left, and this says {entry.pieces:,}"
    short = -min(count for day, count in after.items() if day >= entry.day)
    if entry.pieces < 0 and short > 0:
        by_then = sum(e.pieces for e in _same_work(log, entry) if e.day <= entry.day)
        yield f"{-entry.pieces:,} cannot be taken back: of {_of(entry)} {max(0, by_then):,} are done by {entry.day}"


def _of(entry: Entry) -> str:
    return f"'{entry.lot}'" if entry.lot == entry.step else f"'{entry.lot}' for '{entry.step}'"


def _before_the_step_before(log: Log, entry: Entry, lot: Lot) -> Iterator[str]:
    """More pieces than the steps before have handed over, on that day or on a later one."""
    own = [s for s, step in enumerate(lot.steps) if step.task == entry.step]
    of_lot = [*(e for e in log.entries if e.lot == entry.lot), entry]
    for pair in follows(lot):
        first, then = lot.steps[pair.first], lot.steps[pair.then]
        if pair.skippable or first.task == then.task or not {pair.first, pair.then} & set(own):
            continue
        if (entry.pieces > 0) != (pair.then in own):
            continue  # more of the first, or less of the second, is never a hindrance
        given = _by_day([e for e in of_lot if e.step == first.task])
        taken = _by_day([e for e in of_lot if e.step == then.task])
        for day in sorted({entry.day, *(day for day in taken if day >= entry.day)}):
            through, after = min(_until(given, day), first.pieces), _until(taken, day)
            if after > through + pair.spare:
                yield _order_sentence(entry, first.task, then.task, through, after, day)
                break


def _order_sentence(entry: Entry, first: str, then: str, through: int, after: int, day: date) -> str:
    if entry.step == then:
        return (
            f"only {through:,} of '{entry.lot}' are through '{first}' by {day}, and with this {after:,} would be "
            f"through '{then}'; record '{first}' first"
        )
    return (
        f"then {through:,} of '{entry.lot}' would be through '{first}' by {day}, but {after:,} are through '{then}'; "
        f"take those back first"
    )


def _same_work(log: Log, entry: Entry) -> list[Entry]:
    return [e for e in log.entries if (e.lot, e.step) == (entry.lot, entry.step)]


def _by_day(entries: list[Entry]) -> Counts:
    """Pieces done by the end of each day on which something was."""
    of_day: dict[date, int] = defaultdict(int)
    for entry in entries:
        of_day[entry.day] += entry.pieces
    found, done = {}, 0
    for day in sorted(of_day):
        done += of_day[day]
        found[day] = done
    return found


def _until(counts: Counts, day: date) -> int:
    return next((counts[d] for d in sorted(counts, reverse=True) if d <= day), 0)


def _seen_before(log: Log, entry: Entry) -> Iterator[str]:
    same = [e for e in log.entries if content_key(e) == content_key(entry)]
    if same and entry.pieces > 0:
        where = f" (line {same[-1].line})" if same[-1].line is not None else ""
        back = f"; if it was one and the same, take it back with -{entry.pieces}"
        yield f"the same was recorded before{where}, and now counts twice{back}"


def _people(workload: Workload, scenario: Scenario, entry: Entry, lot: Lot) -> Iterator[str]:
    step = next(step for step in lot.steps if step.task == entry.step)
    for name in dict.fromkeys(entry.who):
        helper = next((one for one in workload.helpers if one.name == name), None)
        if helper is not None and not helper.able(entry.step):
            yield f"by the scenario {name} cannot do '{entry.step}'"
        if not hours_on(scenario.crew[name], entry.day):
            yield f"by the scenario {name} is not there on {entry.day:%a} {entry.day}"
    if len(set(entry.who)) < step.hands:
        yield f"'{entry.step}' takes {step.hands} people, and {listed(entry.who)} is named alone"


def _days(scenario: Scenario, entry: Entry) -> Iterator[str]:
    job = scenario.jobs.get(entry.lot)
    if job is not None and job.from_ is not None and entry.day < job.from_:
        yield f"'{entry.lot}' was to be done from {job.from_} on"
    if entry.day > scenario.season.until:
        yield f"{entry.day} is after the last day of this winter ({scenario.season.until})"


def _too_soon(scenario: Scenario, log: Log, entry: Entry, lot: Lot) -> Iterator[str]:
    """Pieces taken on before they have waited: combs out of the freezer too soon, paint still wet."""
    at = max(s for s, step in enumerate(lot.steps) if step.task == entry.step)
    end_s = _moment_s(scenario, entry, latest=True)
    of_lot = [e for e in log.entries if e.lot == entry.lot]
    for pair in follows(lot):
        first = lot.steps[pair.first]
        if pair.then != at or not first.waits or pair.skippable or first.task == entry.step:
            continue
        ready = sum(
            e.pieces
            for e in of_lot
            if e.step == first.task and first.ready_s(_moment_s(scenario, e, latest=False)) <= end_s
        )
        taken = sum(e.pieces for e in of_lot if e.step == entry.step and e.day <= entry.day) + entry.pieces
        if taken > max(ready, 0) + pair.spare:
            yield f"{taken - max(ready, 0) - pair.spare:,} of them have not waited long enough after '{first.task}'"


def _moment_s(scenario: Scenario, entry: Entry, *, latest: bool) -> int:
    """When it was finished; where the time is not told, as late or as early on its day as can be."""
    if entry.until is not None:
        return elapsed_s(scenario, datetime.combine(entry.day, entry.until))
    return day_ends_s(scenario, entry.day) if latest else day_starts_s(scenario, entry.day)


def _jobs_first(workload: Workload, log: Log, entry: Entry, lot: Lot) -> Iterator[str]:
    own = workload.lots.index(lot)
    told: dict[str, None] = {}
    for order in workload.orders:
        then_lot, then_step = order.then
        if then_lot != own or lot.steps[then_step].task != entry.step:
            continue
        before = workload.lots[order.first[0]]
        step = before.steps[order.first[1]]
        done = sum(e.pieces for e in log.entries if (e.lot, e.step) == (before.stated, step.task))
        if done < step.pieces:
            name = before.stated if before.stated == step.task else f"{before.stated}, {step.task}"
            told[f"'{name}' was to come first, and {max(0, done):,} of its {step.pieces:,} pieces are done"] = None
    yield from told


def _rounds(log: Log, entry: Entry, lot: Lot) -> Iterator[str]:
    if lot.period is None or not lot.period[0] <= entry.day <= lot.period[1]:
        yield f"'{entry.lot}' is not due on {entry.day}; it does no harm, and stands for no other day"
        return
    first, last = lot.period
    if sum(e.pieces for e in _same_work(log, entry) if first <= e.day <= last) > 0:
        yield f"'{entry.lot}' is done already for {first} to {last}; it does no harm"
