"""A tiny yard whose work is recorded: combs that are sorted, frozen and sealed, boxes, a job and a round."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time

from offseason.plan.progress.entry import Entry
from offseason.plan.progress.known import known
from offseason.plan.progress.log import Log
from offseason.plan.progress.pieces import pieces_of
from offseason.plan.progress.short_line import asked_of_line
from offseason.scenario.model import Scenario
from offseason.scenario.read import parse_scenario
from offseason.workload.build import build_workload
from offseason.workload.model import Workload

SCENARIO = """
season: {name: Winter at Dunlin Carr, from: 2026-10-05, until: 2027-03-28}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-15}
crew:
  Maren: {works: {mon-fri: 09:00-12:00, sat: 09:00-16:00}, away: [2026-10-23]}
  Joss: {works: {sat: 09:00-16:00}, cannot: [first coat]}
  Wilhelmina: {works: {tue: 13:00-16:00}}
places:
  bench: {seats: 2}
  chest freezer: {holds: 80 combs, celsius: -18}
  comb room: {holds: 300 boxes, celsius: 2..14}
  rack: {holds: 40, celsius: 15}
tasks:
  scrape: {minutes_each: 5, at: bench}
  mend: {minutes_each: 8, share: 25%}
  oil: {minutes_each: 1, importance: could}
  first coat: {minutes_each: 6, paint: latex, then: {dries: latex, on: rack}}
  sort out: {minutes_each: 0.5, at: bench}
  freeze: {minutes_each: 0.3, then: {wait: freezer stay, in: chest freezer}, kills: true}
  seal: {minutes_each: 0.4, needs: [freeze], seals: true, then: {in: comb room}}
gear:
  super combs: {piece: medium comb, count: 400, comb: dry, rests: comb room, arrives: 2026-10-06,
                steps: [sort out, freeze, seal]}
  deep boxes, old paint: {piece: langstroth deep box, count: 40, last_painted: 2019,
                          steps: [scrape, mend, oil, first coat]}
  deep boxes, sound: {piece: langstroth deep box, count: 60, last_painted: 2026, steps: [scrape, first coat]}
jobs:
  clean the extractor: {hours: 3}
  press the cappings: {hours: 2, divisible: false, hands: 2}
  rebuild the rack: {hours: 4, before: [first coat]}
rounds:
  look over stored comb: {every: 21 d, minutes: 30, looks_at: comb room}
"""
YARD = parse_scenario(SCENARIO, "winter.yaml")
WORK = build_workload(YARD)
TODAY = date(2026, 10, 17)
NOW = datetime.combine(TODAY, time.max)
_number = iter(range(10**6))


def entry(
    pieces: int, step: str, lot: str, day: int = 12, who: str = "Maren", until: time | None = None, **more
) -> Entry:
    """So many pieces of a lot through a step on a day of October."""
    name = more.pop("id", f"n{next(_number):06}")
    return Entry(name, date(2026, 10, day), tuple(who.split(" + ")), lot, step, pieces, until, **more)


def entry_of_words(
    parts: Sequence[str], scenario: Scenario, workload: Workload, today: date, log: Log | None = None
) -> Entry | str:
    """The entry that these words mean, or what is not clear in them."""
    asked = asked_of_line(parts, known(scenario, workload), today)
    if isinstance(asked, str):
        return asked
    pieces = pieces_of(asked.lot, asked.step, asked, workload, log or Log())
    return pieces if isinstance(pieces, str) else asked.entry(pieces, "n")


def log_of(*entries: Entry) -> Log:
    return Log(tuple(entries))
