"""What a plan says it leaves, as far as that is still so: never more than it says, and nothing that is not left."""

from __future__ import annotations

from dataclasses import replace

import pytest

from offseason.plan.audit.left import left_by_now
from offseason.plan.document import LeftOver
from offseason.weather.outlook import Outlook
from tests.plan.outdoors import FIRST, from_means
from tests.plan.winters import plan, winter

# Moths fly until 20 October: comb off the hives on the 5th must be safe 7 days later, by the end of the 12th (derived).
WINTER = """
season: {from: 2026-10-05, until: 2026-11-06}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {every day: 00:00-23:59}}}
places: {loft: {celsius: 8..18}, freezer: {celsius: -18}}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 1, seals: true, within: 3 d, then: {in: loft}}
gear: {combs: {piece: deep comb, count: 10, comb: dry, rests: loft, steps: [freeze, seal]}}
"""
SOME = """
2026-10-06 09:00-09:04 | Ines | freeze 4 of combs
2026-10-08 09:00-09:04 | Ines | seal 4 of combs
"""
LATE = """
2026-10-06 09:00-09:10 | Ines | freeze 10 of combs
2026-10-14 09:00-09:10 | Ines | seal 10 of combs
"""


def by_now(rows: str, *left: LeftOver, text: str = WINTER, outlook: Outlook | None = None) -> list[tuple[str, int]]:
    found = left_by_now(winter(text), replace(plan(rows), left=left), outlook)
    return [(one.how, one.pieces) for one in found]


def said(how: str, pieces: int, step: str = "freeze") -> LeftOver:
    return LeftOver("combs", step, pieces, how)


@pytest.mark.parametrize(("pieces", "still"), [(10, 6), (6, 6), (2, 2)])
def test_no_more_is_left_undone_or_open_than_the_rows_leave_and_no_more_than_was_said(pieces, still):
    assert by_now(SOME, said("undone", pieces)) == [("undone", still)]
    assert by_now(SOME, said("open", pieces)) == [("open", still)]


def test_what_is_left_no_more_is_not_told_any_longer():
    assert by_now(LATE, said("undone", 3), said("open", 3)) == []


def test_what_comes_late_is_told_for_as_many_as_was_said_and_not_where_nothing_does():
    assert by_now(LATE, said("late", 7, "seal")) == [("late", 7)]
    assert by_now(LATE, said("late", 70, "seal")) == [("late", 10)]
    assert by_now(SOME, said("late", 7, "seal")) == []


@pytest.mark.parametrize("left", [LeftOver("lids", "freeze", 1, "undone"), LeftOver("combs", "paint", 1, "undone")])
def test_nothing_is_left_of_what_is_not_there(left):
    assert by_now(SOME, left) == []


def test_whether_comb_lies_open_hangs_on_the_weather_where_the_store_follows_it():
    airy = WINTER.replace("loft: {celsius: 8..18}", "loft: {outdoors_plus_k: 0}").replace("comb: dry", "comb: pollen")
    rows = """
2026-10-11 09:00-09:10 | Ines | freeze 10 of combs
2026-10-12 10:00-10:10 | Ines | seal 10 of combs
"""
    hot = Outlook({}, from_means(FIRST, *[30.0] * 40), None, ())
    cold = Outlook({}, from_means(FIRST, *[5.0] * 40), None, ())
    assert by_now(rows, said("open", 10), text=airy, outlook=hot) == [("open", 10)]
    assert by_now(rows, said("open", 10), text=airy, outlook=cold) == []
    of_unknown_air = airy.replace("loft: {outdoors_plus_k: 0}", "loft: {}")
    assert by_now(rows, said("open", 10), text=of_unknown_air, outlook=hot) == []


def test_all_combs_of_a_lot_can_lie_open_though_only_some_of_them_have_a_step():
    sorted_too = WINTER.replace("steps: [freeze", "steps: [sort, freeze").replace(
        "  freeze:", "  sort: {minutes_each: 1, share: 50%}\n  freeze:"
    )
    assert by_now(SOME, said("open", 10, "sort"), text=sorted_too) == [("open", 6)]
