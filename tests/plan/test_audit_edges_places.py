"""The audit of places at their edges: exactly full, two lots in one place, a freezer of one comb, the last seat."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from offseason.plan.audit import audit
from offseason.plan.document import LeftOver
from offseason.trade.sizes import FOUNDATION_CELSIUS
from tests.plan.winters import assert_breaks, assert_finds, assert_keeps, changed, plan, winter

RACK = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}, Tomas: {works: {mon-fri: 09:00-15:00}}}
places: {bench: {seats: 2}, rack: {holds: 3}, loft: {}}
tasks:
  put up: {minutes_each: 2, then: {on: rack}}
  take down: {minutes_each: 1, then: {in: loft}}
gear:
  lids: {piece: flat lid, count: 3, rests: rack, steps: [take down]}
  floors: {piece: floor, count: 3, rests: loft, steps: [put up]}
"""


def told(scenario: str, rows: str, *left: LeftOver) -> list[tuple[str, str]]:
    return [(str(b.promise), b.text) for b in audit(winter(scenario), replace(plan(rows), left=left))]


def crowd(spaces: int, since: date, place: str = "rack") -> LeftOver:
    return LeftOver("", "", spaces, "overfull", place, since)


def test_a_rack_of_three_is_not_too_full_of_three_and_is_of_four_whatever_lot_they_are_of():
    rows = """
2026-10-05 09:00-09:03 | Ines | take down 3 of lids
2026-10-05 09:00-09:06 | Tomas | put up 3 of floors
"""
    assert_keeps(RACK, rows)
    says = "rack holds 3 pieces, and from Mon 2026-10-05 09:02 up to 4 are in it: 1 too many"
    assert_breaks(RACK, rows.replace("09:00-09:03", "09:03-09:06"), "space", 2, says=says)


@pytest.mark.parametrize(
    ("lids", "floors", "says"),
    [
        # the floors come in at 09:02, :04, :06 and :08, the lids go out as said
        (["09:03-09:04 | Ines | take down 1"], 4, "from Mon 2026-10-05 09:02 up to 6 are in it: 3 too many"),
        (
            ["09:04-09:05 | Ines | take down 1", "09:05-09:07 | Ines | take down 2"],
            3,
            "from Mon 2026-10-05 09:02 up to 4 are in it: 1 too many",
        ),
        (
            ["09:05-09:07 | Ines | take down 2", "09:06-09:07 | Tomas | take down 1"],
            4,
            "from Mon 2026-10-05 09:02 up to 5 are in it: 2 too many",
        ),
    ],
)
def test_a_row_that_makes_a_rack_too_full_more_than_once_is_named_once_with_the_worst(lids, floors, says):
    scenario = changed(RACK, "floor, count: 3", f"floor, count: {floors}")
    scenario = scenario.replace("steps: [take down]}", "steps: [take down], optional: [take down]}")
    rows = f"2026-10-05 09:00-09:0{2 * floors} | Ines | put up {floors} of floors\n"
    rows += "\n".join(f"2026-10-05 {row} of lids" for row in lids)
    texts = [text for promise, text in told(scenario, rows) if promise == "space"]
    assert [text.endswith(says) for text in texts] == [True], texts


def test_room_is_judged_in_every_place_that_has_some_whatever_place_stands_before_it():
    scenario = changed(
        RACK, "places: {bench: {seats: 2}, rack: {holds: 3}, loft: {}}", "places: {loft: {}, rack: {holds: 2}}"
    )
    rows = """
2026-10-05 09:00-09:03 | Ines | take down 3 of lids
2026-10-05 09:03-09:09 | Tomas | put up 3 of floors
"""
    assert_breaks(scenario, rows, "space", None, 2)


MOVED = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {shed: {}, cellar: {}, rack: {holds: 3}}
tasks:
  carry down: {minutes_each: 1, then: {in: cellar}}
  put up: {minutes_each: 1, then: {on: rack}}
  wipe: {minutes_each: 1}
  air: {minutes_each: 1, importance: should, then: {on: rack}}
gear:
  lids: {piece: flat lid, count: 3, rests: shed, steps: [carry down, put up, wipe]}
  floors: {piece: floor, count: 1, rests: shed, steps: [put up]}
"""
CARRIED = """
2026-10-05 09:00-09:03 | Ines | carry down 3 of lids
2026-10-05 09:03-09:06 | Ines | put up 3 of lids
2026-10-05 09:06-09:09 | Ines | wipe 3 of lids
"""


def test_what_is_worked_on_goes_back_to_where_it_lay():
    rows = CARRIED + "2026-10-05 09:10-09:11 | Ines | put up 1 of floors"
    assert_breaks(MOVED, rows, "space", 4, says="from Mon 2026-10-05 09:11 up to 4 are in it: 1 too many")
    assert_keeps(changed(MOVED, "holds: 3", "holds: 4"), rows)


def test_work_that_may_be_passed_by_is_no_place_to_rest_before_work_that_does_not_need_it():
    passing = changed(MOVED, "steps: [carry down, put up, wipe]", "steps: [air, carry down, wipe]")
    passing = changed(
        changed(passing, "holds: 3", "holds: 2"), "minutes_each: 1}\n", "minutes_each: 1, needs: [air]}\n"
    )
    rows = """
2026-10-05 09:00-09:03 | Ines | air 3 of lids
2026-10-05 09:04-09:07 | Ines | carry down 3 of lids
2026-10-05 09:07-09:10 | Ines | wipe 3 of lids
2026-10-05 09:10-09:11 | Ines | put up 1 of floors
"""
    assert_keeps(passing, rows)
    needed = changed(passing, "carry down: {minutes_each: 1,", "carry down: {minutes_each: 1, needs: [air],")
    assert_breaks(needed, rows, "space", 1, says="from Mon 2026-10-05 09:03 up to 3 are in it: 1 too many")


def test_a_piece_of_the_keepers_own_takes_one_space_where_nothing_else_is_said():
    own = changed(MOVED, "floor, count: 1", "odd stand, kind: tools, count: 4").replace("holds: 3", "holds: 4 combs")
    own = changed(own, "steps: [carry down, put up, wipe]", "steps: [carry down]")
    rows = CARRIED.strip().splitlines()[0] + "\n2026-10-05 09:10-09:14 | Ines | put up 4 of floors"
    assert_keeps(own, rows)
    says = "rack holds 3 comb spaces, and from Mon 2026-10-05 09:14 up to 4 are in it"
    assert_breaks(changed(own, "4 combs", "3 combs"), rows, "space", 2, says=says)


# Each box takes 10 comb spaces: the fourth that comes on Wednesday the 7th makes it 10 too few (by hand).
def test_of_rows_that_put_more_and_more_into_a_rack_too_full_only_the_first_is_named_with_all_that_is_in_it():
    rows = """
2026-10-05 09:00-09:02 | Tomas | put up 1 of floors
2026-10-05 09:02-09:06 | Tomas | put up 2 of floors
2026-10-06 09:00-09:03 | Ines | take down 3 of lids
"""
    assert_breaks(RACK, rows, "space", 1, says="up to 6 are in it: 3 too many")


BOXES = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {rack: {holds: 30 combs}, yard: {open_air: true}, loft: {}}
tasks:
  wipe: {minutes_each: 1}
  take down: {minutes_each: 1, then: {in: loft}}
  bring back: {minutes_each: 1, then: {on: rack}}
gear:
  boxes: {piece: langstroth deep box, count: 3, rests: rack, steps: [wipe]}
  supers: {piece: langstroth deep box, count: 1, arrives: 2026-10-07, rests: rack, steps: [take down, bring back]}
"""
BROUGHT = """
2026-10-05 09:00-09:03 | Ines | wipe 3 of boxes
2026-10-08 09:00-09:01 | Ines | take down 1 of supers
"""
FEWER = BOXES.replace("steps: [take down, bring back]", "steps: [take down]")


def test_a_place_exactly_full_is_not_said_to_be_too_full_before_more_arrives():
    assert told(FEWER, BROUGHT, crowd(10, date(2026, 10, 7))) == []
    ((promise, text),) = told(FEWER, BROUGHT, crowd(10, date(2026, 10, 6)))
    assert (promise, text.endswith("it is too full only from Wed 2026-10-07 on")) == ("left over", True)
    ((promise, text),) = told(FEWER, BROUGHT, crowd(11, date(2026, 10, 7)))
    assert (promise, text.endswith("it has at most 10 too many in it")) == ("left over", True)


def test_what_was_taken_out_of_a_place_too_full_is_not_brought_back_into_it():
    many = changed(BOXES, "box, count: 1", "box, count: 2")
    rows = BROUGHT + "2026-10-08 09:01-09:02 | Ines | bring back 1 of supers"
    unfinished = changed(many, "[take down, bring back]", "[take down, bring back], optional: [bring back]")
    unfinished = changed(unfinished, "take down: {minutes_each: 1,", "take down: {minutes_each: 1, importance: should,")
    unfinished = changed(
        unfinished, "bring back: {minutes_each: 1,", "bring back: {minutes_each: 1, needs: [take down],"
    )
    ((promise, text),) = told(unfinished, rows, crowd(20, date(2026, 10, 7)))
    assert promise == "space"
    assert text.startswith("line 3, ")
    assert text.endswith("rack is too full for what arrives, and from Thu 2026-10-08 09:02 more is put into it")


def test_what_is_treated_anew_where_it_lies_is_not_brought_into_a_place_too_full():
    treated = """
season: {from: 2026-10-05, until: 2026-10-23}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {every day: 09:00-12:00}}}
places: {loft: {holds: 1 combs}}
tasks: {treat: {minutes_each: 1, protects: 2 w, treatment: sulphur, authorised: true, then: {in: loft}}}
gear: {combs: {piece: deep comb, count: 3, comb: dry, rests: loft, steps: [treat]}}
"""
    rows = """
2026-10-09 09:00-09:03 | Ines | treat 3 of combs
2026-10-20 09:00-09:03 | Ines | treat 3 of combs
"""
    assert told(treated, rows, crowd(2, date(2026, 10, 5), "loft")) == []


def test_a_place_said_to_be_too_full_where_nothing_is_counted_is_never_too_full():
    ((promise, text),) = told(FEWER.replace("30 combs", "40 combs"), BROUGHT, crowd(1, date(2026, 10, 7), "loft"))
    assert (promise, text.endswith("room in loft (overfull 1): it is never too full")) == ("left over", True)


def test_what_is_said_twice_of_one_place_is_said_of_both_together():
    seventh = date(2026, 10, 7)
    assert told(FEWER, BROUGHT, crowd(4, seventh), crowd(6, date(2026, 10, 8))) == []
    ((promise, text),) = told(FEWER, BROUGHT, crowd(10, seventh), crowd(10, seventh))
    assert (promise, "(overfull 20): it has at most 10 too many in it" in text) == ("left over", True)


def test_boxes_are_under_shelter_where_the_keeper_says_so_even_in_the_open_air():
    aired = changed(
        FEWER,
        "boxes: {piece: langstroth deep box, count: 3, rests: rack",
        "boxes: {piece: langstroth deep box, count: 3, rests: yard",
    )
    assert_breaks(aired, BROUGHT, "shelter", None, says="boxes: boxes would rest at yard, out in sun and rain")
    assert_keeps(changed(aired, "open_air: true", "open_air: true, sheltered: true"), BROUGHT)
    assert_breaks(changed(aired, "open_air: true", "sheltered: false"), BROUGHT, "shelter", None)


OUT = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {yard: {open_air: true}, hut: {}, loft: {celsius: 4..20}}
tasks: {air: {minutes_each: 1, importance: should, then: {in: yard}}, shift: {minutes_each: 1, then: {in: hut}}}
gear:
  sick combs: {piece: deep comb, count: 3, rests: hut, foulbrood: suspected}
  boxes: {piece: langstroth deep box, count: 2, steps: [air]}
  wax sheets: {piece: foundation sheet, count: 5, rests: loft}
"""


def test_boxes_that_are_never_brought_out_are_not_out_in_the_rain_and_the_first_row_that_brings_them_is_named():
    assert_keeps(OUT, "")
    rows = """
2026-10-06 09:00-09:01 | Ines | air 1 of boxes
2026-10-07 09:00-09:01 | Ines | air 1 of boxes
"""
    assert_breaks(OUT, rows, "shelter", 1, says="boxes would rest at yard")


def test_gear_that_comes_in_where_suspected_gear_is_set_apart_is_named_without_a_row():
    beside = changed(OUT, "count: 2, steps: [air]", "count: 2, rests: hut, steps: [shift]")
    rows = "2026-10-06 09:00-09:02 | Ines | shift 2 of boxes"
    says = "boxes: boxes would rest at hut, where sick combs are set apart for foulbrood"
    assert_breaks(beside, rows, "foulbrood", None, says=says)


def test_foundation_keeps_just_as_cold_and_just_as_warm_as_it_may_get():
    low, high = FOUNDATION_CELSIUS
    assert_keeps(changed(OUT, "4..20", f"{low:g}..{high:g}"), "")
    for celsius in (f"{low - 1:g}..{high:g}", f"{low:g}..{high + 1:g}"):
        says = f"only where it is known to stay between {low:g} and {high:g} °C"
        assert_breaks(changed(OUT, "4..20", celsius), "", "shelter", None, says=says)


SEATED = changed(
    changed(RACK, "minutes_each: 2,", "minutes_each: 2, at: bench,"), "minutes_each: 1,", "minutes_each: 1, at: bench,"
)
SEATED = changed(SEATED, "crew: {", "crew: {Ole: {works: {mon-fri: 09:00-12:00}}, ")


def test_a_third_person_at_a_bench_of_two_seats_is_named_whatever_lot_they_work_on():
    rows = """
2026-10-05 09:00-09:02 | Ines | take down 2 of lids
2026-10-05 09:00-09:06 | Tomas | put up 3 of floors
2026-10-05 09:01-09:02 | Ole | take down 1 of lids
"""
    assert_breaks(SEATED, rows, "seats", 3, says="bench has 2 seats, and 3 people are at work there: 1 too many")
    assert_keeps(SEATED, rows.replace("09:01-09:02", "09:02-09:03"))


def test_a_row_that_lasts_no_time_takes_no_seat():
    one_seat = changed(SEATED, "seats: 2", "seats: 1")
    rows = """
2026-10-05 09:00-09:03 | Ines | take down 3 of lids
2026-10-05 09:01-09:01 | Tomas | put up 0 of floors
2026-10-05 09:03-09:09 | Tomas | put up 3 of floors
"""
    found = assert_finds(one_seat, rows, ("length", 2))
    assert found[0].text.endswith("it ends before it begins")
