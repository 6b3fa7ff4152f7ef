"""From a plan and its scenario to what page, calendar and sheets are all made from."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, tzinfo
from pathlib import PurePosixPath

from offseason.plan.document import Plan, Row
from offseason.plan.layout import time_text
from offseason.plan.progress.record_line import record_line
from offseason.plan.reading import comb_safety, left_said
from offseason.scenario.model import Scenario
from offseason.share.handout import Changed, Deadline, HandedOut, Handout
from offseason.share.terminal.care import care_of, cautions_of
from offseason.trade.cautions import LAST_WORD
from offseason.workload.model import Workload
from offseason.workload.sessions import zone_of

SIGNS_OF_AN_ID = 10


def handout(scenario: Scenario, plan: Plan, workload: Workload, changed: Changed | None = None) -> Handout:
    """The plan as it is handed out. The scenario is settled and ``workload`` is of it; ``changed``: since last time."""
    zone = zone_of(scenario)
    rows = sorted(plan.rows, key=lambda row: (_instant(_begins(row, zone)), row.end, row.who, row.lot, row.step))
    season, days = scenario.season, [row.day for row in plan.rows]
    lots = dict.fromkeys(row.lot for row in rows)
    in_order = [name for name in (*scenario.gear, *scenario.jobs, *scenario.rounds) if name in lots]
    return Handout(
        name=season.name,
        first=min([season.from_, *days]),
        last=max([season.until, *days]),
        timezone=season.timezone,
        made=plan.made,
        since=plan.since,
        entries=tuple(_entries(scenario, rows, zone)),
        people=tuple(dict.fromkeys([*scenario.crew, *(name for row in rows for name in row.who)])),
        lots=tuple(dict.fromkeys([*in_order, *lots])),
        care=care_of(scenario, rows),
        last_word=LAST_WORD,
        deadlines=tuple(sorted(_deadlines(scenario, plan, workload), key=lambda one: one.day)),
        left=left_said(plan, scenario),
        weather=plan.weather,
        changes=changed,
        winter_id=winter_id(plan.scenario_file, season.name, season.from_),
    )


def winter_id(scenario_file: str, name: str, first: date) -> str:
    """The same for every plan of a winter: of the file's name without folder and ending, its own, and the first year.

    The file's name alone would not do: many a yard's is winter.yaml, and who helps at two has both on one phone.
    """
    return _signs([PurePosixPath(scenario_file).stem, name, str(first.year)])


def _entries(scenario: Scenario, rows: Iterable[Row], zone: tzinfo | None) -> Iterator[HandedOut]:
    times: Counter[tuple[str, ...]] = Counter()
    seen: set[str] = set()
    for row in rows:
        what = (row.day.isoformat(), time_text(row.start), row.lot, row.step, *row.who)
        name = _signs([*what, *([str(times[what])] if times[what] else [])])
        times[what] += 1
        while name in seen:
            name = _signs([name])
        seen.add(name)
        ends = datetime.combine(row.day, row.end, zone)
        yield HandedOut(name, row, _begins(row, zone), ends, cautions_of(scenario, row), record_line(row))


def _begins(row: Row, zone: tzinfo | None) -> datetime:
    return datetime.combine(row.day, row.start, zone)


def _instant(moment: datetime) -> datetime:
    return moment.replace(fold=0) if moment.tzinfo is None else moment.astimezone(UTC).replace(tzinfo=None)


def _signs(parts: Iterable[str]) -> str:
    text = "".join(f"{len(part)}:{part}" for part in parts)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:SIGNS_OF_AN_ID]


def _deadlines(scenario: Scenario, plan: Plan, workload: Workload) -> Iterator[Deadline]:
    """The words never name the day: a calendar knows a deadline again by them when its day is another."""
    for lot in comb_safety(workload, plan):
        if lot.treat_by is not None and not (lot.safe and lot.since is None):
            yield Deadline(lot.treat_by, f"{lot.lot}: all comb is to be safe from wax moths", lot.lot)
    for name, gear in scenario.gear.items():
        if gear.ready_by is not None:
            yield Deadline(gear.ready_by, f"{name}: to be ready, with all that must be done to it", name)
    for name, job in scenario.jobs.items():
        if job.by is not None:
            yield Deadline(job.by, f"{name}: last day to do it", name)
    if scenario.moths is not None and scenario.moths.season_ends is not None:
        yield Deadline(scenario.moths.season_ends, "the last wax moth season ends")
    if scenario.moths is not None:
        yield Deadline(scenario.moths.season_starts, "the next wax moth season starts")
    yield Deadline(scenario.season.until, "the winter's work ends")
