"""Small winters drawn by number that are often short: of room, seats, hours, or with too much comb.

In all of them more of a thing counts straight on: nothing arrives later, is due sooner or needs fit weather, and the
moths fly as soon as the season is over, so that it cannot be prolonged.
"""

from __future__ import annotations

import random

from offseason.scenario.model import Scenario
from offseason.scenario.read import parse_scenario
from tests.remedy.impossible import hours, october, winter

NAMES = ("Ilva", "Bruno", "Odile")
OUT_OF_REACH = 8_000
"""Money for an hour of help, where several people come: what they do after the others are gone is no matter of rows."""


def drawn(number: int) -> tuple[str, Scenario]:
    """The winter of this number, as text and as read. Odd ones have one helper, even ones two or three."""
    rng = random.Random(number)
    people = 1 if number % 2 else rng.choice((2, 3))
    days = rng.randint(2, 4)
    gear, places = (
        [],
        ["comb room: {holds: " + rng.choice(("400 combs", f"{rng.randint(8, 30)} combs", "2 boxes")) + "}"],
    )
    for name in ("low combs", "deep combs")[: rng.randint(0, 2)]:
        freezer = rng.choice(("freezer", f"chest for {name}")) if gear else "freezer"
        holds = rng.choice((f"{rng.randint(4, 16)} combs", "1 boxes") if people > 1 else ("40 combs", "2 boxes"))
        if not any(place.startswith(freezer) for place in places):
            places.append(f"{freezer}: {{holds: {holds}, celsius: -18}}")
        freeze = "freeze" if freezer == "freezer" else "freeze apart"
        piece = name.removesuffix("s").replace("low", "shallow")
        gear.append(f"{name}: {{piece: {piece}, comb: dry, count: {rng.randint(5, 30)}, steps: [{freeze}, seal]}}")
    if not gear or people > 1 or rng.random() < 0.5:
        gear.append(f"frames: {{piece: deep frame, count: {rng.randint(4, 20)}, steps: [mend]}}")
    if rng.random() < 0.5:
        gear.append(f"lids: {{piece: flat lid, count: {rng.randint(4, 14)}, rests: shed, steps: [put away]}}")
    places += [f"bench: {{seats: {rng.randint(1, people)}}}", "shed: {holds: 99}"]
    places.append("loft: {holds: " + rng.choice((f"{rng.randint(3, 14)}", "1 boxes", "90")) + "}")
    chest = next((place.partition(":")[0] for place in places if place.startswith("chest")), "freezer")
    tasks = f"""
        freeze: {{minutes_each: {rng.choice((0.5, 2, 4))}, kills: true, then: {{wait: 12 h, in: freezer}}}}
        freeze apart: {{minutes_each: 0.5, kills: true, then: {{wait: 12 h, in: {chest}}}}}
        seal: {{minutes_each: {rng.choice((0.5, 3))}, seals: true, then: {{in: comb room}}}}
        mend: {{minutes_each: {rng.choice((7.5, 10, 15))}, at: bench}}
        put away: {{minutes_each: 1, setup_minutes: {rng.choice((0, 10))}, then: {{in: loft}}}}
    """
    used = "\n".join(gear)
    kept = [line for line in tasks.splitlines() if line.strip() and _used(line.partition(":")[0].strip(), used)]
    if not any("in: freezer" in line for line in kept):
        places = [place for place in places if not place.startswith("freezer")]
    length = rng.randint(1, 4)
    hour = 4 * rng.randint(1, 6) if people == 1 else OUT_OF_REACH
    text = winter(
        october(4 + days),
        moths=f"season_starts: {october(5 + days)}",
        crew="\n".join(f"{name}: {{works: {{mon-sun: {hours(length)}}}}}" for name in NAMES[:people]),
        places="\n".join(places),
        tasks="\n".join(line.strip() for line in kept),
        gear=used,
        prices=f"{{hour: {hour}, space: {rng.randint(1, 5)}, box_space: {rng.randint(6, 30)}, "
        f"seat: {rng.randint(5, 40)}, comb: {rng.randint(1, 6)}, hour_left: {rng.choice((12, 36, 60))}}}",
    )
    return text, parse_scenario(text, f"winter {number}")


def _used(task: str, gear: str) -> bool:
    return any(f"{before}{task}{after}" in gear for before in ("[", " ") for after in ("]", ","))
