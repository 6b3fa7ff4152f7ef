"""Winters short of time: fine days, and days before a date."""

from __future__ import annotations

from offseason.remedy.lever import Kind
from tests.remedy.impossible import COAT, COLD, Impossible, Short, october, winter


def coats(count: int, fine: tuple[int, ...], *, last: int, pieces: int = 4, minutes: int = 5) -> str:
    """So many coats, one a day at most, on fine days; the day after the last they are put away."""
    names = ("primer", "first coat", "second coat")[:count]
    lines = "\n".join(f"{name}: {{{COAT.replace('5', str(minutes), 1)}}}" for name in names)
    return winter(
        october(last),
        crew="Ilva: {works: {mon-sun: 09:00-11:00}}",
        places="rack: {holds: 60}\nloft: {holds: 60}",
        tasks=f"{lines}\nput away: {{minutes_each: 1, then: {{in: loft}}}}",
        gear=f"boxes: {{piece: national super, count: {pieces}, steps: [{', '.join(names)}, put away]}}",
        weather="windows: {painting: {" + ", ".join(f"{october(day)}: 09:00-11:00" for day in fine) + "}}",
    )


def one_fine_day_too_few(more: int) -> str:
    return coats(2, (5, 6)[: 1 + more], last=8)


def two_fine_days_too_few(more: int) -> str:
    return coats(3, (5, 6, 7)[: 1 + more], last=9)


def too_many_to_paint(more: int) -> str:
    return coats(1, (5, 6, 7, 8)[: 1 + more], last=9, pieces=12, minutes=30)


def fine_day_too_short(more: int) -> str:
    fine = f"{october(5)}: 09:00-09:30" + (f", {october(6)}: 09:00-11:00" if more else "")
    return coats(1, (5,), last=8, pieces=6, minutes=10).replace(f"{october(5)}: 09:00-11:00", fine)


def a_job_in_the_dry(more: int) -> str:
    dry = (5, *(8, 9)[:more])
    return winter(
        october(11),
        crew="Ilva: {works: {mon-sun: 09:00-11:00}}",
        jobs=f"mend the roof: {{hours: 4, weather: dry, from: {october(8)}, by: {october(10)}}}",
        weather="windows: {dry: {" + ", ".join(f"{october(day)}: 09:00-11:00" for day in dry) + "}}",
    )


INDOORS = (
    # two coats on two days, one of them fine
    Impossible(
        "one fine day too few",
        ("first coat: 4 of 4 boxes",),
        (Short(Kind.INDOORS, "painting", 2 - 1),),
        one_fine_day_too_few,
    ),
    Impossible(
        "two fine days too few",
        ("second coat: 4 of 4 boxes",),
        (Short(Kind.INDOORS, "painting", 3 - 1),),
        two_fine_days_too_few,
    ),
    # 12 boxes of half an hour, four a day
    Impossible(
        "too many to paint on a fine day",
        ("primer: 8 of 12 boxes",),
        (Short(Kind.INDOORS, "painting", 12 // 4 - 1),),
        too_many_to_paint,
    ),
    # six boxes take an hour; in half an hour three are done
    Impossible(
        "a fine day too short",
        ("primer: 3 of 6 boxes",),
        (Short(Kind.INDOORS, "painting", 1),),
        fine_day_too_short,
        False,
    ),
    # four hours on three days of two hours, none of them dry
    Impossible("a job in the dry", ("mend the roof: 4.0 h",), (Short(Kind.INDOORS, "dry", 4 // 2),), a_job_in_the_dry),
)


def late_comb(combs: int, arrives: int) -> str:
    """Ten combs a day go in; the moths fly from Saturday on."""
    return winter(
        october(25),
        moths=f"season_starts: {october(10)}",
        crew="Ilva: {works: {mon-sun: 09:00-11:00}}",
        places="freezer: {holds: 10 combs, celsius: -18}\ncomb room: {holds: 400 combs}",
        tasks=COLD,
        gear=f"""
            super combs:
              {{piece: medium comb, comb: dry, count: {combs}, arrives: {october(arrives)}, steps: [freeze, seal]}}
        """,
    )


def dried(arrives: int, ready_by: int, names: tuple[str, ...] = ("first coat", "second coat")) -> str:
    """A coat a day in weather that is always fine, put away on the day after."""
    return winter(
        october(18),
        crew="Ilva: {works: {mon-sun: 09:00-11:00}}",
        places="rack: {holds: 60}\nloft: {holds: 60}",
        tasks="\n".join(f"{name}: {{{COAT}}}" for name in names) + "\nput away: {minutes_each: 1, then: {in: loft}}",
        gear="boxes: {piece: national super, count: 4, "
        f"arrives: {october(arrives)}, ready_by: {october(ready_by)}, steps: [{', '.join(names)}, put away]}}",
        weather=f"windows: {{painting: {{{october(5)}..{october(18)}: 09:00-12:00}}}}",
    )


def after_the_last_saturday(earlier: int) -> str:
    return winter(
        october(23),
        crew="Ilva: {works: {sat: 09:00-12:00}}",
        tasks="wire: {minutes_each: 15}",
        gear=f"frames: {{piece: deep frame, count: 8, arrives: {october(20 - earlier)}, steps: [wire]}}",
    )


def job_before_its_saturday(later: int) -> str:
    return winter(
        october(18),
        crew="Ilva: {works: {sat: 09:00-12:00}}",
        jobs=f"order for spring: {{hours: 1, by: {october(7 + later)}}}   # or we get none",
    )


def season_of_loads(later: int) -> str:
    return winter(
        october(6 + later),
        moths="season_starts: 2027-04-20",
        crew="Ilva: {works: {mon-sun: 09:00-11:00}}",
        places="freezer: {holds: 10 combs, celsius: -18}\ncomb room: {holds: 400 combs}",
        tasks=COLD,
        gear="super combs: {piece: medium comb, comb: dry, count: 30, steps: [freeze, seal]}",
    )


def season_of_saturdays(later: int) -> str:
    return winter(
        october(7 + later),
        crew="Ilva: {works: {mon, sat: 09:00-10:00}}".replace("mon, sat", '"mon, sat"'),
        tasks="wire: {minutes_each: 15}",
        gear="frames: {piece: deep frame, count: 8, steps: [wire]}",
    )


EARLIER = (
    # three loads, of which the last goes in on Friday 9: the first on Wednesday 7
    Impossible(
        "comb a day late",
        ("super combs: 10 combs of 30 open",),
        (Short(Kind.EARLIER, "super combs", 8 - (9 - 2)),),
        lambda d: late_comb(30, 8 - d),
    ),
    Impossible(
        "comb three days late",
        ("super combs: 30 combs of 40 open",),
        (Short(Kind.EARLIER, "super combs", 9 - (9 - 3)),),
        lambda d: late_comb(40, 9 - d),
    ),
    # two coats on two days, put away on the third, Friday 9
    Impossible(
        "boxes too late to dry",
        ("put away: 4 of 4 boxes",),
        (Short(Kind.EARLIER, "boxes", 8 - (9 - 2)),),
        lambda d: dried(8 - d, 9),
    ),
    Impossible(
        "boxes too late for three coats",
        ("put away: 4 of 4 boxes",),
        (Short(Kind.EARLIER, "boxes", 9 - (10 - 3)),),
        lambda d: dried(9 - d, 10, ("primer", "first coat", "second coat")),
    ),
    # they come on Tuesday 20, the last day of work is Saturday 17
    Impossible(
        "after the last Saturday",
        ("wire: 8 of 8 frames",),
        (Short(Kind.EARLIER, "frames", 20 - 17),),
        after_the_last_saturday,
    ),
)

LATER = (
    # two coats and putting away from Monday 5 on end on Wednesday 7
    Impossible(
        "ready too soon", ("put away: 4 of 4 boxes",), (Short(Kind.LATER, "boxes", 7 - 5),), lambda d: dried(5, 5 + d)
    ),
    Impossible(
        "ready too soon for three coats",
        ("put away: 4 of 4 boxes",),
        (Short(Kind.LATER, "boxes", 8 - 5),),
        lambda d: dried(5, 5 + d, ("primer", "first coat", "second coat")),
    ),
    # due on Wednesday 7, and she comes on Saturday 10
    Impossible(
        "a job before its Saturday",
        ("order for spring: 1.0 h",),
        (Short(Kind.LATER, "order for spring", 10 - 7),),
        job_before_its_saturday,
    ),
    # three loads from Monday 5 on are out on Thursday 8
    Impossible(
        "season of three loads", ("seal: 20 of 30 super combs",), (Short(Kind.LATER, "", 8 - 6),), season_of_loads
    ),
    # four frames an hour, the second hour on Saturday 10
    Impossible("season of two days", ("wire: 4 of 8 frames",), (Short(Kind.LATER, "", 10 - 7),), season_of_saturdays),
)
