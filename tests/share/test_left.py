"""What a plan leaves, as the keeper reads it: jobs in hours, rounds in times, gear in pieces."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from offseason.plan.document import LeftOver
from offseason.plan.reading import left_said
from offseason.share.terminal.left import left_changed, left_no_more, left_said_text
from tests.plan.winters import plan, winter

YARD = winter("""
season: {from: 2026-10-05, until: 2026-11-29}
crew: {Ines: {works: {mon: 09:00-12:00}}}
tasks: {scrape: {minutes_each: 5}}
gear: {boxes: {piece: langstroth deep box, count: 20, steps: [scrape]}}
jobs:
  rebuild the rack: {hours: 12, hands: 2}
  mend the door: {hours: 2.5, divisible: false}
rounds: {look over comb: {every: 7 d, minutes: 20}}
""")
EMPTY = plan("2026-10-05 09:00-09:05 | Ines | scrape 1 of boxes")


def leaving(*left: LeftOver):
    return replace(EMPTY, left=left)


def of(name: str, pieces: int) -> LeftOver:
    return LeftOver(name, name, pieces, "undone")


def test_a_job_is_told_in_hours_of_one_person_and_a_round_in_times():
    said = left_said(leaving(of("rebuild the rack", 26), of("mend the door", 1), of("look over comb", 1)), YARD)
    assert said == (
        "rebuild the rack: 13.0 h of it are not done",  # 26 quarters of an hour of two people (derived)
        "mend the door: 2.5 h of it are not done",
        "look over comb: left out once",
    )
    assert left_said(leaving(of("look over comb", 3)), YARD) == ("look over comb: left out 3 times",)


def test_without_the_scenario_of_a_job_or_round_only_that_part_of_it_is_not_done():
    assert left_said(leaving(of("rebuild the rack", 26))) == ("rebuild the rack: part of it is not done",)


def test_one_is_told_as_one():
    left = [LeftOver("combs", "freeze", 1, how) for how in ("undone", "open", "late")]
    assert left_said(leaving(*left)) == (
        "combs: up to 1 comb is open to moths after their day",
        "freeze of combs: 1 comes later than they may",
        "freeze of combs: 1 is left undone",
    )


def no_room(spaces: int, day: date | None = None) -> LeftOver:
    return LeftOver("", "", spaces, "overfull", "shed", day or date(2026, 10, 12))


STORES = winter("""
season: {from: 2026-10-05, until: 2026-11-29}
crew: {Ines: {works: {mon: 09:00-12:00}}}
places: {shed: {holds: 10}, loft: {holds: 3 boxes}}
tasks: {scrape: {minutes_each: 5}}
gear:
  boxes: {piece: langstroth deep box, count: 8, rests: shed, steps: [scrape]}
  lids: {piece: flat lid, count: 4, rests: shed, arrives: 2026-10-12, steps: [scrape]}
  floor: {piece: floor, count: 1, rests: shed, arrives: 2026-10-12, steps: [scrape]}
  roof: {piece: telescoping lid, count: 1, rests: shed, arrives: 2026-10-13, steps: [scrape]}
""")


def test_a_place_without_room_is_told_with_its_day_and_all_that_arrives_then():
    full = "shed: 3 spaces too few from Mon 12 Oct 2026 on"
    assert left_said(leaving(no_room(3))) == (full,)
    assert left_said(leaving(no_room(3)), STORES) == (f"{full}, when 4 lids and 1 floor arrive",)
    assert left_said(leaving(no_room(1, date(2026, 10, 13))), STORES) == (
        "shed: 1 space too few from Tue 13 Oct 2026 on, when 1 roof arrives",
    )
    in_loft = replace(no_room(12, date(2026, 10, 6)), place="loft")
    assert left_said(leaving(in_loft), STORES) == ("loft: 12 comb spaces too few from Tue 6 Oct 2026 on",)


def test_more_or_less_room_than_before_is_told_place_by_place():
    elsewhere = replace(no_room(2), place="loft")
    assert left_changed(leaving(no_room(3), elsewhere), leaving(no_room(4), elsewhere)) == (
        "Now does not fit: shed: 4 spaces too few from Mon 12 Oct 2026 on.",
    )
    assert left_changed(leaving(elsewhere), leaving(elsewhere)) == ()


def test_less_left_is_told_with_what_there_was_and_what_there_is_still():
    was = leaving(LeftOver("boxes", "scrape", 12, "undone"))
    now = leaving(LeftOver("boxes", "scrape", 3, "undone"))
    assert left_changed(was, now) == (
        "Was left and no longer is, or not so much of it: scrape of boxes: 12 are left undone.",
        "Still left of that: scrape of boxes: 3 are left undone.",
    )
    assert left_changed(now, was) == ("Now does not fit: scrape of boxes: 12 are left undone.",)
    assert left_changed(was, was) == left_no_more(was, was) == ()
    assert left_no_more(was, EMPTY)[0].endswith("scrape of boxes: 12 are left undone.")


def test_each_thing_left_stands_on_a_line_of_its_own_within_80_columns():
    text = left_said_text(leaving(of("look over comb", 2), LeftOver("combs " * 15, "seal", 2, "undone")), YARD)
    assert max(map(len, text.splitlines())) <= 80
    assert text.count("  - ") == 2
