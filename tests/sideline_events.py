"""The sideline winter under way, and what happens in it: the same events for the tests and for the benchmark."""

from __future__ import annotations

import re
import shutil
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path

from offseason.plan.document import Plan
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.standing import kept
from offseason.scenario.model import Scenario
from offseason.scenario.read import read_scenario
from offseason.weather.outlook import Outlook
from offseason.weather.winter import settle
from tests.begun import as_logged, morning, rows_before

SCENARIOS = Path(__file__).parents[1] / "scenarios"
MONDAY = date(2026, 11, 2)


@dataclass(frozen=True)
class Event:
    """What happens: on which morning it is planned anew, how the scenario's text changes, and what the log then has.

    ``days``: those on which work must change.
    """

    name: str
    today: date
    text: Callable[[str], str]
    log: Callable[[Plan, datetime], Iterable[Entry]]
    days: tuple[date, ...] = ()


def sideline(folder: Path, text: Callable[[str], str] = lambda text: text) -> tuple[Scenario, Outlook | None]:
    """The sideline scenario with a change in its text, settled."""
    if not (folder / "weather").exists():
        shutil.copytree(SCENARIOS / "weather", folder / "weather")
    written = (SCENARIOS / "sideline.yaml").read_text(encoding="utf-8")
    (folder / "sideline.yaml").write_text(text(written), encoding="utf-8")
    return settle(read_scenario(folder / "sideline.yaml"), folder)


def _instead(old: str, new: str) -> Callable[[str], str]:
    def change(text: str) -> str:
        assert old in text
        return text.replace(old, new)

    return change


def _slower(text: str) -> str:
    return re.sub(r"minutes_each: ([0-9.]+)", lambda found: f"minutes_each: {float(found[1]) * 1.4:.3g}", text)


def _as_planned(plan: Plan, now: datetime) -> tuple[Entry, ...]:
    return as_logged(rows_before(plan, now))


def _less_than_planned(plan: Plan, now: datetime) -> tuple[Entry, ...]:
    return as_logged(rows_before(plan, now), 1 / 1.4)


def in_the_freezer(entries: Iterable[Entry]) -> Counter[str]:
    """Combs of each lot that are in the freezer, by the log."""
    found: Counter[str] = Counter()
    for entry in kept(entries):
        found[entry.lot] += entry.pieces * ((entry.step == "freeze") - (entry.step == "seal"))
    return +found


def _the_load_lost(plan: Plan, now: datetime) -> tuple[Entry, ...]:
    done = _as_planned(plan, now)
    lost = in_the_freezer(done)
    assert lost
    day = max(entry.day for entry in done)
    return (
        *done,
        *(Entry(f"lost {lot}", day, ("Maren",), lot, "freeze", -n, time(23)) for lot, n in sorted(lost.items())),
    )


AWAY = Event(
    "a helper away one Saturday", MONDAY,
    _instead("away: [2026-12-26..2027-01-02]", "away: [2026-11-07, 2026-12-26..2027-01-02]"),
    _as_planned, (date(2026, 11, 7),),
)  # fmt: skip
WET = Event(
    "a wet fortnight", date(2026, 11, 9),
    _instead("  needs:\n    painting:",
             "  windows: {painting: {2026-11-09..2026-11-22: none}}\n  needs:\n    painting:"),
    _as_planned,
)  # fmt: skip
WET_AND_BARE = Event(
    "a wet fortnight on scraped boxes", date(2026, 10, 12),
    _instead("  needs:\n    painting:",
             "  windows: {painting: {2026-10-12..2026-10-25: none}}\n  needs:\n    painting:"),
    _as_planned,
)  # fmt: skip
FREEZER = Event("a freezer failing with a load in it", MONDAY, lambda text: text, _the_load_lost)
LATE = Event(
    "a lot arriving three weeks late", date(2026, 10, 12),
    _instead("feeders: {piece: feeder, count: 110, rests: barn, arrives: 2026-10-19",
             "feeders: {piece: feeder, count: 110, rests: barn, arrives: 2026-11-09"),
    _as_planned,
)  # fmt: skip
NEW = Event(
    "a new lot", MONDAY,
    _instead("  excluders: {", "  swarm boxes: {piece: langstroth deep box, count: 12, rests: barn, "
             "arrives: 2026-11-09, last_painted: 2025, steps: [scrape, put away]}\n  excluders: {"),
    _as_planned,
)  # fmt: skip
SLOW = Event("work running 40 % slow", MONDAY, _slower, _less_than_planned)
EVENTS = (AWAY, WET, WET_AND_BARE, FREEZER, LATE, NEW, SLOW)


def told(event: Event, plan: Plan) -> tuple[tuple[Entry, ...], datetime]:
    """What the log has when it is planned anew, and the moment."""
    now = morning(event.today)
    return tuple(event.log(plan, now)), now
