"""What a plan comes to: left over, who comes, when comb is safe, what is full."""

from datetime import UTC, date, datetime, time, timedelta

from offseason.plan.document import Plan, Row
from offseason.plan.load import bottleneck, resources
from offseason.plan.reading import comb_safety, left_over, presences, tightest
from offseason.workload.build import build_workload
from offseason.workload.model import Helper, Importance, Lot, Place, Session, Stay, Step, Workload
from tests.plan.winters import winter

MON = date(2026, 10, 5)
DAY_S = 86_400
HOUR_S = 3_600
INES = (Helper("Ines"),)


def plan_of(*rows):
    return Plan("winter.yaml", "0" * 64, datetime(2026, 10, 1, tzinfo=UTC), "by hand", proven=False, aims=(), rows=rows)


def row(day_number, hours, lot="boxes", step="scrape", pieces=10, who=("Ines",), at=None, start=9):
    day = MON + timedelta(days=day_number)
    return Row(day, time(start), time(start + hours), who, lot, step, pieces, at)


def session(day_number, hours=4, helpers=(0,), fit=()):
    starts = day_number * DAY_S + 9 * HOUR_S
    return Session(MON + timedelta(days=day_number), starts, starts + hours * HOUR_S, helpers, frozenset(fit))


MONDAYS = (session(0), session(7), session(14))


def workload(*lots, sessions=MONDAYS, helpers=INES, places=()):
    return Workload(tuple(sessions), helpers, places, lots, until_s=30 * DAY_S)


def combs(*steps, **more):
    return Lot("combs", "combs", 100, steps, treat_by_s=20 * DAY_S, **more)


def test_pieces_that_no_row_does_are_left_over_with_their_hours():
    boxes = Lot("boxes", "boxes", 30, (Step("scrape", 30, 360, importance=Importance.COULD),))
    (left,) = left_over(workload(boxes), plan_of(row(0, 1, pieces=10), row(7, 1, pieces=8)))
    assert (left.lot, left.step, left.pieces, left.of_pieces) == ("boxes", "scrape", 12, 30)
    assert (left.importance, left.hours) == (Importance.COULD, 1.2)


def test_nothing_is_left_over_when_rows_add_up_to_every_piece():
    boxes = Lot("boxes", "boxes", 18, (Step("scrape", 18, 360),))
    assert left_over(workload(boxes), plan_of(row(0, 1, pieces=10), row(7, 1, pieces=8))) == ()


def test_a_round_is_left_over_as_often_as_periods_go_without_it():
    look = Step("look", 1, 1800, importance=Importance.SHOULD)
    periods = [Lot(f"look {n}", "look", 1, (look,)) for n in range(3)]
    (left,) = left_over(workload(*periods), plan_of(row(0, 1, "look", "look", pieces=1)))
    assert (left.pieces, left.of_pieces, left.hours) == (2, 3, 1)


def test_hours_of_a_person_count_rows_done_together_for_each_of_them():
    both = workload(helpers=(Helper("Ines"), Helper("Tomas")), sessions=(session(0, helpers=(0, 1)), session(7)))
    ines, tomas = presences(both, plan_of(row(0, 2, who=("Ines", "Tomas")), row(7, 1)))
    assert (ines.days, ines.hours, ines.offered_hours) == ((MON, MON + timedelta(days=7)), 3, 8)
    assert (tomas.days, tomas.hours, tomas.offered_hours) == ((MON,), 2, 4)


def test_a_person_who_is_never_called_is_still_in_the_list():
    (ines,) = presences(workload(), plan_of())
    assert (ines.days, ines.hours, ines.offered_hours) == ((), 0, 12)


def test_comb_is_safe_from_the_day_the_last_of_it_goes_into_protection():
    lot = combs(Step("freeze", 100, 18, protected=True), Step("seal", 100, 30, protected=True))
    rows = [row(0, 1, "combs", "freeze", 60), row(1, 1, "combs", "seal", 60), row(7, 1, "combs", "freeze", 40)]
    (safe,) = comb_safety(workload(lot), plan_of(*rows, row(8, 1, "combs", "seal", 40)))
    assert (safe.safe, safe.since) == (True, MON + timedelta(days=7))


def test_comb_taken_out_of_the_freezer_and_left_open_is_safe_only_once_sealed():
    lot = combs(
        Step("freeze", 100, 18, protected=True), Step("take out", 100, 6), Step("seal", 100, 30, protected=True)
    )
    rows = [row(0, 1, "combs", "freeze", 100), row(1, 1, "combs", "take out", 100), row(7, 1, "combs", "seal", 100)]
    (safe,) = comb_safety(workload(lot), plan_of(*rows))
    assert (safe.safe, safe.since) == (True, MON + timedelta(days=7))


def test_comb_left_in_part_open_at_the_end_is_not_called_safe():
    lot = combs(Step("freeze", 100, 18, protected=True))
    (safe,) = comb_safety(workload(lot), plan_of(row(0, 1, "combs", "freeze", 99)))
    assert (safe.safe, safe.since) == (False, None)


def test_comb_that_arrives_in_a_cold_store_is_safe_without_any_work():
    (safe,) = comb_safety(workload(combs(protected=True)), plan_of())
    assert (safe.safe, safe.since) == (True, None)


def test_the_person_whose_weeks_are_full_is_the_bottleneck():
    crew = (Helper("Ines"), Helper("Tomas"))
    offered = [session(n, helpers=(0, 1)) for n in (0, 7, 14)]
    plan = plan_of(row(0, 4), row(7, 4), row(14, 1), row(0, 1, who=("Tomas",)))
    most = bottleneck(workload(sessions=offered, helpers=crew), plan)
    assert most is not None
    assert (most.what, most.name, most.share) == ("person", "Ines", 1.0)
    assert (most.first_week, most.last_week) == (MON, MON + timedelta(days=7))


def test_one_seat_that_is_always_taken_is_the_bottleneck_and_not_the_two_who_wait_for_it():
    crew = (Helper("Ines"), Helper("Tomas"))
    both = workload(sessions=[session(0, helpers=(0, 1))], helpers=crew, places=(Place("bench", seats=1),))
    most = bottleneck(both, plan_of(row(0, 2, at="bench"), row(0, 2, at="bench", who=("Tomas",), start=11)))
    assert most is not None
    assert (most.what, most.name, most.share) == ("place", "bench", 1.0)


def test_few_fit_days_used_to_the_end_are_the_bottleneck():
    boxes = Lot("boxes", "boxes", 20, (Step("first coat", 20, 720, need="painting"),))
    sessions = [session(0, hours=2, fit=["painting"]), session(1), session(7, hours=2, fit=["painting"]), session(8)]
    plan = plan_of(row(0, 2, step="first coat"), row(7, 2, step="first coat"))
    most = bottleneck(workload(boxes, sessions=sessions), plan)
    assert most is not None
    assert (most.what, most.name, most.share) == ("weather", "painting", 1.0)


def test_two_who_paint_in_the_same_hours_take_them_from_the_fit_weather_only_once():
    boxes = Lot("boxes", "boxes", 20, (Step("first coat", 20, 720, need="painting"),))
    sessions = [session(0, hours=4, fit=["painting"], helpers=(0, 1))]
    crew = (Helper("Ines"), Helper("Tomas"))
    plan = plan_of(row(0, 2, step="first coat"), row(0, 2, step="first coat", who=("Tomas",)))
    (fit,) = [one for one in resources(workload(boxes, sessions=sessions, helpers=crew), plan) if one.what == "weather"]
    assert fit.share(MON, MON) == 0.5


def test_a_freezer_loaded_on_every_day_somebody_comes_is_the_bottleneck():
    lot = combs(Step("freeze", 100, 18, wait_s=2 * DAY_S, stays=(Stay(0),), protected=True), Step("seal", 100, 30))
    sessions = [session(0), session(7)]
    frozen = [row(0, 1, "combs", "freeze", 50), row(7, 1, "combs", "freeze", 50, start=10)]
    plan = plan_of(*frozen, row(7, 1, "combs", "seal", 50))
    most = bottleneck(workload(lot, sessions=sessions, places=(Place("freezer", holds=50),)), plan)
    assert most is not None
    assert (most.what, most.name, most.share) == ("space", "freezer", 1.0)


def test_a_rack_that_pieces_leave_by_themselves_is_empty_again_the_next_day():
    boxes = Lot("boxes", "boxes", 20, (Step("first coat", 20, 720, wait_s=16 * HOUR_S, stays=(Stay(0, 1, False),)),))
    sessions = [session(n) for n in range(4)]
    plan = plan_of(row(0, 2, step="first coat", pieces=20))
    rack = next(
        r
        for r in resources(workload(boxes, sessions=sessions, places=(Place("rack", holds=40),)), plan)
        if r.what == "space"
    )
    assert (rack.used[MON], rack.open[MON]) == (0.5, 4)


def test_an_empty_plan_has_no_bottleneck():
    assert bottleneck(workload(), plan_of()) is None


# Clocks go back at 03:00 on 25 October and forward at 02:00 on 28 March (common to all zones of CET).
NIGHT = """
season: {from: 2026-10-24, until: 2026-10-26, timezone: CET}
crew: {Ines: {works: {sun: 00:00-06:00}}}
jobs: {mend the fence: {hours: 7}}
"""


def night_row(start, end, day=date(2026, 10, 25)):
    return Row(day, start, end, ("Ines",), "mend the fence", "mend the fence", 1)


def test_the_night_of_25_hours_gives_its_helper_an_hour_more():
    both = night_row(time(0), time(2, fold=1)), night_row(time(2, fold=1), time(6))
    (ines,) = presences(build_workload(winter(NIGHT)), plan_of(*both))
    assert (ines.hours, ines.offered_hours) == (7, 7)
    most = bottleneck(build_workload(winter(NIGHT)), plan_of(*both))
    assert most is not None
    assert (most.what, most.share) == ("person", 1.0)


def test_hours_in_the_hour_that_comes_twice_count_the_time_that_is_meant():
    night = build_workload(winter(NIGHT))
    for start, end, hours in (
        (time(1, 30), time(2, 30), 1),
        (time(1, 30), time(2, 30, fold=1), 2),
        (time(2, 30), time(2, 30, fold=1), 1),
        (time(2, 15, fold=1), time(2, 45, fold=1), 0.5),
        (time(0), time(6), 7),
    ):
        (ines,) = presences(night, plan_of(night_row(start, end)))
        assert ines.hours == hours


def test_a_row_through_the_hour_left_out_in_spring_is_an_hour_shorter():
    spring = NIGHT.replace("2026-10-24, until: 2026-10-26", "2027-03-27, until: 2027-03-29")
    through = night_row(time(1), time(4), date(2027, 3, 28))
    (ines,) = presences(build_workload(winter(spring)), plan_of(through))
    assert (ines.hours, ines.offered_hours) == (2, 5)
    (unchanging,) = presences(build_workload(winter(spring.replace(", timezone: CET", ""))), plan_of(through))
    assert (unchanging.hours, unchanging.offered_hours) == (3, 6)


# Comb with webbing is due the day it comes in, other comb by the eve of the moths (derived).
TWO_LOTS = """
season: {from: 2026-10-05, until: 2027-05-14, timezone: CET}
moths: {season_starts: 2027-04-20}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {loft: {holds: 99 combs}, freezer: {holds: 99 combs, celsius: -18}}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear:
  webbed: {piece: deep comb, count: 10, rests: loft, arrives: 2026-11-02, webbing_seen: true, steps: [freeze, seal]}
  late: {piece: deep comb, count: 10, rests: loft, steps: [freeze, seal]}
"""


def test_days_in_hand_are_counted_to_the_day_by_which_each_lot_must_be_safe():
    rows = [row(28, 1, "webbed", "freeze"), row(30, 1, "webbed", "seal"), row(35, 1, "late", "freeze")]
    lots = comb_safety(build_workload(winter(TWO_LOTS)), plan_of(*rows, row(37, 1, "late", "seal")))
    assert [(lot.lot, lot.since, lot.treat_by, lot.days_in_hand) for lot in lots] == [
        ("webbed", date(2026, 11, 2), date(2026, 11, 2), 0),
        ("late", date(2026, 11, 9), date(2027, 4, 19), 161),
    ]
    assert tightest(lots) is lots[0]


def test_comb_that_no_work_made_safe_has_no_days_in_hand():
    (lot,) = comb_safety(workload(combs(protected=True)), plan_of())
    assert (lot.days_in_hand, tightest([lot])) == (None, None)


def test_a_treatment_need_not_be_renewed_as_often_as_it_could_be():
    text = """
season: {from: 2026-10-05, until: 2027-04-30}
moths: {season_starts: 2027-02-20, season_ends: 2026-10-20}
crew: {Ines: {works: {sat: 09:00-12:00}}}
tasks: {treat: {minutes_each: 0.5, protects: 8 w}}
gear: {combs: {piece: deep comb, count: 100, steps: [treat]}}
"""
    treated = build_workload(winter(text))
    assert len(treated.lots[0].steps) > 2
    assert left_over(treated, plan_of(row(5, 1, "combs", "treat", 100))) == ()
    (left,) = left_over(treated, plan_of(row(5, 1, "combs", "treat", 90)))
    assert (left.pieces, left.of_pieces) == (10, 100)
