"""A plan that must leave something says so; the audit lets pass exactly that, and no word that is not true."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

import pytest

from offseason.plan.audit import Broken, audit
from offseason.plan.audit.left import left_by_now
from offseason.plan.document import LeftOver, Plan
from tests.plan.winters import changed, plan, winter, without_line

# Moths fly until 20 October: comb off the hives on the 5th must be safe 7 days later, by the end of the 12th (derived).
WINTER = """
season: {from: 2026-10-05, until: 2026-11-06}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {mon-fri: [09:00-12:00, 13:00-16:00]}}}
places:
  loft: {holds: 60 combs, celsius: 8..18}
  freezer: {holds: 10 combs, celsius: -18}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 1, seals: true, within: 3 d, then: {in: loft}}
gear:
  combs: {piece: deep comb, count: 10, comb: dry, rests: loft, steps: [freeze, seal]}
  supers: {piece: deep comb, count: 10, comb: dry, rests: loft, steps: [freeze, seal]}
"""
ALL = """
2026-10-05 09:00-09:10 | Ines | freeze 10 of combs
2026-10-06 09:30-09:40 | Ines | seal 10 of combs
2026-10-06 09:40-09:50 | Ines | freeze 10 of supers
2026-10-07 10:00-10:10 | Ines | seal 10 of supers
"""
THREE_LEFT = (
    ALL.replace("09:00-09:10 | Ines | freeze 10 of combs", "09:00-09:07 | Ines | freeze 7 of combs")
    .replace("09:30-09:40 | Ines | seal 10 of combs", "09:30-09:37 | Ines | seal 7 of combs")
)  # fmt: skip


def lots_left(lot: str, pieces: int) -> tuple[LeftOver, ...]:
    """So many combs that are never frozen, never sealed, and lie open."""
    return (
        LeftOver(lot, "freeze", pieces, "undone"),
        LeftOver(lot, "seal", pieces, "undone"),
        LeftOver(lot, "freeze", pieces, "open"),
    )


def judged(scenario: str, rows: str, *left: LeftOver) -> list[tuple[str, str]]:
    return of(audit(winter(scenario), replace(plan(rows), left=left)))


def of(found: tuple[Broken, ...]) -> list[tuple[str, str]]:
    return [(str(one.promise), one.text) for one in found]


def test_a_plan_that_leaves_nothing_and_says_nothing_keeps_its_promises():
    assert judged(WINTER, ALL) == []


def test_three_combs_left_undone_and_open_are_named_where_the_plan_does_not_say_so():
    assert [promise for promise, _ in judged(WINTER, THREE_LEFT)] == ["done", "done", "protection"]


def test_three_combs_left_undone_and_open_may_be_so_where_the_plan_says_so():
    assert judged(WINTER, THREE_LEFT, *lots_left("combs", 3)) == []


def test_four_left_where_three_are_said_to_be_are_named_with_both_numbers():
    rows = THREE_LEFT.replace("09:00-09:07 | Ines | freeze 7", "09:00-09:06 | Ines | freeze 6").replace(
        "09:30-09:37 | Ines | seal 7", "09:30-09:36 | Ines | seal 6"
    )
    found = judged(WINTER, rows, *lots_left("combs", 3))
    assert [promise for promise, _ in found] == ["done", "done", "protection"]
    assert found[0][1].startswith("combs, freeze: 4 of 10 pieces are left undone")
    assert found[0][1].endswith("; the plan says that it leaves 3 undone")
    assert "up to 4 combs are open to moths" in found[2][1]
    assert found[2][1].endswith("; the plan says that it leaves 3 open")


def test_what_is_said_of_one_lot_does_not_excuse_another():
    found = judged(WINTER, THREE_LEFT, *lots_left("supers", 3))
    assert [promise for promise, _ in found] == ["done", "done", "protection", *["left over"] * 3]
    assert all(text.startswith("combs") for _, text in found[:3])


def test_what_is_said_of_one_step_does_not_excuse_another():
    found = judged(WINTER, THREE_LEFT, *lots_left("combs", 3)[::2])
    assert [text.partition(":")[0] for _, text in found] == ["combs, seal"]


def test_combs_left_undone_are_not_thereby_said_to_lie_open():
    found = judged(WINTER, THREE_LEFT, *lots_left("combs", 3)[:2])
    assert [promise for promise, _ in found] == ["protection"]


def test_a_plan_does_not_say_it_leaves_more_than_it_does():
    found = judged(WINTER, THREE_LEFT, *lots_left("combs", 4))
    at_most = "at most 3 of its combs are open to moths at the end of any such day"
    assert found == [
        ("left over", "what is left, freeze of combs (undone 4): only 3 are left undone"),
        ("left over", "what is left, seal of combs (undone 4): only 3 are left undone"),
        (
            "left over",
            f"what is left, freeze of combs (open 4): {at_most}",
        ),
    ]


def test_a_plan_that_does_everything_does_not_say_that_it_leaves_something():
    found = judged(WINTER, ALL, *lots_left("combs", 1), LeftOver("combs", "seal", 1, "late"))
    assert [promise for promise, _ in found] == ["left over"] * 4
    assert found[0][1].endswith("none of it is left undone")
    assert found[2][1].endswith("no comb of it is open to moths at the end of any day it should not be")
    assert found[3][1].endswith("this work comes too late for no piece of it")


def test_a_plan_is_not_worth_more_for_saying_the_same_twice():
    twice = LeftOver("combs", "freeze", 2, "undone")
    found = judged(WINTER, THREE_LEFT, twice, twice, *lots_left("combs", 3)[1:])
    assert found == [("left over", "what is left, freeze of combs (undone 4): only 3 are left undone")]


@pytest.mark.parametrize(
    ("left", "promise", "says"),
    [
        (LeftOver("comb", "freeze", 3, "undone"), "known names", "called 'comb'; did you mean 'combs'?"),
        (
            LeftOver("combs", "sael", 3, "undone"),
            "known names",
            "combs has no step called 'sael'; did you mean 'seal'?",
        ),
        (LeftOver("combs", "freeze", 11, "undone"), "count", "there are only 10 pieces"),
        (LeftOver("combs", "freeze", 11, "open"), "count", "there are only 10 pieces"),
        (LeftOver("combs", "seal", 11, "late"), "count", "there are only 10 pieces"),
    ],
)
def test_what_is_left_has_a_name_and_is_not_more_than_there_is(left, promise, says):
    ((broken, text),) = judged(WINTER, ALL, left)
    assert (broken, says in text) == (promise, True), text


def test_work_that_only_should_be_done_is_left_without_a_word():
    optional = changed(WINTER, "seals: true,", "seals: true, importance: should,")
    optional = changed(optional, "moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}\n", "")
    rows = without_line(ALL, 4)
    assert judged(optional, rows) == []
    ((promise, text),) = judged(optional, rows, LeftOver("supers", "seal", 10, "undone"))
    assert (promise, text.endswith("may be left without a word")) == ("left over", True)


def test_combs_that_lie_open_at_two_stages_are_all_counted():
    """Two as they came and three sorted but not frozen are five that moths can get at, not three."""
    winter = changed(WINTER, "tasks:\n", "tasks:\n  sort: {minutes_each: 1}\n")
    winter = changed(winter, "combs: {piece: deep comb, count: 10, comb: dry, rests: loft, steps: [freeze",
                     "combs: {piece: deep comb, count: 10, comb: dry, rests: loft, steps: [sort, freeze")  # fmt: skip
    rows = "2026-10-05 09:10-09:18 | Ines | sort 8 of combs\n" + THREE_LEFT.strip()
    rows = rows.replace("2026-10-05 09:00-09:07 | Ines | freeze 7", "2026-10-05 09:20-09:25 | Ines | freeze 5")
    rows = rows.replace("09:30-09:37 | Ines | seal 7", "09:30-09:35 | Ines | seal 5")
    undone = tuple(LeftOver("combs", step, n, "undone") for step, n in (("sort", 2), ("freeze", 5), ("seal", 5)))
    assert judged(winter, rows, *undone, LeftOver("combs", "freeze", 5, "open")) == []
    found = judged(winter, rows, *undone, LeftOver("combs", "freeze", 4, "open"))
    assert [promise for promise, _ in found] == ["protection", "protection"]


def test_combs_frozen_after_their_day_are_done_and_yet_were_open():
    rows = changed(ALL, "2026-10-05 09:00-09:10", "2026-10-14 09:00-09:10").replace("10-06 09:30", "10-15 09:30")
    assert [promise for promise, _ in judged(WINTER, rows)] == ["protection"]
    assert judged(WINTER, rows, LeftOver("combs", "freeze", 10, "open")) == []
    assert [promise for promise, _ in judged(WINTER, rows, LeftOver("combs", "freeze", 9, "open"))] == ["protection"]


SEALED_LATE = changed(ALL, "2026-10-07 10:00-10:10", "2026-10-09 09:44-09:54")


def test_combs_sealed_too_late_may_be_so_as_many_as_the_plan_says():
    assert [promise for promise, _ in judged(WINTER, SEALED_LATE)] == ["not too late after"]
    assert judged(WINTER, SEALED_LATE, LeftOver("supers", "seal", 10, "late")) == []
    ((promise, text),) = judged(WINTER, SEALED_LATE, LeftOver("supers", "seal", 9, "late"))
    assert (promise, text.endswith("; the plan says that it leaves 9 late")) == ("not too late after", True)


def test_what_comes_late_in_one_lot_is_no_excuse_for_another():
    found = judged(WINTER, SEALED_LATE, LeftOver("combs", "seal", 10, "late"))
    assert [promise for promise, _ in found] == ["not too late after", "left over"]


def test_combs_that_are_to_be_sealed_soon_and_never_are_may_be_said_to_be_late():
    rows = without_line(ALL, 4)
    undone = LeftOver("supers", "seal", 10, "undone")
    assert judged(WINTER, rows, undone) == []
    assert judged(WINTER, rows, undone, LeftOver("supers", "seal", 10, "late")) == []


TREATED = """
season: {from: 2026-10-05, until: 2026-11-06}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {loft: {holds: 40 combs, celsius: 8..18}}
tasks:
  treat: {minutes_each: 1, protects: 2 w, treatment: sulphur, authorised: true, then: {in: loft}}
gear:
  combs: {piece: deep comb, count: 20, comb: dry, rests: loft, steps: [treat]}
"""
RENEWED = """
2026-10-08 09:00-09:20 | Ines | treat 20 of combs
2026-10-21 09:00-09:20 | Ines | treat 20 of combs
2026-11-03 09:00-09:20 | Ines | treat 20 of combs
"""
RENEWED_LATE = changed(RENEWED, "2026-10-21", "2026-10-23")


@pytest.mark.parametrize("how", ["late", "open"])
def test_a_treatment_renewed_a_day_too_late_may_be_so_in_either_word(how):
    assert judged(TREATED, RENEWED_LATE, LeftOver("combs", "treat", 20, how)) == []
    assert [p for p, _ in judged(TREATED, RENEWED_LATE, LeftOver("combs", "treat", 19, how))] == ["protection"]
    assert [p for p, _ in judged(TREATED, RENEWED, LeftOver("combs", "treat", 20, how))] == ["left over"]


def test_one_comb_said_twice_over_in_two_words_is_one_comb():
    said = (LeftOver("combs", "treat", 10, "late"), LeftOver("combs", "treat", 10, "open"))
    assert [promise for promise, _ in judged(TREATED, RENEWED_LATE, *said)] == ["protection"]


def test_a_treatment_that_wears_off_in_the_morning_and_is_renewed_that_noon_is_late_but_never_open_in_the_evening():
    rows = changed(RENEWED, "2026-10-21 09:00-09:20", "2026-10-22 11:30-11:50")
    assert judged(TREATED, rows) == []
    assert judged(TREATED, rows, LeftOver("combs", "treat", 20, "late")) == []
    assert [p for p, _ in judged(TREATED, rows, LeftOver("combs", "treat", 20, "open"))] == ["left over"]


ROUNDS = """
season: {from: 2026-10-05, until: 2026-11-01}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
rounds: {look at the comb: {every: 1 w, minutes: 20}}
jobs: {lift the shed: {hours: 2}, sharpen: {hours: 1}}
"""
WORKED = """
2026-10-05 09:00-09:20 | Ines | look at the comb 1 of look at the comb
2026-10-12 09:00-09:20 | Ines | look at the comb 1 of look at the comb
2026-10-13 09:00-10:30 | Ines | lift the shed 6 of lift the shed
2026-10-13 10:30-11:30 | Ines | sharpen 4 of sharpen
"""
LOOK, SHED = "look at the comb", "lift the shed"


def test_rounds_and_parts_of_a_job_may_be_left_as_the_plan_says():
    left = (LeftOver(LOOK, LOOK, 2, "undone"), LeftOver(SHED, SHED, 2, "undone"))
    assert judged(ROUNDS, WORKED, *left) == []
    assert [promise for promise, _ in judged(ROUNDS, WORKED)] == ["done", "rounds", "rounds"]


def test_two_rounds_missed_where_one_is_said_to_be_are_both_named():
    left = (LeftOver(LOOK, LOOK, 1, "undone"), LeftOver(SHED, SHED, 2, "undone"))
    found = judged(ROUNDS, WORKED, *left)
    assert [promise for promise, _ in found] == ["rounds", "rounds"]
    assert all(text.endswith("; the plan says that it leaves 1 undone") for _, text in found)


def test_a_round_said_to_be_missed_that_is_made_is_named():
    left = (LeftOver(LOOK, LOOK, 3, "undone"), LeftOver(SHED, SHED, 2, "undone"))
    assert judged(ROUNDS, WORKED, *left) == [
        ("left over", "what is left, look at the comb of look at the comb (undone 3): only 2 are left undone")
    ]


def test_work_that_comes_after_a_job_left_undone_is_not_done_all_the_same():
    winter = changed(ROUNDS, "lift the shed: {hours: 2}", "lift the shed: {hours: 2, before: [sharpen]}")
    left = (LeftOver(LOOK, LOOK, 2, "undone"), LeftOver(SHED, SHED, 2, "undone"))
    assert [promise for promise, _ in judged(winter, WORKED, *left)] == ["before and after"]


def marked(since: datetime | None) -> Plan:
    """The plan with its first two rows marked done."""
    made = plan(ALL)
    rows = tuple(replace(row, done=row.line in {1, 2}) for row in made.rows)
    return replace(made, rows=rows, since=since)


def test_work_is_marked_done_only_in_a_plan_made_anew_and_only_from_before():
    assert of(audit(winter(WINTER), marked(datetime.combine(date(2026, 10, 6), time(9, 40))))) == []
    found = audit(winter(WINTER), marked(datetime.combine(date(2026, 10, 6), time(9))))
    assert [(str(b.promise), b.row.line if b.row else None) for b in found] == [("marked done", 2)]
    assert (
        "it is marked done, and ends after Tue 2026-10-06 09:00, from when on the plan was made anew" in found[0].text
    )
    found = audit(winter(WINTER), marked(None))
    assert [(str(b.promise), b.row.line if b.row else None) for b in found] == [("marked done", 1), ("marked done", 2)]
    assert all("only so in a plan made anew; take 'done: true' away" in b.text for b in found)


def by_now(scenario: str, rows: str, *left: LeftOver) -> tuple[LeftOver, ...]:
    """What is still left of it; the plan that says so keeps every other promise."""
    said = replace(plan(rows), left=left)
    still = left_by_now(winter(scenario), said)
    assert not audit(winter(scenario), replace(said, left=still))
    return still


def test_what_is_said_to_be_left_is_brought_down_to_what_is():
    assert by_now(WINTER, THREE_LEFT, *lots_left("combs", 4)) == lots_left("combs", 3)
    assert by_now(WINTER, THREE_LEFT, *lots_left("combs", 3)) == lots_left("combs", 3)
    assert by_now(WINTER, ALL, *lots_left("combs", 4), LeftOver("combs", "seal", 1, "late")) == ()


def test_what_is_said_to_be_left_is_never_made_more():
    assert left_by_now(winter(WINTER), replace(plan(THREE_LEFT), left=lots_left("combs", 2))) == lots_left("combs", 2)


def test_what_is_left_of_gear_that_is_gone_is_not_left_any_more():
    assert by_now(WINTER, ALL, LeftOver("old combs", "freeze", 3, "undone"), LeftOver("combs", "fry", 3, "late")) == ()
