"""Winters with more comb, or more that must be done, than there is any room or time for."""

from __future__ import annotations

from offseason.remedy.lever import Kind
from tests.remedy.impossible import COLD, Impossible, Short, hours, october, winter


def combs_for_one_load(fewer: int) -> str:
    return winter(
        october(6),
        moths=f"season_starts: {october(7)}",
        crew="Ilva: {works: {mon-sun: 09:00-11:00}}",
        places="freezer: {holds: 18 combs, celsius: -18}\ncomb room: {holds: 400 combs}",
        tasks=COLD,
        gear=f"super combs: {{piece: medium comb, comb: dry, count: {26 - fewer}, steps: [freeze, seal]}}",
    )


def combs_for_an_hour(fewer: int) -> str:
    return winter(
        october(6),
        moths=f"season_starts: {october(7)}",
        crew=f"Ilva: {{works: {{mon-sun: {hours(4)}}}}}",
        places="freezer: {holds: 90 combs, celsius: -18}\ncomb room: {holds: 400 combs}",
        tasks=COLD.replace("minutes_each: 0.5, kills", "minutes_each: 5, kills"),
        gear=f"super combs: {{piece: medium comb, comb: dry, count: {17 - fewer}, steps: [freeze, seal]}}",
    )


def combs_for_the_comb_room(fewer: int) -> str:
    return winter(
        october(7),
        moths=f"season_starts: {october(8)}",
        crew="Ilva: {works: {mon-sun: 09:00-11:00}}",
        places="freezer: {holds: 90 combs, celsius: -18}\ncomb room: {holds: 2 boxes}",
        tasks=COLD,
        gear=f"super combs: {{piece: shallow comb, comb: wet, count: {27 - fewer}, steps: [freeze, seal]}}",
    )


def job_too_long(optional: int) -> str:
    importance = ", importance: should" if optional else ""
    return winter(
        october(5),
        crew=f"Ilva: {{works: {{mon: {hours(8)}}}}}",
        tasks="scrape: {minutes_each: 30}",
        gear="boxes: {piece: national super, count: 2, steps: [scrape]}",
        jobs=f"tidy the shed: {{hours: 3{importance}}}   # it is a mess",
    )


def step_too_long(optional: int) -> str:
    wished = ", optional: [scrape]" if optional else ""
    return winter(
        october(5),
        crew=f"Ilva: {{works: {{mon: {hours(4)}}}}}",
        tasks="scrape: {minutes_each: 15}\nmend: {minutes_each: 10}",
        gear=f"boxes: {{piece: national super, count: 6, steps: [scrape, mend]{wished}}}",
    )


def coats_and_no_fine_day(optional: int) -> str:
    wished = ", optional: [first coat, second coat]" if optional else ""
    return winter(
        october(11),
        crew="Ilva: {works: {mon-sun: 09:00-11:00}}",
        places="loft: {holds: 60}",
        tasks="""
            first coat: {minutes_each: 5, paint: latex, weather: painting, then: {wait: 20 h}}
            second coat: {minutes_each: 5, paint: latex, weather: painting, then: {wait: 20 h}}
            scrape: {minutes_each: 1}
        """,
        gear=f"""
            boxes:
              piece: national super
              count: 4
              last_painted: never
              rests: loft
              steps: [scrape, first coat, second coat]
              ready_by: {october(9)}{wished.replace(", ", chr(10) + "              ", 1)}
        """,
        weather=f"windows: {{painting: {{{october(10)}: 09:00-11:00}}}}",
    )


FEWER = (
    Impossible(
        "combs for one load",
        (f"seal: {26 - 18} of 26 super combs",),
        (Short(Kind.FEWER, "super combs", 26 - 18),),
        combs_for_one_load,
    ),
    # an hour before they are to be closed, five minutes each
    Impossible(
        "combs for an hour",
        (f"seal: {17 - 60 // 5} of 17 super combs",),
        (Short(Kind.FEWER, "super combs", 17 - 60 // 5),),
        combs_for_an_hour,
    ),
    # a box is room for ten combs
    Impossible(
        "combs for the comb room",
        (f"seal: {27 - 2 * 10} of 27 super combs",),
        (Short(Kind.FEWER, "super combs", 27 - 2 * 10),),
        combs_for_the_comb_room,
    ),
)

OPTIONAL = (
    # three hours and two boxes of half an hour, in two hours: least is left where the boxes are
    Impossible("a job too long", ("scrape: 2 of 2 boxes",), (Short(Kind.OPTIONAL, "tidy the shed", 1),), job_too_long),
    # 6 boxes of 25 min in an hour; without mending it is an hour and a half, without scraping an hour
    Impossible("a step too long", ("of 6 boxes",), (Short(Kind.OPTIONAL, "boxes", 1, ("scrape",)),), step_too_long),
    # the one fine day is the day after they must be ready; leaving out one of two coats is no help
    Impossible(
        "coats and no fine day",
        ("first coat: 4 of 4 boxes", "second coat: 4 of 4 boxes"),
        (Short(Kind.OPTIONAL, "boxes", 1, ("first coat", "second coat")),),
        coats_and_no_fine_day,
    ),
)
