"""Winters short of hours of help: whose, and in which week."""

from __future__ import annotations

from offseason.remedy.lever import Kind
from tests.remedy.impossible import Impossible, Short, hours, october, winter

QUARTER_MINUTES = 15


def one_helper(more: int) -> str:
    return winter(
        october(5),
        crew=f"Ilva: {{works: {{mon: {hours(8 + more)}}}}}   # she would rather sleep longer",
        tasks="scrape: {minutes_each: 15}",
        gear="boxes: {piece: national super, count: 10, steps: [scrape]}",
    )


def odd_minutes(more: int) -> str:
    return winter(
        october(5),
        crew=f"Ilva: {{works: {{mon: {hours(3 + more)}}}}}",
        tasks="scrape: {minutes_each: 10}",
        gear="boxes: {piece: national super, count: 7, steps: [scrape]}",
    )


def only_one_of_two_can(more: int) -> str:
    return winter(
        october(5),
        crew=f"""
            Bruno: {{works: {{mon: 14:00-18:00}}, cannot: [wire]}}
            Ilva: {{works: {{mon: {hours(8 + more)}}}}}
        """,
        tasks="wire: {minutes_each: 20}\nscrape: {minutes_each: 10}",
        gear="""
            frames: {piece: deep frame, count: 9, steps: [wire]}
            boxes: {piece: national super, count: 6, steps: [scrape]}
        """,
    )


def one_week_only(more: int) -> str:
    return winter(
        october(25),
        crew=f"""
            Ilva:
              works: {{sat: 09:00-12:00}}   # a Saturday is a Saturday
              away: [{october(17)}]
              also: {{{october(14)}: {hours(4 + more, start=14)}}}
        """,
        tasks="wire: {minutes_each: 15}",
        gear=f"""
            frames: {{piece: deep frame, count: 11, arrives: {october(12)}, ready_by: {october(18)}, steps: [wire]}}
        """,
    )


def set_up_in_two_weeks(more: int) -> str:
    return winter(
        october(17),
        crew=f"Ilva: {{also: {{{october(10)}: {hours(4 + more)}, {october(17)}: {hours(4)}}}}}",
        tasks="glue: {minutes_each: 30, setup_minutes: 30}",
        gear="boxes: {piece: national super, count: 4, steps: [glue]}",
    )


def two_handed(more: int) -> str:
    return winter(
        october(5),
        crew=f"""
            Ilva: {{works: {{mon: {hours(6)}}}}}
            Bruno: {{works: {{mon: {hours(4 + more)}}}}}   # he leaves before her
        """,
        tasks="carry: {minutes_each: 15, hands: 2}",
        gear="full boxes: {piece: langstroth deep box, count: 6, steps: [carry]}",
    )


def in_one_go(more: int) -> str:
    return winter(
        october(11),
        crew=f"Ilva: {{works: {{mon: {hours(8 + more)}, tue: {hours(7)}, sat: 09:00-12:00}}}}",
        jobs=f"rebuild the rack: {{hours: 3, divisible: false, by: {october(6)}}}",
    )


def a_round_missed(more: int) -> str:
    also = f", also: {{{october(14)}: {hours(more)}}}" if more else ""
    return winter(
        october(25),
        crew=f"Ilva: {{works: {{sat: 09:00-12:00}}, away: [{october(17)}]{also}}}",
        rounds="look at the hives: {every: 7 d, minutes: 30}",
    )


def a_job_in_quarters(more: int) -> str:
    return winter(
        october(9),
        crew=f"Ilva: {{works: {{mon: {hours(2 + more)}, tue-fri: {hours(2)}}}}}",
        jobs="wash the tanks: {hours: 3.25}",
    )


HELP = (
    # 10 boxes of a quarter of an hour in 8 quarters
    Impossible("hours of one helper", ("scrape: 2 of 10 boxes",), (Short(Kind.HELP, "Ilva", 10 - 8),), one_helper),
    # 7 boxes take 70 min, so 5 quarters; 4 would do for 6 boxes, and there are 3, for 4 boxes
    Impossible(
        "minutes that do not come in quarters",
        (f"scrape: {7 - 45 // 10} of 7 boxes",),
        (Short(Kind.HELP, "Ilva", -(-7 * 10 // QUARTER_MINUTES) - 3),),
        odd_minutes,
    ),
    # 9 frames of 20 min are 12 quarters; Ilva has 8, in which 6 are done, and Bruno may not
    Impossible(
        "only one of two can",
        (f"wire: {9 - 120 // 20} of 9 frames",),
        (Short(Kind.HELP, "Ilva", 9 * 20 // QUARTER_MINUTES - 8),),
        only_one_of_two_can,
    ),
    # 11 quarters of work come and go within the week in which there is one hour
    Impossible("one week only", ("wire: 7 of 11 frames",), (Short(Kind.HELP, "Ilva", 11 - 4),), one_week_only),
    # each hour is half set-up: 2 boxes in all; two more beside what is set up take an hour
    Impossible(
        "set-up in two weeks",
        ("glue: 2 of 4 boxes",),
        (Short(Kind.HELP, "Ilva", 2 * 30 // QUARTER_MINUTES),),
        set_up_in_two_weeks,
    ),
    # 6 boxes take both of them 6 quarters; Bruno has 4
    Impossible("two together", ("carry: 2 of 6 full boxes",), (Short(Kind.HELP, "Bruno", 6 - 4),), two_handed, False),
    # three hours in one go are 12 quarters, the longest stretch has 8
    Impossible("a job in one go", ("rebuild the rack: 3.0 h",), (Short(Kind.HELP, "Ilva", 3 * 4 - 8),), in_one_go),
    # half an hour is missing in the second week
    Impossible(
        "a round missed",
        ("look at the hives: the one from Mon 12 Oct",),
        (Short(Kind.HELP, "Ilva", 30 // QUARTER_MINUTES),),
        a_round_missed,
    ),
    # 13 quarters in five days of two
    Impossible(
        "a job in quarters",
        (f"wash the tanks: {(13 - 5 * 2) * 15} min",),
        (Short(Kind.HELP, "Ilva", 13 - 5 * 2),),
        a_job_in_quarters,
    ),
)
