"""What adding up says of a winter before it is planned."""

from datetime import date, timedelta

import pytest

from offseason.workload.balance import balance_of
from offseason.workload.model import Helper, Importance, Lot, Place, Session, Stay, Step, Workload

FIRST = date(2026, 10, 5)
DAY_S = 86_400
HOUR_S = 3_600
INES = (Helper("Ines"),)


def session(day_number, hours=4, helpers=(0,), fit=()):
    starts = day_number * DAY_S + 9 * HOUR_S
    return Session(FIRST + timedelta(days=day_number), starts, starts + hours * HOUR_S, tuple(helpers), frozenset(fit))


def winter(sessions, lots, helpers=INES, places=(), days=88):
    return balance_of(
        Workload(tuple(sessions), tuple(helpers), tuple(places), tuple(lots), until_s=days * DAY_S), FIRST
    )


def boxes(*steps, count=10, arrives=0, ready_by=None):
    return Lot("boxes", "boxes", count, steps, arrives * DAY_S, None if ready_by is None else ready_by * DAY_S)


def test_months_add_up_help_to_the_last_day_of_the_season():
    balance = winter([session(0), session(30), session(60, hours=2)], [])
    assert [(m.until, m.help_hours, m.help_so_far) for m in balance.months] == [
        (date(2026, 10, 31), 4, 4),
        (date(2026, 11, 30), 4, 8),
        (date(2026, 12, 31), 2, 10),
    ]


def test_work_is_at_hand_from_the_month_its_gear_arrives():
    scrape = Step("scrape", 10, 1800)
    balance = winter([session(0)], [boxes(scrape, arrives=30)])
    assert [m.must_at_hand for m in balance.months] == [0, 5, 5]


def test_work_is_due_in_the_month_its_gear_must_be_ready():
    scrape = Step("scrape", 10, 1800)
    balance = winter([session(0)], [boxes(scrape, ready_by=57)])  # by the end of 30 November
    assert [m.must_due for m in balance.months] == [0, 5, 5]


def test_a_change_of_the_clocks_does_not_move_a_due_day_into_the_next_month():
    late_by_an_hour = Lot("boxes", "boxes", 10, (Step("scrape", 10, 1800),), ready_by_s=57 * DAY_S + HOUR_S)
    assert [m.must_due for m in winter([session(0)], [late_by_an_hour]).months] == [0, 5, 5]


def test_comb_is_due_at_its_treat_by_date_up_to_the_step_that_protects_it():
    combs = Lot(
        "combs",
        "combs",
        60,
        (Step("sort", 60, 60), Step("freeze", 60, 60, protected=True), Step("stack away", 60, 60)),
        treat_by_s=20 * DAY_S,
    )
    assert [m.must_due for m in winter([session(0)], [combs]).months] == [2, 2, 3]


def test_optional_work_is_kept_apart_from_work_that_must_be_done():
    balance = winter([session(0)], [boxes(Step("scrape", 10, 360, importance=Importance.COULD), Step("mend", 10, 720))])
    assert (balance.must_hours, balance.optional_hours) == (2, 1)


def test_work_for_two_hands_counts_twice():
    assert winter([session(0)], [boxes(Step("lift", 10, 360, hands=2))]).must_hours == 2


def test_a_place_is_open_only_while_somebody_is_there_to_sit_at_it():
    bench = Place("bench", seats=2)
    alone, three = session(0, helpers=(0,)), session(1, helpers=(0, 1, 2))
    crew = (Helper("Ines"), Helper("Tomas"), Helper("Noor"))
    place = winter([alone, three], [boxes(Step("scrape", 10, 360, at=0))], crew, [bench]).places[0]
    assert (place.place, place.must_hours, place.open_hours) == ("bench", 1, 4 + 2 * 4)


def test_weather_bound_work_is_held_against_fit_hours_only():
    fit, unfit = session(3, hours=3, fit=["painting"]), session(4)
    weather = winter([fit, unfit], [boxes(Step("first coat", 10, 360, need="painting"))]).weather[0]
    assert (weather.need, weather.must_hours, weather.fit_hours, weather.fit_days) == ("painting", 1, 3, 1)


def test_one_seat_at_the_paint_stand_makes_fit_hours_of_two_people_count_once():
    fit = session(3, hours=3, helpers=(0, 1), fit=["painting"])
    stand = Place("paint stand", seats=1)
    coat = boxes(Step("first coat", 10, 360, at=0, need="painting"))
    assert winter([fit], [coat], (Helper("Ines"), Helper("Tomas")), [stand]).weather[0].fit_hours == 3


def test_a_freezer_asked_for_ten_loads_of_two_days_is_taken_for_twenty_days_at_least():
    freezer = Place("freezer", holds=60)
    combs = boxes(Step("freeze", 600, 20, wait_s=2 * DAY_S, stays=(Stay(0),)), count=600)
    space = winter([session(0)], [combs], places=[freezer]).spaces[0]
    assert (space.spaces_asked, space.holds, space.least_days) == (600, 60, 20)


def test_a_shelf_where_nothing_waits_or_dries_is_no_space_to_add_up():
    shelf = Place("shelf", holds=60)
    assert winter([session(0)], [boxes(Step("put away", 10, 60, stays=(Stay(0),)))], places=[shelf]).spaces == ()


def test_work_that_only_some_can_do_is_held_against_their_hours():
    crew = (Helper("Ines"), Helper("Tomas", frozenset({"scrape"})))
    lots = [boxes(Step("scrape", 10, 360), Step("weld", 10, 720))]
    (skill,) = winter([session(0, helpers=(0, 1)), session(1, helpers=(1,))], lots, crew).skills
    assert (skill.helpers, skill.kinds, skill.must_hours, skill.help_hours) == (("Ines",), ("weld",), 2, 4)


def test_the_tightest_stretch_is_where_due_work_takes_most_of_the_help():
    early = Lot("combs", "combs", 10, (Step("freeze", 10, 1080),), 0, 7 * DAY_S)
    late = Lot("boxes", "boxes", 10, (Step("scrape", 10, 360),), 0, None)
    tightest = winter([session(0), session(30), session(60)], [early, late]).tightest
    assert tightest is not None
    assert (tightest.first, tightest.last) == (FIRST, FIRST + timedelta(days=6))
    assert (tightest.must_hours, tightest.help_hours, tightest.short_hours) == (3, 4, 0)


def test_a_stretch_without_enough_help_says_how_many_hours_are_short():
    tightest = winter([session(0)], [boxes(Step("scrape", 10, 3600))]).tightest
    assert tightest is not None
    assert tightest.short_hours == pytest.approx(6)


def test_a_winter_without_must_work_has_no_tightest_stretch():
    assert winter([session(0)], [boxes(Step("scrape", 10, 3600, importance=Importance.SHOULD))]).tightest is None
