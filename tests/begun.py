"""A small winter that has begun, and what may happen in one: days go by, helpers fall ill, a freezer fails."""

from __future__ import annotations

import copy
from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from random import Random

import yaml

from offseason.commands.replan import Anew, plan_anew
from offseason.plan.document import Plan, Row
from offseason.plan.make import plan_from
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.standing import kept
from offseason.scenario.model import Scenario
from offseason.scenario.read import parse_scenario
from offseason.solver import solve
from offseason.weather.outlook import Outlook
from offseason.workload.build import build_workload
from offseason.workload.model import Schedule, Workload

DAY = timedelta(days=1)
FIRST = date(2026, 10, 17)  # a Saturday; the clocks of CET go back on the 25th
LAST = FIRST + 34 * DAY

SMALL = f"""
season: {{from: {FIRST}, until: {LAST}, timezone: CET}}
moths: {{season_starts: 2026-11-14, season_ends: 2026-10-01}}
crew:
  Ines:
    works: {{mon: 09:00-12:00, wed: 09:00-12:00, sat: [09:00-12:00, 13:00-15:00], sun: 00:30-04:00}}
  Tomas:
    works: {{sat: [09:00-12:00, 13:00-15:00], thu: 14:00-17:00}}
    cannot: [paint]
places:
  bench: {{seats: 2}}
  rack: {{holds: 8, celsius: 12, humidity_percent: 60}}
  freezer: {{holds: 20 combs, celsius: -18}}
  loft: {{holds: 40 boxes, celsius: 16}}
  shed: {{holds: 60}}
tasks:
  scrape: {{minutes_each: 10, at: bench, importance: could}}
  paint: {{minutes_each: 12, setup_minutes: 10, weather: painting, needs: [scrape], then: {{wait: 30 h, "on": rack}}}}
  put away: {{minutes_each: 3, then: {{in: shed}}}}
  freeze: {{minutes_each: 0.5, then: {{wait: 24 h, in: freezer}}, kills: true}}
  seal: {{minutes_each: 1, needs: [freeze], within: 5 d, seals: true, then: {{in: loft}}}}
  treat: {{minutes_each: 2, protects: 10 d, treatment: acetic acid 80 %, authorised: true}}
  treat again: {{minutes_each: 2, protects: 20 d, treatment: acetic acid 80 %, authorised: true}}
  wire: {{minutes_each: 6, setup_minutes: 10, at: bench, importance: should}}
gear:
  boxes: {{piece: langstroth deep box, count: 12, rests: shed, steps: [scrape, paint, put away]}}
  combs: {{piece: medium comb, count: 50, comb: dry, rests: loft, steps: [freeze, seal]}}
  brood combs:
    {{piece: deep comb, count: 10, comb: brood, rests: loft, arrives: {FIRST + 4 * DAY}, steps: [treat, treat again]}}
  frames: {{piece: deep frame, count: 30, rests: shed, steps: [wire]}}
jobs:
  build the rack: {{hours: 1.5, by: {FIRST + 15 * DAY}, before: [paint]}}
  press the cappings: {{hours: 2, divisible: false, hands: 2}}
rounds:
  look over comb: {{every: 7 d, minutes: 20, looks_at: loft}}
weather:
  windows:
    painting: {{{", ".join(f"{FIRST + n * DAY}: 09:00-15:00" for n in (2, 4, 7, 9, 14, 16, 18, 21, 23, 28, 30))}}}
"""


def small() -> dict:
    """The small winter as data to change."""
    return yaml.safe_load(SMALL)


def read(data: dict) -> Scenario:
    """The winter as a file with this content is read."""
    return parse_scenario(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "winter.yaml")


def first_plan(scenario: Scenario, outlook=None, seconds: float = 2, seed: int = 0) -> Plan:
    """The plan of the whole winter."""
    workload = build_workload(scenario, outlook)
    made = solve(workload, seconds=seconds, seed=seed)
    assert not made.left_undone
    return as_plan(workload, made, outlook)


def as_plan(workload: Workload, made: Schedule, outlook: Outlook | None = None) -> Plan:
    """A schedule as the plan of a file that is called winter.yaml."""
    return plan_from(
        workload, made, scenario_file="winter.yaml", scenario_sha256="0" * 64,
        made=datetime(2026, 10, 1, tzinfo=UTC), made_with="a test", weather=outlook.said if outlook else (),
    )  # fmt: skip


def morning(day: date) -> datetime:
    """The beginning of a day."""
    return datetime.combine(day, time())


def as_logged(rows, share: float = 1.0, random: Random | None = None) -> tuple[Entry, ...]:
    """Rows as done, all of them or so much of each, as whole pieces go; ``random``: drawn row by row around that."""
    found = []
    for n, row in enumerate(rows):
        part = share if random is None else random.choice((0, share, 1, 1))
        if pieces := int(row.pieces * part):
            found.append(Entry(f"{row.day}-{n}", row.day, row.who, row.lot, row.step, pieces, row.end))
    return tuple(found)


def rows_before(plan: Plan, moment: datetime, since: datetime | None = None) -> list[Row]:
    """Rows planned (not done) that end by a moment, and begin after another."""
    return [
        r for r in plan.rows
        if not r.done and datetime.combine(r.day, r.end) <= moment
        and (since is None or datetime.combine(r.day, r.start) >= since)
    ]  # fmt: skip


def entries_of_plan(rows) -> Counter:
    """Pieces by (day, person, lot, step)."""
    found = Counter()
    for row in rows:
        for name in row.who:
            found[row.day, name, row.lot, row.step] += row.pieces
    return found


def changed(old, new, outside=()) -> tuple[int, int]:
    """Entries (day, person, lot, step) with other pieces, and entries there were; ``outside``: days not counted."""
    one, two = entries_of_plan(old), entries_of_plan(new)
    keys = {k for k in {*one, *two} if k[0] not in outside}
    return sum(one[k] != two[k] for k in keys), sum(k in one for k in keys)


@dataclass
class Yard:
    """A winter under way: what is written, what is planned, what was logged, and what time it is."""

    data: dict
    plan: Plan
    now: datetime
    log: tuple[Entry, ...] = ()
    told: list[str] = field(default_factory=list)

    def replan(self, seconds: float = 3, **asked) -> Anew:
        """Plan anew; the winter goes on by the new plan, though it may leave something."""
        scenario = read(self.data)
        anew = plan_anew(scenario, None, self.plan, kept(self.log), self.now, seconds=seconds, workers=1, **asked)
        self.plan = anew.plan
        return anew


def days_pass(yard: Yard, random: Random) -> None:
    until = yard.now + random.randint(1, 3) * DAY
    if random.random() < 0.3:
        until += timedelta(hours=random.randint(1, 15))
    until = min(until, morning(LAST))
    rows = rows_before(yard.plan, until, yard.now)
    yard.log += tuple(replace(e, id=f"{e.id}-{len(yard.log)}") for e in as_logged(rows, random.random(), random))
    yard.now = until


def away(yard: Yard, random: Random) -> None:
    who = yard.data["crew"][random.choice(sorted(yard.data["crew"]))]
    first = yard.now.date() + random.randint(0, 6) * DAY
    days = {*who.get("away", ()), *(str(first + n * DAY) for n in range(random.randint(1, 3)))}
    who["away"] = sorted(d for d in days if str(FIRST) <= d <= str(LAST))


def gone_for_good(yard: Yard, random: Random) -> None:
    if len(yard.data["crew"]) > 1 and random.random() < 0.3:
        yard.data["crew"].pop("Tomas")


def late_lot(yard: Yard, random: Random) -> None:
    lot = yard.data["gear"][random.choice(sorted(yard.data["gear"]))]
    lot["arrives"] = str(min(yard.now.date() + random.randint(0, 9) * DAY, LAST - 3 * DAY))


def wet_days(yard: Yard, random: Random) -> None:
    fine = yard.data["weather"]["windows"]["painting"]
    wet = [str(yard.now.date() + n * DAY) for n in range(random.randint(1, 8))]
    yard.data["weather"]["windows"]["painting"] = {d: h for d, h in fine.items() if str(d) not in wet} or dict(fine)


def dry_day(yard: Yard, random: Random) -> None:
    day = yard.now.date() + random.randint(0, 8) * DAY
    if day <= LAST:
        fine = yard.data["weather"]["windows"]["painting"]
        yard.data["weather"]["windows"]["painting"] = {**{str(d): h for d, h in fine.items()}, str(day): "09:00-15:00"}


def freezer_fails(yard: Yard, random: Random) -> None:  # noqa: ARG001
    through = Counter()
    for entry in kept(yard.log):
        through[entry.lot, entry.step] += entry.pieces
    if (lost := through["combs", "freeze"] - through["combs", "seal"]) > 0:
        entry = Entry(f"lost-{len(yard.log)}", yard.now.date() - DAY, ("Ines",), "combs", "freeze", -lost)
        yard.log += (entry,)


def slow(yard: Yard, random: Random) -> None:
    task = yard.data["tasks"][random.choice(sorted(yard.data["tasks"]))]
    task["minutes_each"] = round(task["minutes_each"] * random.choice((0.8, 1.2, 1.4)), 2)


def grows(yard: Yard, random: Random) -> None:
    lot = yard.data["gear"][random.choice(sorted(yard.data["gear"]))]
    lot["count"] = max(1, lot["count"] + random.randint(-4, 4))


def step_out(yard: Yard, random: Random) -> None:
    lot = yard.data["gear"][random.choice(("boxes", "combs"))]
    lot["steps"] = {"boxes": ["scrape", "put away"], "combs": ["freeze", "seal"]}[
        "boxes" if "scrape" in lot["steps"] else "combs"
    ]


def new_lot(yard: Yard, random: Random) -> None:
    if "lids" not in yard.data["gear"]:
        arrives = str(min(yard.now.date() + random.randint(0, 3) * DAY, LAST))
        lot = {"piece": "telescoping lid", "count": 5, "rests": "shed", "steps": ["scrape", "put away"]}
        yard.data["gear"]["lids"] = {**lot, "arrives": arrives}


def lot_gone(yard: Yard, random: Random) -> None:
    if random.random() < 0.3:
        yard.data["gear"].pop(random.choice(("frames", "lids")), None)


def mistaken_log(yard: Yard, random: Random) -> None:
    lot, step = random.choice((("combs", "freeze"), ("combs", "seal"), ("boxes", "paint"), ("frames", "wire")))
    if lot in yard.data["gear"]:
        pieces = random.randint(1, 9)
        entry = Entry(f"mistaken-{len(yard.log)}", yard.now.date() - DAY, ("Ines",), lot, step, pieces)
        yard.log += (entry,) if entry.day >= FIRST else ()


def other_preference(yard: Yard, random: Random) -> None:
    yard.data["prefer"] = random.choice(("done early", "few days", "even weeks"))


EVENTS = (
    days_pass, days_pass, days_pass, away, away, gone_for_good, late_lot, wet_days, dry_day, freezer_fails, slow,
    grows, step_out, new_lot, lot_gone, mistaken_log, other_preference,
)  # fmt: skip


def begun(data: dict | None = None, *, plan: Plan | None = None) -> Yard:
    """The small winter on its first morning."""
    data = small() if data is None else copy.deepcopy(data)
    return Yard(data, plan or first_plan(read(data)), morning(FIRST))


def happens(yard: Yard, random: Random) -> str:
    """One event; what the scenario's own checks refuse did not happen."""
    event = random.choice(EVENTS)
    before = copy.deepcopy(yard.data)
    event(yard, random)
    try:
        read(yard.data)
    except Exception:  # noqa: BLE001
        yard.data = before
    yard.told.append(event.__name__)
    return event.__name__
