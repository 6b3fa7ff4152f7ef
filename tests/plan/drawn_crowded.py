"""Small winters drawn by number, whose shed is often too small for all that arrives in it."""

from __future__ import annotations

import random
from collections.abc import Iterator
from textwrap import indent

from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario

STEPS = (("wipe",), ("put away",), ("wipe", "put away"), ("put away", "bring back"))
LAST_DAY = 9
NAMES = ("boxes", "lids", "floors", "combs in store")
PIECES = {"boxes": "national super", "lids": "telescoping lid", "floors": "floor"}


def drawn(number: int) -> str:
    """The winter of this number as text: a week or less, one or two people, two to four lots in one shed."""
    rng = random.Random(number)
    people = ("Ilva", "Bruno")[: rng.randint(1, 2)]
    from_hour = {name: rng.randint(8, 10) for name in people}
    unit = rng.choice(("", "", " boxes"))
    size = rng.randint(1, 4) if unit else rng.randint(8, 20)
    loft = rng.choice((f"{rng.randint(2, 12)}", "900"))
    gear = []
    for name in NAMES[: rng.randint(2, 3)]:
        steps = rng.choice(STEPS)
        arrives = f", arrives: 2026-10-{rng.randint(5, LAST_DAY):02d}" if rng.random() < 0.7 else ""
        optional = f", optional: [{steps[0]}]" if rng.random() < 0.2 and steps == ("wipe",) else ""
        listed = ", ".join(steps)
        count = rng.randint(2, 12)
        entry = f"piece: {PIECES[name]}, count: {count}{arrives}, rests: shed, steps: [{listed}]{optional}"
        gear.append(f"{name}: {{{entry}}}")
    used = "".join(gear)
    tasks = [
        f"wipe: {{minutes_each: {rng.choice((1, 5, 12))}}}",
        f"put away: {{minutes_each: {rng.choice((1, 5, 12))}, then: {{in: loft}}}}",
        "bring back: {minutes_each: 2, then: {in: shed}}",
    ]
    days = rng.choice(("mon-fri", "mon-fri", "tue, fri"))
    sections = {
        "crew": [
            f"{name}: {{works: {{{days}: {start:02d}:00-{start + 1:02d}:00}}}}" for name, start in from_hour.items()
        ],
        "places": [f"shed: {{holds: {size}{unit}}}", *([f"loft: {{holds: {loft}}}"] if "put away" in used else [])],
        "tasks": [task for task in tasks if task.partition(":")[0] in used],
        "gear": gear,
    }
    parts = [f"{name}:\n{indent(chr(10).join(lines), '  ')}" for name, lines in sections.items()]
    return "\n".join(["season: {from: 2026-10-05, until: 2026-10-11}", *parts, ""])


def crowded_winters(numbers: range) -> Iterator[tuple[int, str]]:
    """Those of these numbers that a keeper could have written: no lot is larger than its place, for one."""
    for number in numbers:
        text = drawn(number)
        try:
            parse_scenario(text, "winter.yaml")
        except ScenarioError:
            continue
        yield number, text
