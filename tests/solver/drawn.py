"""Winters drawn at random: what a keeper might write, as text, read the way a file is read."""

from __future__ import annotations

from datetime import date, timedelta

import yaml
from hypothesis import strategies as st

from offseason.scenario.model import Scenario
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario

FIRST = date(2026, 10, 22)  # the clocks of CET go back on the third night
HOURS = ("08:00-09:00", "09:00-11:00", "13:00-13:40", ["08:30-09:30", "13:00-14:00"], "10:00-10:30")


def _days(n: int) -> str:
    return str(FIRST + timedelta(days=n))


def _some(draw, words, least=0):
    return draw(st.lists(st.sampled_from(words), min_size=least, unique=True))


@st.composite
def winters(draw, *, days: int = 9, most: int = 12, lots: int = 3, helpers: int = 3, tiny: bool = False) -> Scenario:
    """A scenario that the checks of the file accept."""
    last = draw(st.integers(min(4, days), days))
    names = ["Ines", "Tomás, the younger", "Noor"][: draw(st.integers(1, helpers))]
    gear = _gear(draw, last, most, lots)
    done = {task for entry in gear.values() for task in entry["steps"]}
    tasks = {task: entry for task, entry in _tasks(draw, len(names)).items() if task in done}
    data = {
        "season": {"from": _days(0), "until": _days(last), "timezone": draw(st.sampled_from(["CET", "UTC"]))},
        "crew": {name: _helper(draw, last, tasks, first=not n, tiny=tiny) for n, name in enumerate(names)},
        "places": _places(draw),
        "tasks": tasks,
        "gear": gear,
        "weather": {"windows": {"painting": _windows(draw, last)}},
        "prefer": draw(st.sampled_from(["done early", "few days", "even weeks"])),
    }
    if draw(st.booleans()):
        early = draw(st.integers(-1, 3))
        data["moths"] = {"season_starts": _days(last + 1 - max(0, draw(st.integers(-1, last - 1))))}
        if early >= 0:
            data["moths"]["season_ends"] = _days(early - 2)
    if not tiny and draw(st.booleans()):
        data["jobs"] = {"rebuild the rack": _job(draw, tasks)}
    if not tiny and draw(st.booleans()):
        data["rounds"] = {
            "look over comb": {"every": f"{draw(st.integers(2, 6))} d", "minutes": 10, "looks_at": "loft"}
        }
    return _read(data)


def _read(data: dict) -> Scenario | None:
    try:
        return parse_scenario(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "winter.yaml")
    except ScenarioError:
        return None


def _helper(draw, last, tasks, *, first, tiny):
    entry = {
        "works": {
            "mon-sun" if not tiny else draw(st.sampled_from(["thu", "fri, sun", "sat-sun", "thu-sat"])): draw(
                st.sampled_from(HOURS[:3] if tiny else HOURS)
            )
        }
    }
    if not tiny and draw(st.booleans()):
        entry["away"] = [_days(draw(st.integers(0, last)))]
    if not first:
        entry["cannot"] = _some(draw, list(tasks))
    return entry


def _places(draw):
    return {
        "bench": {"seats": draw(st.integers(1, 2))},
        "rack": {"holds": draw(st.integers(2, 6))},
        "freezer": {"holds": f"{draw(st.integers(2, 8))} combs", "celsius": -18},
        "loft": {"holds": "60 boxes", "celsius": draw(st.sampled_from([8, 16]))},
        "shed": {"holds": draw(st.integers(8, 30))},
    }


def _tasks(draw, people):
    minutes = st.sampled_from([2, 5, 7.5, 12, 20])
    hands = 2 if people > 1 and draw(st.integers(0, 3)) == 0 else 1
    tasks = {
        "scrape": {
            "minutes_each": draw(minutes),
            "at": "bench",
            "importance": draw(st.sampled_from(["must", "could"])),
        },
        "mend": {"minutes_each": draw(minutes), "at": "bench", "share": draw(st.sampled_from(["100%", "40%"]))},
        "paint": {
            "minutes_each": draw(minutes),
            "setup_minutes": draw(st.sampled_from([0, 10])),
            "weather": "painting",
            "then": {"wait": draw(st.sampled_from(["40 min", "6 h", "16 h", "30 h"])), "on": "rack"},
        },
        "put away": {"minutes_each": draw(st.sampled_from([1, 3])), "hands": hands, "then": {"in": "loft"}},
        "freeze": {
            "minutes_each": 0.5,
            "then": {"wait": draw(st.sampled_from(["24 h", "30 h"])), "in": "freezer"},
            "kills": True,
        },
        "seal": {"minutes_each": draw(st.sampled_from([1, 4])), "seals": True, "then": {"in": "loft"}},
        "treat": {
            "minutes_each": draw(st.sampled_from([1, 4])),
            "protects": draw(st.sampled_from(["season", "3 d", "5 d"])),
            "treatment": "acetic acid 80 %",
            "authorised": True,
        },
        "wire": {
            "minutes_each": draw(minutes),
            "setup_minutes": 10,
            "importance": draw(st.sampled_from(["must", "should"])),
        },
    }
    if draw(st.booleans()):
        tasks["mend"]["needs"] = ["scrape"]
    if draw(st.booleans()):
        tasks["seal"]["within"] = draw(st.sampled_from(["32 h", "60 h"]))
    if draw(st.booleans()):
        tasks["put away"]["within"] = draw(st.sampled_from(["36 h", "3 d"]))
    return tasks


KINDS = (
    ("boxes", "langstroth deep box", ["scrape", "mend", "paint", "put away"], None),
    ("lids", "telescoping lid", ["scrape", "paint", "put away"], None),
    ("combs", "medium comb", ["freeze", "seal"], "dry"),
    ("brood combs", "deep comb", ["treat"], "brood"),
    ("frames", "deep frame", ["wire"], None),
)


def _gear(draw, last, most, lots):
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=1, max_size=lots, unique_by=lambda kind: kind[0]))
    gear = {}
    for name, piece, steps, comb in kinds:
        kept = [s for s in steps if comb or draw(st.integers(0, 3))] or steps[:1]
        entry = {
            "piece": piece,
            "count": draw(st.integers(1, most)),
            "steps": kept,
            "rests": "loft" if comb else draw(st.sampled_from(["shed", "loft"])),
        }
        if comb:
            entry["comb"] = comb
        if draw(st.booleans()):
            entry["arrives"] = _days(draw(st.integers(0, max(0, last - 3))))
        if draw(st.integers(0, 3)) == 0:
            entry["ready_by"] = _days(draw(st.integers(last - 1, last)))
        gear[name] = entry
    return gear


def _job(draw, tasks):
    job = {
        "hours": draw(st.sampled_from([0.5, 0.75])),
        "divisible": draw(st.booleans()),
        "importance": draw(st.sampled_from(["must", "should"])),
    }
    before = _some(draw, list(tasks))
    if before:
        job["before"] = before[:1]
    return job


def _windows(draw, last):
    fine = draw(st.lists(st.integers(0, last), min_size=1, max_size=last + 1, unique=True))
    return {_days(d): draw(st.sampled_from(["08:00-14:00", "09:30-13:20", "08:00-10:00"])) for d in sorted(fine)}
