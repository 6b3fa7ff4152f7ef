"""Small winters, each a statement about the trade; a mixed-integer programme written apart agrees to the unit."""

from __future__ import annotations

import pytest

from offseason.solver import solve
from offseason.workload.model import Order, Place, Prefer, Stay, Workload
from tests.solver.agreement import SECONDS, agreed, beaten_by_the_clock, counts_of
from tests.solver.milp import least_left, second_opinion
from tests.solver.winters import (
    DAY,
    HOUR,
    INES,
    NOOR,
    OPTIONAL,
    TOMAS,
    WISHED,
    lot,
    mornings,
    session,
    staying,
    step,
    winter,
)


def painting(*, fine: tuple[int, ...], rack: int, boxes: int = 6) -> Workload:
    coat = {"setup_s": 20 * 60, "need": "painting", "wait_s": 16 * HOUR, "stays": staying(0)}
    steps = (
        step("first coat", boxes, 10, **coat),
        step("second coat", boxes, 10, **coat),
        step("put away", boxes, 1, stays=staying(1)),
    )
    return winter(
        mornings(8, 2, fine=fine), lot("boxes", boxes, *steps), places=(Place("rack", holds=rack), Place("loft"))
    )


def freezing(*, holds: int, treat_by_day: int = 9, comb: int = 7) -> Workload:
    steps = (
        step("freeze", comb, 1, wait_s=24 * HOUR, stays=staying(0), protected=True),
        step("seal", comb, 2, stays=staying(1), protected=True),
    )
    combs = lot(
        "combs",
        comb,
        *steps,
        arrives_s=DAY,
        treat_by_s=(treat_by_day + 1) * DAY,
        protect_until_s=10 * DAY,
        open_heat=(0, *[100] * 9),
    )
    freezer = Place("freezer", holds=holds, whole_loads=True)
    return winter(mornings(10, 0.5), combs, places=(freezer, Place("loft")))


def test_two_coats_wait_for_fine_days_and_for_room_on_the_rack():
    exposure, left, waiting = agreed(painting(fine=(1, 2, 4, 5, 6), rack=4))
    assert (exposure, left) == (0, 0)
    assert waiting > agreed(painting(fine=(1, 2, 4, 5, 6), rack=6))[-1]


def test_comb_goes_through_a_small_freezer_in_whole_loads():
    # all 7 at once on the first day; or 3 a day, ten minutes later each, with 4 and then 1 left open till the next
    assert agreed(freezing(holds=7))[0] == 0
    assert agreed(freezing(holds=3))[0] == pytest.approx((4 + 1) * 10)


def test_combs_that_come_a_day_late_wait_till_the_freezer_is_empty():
    freeze = {"wait_s": 40 * HOUR, "stays": staying(0)}
    lots = [
        lot(name, 3, step("freeze", 3, 1, **freeze), step("seal", 3, 2, stays=staying(1)), arrives_s=day * DAY)
        for day, name in enumerate(("combs", "combs of the day after"))
    ]
    waiting = []
    for whole_loads in (True, False):
        freezer = Place("freezer", holds=6, whole_loads=whole_loads)
        workload = winter(mornings(8, 0.5), *lots, places=(freezer, Place("loft")))
        waiting.append(agreed(workload)[-1])
    assert waiting[0] > waiting[1]


def test_only_a_share_of_the_boxes_is_mended_and_those_are_scraped_first():
    boxes = lot(
        "boxes",
        10,
        step("scrape", 10, 15, importance=OPTIONAL),
        step("mend", 3, 20, needs=(0,), wait_s=20 * HOUR),
        step("put away", 10, 2),
    )
    _, left, _ = agreed(winter(mornings(3, 1), boxes))
    assert left == 4  # of 3 h, 80 min go into what must be done, and a box takes 15 min


def test_what_should_be_done_comes_before_ten_times_as_much_that_could_be():
    lots = (
        lot("excluders", 6, step("clean", 6, 10, importance=OPTIONAL, worth=2)),
        lot("feeders", 4, step("wash", 4, 20, importance=WISHED)),
        lot("lids", 3, step("scrape", 3, 20)),
    )
    _, left, _ = agreed(winter(mornings(2, 1.5), *lots))
    assert left == 2 * 2  # 4 of the 6 excluders fit in beside the feeders


def test_comb_is_sealed_within_a_day_of_thawing():
    combs = lot(
        "combs",
        6,
        step("freeze", 6, 1, wait_s=20 * HOUR, stays=staying(0)),
        step("seal", 6, 15, within_s=50 * HOUR, within_of=0),
    )
    agreed(winter(mornings(6, 0.5), combs, places=(Place("freezer", holds=6),)))


def test_lids_left_unoiled_need_no_oil_in_time_and_those_oiled_have_it_within_two_hours():
    oil = step("oil", 8, 6, importance=OPTIONAL, within_s=2 * HOUR, within_of=0)
    lids = lot("lids", 8, step("wash", 8, 6), oil)
    _, left, _ = agreed(winter(mornings(2, 0.6), lids))
    assert left == 4  # 12 times 6 min, less 8 for washing


def test_where_only_half_is_oiled_the_other_half_is_not_held_back_for_it():
    lids = lot("lids", 8, step("wash", 8, 6), step("oil", 4, 6, within_s=2 * DAY, within_of=0))
    hurried, free = (
        winter(mornings(9, 1), entry) for entry in (lids, lot("lids", 8, *lids.steps[:1], step("oil", 4, 6)))
    )
    assert agreed(hurried) == agreed(free)


def test_gear_that_comes_in_overnight_finds_its_place_cleared_the_day_before():
    boxes = lot("boxes", 6, step("put away", 6, 5, stays=staying(1)), rests=staying(0))
    lids = lot("lids", 4, step("put lids away", 4, 5, stays=staying(1)), rests=staying(0), arrives_s=2 * DAY)
    work = lot("frames", 12, step("wire", 12, 10))
    places = (Place("shed", holds=6), Place("loft"))
    agreed(winter(mornings(5, 0.75), work, boxes, lids, places=places))
    workload = winter([session(0), session(2)], boxes, lids, places=places)
    assert [w.session for w in solve(workload, seconds=SECONDS).work] == [0, 1]


def test_comb_may_lie_open_at_noon_if_it_is_treated_by_the_evening():
    combs = lot(
        "combs",
        6,
        step("sort", 6, 10, stays=staying(1)),
        step("treat", 6, 10, stays=staying(1), protected=True),
        rests=staying(0),
        protected=True,
        treat_by_s=DAY,
        protect_until_s=4 * DAY,
        open_heat=(10,) * 4,
    )
    days = [session(d, start, 1) for d in (2, 3) for start in (9, 14)]
    agreed(winter(days, combs, places=(Place("cold store"), Place("loft"))))


def test_the_rack_is_rebuilt_before_any_box_is_painted():
    rack = lot("rebuild the rack", 8, step("rebuild the rack", 8, 15))
    boxes = lot("boxes", 6, step("paint", 6, 10))
    free = winter(mornings(5, 0.75), rack, boxes)
    bound = winter(mornings(5, 0.75), rack, boxes, orders=(Order((0, 0), (1, 0)),))
    assert agreed(bound)[-1] > agreed(free)[-1]
    order = [work.lot for work in solve(bound, seconds=SECONDS).work]
    assert order == sorted(order)


def test_work_that_one_person_cannot_do_waits_for_the_other():
    tomas = type(TOMAS)(TOMAS.name, frozenset({"scrape"}))
    sessions = [session(d, hours=1, who=who) for d, who in enumerate([(0, 1), (1,), (0, 1), (0,), (0,)])]
    boxes = lot("boxes", 5, step("scrape", 5, 10), step("paint", 5, 30, wait_s=HOUR))
    agreed(winter(sessions, boxes, lot("frames", 4, step("wire", 4, 15)), helpers=(INES, tomas)))


def test_one_seat_at_the_bench_makes_two_people_no_faster_there():
    frames = lot("frames", 8, step("repair", 8, 15, at=0))
    two = winter(mornings(4, 1, who=(0, 1)), frames, helpers=(INES, TOMAS), places=(Place("bench", seats=1),))
    one = winter(mornings(4, 1), frames, places=(Place("bench", seats=1),))
    assert agreed(two) == agreed(one)


def test_one_seat_at_the_bench_is_shared_by_all_that_is_done_there():
    lots = (lot("boxes", 4, step("mend", 4, 10, at=0)), lot("frames", 4, step("wire", 4, 10, at=0)))
    two = winter(mornings(4, 1, who=(0, 1)), *lots, helpers=(INES, TOMAS), places=(Place("bench", seats=1),))
    one = winter(mornings(4, 1), *lots, places=(Place("bench", seats=1),))
    assert agreed(two) == agreed(one)


def test_heavy_boxes_are_carried_by_two_and_the_third_person_carries_nothing():
    heavy = lot("full boxes", 6, step("carry", 6, 20, hands=2))
    three = winter(mornings(3, 1, who=(0, 1, 2)), heavy, helpers=(INES, TOMAS, NOOR))
    assert agreed(three) == agreed(winter(mornings(3, 1, who=(0, 1)), heavy, helpers=(INES, TOMAS)))


def test_a_keeper_who_likes_few_days_is_called_on_as_few_as_can_be():
    lots = (lot("boxes", 5, step("scrape", 5, 20)), lot("frames", 4, step("wire", 4, 15, setup_s=900)))
    sessions = [session(d, hours=h, who=(0, 1)) for d, h in enumerate((1, 2, 1, 1.5))]
    workload = winter(sessions, *lots, helpers=(INES, TOMAS), prefer=Prefer.FEW_DAYS)
    assert agreed(workload)[2] == 2
    assert len({(w.session, h) for w in solve(workload, seconds=SECONDS).work for h in w.helpers}) == 2


def test_a_keeper_who_likes_even_weeks_has_no_week_fuller_than_need_be():
    sessions = [session(d, hours=2) for d in (0, 1, 8, 9, 15, 16)]
    lots = (lot("boxes", 9, step("scrape", 9, 20)), lot("lids", 6, step("scrape lids", 6, 15, wait_s=DAY)))
    _, _, busiest, _ = agreed(winter(sessions, *lots, prefer=Prefer.EVEN_WEEKS))
    assert busiest == pytest.approx(1.5)  # 4 h 30 in three weeks


def test_a_treatment_that_lapses_is_renewed_when_due_and_no_sooner():
    treat = {"stays": staying(0), "protected": True, "lasts_s": 6 * DAY, "wait_s": 3 * DAY}
    combs = lot(
        "combs",
        4,
        step("treat", 4, 5, **treat),
        step("treat", 4, 5, importance=OPTIONAL, worth=0, needs=(0,), **treat),
        step("treat", 4, 5, importance=OPTIONAL, worth=0, needs=(1,), **treat),
        treat_by_s=3 * DAY,
        protect_until_s=11 * DAY,
        open_heat=(50,) * 12,
    )
    workload = winter(mornings(12, 0.5), combs, places=(Place("chest"),))
    agreed(workload)
    counts = counts_of(workload, solve(workload, seconds=SECONDS))
    assert [rows[-1] for rows in counts[0]] == [4, 4, 0]


def test_set_up_is_paid_in_each_session_and_makes_work_gather():
    lots = (lot("boxes", 4, step("glue", 4, 10, setup_s=1_200)), lot("frames", 3, step("sort", 3, 20)))
    agreed(winter(mornings(6, 1), *lots))


def test_the_soonest_end_counts_the_drying_after_the_last_brush_stroke():
    boxes = lot("boxes", 3, step("glue", 3, 20, wait_s=30 * HOUR), step("paint", 3, 20, wait_s=16 * HOUR))
    workload = winter(mornings(6, 1), boxes, prefer=Prefer.SOONEST)
    assert agreed(workload)[-1] == 2 * DAY + 10 * HOUR + 16 * HOUR


def test_drying_pieces_leave_a_curing_box_by_themselves():
    lids = lot("lids", 6, step("glue", 6, 5, wait_s=30 * HOUR, stays=(Stay(0, 1, until_taken=False),)))
    agreed(winter(mornings(8, 1), lids, places=(Place("curing box", holds=2),)))


def test_gear_that_came_late_is_begun_late_and_ready_on_its_day():
    early = lot("boxes", 4, step("scrape", 4, 15), ready_by_s=4 * DAY)
    late = lot("new frames", 4, step("wire", 4, 15), arrives_s=2 * DAY, ready_by_s=4 * DAY)
    agreed(winter(mornings(5, 1), early, late))


def test_a_long_job_runs_on_past_the_edges_of_sessions_and_keeps_its_person_busy():
    sessions = [session(0, 9, 1), session(0, 10, 1, who=(0, 1)), session(0, 11, 1), session(1, 9, 3)]
    lots = (lot("melt down", 1, step("melt down", 1, 150)), lot("boxes", 4, step("scrape", 4, 20)))
    agreed(winter(sessions, *lots, helpers=(INES, TOMAS)))


def test_a_set_up_serves_until_the_stretch_of_work_ends():
    lots = (lot("boxes", 8, step("glue", 8, 20, setup_s=1_200)), lot("lids", 3, step("scrape", 3, 20)))
    waiting = []
    for break_h in (0, 1):
        sessions = [session(0, 9, 1), session(0, 10 + break_h, 1), session(1, 9, 1), session(1, 10 + break_h, 1)]
        waiting.append(agreed(winter([*sessions, session(2, 9, 1)], *lots))[-1])
    assert waiting[0] < waiting[1]


def test_a_share_that_dries_is_not_taken_out_of_hand():
    # an hour a box: two are scraped on the first day, one of them is mended and dries, the other is put away
    steps = (step("scrape", 2, 60), step("mend", 1, 60, needs=(0,), wait_s=24 * HOUR), step("put away", 2, 60))
    agreed(winter(mornings(4, 4), lot("boxes", 2, *steps)))


def test_one_box_cannot_be_scraped_and_mended_by_two_people_at_once():
    # The counts see two hours of two people and two hours of work; the clock sees one box. The plan is a day later
    # than the count of minutes alone would have it, and says so: the bound is that of the counts.
    box = lot("box", 1, step("scrape", 1, 60), step("mend", 1, 60))
    schedule = beaten_by_the_clock(winter(mornings(3, 1, who=(0, 1)), box, helpers=(INES, TOMAS)))
    assert [(w.session, w.step) for w in schedule.work] == [(0, 0), (1, 1)]


@pytest.mark.parametrize(
    "workload",
    [
        pytest.param(painting(fine=(1, 2), rack=4), id="too few fine days for the second coat"),
        pytest.param(freezing(holds=2, treat_by_day=3), id="too small a freezer before the moths fly"),
        pytest.param(painting(fine=(1, 2, 6, 7), rack=4), id="no day left to put the last boxes away"),
        pytest.param(winter(mornings(2, 1), lot("boxes", 9, step("scrape", 9, 15))), id="too few hours"),
    ],
)
def test_a_winter_that_does_not_fit_is_said_not_to_and_how_little_is_left(workload):
    schedule = solve(workload, seconds=SECONDS)
    assert second_opinion(workload) is None
    assert schedule.left_undone
    assert schedule.certain
    assert schedule.aims[0].reached == schedule.aims[0].bound == least_left(workload)
