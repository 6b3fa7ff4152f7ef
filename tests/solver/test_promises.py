"""Each promise alone: a tiny winter with counts that break this promise and no other, and counts that keep it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from offseason.solver.comb import comb_is_protected
from offseason.solver.counts import Counts
from offseason.solver.loads import loads_follow_one_another, loads_go_in_whole
from offseason.solver.model import PROMISES
from offseason.solver.promises import enough_people, must_work_is_done, set_up_where_touched
from offseason.workload.model import Helper, Lot, Order, Place, Stay, Workload
from tests.solver.winters import (
    DAY,
    HOUR,
    INES,
    NOOR,
    OPTIONAL,
    TOMAS,
    lot,
    mornings,
    session,
    staying,
    step,
    winter,
)

ALL = (*(set(PROMISES) - {loads_follow_one_another}), enough_people, must_work_is_done, comb_is_protected)

Rows = list[list[int]]
"""Counts of one lot: for each step, the pieces through it by the end of each session."""


def broken(workload: Workload, *lots: Rows) -> set[str]:
    """Names of the promises these counts break, each promise written by itself."""
    found = set()
    for promise in ALL:
        m = Counts.of(workload)
        if promise is not set_up_where_touched:
            set_up_where_touched(m)  # labour and seats count the set-ups it knows of
        known = len(m.rows.row_low)
        promise(m)
        point = m.point([np.array(rows) for rows in lots])
        for given, told in zip(lots, m.values(point), strict=True):
            assert told.tolist() == given, "the model has no variable for these counts"
        if any(row < 0 or row >= known for row in m.rows.matrix().broken(point)):
            found.add(promise.__name__)
    return found


def test_a_box_that_is_done_stays_done():
    boxes = winter(mornings(3), lot("boxes", 3, step("scrape", 3, 20, importance=OPTIONAL)))
    assert broken(boxes, [[2, 3, 2]]) == {"counts_only_rise"}
    assert broken(boxes, [[2, 2, 3]]) == set()


def test_two_people_do_no_half_boxes_that_add_up_to_a_whole_one():
    # 3 boxes of 40 min are 2 h of work, and 2 people have 2 h; but each ends with one box and 20 min to spare
    boxes = winter(mornings(2, who=(0, 1)), lot("boxes", 3, step("scrape", 3, 40)), helpers=(INES, TOMAS))
    assert broken(boxes, [[3, 3]]) == {"counts_only_rise"}
    assert broken(boxes, [[2, 3]]) == set()


def test_no_box_is_put_away_before_it_is_scraped():
    boxes = winter(mornings(2), lot("boxes", 3, step("scrape", 3, 5), step("put away", 3, 5)))
    assert broken(boxes, [[2, 3], [3, 3]]) == {"no_step_overtakes"}
    assert broken(boxes, [[2, 3], [2, 3]]) == set()


def test_the_second_coat_waits_till_the_first_is_dry():
    coats = lot("boxes", 3, step("first coat", 3, 5, wait_s=25 * HOUR), step("second coat", 3, 5))
    assert broken(winter(mornings(4), coats), [[2, 3, 3, 3], [0, 0, 3, 3]]) == {"no_step_overtakes"}
    assert broken(winter(mornings(4), coats), [[2, 3, 3, 3], [0, 0, 2, 3]]) == set()


@pytest.mark.parametrize(("hours", "fits"), [(24 + 5 / 6, True), (24 + 5 / 6 + 1 / 60, False)])
def test_the_first_coat_may_be_dry_by_the_end_of_the_next_morning(hours, fits):
    # from 9:05, when it has its first coat, to 9:55 of the day after, when it may begin its second: not a minute more
    coats = lot("boxes", 1, step("first coat", 1, 5, wait_s=round(hours * HOUR)), step("second coat", 1, 5))
    told = broken(winter(mornings(4), coats), [[0, 1, 1, 1], [0, 0, 1, 1]])
    assert told == (set() if fits else {"no_step_overtakes"})


def test_the_only_box_that_is_scraped_is_not_put_away_while_its_glue_dries():
    steps = (step("scrape", 2, 5), step("mend", 1, 5, needs=(0,), wait_s=20 * HOUR), step("put away", 2, 5))
    boxes = winter(mornings(3), lot("boxes", 2, *steps))
    assert broken(boxes, [[1, 2, 2], [1, 1, 1], [1, 1, 2]]) == {"none_is_taken_out_of_hand"}
    assert broken(boxes, [[1, 2, 2], [1, 1, 1], [0, 2, 2]]) == set()
    assert broken(boxes, [[2, 2, 2], [1, 1, 1], [1, 1, 2]]) == set()


def test_a_set_up_serves_until_the_stretch_ends_whoever_comes_and_goes():
    # 30 min of set-up and 90 min of glueing fill two hours in two sessions; after a break it is set up anew
    glueing = lot("boxes", 9, step("glue", 9, 10, setup_s=1_800))
    for break_h, told in ((0, set()), (1, {"set_up_where_touched", "counts_only_rise", "enough_people"})):
        sessions = [session(0, 9, 1), session(0, 10 + break_h, 1), session(1, 9, 3)]
        assert broken(winter(sessions, glueing), [[3, 9, 9]]) == told


def test_while_one_sets_up_for_a_first_coat_and_one_for_a_second_the_third_has_nothing_to_paint_yet():
    # half an hour to set up for either, in an hour: then three people paint three pieces each
    stand = (Place("stand", seats=3),)
    for firsts, told in ((6, {"set_up_where_touched"}), (5, set())):
        coats = (("first coat", firsts), ("second coat", 4))
        lots = [lot(name, n, step(name, n, 10, setup_s=1_800, at=0)) for name, n in coats]
        hour = winter(mornings(1, who=(0, 1, 2)), *lots, helpers=(INES, TOMAS, NOOR), places=stand)
        assert broken(hour, [[firsts]], [[4]]) == told


def test_the_next_load_is_closed_when_the_last_has_waited_and_was_taken_out():
    # ten a day, 24 h in the freezer, each load closed 12.5 min later than the last: the third is too late for 9:30
    freeze = step("freeze", 40, 1, wait_s=24 * HOUR, stays=staying(0))
    combs = lot("combs", 40, freeze, step("seal", 40, 0.25))
    cold = winter(mornings(6, 0.5), combs, places=(Place("freezer", holds=10, whole_loads=True),))
    daily = [[10, 20, 30, 40, 40, 40], [0, 10, 20, 30, 40, 40]]
    with_a_rest = [[10, 20, 20, 30, 40, 40], [0, 10, 20, 20, 30, 40]]
    assert broken(cold, daily) == {"no_more_than_loads_bring_through"}
    assert broken(cold, with_a_rest) == set()
    assert chain_is_broken(cold, daily, [10, 22.5, 30, 30])
    assert chain_is_broken(cold, with_a_rest, [10, 22, 0, 12.5, 25])
    assert not chain_is_broken(cold, with_a_rest, [10, 22.5, 0, 12.5, 25])


def chain_is_broken(workload: Workload, rows: Rows, closed_min: list[float]) -> bool:
    """Whether loads closed so many minutes after the start of each session follow too soon on one another."""
    m = Counts.of(workload)
    loads_go_in_whole(m)
    loads_follow_one_another(m)
    point = m.point([np.array(rows)])
    for ((_, k), moment), minutes in zip(sorted(m.closes.items()), closed_min, strict=False):
        point[next(iter(moment.terms))] = workload.sessions[k].starts_s + round(minutes * 60)
    return len(m.rows.matrix().broken(point)) > 0


def test_boxes_that_need_no_mending_do_not_wait_for_those_that_do():
    boxes = lot("boxes", 5, step("mend", 2, 5), step("put away", 5, 5))
    assert broken(winter(mornings(2), boxes), [[0, 2], [3, 5]]) == set()
    assert broken(winter(mornings(2), boxes), [[0, 2], [4, 5]]) == {"no_step_overtakes"}


def test_boxes_never_scraped_pass_the_scraping_by_and_boxes_to_be_mended_do_not():
    scrape = step("scrape", 4, 5, importance=OPTIONAL)
    passing = lot("boxes", 4, scrape, step("put away", 4, 5))
    needing = lot("boxes", 4, scrape, step("mend", 4, 5, needs=(0,), importance=OPTIONAL))
    assert broken(winter(mornings(2), passing), [[0, 1], [3, 4]]) == set()
    assert broken(winter(mornings(2), passing), [[0, 1], [4, 4]]) == {"no_step_overtakes"}
    assert broken(winter(mornings(2), needing), [[0, 1], [0, 1]]) == set()
    assert broken(winter(mornings(2), needing), [[0, 1], [0, 2]]) == {"no_step_overtakes"}


def test_no_box_is_painted_before_the_whole_rack_is_rebuilt():
    lots = (lot("rebuild the rack", 4, step("rebuild", 4, 15)), lot("boxes", 3, step("paint", 3, 5)))
    ordered = winter(mornings(3), *lots, orders=(Order((0, 0), (1, 0)),))
    assert broken(ordered, [[3, 4, 4]], [[1, 3, 3]]) == {"orders_kept"}
    assert broken(ordered, [[3, 4, 4]], [[0, 3, 3]]) == set()


def test_comb_thawed_yesterday_is_sealed_today():
    combs = lot("combs", 4, step("take out", 4, 2), step("seal", 4, 2, within_s=26 * HOUR, within_of=0))
    assert broken(winter(mornings(4), combs), [[4, 4, 4, 4], [0, 3, 4, 4]]) == {"not_too_late_after"}
    assert broken(winter(mornings(4), combs), [[4, 4, 4, 4], [0, 4, 4, 4]]) == set()


def test_lids_that_are_never_oiled_are_not_oiled_too_late():
    oil = step("oil", 4, 2, within_s=26 * HOUR, within_of=0, importance=OPTIONAL)
    lids = winter(mornings(4), lot("lids", 4, step("wash", 4, 2), oil))
    assert broken(lids, [[4, 4, 4, 4], [0, 3, 3, 3]]) == set()
    assert broken(lids, [[4, 4, 4, 4], [0, 3, 4, 4]]) == {"not_too_late_after"}


def test_must_work_is_all_done_and_optional_work_need_not_be():
    lots = (lot("boxes", 3, step("mend", 3, 5)), lot("lids", 3, step("scrape", 3, 5, importance=OPTIONAL)))
    assert broken(winter(mornings(2), *lots), [[2, 2]], [[0, 0]]) == {"must_work_is_done"}
    assert broken(winter(mornings(2), *lots), [[2, 3]], [[0, 0]]) == set()


def test_the_same_set_up_serves_all_lots_and_takes_its_time_from_both_people():
    # in 1 h with 20 min of set-up two people have 80 min for pieces, however these are shared between the lots
    lots = [lot(name, 3, step("glue", 3, 20, setup_s=1_200)) for name in ("boxes", "lids")]
    glueing = winter(mornings(2, who=(0, 1)), *lots, helpers=(INES, TOMAS))
    assert broken(glueing, [[3, 3]], [[2, 3]]) == {"set_up_where_touched"}
    assert broken(glueing, [[3, 3]], [[1, 3]]) == set()


def test_setting_up_is_work_too():
    lots = (lot("boxes", 2, step("glue", 2, 20, setup_s=1_200)), lot("lids", 1, step("scrape", 1, 10)))
    assert broken(winter(mornings(2), *lots), [[2, 2]], [[1, 1]]) == {"enough_people"}
    assert broken(winter(mornings(2), *lots), [[2, 2]], [[0, 1]]) == set()


def test_work_that_only_one_can_do_is_not_done_in_two_peoples_time():
    tomas = Helper(TOMAS.name, frozenset({"scrape"}))
    lots = [lot(name, 1, step(name, 1, 40)) for name in ("paint", "wire", "scrape")]
    work = winter(mornings(2, who=(0, 1)), *lots, helpers=(INES, tomas))
    assert broken(work, [[1, 1]], [[1, 1]], [[0, 1]]) == {"enough_people"}
    assert broken(work, [[1, 1]], [[0, 1]], [[1, 1]]) == set()


def test_three_people_are_one_pair_of_hands_for_heavy_boxes():
    lots = [lot(name, 1, step("carry", 1, 40, hands=2)) for name in ("full boxes", "full supers")]
    carrying = winter(mornings(2, who=(0, 1, 2)), *lots, helpers=(INES, TOMAS, NOOR))
    assert broken(carrying, [[1, 1]], [[1, 1]]) == {"enough_people"}
    assert broken(carrying, [[1, 1]], [[0, 1]]) == set()


def test_seconds_taken_off_a_session_are_not_there_for_work():
    work = winter(mornings(2), lot("boxes", 3, step("scrape", 3, 20)))
    m = Counts.of(work)
    enough_people(m, {0: 60})
    assert len(m.rows.matrix().broken(m.point([np.array([[3, 3]])]))) == 1
    assert len(m.rows.matrix().broken(m.point([np.array([[2, 3]])]))) == 0


def test_one_seat_at_the_bench_is_one_hour_of_work_in_an_hour():
    lots = [lot(name, 1, step(name, 1, 40, at=0)) for name in ("mend", "wire")]
    bench = winter(mornings(2, who=(0, 1)), *lots, helpers=(INES, TOMAS), places=(Place("bench", seats=1),))
    assert broken(bench, [[1, 1]], [[1, 1]]) == {"seats_kept"}
    assert broken(bench, [[1, 1]], [[0, 1]]) == set()


def drying(boxes: int = 5, **stay: object) -> Workload:
    paint = step("paint", boxes, 5, wait_s=16 * HOUR, stays=(Stay(0, **stay),))
    lots = lot("boxes", boxes, paint, step("put away", boxes, 1))
    return winter(mornings(3), lots, places=(Place("rack", holds=4),))


def test_the_rack_holds_what_it_holds_and_is_freed_by_what_is_put_away():
    assert broken(drying(), [[3, 5, 5], [0, 0, 5]]) == {"space_kept"}
    assert broken(drying(), [[3, 5, 5], [0, 1, 5]]) == set()


def test_two_spaces_for_each_box_are_half_as_many_boxes():
    assert broken(drying(4, spaces=2), [[2, 4, 4], [0, 1, 4]]) == {"space_kept"}
    assert broken(drying(4, spaces=2), [[2, 4, 4], [0, 2, 4]]) == set()


def test_what_leaves_the_curing_box_by_itself_needs_nobody_to_take_it_out():
    assert broken(drying(until_taken=False), [[3, 5, 5], [0, 0, 5]]) == set()
    assert broken(drying(until_taken=False), [[5, 5, 5], [0, 0, 5]]) == {"space_kept"}


def test_gear_that_arrives_overnight_finds_its_place_cleared():
    boxes = lot("boxes", 3, step("put away", 3, 5), rests=staying(0))
    lids = lot("lids", 3, step("put lids away", 3, 5), rests=staying(0), arrives_s=DAY)
    shed = winter(mornings(2), boxes, lids, places=(Place("shed", holds=4),))
    assert broken(shed, [[1, 3]], [[0, 3]]) == {"space_kept"}
    assert broken(shed, [[2, 3]], [[0, 3]]) == set()


def test_a_freezer_is_not_topped_up():
    freeze = step("freeze", 5, 1, wait_s=20 * HOUR, stays=staying(0))
    freezer = Place("freezer", holds=5, whole_loads=True)
    combs = winter(mornings(4), lot("combs", 5, freeze, step("seal", 5, 1)), places=(freezer,))
    assert broken(combs, [[3, 5, 5, 5], [0, 0, 5, 5]]) == {"loads_go_in_whole"}
    assert broken(combs, [[3, 5, 5, 5], [0, 2, 5, 5]]) == {"loads_go_in_whole"}
    assert broken(combs, [[3, 5, 5, 5], [0, 3, 5, 5]]) == set()


def in_store(*, treat_by_s: int, until_day: int = 4, **treat: object) -> Workload:
    treated = step("treat", 4, 2, protected=True, **treat)
    combs = lot("combs", 4, step("sort", 4, 2), treated, treat_by_s=treat_by_s, protect_until_s=until_day * DAY)
    return winter([session(d, h, 1) for d in range(4) for h in (9, 14)], combs)


def test_every_comb_is_treated_by_its_day():
    store = in_store(treat_by_s=2 * DAY)
    assert broken(store, [[4] * 8, [0, 0, 0, 3, 4, 4, 4, 4]]) == {"comb_is_protected"}
    assert broken(store, [[4] * 8, [0, 0, 0, 4, 4, 4, 4, 4]]) == set()


def test_comb_kept_cold_may_lie_open_at_noon_and_not_overnight():
    cold = in_store(treat_by_s=DAY)
    (combs,) = cold.lots
    cold = replace(cold, lots=(replace(combs, protected=True),))
    assert broken(cold, [[0, 0, 0, 0, 4, 4, 4, 4], [0, 0, 0, 0, 0, 4, 4, 4]]) == set()
    assert broken(cold, [[0, 0, 0, 0, 0, 4, 4, 4], [0, 0, 0, 0, 0, 3, 4, 4]]) == {"comb_is_protected"}


def lapsing(renewals: int) -> Lot:
    treat = step("treat", 4, 2, protected=True, lasts_s=2 * DAY)
    again = replace(treat, importance=OPTIONAL, worth=0)
    steps = (treat, *(replace(again, needs=(n,)) for n in range(renewals)))
    return lot("combs", 4, *steps, treat_by_s=DAY, protect_until_s=4 * DAY)


@pytest.mark.parametrize("renewed", [[0, 0, 0, 4], [0, 0, 4, 4], [0, 4, 4, 4]])
def test_a_treatment_that_lapses_is_renewed_before_it_does(renewed):
    # treated on the first morning for two days: by ten o'clock on the third morning it lapses
    late, early = renewed[2] == 0, renewed[1] == 4
    assert broken(winter(mornings(4), lapsing(1)), [[4] * 4, renewed]) == (
        {"comb_is_protected"} if late or early else set()
    )
    twice = broken(winter(mornings(4), lapsing(2)), [[4] * 4, renewed, [0, 0, 0 if late else 4, 4]])
    assert twice == ({"comb_is_protected"} if late else set())
