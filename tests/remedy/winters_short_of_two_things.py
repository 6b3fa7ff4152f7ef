"""Winters short of two things or three, none of which is enough alone, at prices that make these the cheapest."""

from __future__ import annotations

from offseason.remedy.lever import Kind
from tests.remedy.impossible import COAT, COLD, Impossible, Short, hours, october, winter

DEAR = 1_000
"""A price at which nothing else is worth it."""


def freezer_and_help(space: int, help_quarters: int) -> str:
    return winter(
        "2026-12-20",
        crew=f"""
            Ilva:
              also: {{{october(5)}..{october(6)}: {hours(4)}, 2026-12-09: {hours(4 + help_quarters)}}}
        """,
        moths="season_starts: 2026-12-21",
        places=f"freezer: {{holds: {20 + space} combs, celsius: -18}}\ncomb room: {{holds: 400 combs}}",
        tasks=COLD + "wire: {minutes_each: 15}",
        gear=f"""
            super combs: {{piece: medium comb, comb: dry, count: 30, ready_by: {october(6)}, steps: [freeze, seal]}}
            frames: {{piece: deep frame, count: 11, arrives: 2026-12-07, ready_by: 2026-12-13, steps: [wire]}}
        """,
        prices=f"{{day_later: {DEAR}, day_earlier: {DEAR}, comb: {DEAR}, hour_left: {DEAR}}}",
    )


def two_jobs_too_soon(first: int, second: int) -> str:
    return winter(
        october(25),
        crew="Ilva: {works: {sat: 09:00-12:00}}",
        jobs=f"""
            order wax: {{hours: 1, by: {october(7 + first)}}}
            order paint: {{hours: 1, from: {october(12)}, by: {october(15 + second)}}}
        """,
        prices=f"{{hour: {DEAR}, hour_left: {DEAR}}}",
    )


def rack_and_loft(rack: int, loft: int) -> str:
    return winter(
        october(6),
        moths=f"season_starts: {october(7)}",
        crew="Ilva: {works: {mon-sun: 09:00-11:00}}",
        places=f"rack: {{holds: {8 + rack}}}\nshed: {{holds: 90}}\nloft: {{holds: {6 + loft} boxes}}",
        tasks=f"coat: {{{COAT}}}\nput away: {{minutes_each: 1, then: {{in: loft}}}}\ntake in: {{minutes_each: 1}}",
        gear="""
            floors: {piece: floor, count: 12, rests: shed, steps: [coat, take in]}
            boxes: {piece: langstroth deep box, count: 9, rests: shed, steps: [put away]}
        """,
        weather=f"windows: {{painting: {{{october(5)}: 09:00-11:00}}}}",
        prices=f"{{hour_left: {DEAR}, day_under_roof: {DEAR}}}",
    )


def two_trades(wires: int, solders: int) -> str:
    return winter(
        october(5),
        moths=f"season_starts: {october(6)}",
        crew=f"""
            Ilva: {{works: {{mon: {hours(4 + wires)}}}, cannot: [solder]}}
            Bruno: {{works: {{mon: {hours(4 + solders, start=14)}}}, cannot: [wire]}}
        """,
        tasks="wire: {minutes_each: 15}\nsolder: {minutes_each: 15}",
        gear="""
            frames: {piece: deep frame, count: 6, steps: [wire]}
            excluders: {piece: queen excluder, count: 7, steps: [solder]}
        """,
        prices=f"{{hour: 12, help: {{Bruno: 20}}, hour_left: {DEAR}}}",
    )


def seat_and_fine_day(seats: int, days: int) -> str:
    fine = ", ".join(f"{october(day)}: 09:00-10:00" for day in (5, 6)[: 1 + days])
    return winter(
        october(8),
        moths=f"season_starts: {october(9)}",
        crew=f"""
            Ilva: {{works: {{mon-thu: {hours(4)}}}}}
            Bruno: {{works: {{mon: {hours(4)}}}, cannot: [coat, coat again]}}
        """,
        places=f"bench: {{seats: {1 + seats}}}\nrack: {{holds: 60}}",
        tasks=f"""
            mend: {{minutes_each: 15, at: bench}}
            coat: {{{COAT.replace("5", "1", 1)}}}
            coat again: {{{COAT.replace("5", "1", 1)}}}
        """,
        gear=f"""
            frames: {{piece: deep frame, count: 7, ready_by: {october(5)}, steps: [mend]}}
            floors: {{piece: floor, count: 4, steps: [coat, coat again]}}
        """,
        weather=f"windows: {{painting: {{{fine}}}}}",
        prices=f"{{hour: {DEAR}, hour_left: {DEAR}, day_later: {DEAR}}}",
    )


def three_things(space: int, later: int, help_quarters: int) -> str:
    return winter(
        october(25),
        moths=f"season_starts: {october(26)}",
        crew=f"""
            Ilva: {{also: {{{october(5)}..{october(6)}: {hours(4)}, {october(10)}: {hours(4)}}}, cannot: [wire]}}
            Bruno: {{also: {{{october(20)}: {hours(2 + help_quarters)}}}, cannot: [order wax, freeze, seal]}}
        """,
        places=f"freezer: {{holds: {20 + space} combs, celsius: -18}}\ncomb room: {{holds: 400 combs}}",
        tasks=COLD + "wire: {minutes_each: 15}",
        gear=f"""
            super combs: {{piece: medium comb, comb: dry, count: 24, ready_by: {october(6)}, steps: [freeze, seal]}}
            frames: {{piece: deep frame, count: 5, arrives: {october(19)}, ready_by: {october(25)}, steps: [wire]}}
        """,
        jobs=f"order wax: {{hours: 0.5, from: {october(7)}, by: {october(9 + later)}}}",
        prices=f"{{hour: 24, help: {{Ilva: {DEAR}}}, comb: {DEAR}, hour_left: {DEAR}, day_earlier: {DEAR}}}",
    )


TOGETHER = (
    # October: 30 combs in one load, 20 find room, at 2 each; December: 11 quarters of work in 4, at 15 an hour
    Impossible(
        "freezer in October and help in December",
        (f"{30 - 20} of 30 super combs", f"wire: {11 - 4} of 11 frames"),
        (Short(Kind.SPACE, "freezer", 30 - 20), Short(Kind.HELP, "Ilva", 11 - 4)),
        freezer_and_help,
        price=(30 - 20) * 2 + (11 - 4) * 15 / 4,
    ),
    # Saturday 10 and Saturday 17, at 10 a day
    Impossible(
        "two jobs due before their Saturday",
        ("order wax: 1.0 h", "order paint: 1.0 h"),
        (Short(Kind.LATER, "order wax", 10 - 7), Short(Kind.LATER, "order paint", 17 - 15)),
        two_jobs_too_soon,
        price=(10 - 7) * 10 + (17 - 15) * 10,
    ),
    # 12 floors dry at once, at 2 a space; 9 boxes go into a loft for 6, at 8 a box
    Impossible(
        "rack and loft",
        (f"coat: {12 - 8} of 12 floors", f"put away: {9 - 6} of 9 boxes"),
        (Short(Kind.SPACE, "rack", 12 - 8), Short(Kind.SPACE, "loft", 9 - 6)),
        rack_and_loft,
        price=(12 - 8) * 2 + (9 - 6) * 8,
    ),
    # an hour each; hers costs 12 and his 20
    Impossible(
        "two trades",
        (f"wire: {6 - 4} of 6 frames", f"solder: {7 - 4} of 7 excluders"),
        (Short(Kind.HELP, "Ilva", 6 - 4), Short(Kind.HELP, "Bruno", 7 - 4)),
        two_trades,
        price=(6 - 4) * 12 / 4 + (7 - 4) * 20 / 4,
    ),
    # 7 quarters of an hour in one hour take two seats; two coats take two days
    Impossible(
        "a seat and a fine day",
        (f"mend: {7 - 4} of 7 frames", "coat again: 4 of 4 floors"),
        (Short(Kind.SEATS, "bench", 2 - 1), Short(Kind.INDOORS, "painting", 2 - 1)),
        seat_and_fine_day,
        price=40 + 60,
    ),
    # 24 combs in one load for 20, at 2; Saturday 10 instead of Friday 9, at 10; 5 quarters in 2, at 24 an hour
    Impossible(
        "freezer, date and help",
        (f"{24 - 20} of 24 super combs", "order wax: 30 min", f"wire: {5 - 2} of 5 frames"),
        (
            Short(Kind.SPACE, "freezer", 24 - 20),
            Short(Kind.LATER, "order wax", 10 - 9),
            Short(Kind.HELP, "Bruno", 5 - 2),
        ),
        three_things,
        price=(24 - 20) * 2 + (10 - 9) * 10 + (5 - 2) * 24 / 4,
    ),
)
