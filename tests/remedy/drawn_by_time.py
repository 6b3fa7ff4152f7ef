"""Drawn winters in which only time can be short: somebody comes every two hours, there is room for all.

Work takes a minute, and waits end two hours before or after a half day, so minutes never decide.
"""

from __future__ import annotations

from datetime import date, timedelta

import yaml
from hypothesis import strategies as st

FIRST = date(2026, 10, 5)
LAST = 5
SLOTS = [f"{hour:02}:00-{hour:02}:40" for hour in range(0, 24, 2)]
WAITS = ("10 h", "22 h", "34 h", "58 h")
STEPS = ("strip", "glue", "coat", "pack")


def day(n: int) -> str:
    return str(FIRST + timedelta(days=n))


@st.composite
def winters_by_time(draw) -> str:
    """The text of such a winter; not every one is sound to read."""
    lots = {name: _lot(draw) for name in ("boxes", "lids")[: draw(st.integers(1, 2))]}
    if draw(st.integers(0, 2)) == 0:
        lots["combs"] = _comb(draw)
    used = {step for lot in lots.values() for step in lot["steps"]}
    data = {
        "season": {"from": day(0), "until": day(LAST), "timezone": draw(st.sampled_from(["CET", "UTC"]))},
        "moths": {"season_starts": day(40)},
        "crew": {"Ines": {"works": {"mon-sun": SLOTS}}, "Tom": {"works": {"mon-sun": SLOTS}}},
        "places": {"loft": {"holds": 900, "celsius": 20}},
        "tasks": {step: entry for step, entry in _tasks(draw).items() if step in used},
        "gear": lots,
    }
    jobs = {name: _job(draw, [*lots, *used]) for name in ("sweep", "dig")[: draw(st.integers(0, 2))]}
    return yaml.safe_dump({**data, "jobs": jobs} if jobs else data, sort_keys=False)


def _tasks(draw) -> dict:
    tasks: dict = {}
    for n, name in enumerate(STEPS):
        entry = tasks[name] = {"minutes_each": 1}
        if draw(st.booleans()):
            entry["then"] = {"wait": draw(st.sampled_from(WAITS))}
        if n and draw(st.integers(0, 3)) == 0:
            entry["within"] = draw(st.sampled_from(["12 h", "24 h", "36 h", "48 h"]))
        if n and draw(st.integers(0, 3)) == 0:
            entry["needs"] = [draw(st.sampled_from(STEPS[:n]))]
        if draw(st.integers(0, 4)) == 0:
            entry["importance"] = "could"
        elif draw(st.integers(0, 4)) == 0:
            entry["share"] = "50%"
    tasks["treat"] = {"minutes_each": 1, "protects": "season", "treatment": "acetic acid 80 %", "authorised": True}
    return tasks


def _dated(draw, first: str, last: str) -> dict:
    entry = {}
    begins = draw(st.integers(0, 3))
    if draw(st.booleans()):
        entry[first] = day(begins)
    if draw(st.booleans()):
        entry[last] = day(draw(st.integers(begins, LAST)))
    return entry


def _lot(draw) -> dict:
    steps = [step for step in STEPS if draw(st.booleans())] or ["coat"]
    return {"piece": "langstroth deep box", "count": 2, "steps": steps, **_dated(draw, "arrives", "ready_by")}


def _comb(draw) -> dict:
    steps = [step for step in STEPS[:2] if draw(st.booleans())]
    entry = {"piece": "medium comb", "comb": "dry", "count": 2, "rests": "loft", "steps": [*steps, "treat"]}
    return {**entry, "webbing_seen": draw(st.booleans()), "arrives": day(draw(st.integers(0, 3)))}


def _job(draw, names: list[str]) -> dict:
    entry = {"hours": 0.25, **_dated(draw, "from", "by")}
    for key in ("before", "after"):
        if draw(st.integers(0, 2)) == 0:
            entry[key] = [draw(st.sampled_from(names))]
    return entry
