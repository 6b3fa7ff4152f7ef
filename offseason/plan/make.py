"""From what the solver gave back to a plan as a document: names instead of numbers, wall clock instead of seconds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import datetime, time, timedelta
from itertools import groupby
from operator import attrgetter

from offseason.plan.document import Aim, How, LeftOver, Plan, Row, WeatherFile
from offseason.plan.elapsed import elapsed
from offseason.workload.model import Leaving, Schedule, Work, Workload

_ONE_HOUR_S = 3_600
_HOW: dict[Leaving, How] = {Leaving.UNDONE: "undone", Leaving.OPEN: "open", Leaving.LATE: "late"}


def plan_from(
    workload: Workload,
    schedule: Schedule,
    *,
    scenario_file: str,
    scenario_sha256: str,
    made: datetime,
    made_with: str,
    weather: tuple[str, ...] = (),
    records: tuple[WeatherFile, ...] = (),
) -> Plan:
    """The plan of a schedule, made for the weather these sentences tell, from these files.

    Work of the same people on the same step that goes on without a gap becomes one row.

    Every session of the workload that is worked in must have its ``clock``; ValueError where one has none.
    """
    work = sorted(schedule.work, key=_same_work)
    rows = [
        _row(workload, stretch) for _, same in groupby(work, key=_kind) for stretch in _without_gaps(workload, same)
    ]
    return Plan(
        scenario_file=scenario_file,
        scenario_sha256=scenario_sha256,
        made=made,
        made_with=made_with,
        proven=schedule.proven,
        aims=tuple(
            Aim(aim.aim, aim.unit, round(aim.reached, 3), round(aim.bound, 3), round(100 * aim.gap, 3))
            for aim in schedule.aims
        ),
        rows=tuple(sorted(rows, key=lambda r: (r.day, r.start.fold, r.start, r.who, r.end, r.lot, r.step))),
        weather=weather,
        records=records,
        left=tuple(_left_over(workload, schedule)),
    )


def _left_over(workload: Workload, schedule: Schedule) -> Iterator[LeftOver]:
    """What is left by the keeper's own names, the pieces of rounds and renewals of one name added up.

    A place that is overfull is named once, whichever lots are in it.
    """
    added: Counter[tuple[str, str, Leaving]] = Counter()
    work = (one for one in schedule.left if one.how is not Leaving.OVERFULL)
    for one in sorted(work, key=attrgetter("lot", "step")):
        lot = workload.lots[one.lot]
        added[lot.stated, lot.steps[one.step].task, one.how] += one.pieces
    for (lot_name, step, how), pieces in added.items():
        yield LeftOver(lot_name, step, pieces, _HOW[how])
    crowded = {one.place: one for one in schedule.left if one.how is Leaving.OVERFULL}
    for one in sorted(crowded.values(), key=attrgetter("place")):
        since = elapsed(workload).day_of(one.since_s)
        yield LeftOver("", "", one.pieces, "overfull", workload.places[one.place].name, since)


def _kind(work: Work) -> tuple[int, int, tuple[int, ...]]:
    return work.lot, work.step, tuple(sorted(work.helpers))


def _same_work(work: Work) -> tuple[tuple[int, int, tuple[int, ...]], int, int]:
    return _kind(work), work.starts_s, work.ends_s


def _without_gaps(workload: Workload, work: Iterable[Work]) -> list[list[Work]]:
    """Stretches of work that go on without a gap, so that every piece keeps its minute when they are joined."""
    stretches: list[list[Work]] = []
    for one in work:
        last = stretches[-1][-1] if stretches else None
        if last is not None and _goes_on(workload, last, one):
            stretches[-1].append(one)
        else:
            stretches.append([one])
    return stretches


def _goes_on(workload: Workload, last: Work, following: Work) -> bool:
    each = workload.lots[last.lot].steps[last.step].seconds_each
    no_rest = last.ends_s - last.starts_s == last.setup_s + last.pieces * each
    sessions = workload.sessions[last.session], workload.sessions[following.session]
    same_clock = sessions[0].day == sessions[1].day and _shift_s(workload, last) == _shift_s(workload, following)
    return no_rest and same_clock and last.ends_s == following.starts_s and following.setup_s == 0


def _row(workload: Workload, stretch: list[Work]) -> Row:
    first, last = stretch[0], stretch[-1]
    lot = workload.lots[first.lot]
    step = lot.steps[first.step]
    start, end = _clock(workload, first, first.starts_s), _clock(workload, last, last.ends_s)
    return Row(
        day=start.date(),
        start=start.timetz().replace(tzinfo=None),
        end=end.timetz().replace(tzinfo=None),
        who=tuple(workload.helpers[h].name for h in sorted(first.helpers)),
        lot=lot.stated,
        step=step.task,
        pieces=sum(work.pieces for work in stretch),
        at=None if step.at is None else workload.places[step.at].name,
        set_up_minutes=first.setup_s / 60,
    )


def _clock(workload: Workload, work: Work, elapsed_s: int) -> datetime:
    """What the wall clock shows in the session of this work; an hour shown twice keeps which of the two is meant."""
    session = workload.sessions[work.session]
    begins = _begins(workload, work)
    if session.clock is not None and elapsed_s == session.ends_s:
        return session.clock[1]  # where the clocks change at that moment, what they show from then on
    shown = begins + timedelta(seconds=elapsed_s - session.starts_s)
    return shown.replace(fold=begins.fold if elapsed_s - session.starts_s < _ONE_HOUR_S else 0)


def _shift_s(workload: Workload, work: Work) -> float:
    """Seconds between wall clock and elapsed time, the same all day unless the clocks change."""
    begins = _begins(workload, work).replace(tzinfo=None)
    midnight = datetime.combine(begins, time())
    return (begins - midnight).total_seconds() - workload.sessions[work.session].starts_s


def _begins(workload: Workload, work: Work) -> datetime:
    session = workload.sessions[work.session]
    if session.clock is None:
        raise ValueError(f"the session on {session.day} does not say what the clock shows when it begins")
    return session.clock[0]
