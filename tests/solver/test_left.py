"""Winters that do not fit: what is planned all the same, and what is left."""

from __future__ import annotations

from collections import Counter

import pytest

from offseason.solver import solve
from offseason.workload.model import Leaving, Workload
from tests.solver.winters import DAY, HOUR, OPTIONAL, lot, session, step, winter


def done(workload: Workload) -> tuple[Counter[str], dict[str, int]]:
    """Pieces of each kind of work that are planned, and the last day of each."""
    schedule = solve(workload, seconds=3)
    pieces, last = Counter[str](), dict[str, int]()
    for one in schedule.work:
        task = workload.lots[one.lot].steps[one.step].task
        pieces[task] += one.pieces
        last[task] = max(last.get(task, 0), one.ends_s // DAY)
    return pieces, last


@pytest.mark.slow
def test_a_treatment_that_cannot_be_renewed_keeps_no_other_comb_from_the_freezer():
    # dusted for three days on day 0, and nobody comes again before day 9: it lapses, whatever is done
    lasting = {"protected": True, "lasts_s": 3 * DAY}
    dusted = lot(
        "old combs", 5, step("dust", 5, 2, **lasting),
        step("dust again", 5, 2, importance=OPTIONAL, worth=0, needs=(0,), **lasting),
        treat_by_s=DAY, protect_until_s=12 * DAY,
    )  # fmt: skip
    frozen = lot("combs", 6, step("freeze", 6, 5, protected=True), treat_by_s=DAY, protect_until_s=12 * DAY)
    workload = winter([session(0), session(9), session(11)], dusted, frozen)
    pieces, last = done(workload)
    assert pieces["freeze"] == 6
    assert last["freeze"] == 0
    assert solve(workload, seconds=3).left_undone


def test_comb_past_its_day_is_made_safe_before_comb_whose_day_is_far():
    # both lots wait for the first help on day 5; one of them should have been safe on day 1
    late = lot("brood combs", 12, step("freeze brood", 12, 5, protected=True), treat_by_s=DAY, protect_until_s=20 * DAY)
    far = lot("combs", 12, step("freeze", 12, 5, protected=True), treat_by_s=15 * DAY, protect_until_s=20 * DAY)
    _, last = done(winter([session(5, hours=1), session(12, hours=1)], far, late))
    assert last == {"freeze brood": 5, "freeze": 12}


@pytest.mark.parametrize("hours", [1, 2, 5])
def test_of_combs_too_many_for_the_time_as_many_as_there_is_time_for_are_safe_and_the_rest_is_named(hours):
    # twelve an hour, thirty in all
    combs = lot("combs", 30, step("freeze", 30, 5, protected=True), treat_by_s=3 * DAY, protect_until_s=9 * DAY)
    schedule = solve(winter([session(1, hours=hours)], combs), seconds=3)
    fits = min(30, 12 * hours)
    assert sum(one.pieces for one in schedule.work) == fits
    left = {one.how: one.pieces for one in schedule.left}
    assert left == ({} if fits == 30 else {Leaving.UNDONE: 30 - fits, Leaving.OPEN: 30 - fits})
    assert schedule.certain == (fits < 30)


def test_where_nobody_ever_comes_everything_is_left():
    boxes = lot("boxes", 4, step("scrape", 4, HOUR / 600))
    schedule = solve(winter([session(1, who=())], boxes), seconds=2)
    assert [(one.pieces, one.how) for one in schedule.left] == [(4, Leaving.UNDONE)]
    assert schedule.certain
