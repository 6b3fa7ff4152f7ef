"""Winters short of room: in the freezer, on the rack, in a store, at the bench."""

from __future__ import annotations

from offseason.remedy.lever import Kind
from tests.remedy.impossible import COAT, COLD, Impossible, Short, hours, october, winter

DAILY = "Ilva: {works: {mon-sun: 09:00-11:00}}"


def combs(loads: int, freezer: str, gear: str, *, wait_days: int = 1) -> str:
    """Winters of so many loads: one in on the first day, each next one when it is out, the last out on the last."""
    return winter(
        october(5 + loads * wait_days),
        moths=f"season_starts: {october(6 + loads * wait_days)}",
        crew=DAILY,
        places=f"""
            freezer: {{holds: {freezer}, celsius: -18}}
            comb room: {{holds: 400 combs}}
        """,
        tasks=COLD if wait_days == 1 else COLD.replace("20 h", "freezer stay"),
        gear=gear,
    )


def one_load(more: int) -> str:
    return combs(
        1, f"{20 + more} combs", "super combs: {piece: medium comb, comb: dry, count: 30, steps: [freeze, seal]}"
    )


def two_loads(more: int) -> str:
    return combs(
        2, f"{15 + more} combs", "super combs: {piece: medium comb, comb: dry, count: 50, steps: [freeze, seal]}"
    )


def loads_in_boxes(more: int) -> str:
    return combs(
        2, f"{2 + more} boxes", "super combs: {piece: medium comb, comb: dry, count: 65, steps: [freeze, seal]}"
    )


def two_days_a_load(more: int) -> str:
    gear = "brood combs: {piece: deep comb, comb: pollen, count: 40, steps: [freeze, seal]}"
    return combs(2, f"{12 + more} combs", gear, wait_days=2)


def two_lots_in_one_load(more: int) -> str:
    gear = """
        deep combs: {piece: deep comb, comb: dry, count: 24, steps: [freeze, seal]}
        low combs: {piece: shallow comb, comb: dry, count: 18, steps: [freeze, seal]}
    """
    return combs(1, f"{30 + more} combs", gear)


def painted(days: int, rack: int, gear: str, coats: str) -> str:
    """Fine weather on the first so many days, the gear put away on the day after."""
    return winter(
        october(5 + days),
        crew=DAILY,
        places=f"""
            rack: {{holds: {rack}}}    # in the dry
            loft: {{holds: 900}}
        """,
        tasks=f"""
            {coats}
            put away: {{minutes_each: 1, then: {{in: loft}}}}
        """,
        gear=gear,
        weather=f"windows: {{painting: {{{october(5)}..{october(4 + days)}: 09:00-12:00}}}}",
    )


def rack_for_one_coat(more: int) -> str:
    gear = "floors: {piece: floor, count: 12, steps: [coat, put away]}"
    return painted(1, 8 + more, gear, f"coat: {{{COAT}}}")


def rack_for_two_coats(more: int) -> str:
    gear = "boxes: {piece: langstroth deep box, count: 14, steps: [first coat, second coat, put away]}"
    coats = f"first coat: {{{COAT}}}\n            second coat: {{{COAT}}}"
    return painted(4, 5 + more, gear, coats)


def stored(loft: str, gear: str, shed: str = "900") -> str:
    return winter(
        october(11),
        crew=DAILY,
        places=f"""
            shed: {{holds: {shed}}}
            loft: {{holds: {loft}}}
        """,
        tasks="put away: {minutes_each: 1, then: {in: loft}}",
        gear=gear,
    )


def loft_in_boxes(more: int) -> str:
    gear = "boxes: {piece: langstroth deep box, count: 20, rests: shed, steps: [put away]}"
    return stored(f"{15 + more} boxes", gear)


def loft_of_flat_things(more: int) -> str:
    gear = "lids: {piece: telescoping lid, count: 25, rests: shed, steps: [put away]}"
    return stored(f"{6 + more} boxes", gear)


def shed_for_what_arrives(more: int) -> str:
    gear = f"""
        lids: {{piece: flat lid, count: 24, rests: shed, steps: [wipe]}}   # they stay where they are
        boxes: {{piece: national super, count: 10, arrives: {october(8)}, rests: shed, steps: [wipe]}}
    """
    return winter(
        october(11),
        crew=DAILY,
        places=f"shed: {{holds: {30 + more}}}",
        tasks="wipe: {minutes_each: 1}",
        gear=gear,
    )


def at_the_bench(people: int, seats: int, pieces: int) -> str:
    """So many people for an hour, and frames of a quarter of an hour each."""
    names = ("Ilva", "Bruno", "Odile", "Piet")[:people]
    return winter(
        october(5),
        crew="\n".join(f"{name}: {{works: {{mon: {hours(4)}}}}}" for name in names),
        places=f"bench: {{seats: {seats}}}",
        tasks="mend: {minutes_each: 15, at: bench}",
        gear=f"frames: {{piece: deep frame, count: {pieces}, steps: [mend]}}",
        prices="seat: 1",
    )


SPACE = (
    # 30 combs in one load, 20 find room; a second load would be safe on the last evening, but not out and closed
    Impossible(
        "freezer of one load",
        (f"seal: {30 - 20} of 30 super combs",),
        (Short(Kind.SPACE, "freezer", 30 - 20),),
        one_load,
    ),
    # 50 combs in two loads make 25 a load, 15 find room; a third load would be safe on the last evening, no more
    Impossible(
        "freezer of two loads",
        (f"seal: {50 - 2 * 15} of 50 super combs", f"super combs: {50 - 3 * 15} combs of 50 open"),
        (Short(Kind.SPACE, "freezer", 50 // 2 - 15),),
        two_loads,
    ),
    # 65 combs in two loads make 33 a load, so 4 boxes of ten, and there are 2
    Impossible(
        "freezer counted in boxes",
        (f"seal: {65 - 2 * 20} of 65 super combs", f"super combs: {65 - 3 * 20} combs of 65 open"),
        (Short(Kind.SPACE, "freezer", 4 - 2),),
        loads_in_boxes,
    ),
    # comb with pollen stays 48 h: in on Monday, out and the next in on Wednesday, out on Friday; 20 a load
    Impossible(
        "freezer of two days a load",
        (f"seal: {40 - 2 * 12} of 40 brood combs", f"brood combs: {40 - 3 * 12} combs of 40 open"),
        (Short(Kind.SPACE, "freezer", 40 // 2 - 12),),
        two_days_a_load,
    ),
    # 24 + 18 combs in one load
    Impossible(
        "freezer of two lots at once",
        (f"seal: {24 + 18 - 30} of",),
        (Short(Kind.SPACE, "freezer", 24 + 18 - 30),),
        two_lots_in_one_load,
    ),
    # one fine day, so all 12 floors dry at once
    Impossible(
        "rack of one coat", (f"coat: {12 - 8} of 12 floors",), (Short(Kind.SPACE, "rack", 12 - 8),), rack_for_one_coat
    ),
    # four nights, and each of 14 boxes lies two nights on the rack: 14 * 2 / 4 at once
    Impossible(
        "rack of two coats",
        ("second coat:", "of 14 boxes"),
        (Short(Kind.SPACE, "rack", 14 * 2 // 4 - 5),),
        rack_for_two_coats,
    ),
    Impossible(
        "loft counted in boxes",
        (f"put away: {20 - 15} of 20 boxes",),
        (Short(Kind.SPACE, "loft", 20 - 15),),
        loft_in_boxes,
    ),
    # a lid takes the room of 3 combs: 75 of them, so 8 boxes of ten, and there are 6, in which 20 lids go
    Impossible(
        "loft of flat things",
        (f"put away: {25 - 60 // 3} of 25 lids",),
        (Short(Kind.SPACE, "loft", 8 - 6),),
        loft_of_flat_things,
    ),
    # 24 lids never leave the shed, and 10 boxes come to them
    Impossible(
        "shed for what arrives",
        (f"shed: {24 + 10 - 30} spaces too few from Thu 8 Oct 2026 on, when 10 boxes arrive",),
        (Short(Kind.SPACE, "shed", 24 + 10 - 30),),
        shed_for_what_arrives,
    ),
)

SEATS = (
    # 8 quarters of an hour in one hour take two people side by side
    Impossible(
        "bench of one seat",
        ("mend: 4 of 8 frames",),
        (Short(Kind.SEATS, "bench", 8 // 4 - 1),),
        lambda more: at_the_bench(2, 1 + more, 8),
    ),
    Impossible(
        "bench of one seat for three",
        ("mend: 8 of 12 frames",),
        (Short(Kind.SEATS, "bench", 12 // 4 - 1),),
        lambda more: at_the_bench(3, 1 + more, 12),
    ),
    # 13 quarters of an hour take a fourth person for one of them
    Impossible(
        "bench of two seats for four",
        ("mend: 5 of 13 frames",),
        (Short(Kind.SEATS, "bench", -(-13 // 4) - 2),),
        lambda more: at_the_bench(4, 2 + more, 13),
    ),
)
