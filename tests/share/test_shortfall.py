"""What is said when must-work does not fit."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from offseason.share.terminal.shortfall import own_dates_text, shortfall_text
from offseason.workload.model import Leaving, Left, Lot, Schedule, Step, Workload

DAY_S = 86_400
LOOK = Lot(
    "look 2",
    "look at the combs",
    1,
    (Step("look at the combs", 1, 1800),),
    period=(date(2026, 11, 4), date(2026, 12, 3)),
)


def flat(text):
    return " ".join(text.split())


def short(*left, proven=False):
    return Schedule((), (), left=tuple(Left(*one, Leaving.UNDONE) for one in left), certain=proven, seconds=60)


def test_left_over_pieces_are_named_by_lot_and_step(scenario, workload):
    text = shortfall_text(scenario, workload, short((1, 0, 24)))
    assert "- freeze: 24 of 60 super combs, 8 min of work" in flat(text)


def test_a_job_is_left_over_in_hours(scenario, workload):
    assert "- rebuild the rack: 1.5 h of work" in flat(shortfall_text(scenario, workload, short((2, 0, 6))))


def test_a_round_is_left_over_with_its_days(scenario, workload):
    rounds = Workload(workload.sessions, workload.helpers, workload.places, (LOOK,))
    text = flat(shortfall_text(scenario, rounds, short((0, 0, 1))))
    assert "- look at the combs: the one from Wed 4 Nov 2026 to Thu 3 Dec 2026, 30 min of work" in text


@pytest.mark.parametrize(
    ("proven", "said"),
    [
        (True, "No plan can do all that must be done: this is proven."),
        (False, "was found in 60 s; it is not proven that there is none"),
    ],
)
def test_proven_impossible_and_not_found_are_told_apart(scenario, workload, proven, said):
    assert said in flat(shortfall_text(scenario, workload, short((1, 0, 24), proven=proven)))


def test_shortfall_fits_eighty_columns(scenario, workload):
    text = shortfall_text(scenario, workload, short((1, 0, 24), (2, 0, 6)))
    assert max(map(len, text.splitlines())) <= 80


def daily(days):
    rounds = tuple(
        replace(LOOK, period=(date(2026, 10, 5) + timedelta(days=n), date(2026, 10, 5) + timedelta(days=n)))
        for n in range(days)
    )
    return rounds, tuple((n, 0, 1) for n in range(days))


def test_a_round_of_one_day_is_named_by_that_day(scenario, workload):
    rounds, left = daily(1)
    text = flat(shortfall_text(scenario, replace(workload, lots=rounds), short(*left)))
    assert "- look at the combs: the one on Mon 5 Oct 2026, 30 min of work" in text


def test_of_many_rounds_only_a_few_are_named(scenario, workload):
    rounds, left = daily(65)
    text = shortfall_text(scenario, replace(workload, lots=rounds), short(*left))
    assert text.count("the one on") == 3
    assert "- look at the combs: and 62 more" in flat(text)


def test_of_many_lots_only_so_many_are_named_as_will_be_read(scenario, workload):
    lots = tuple(replace(workload.lots[1], stated=f"combs {n}") for n in range(50))
    text = shortfall_text(scenario, replace(workload, lots=lots), short(*((n, 0, 1) for n in range(50))))
    assert text.count("- combs") == 20
    assert "- and 30 more" in flat(text)


def test_what_was_only_not_found_says_what_was_not_tried(scenario, workload):
    told = "(Every piece of a lot is planned between two changes of people or weather; one carried over such a change"
    assert told in flat(shortfall_text(scenario, workload, short((1, 0, 24), proven=False)))
    assert told not in flat(shortfall_text(scenario, workload, short((1, 0, 24), proven=True)))


def test_a_proof_that_is_only_of_plans_without_work_carried_over_says_so(scenario, workload):
    text = flat(shortfall_text(scenario, workload, short((1, 0, 24)), impossible=True))
    assert "this is proven of plans that carry no piece of a lot over a change of people or weather" in text
    assert "--seconds" not in text


def test_work_that_comes_later_than_it_may_is_told_apart_from_work_left(scenario, workload):
    late = replace(short((1, 0, 24)), left=(Left(1, 0, 24, Leaving.LATE),))
    text = flat(shortfall_text(scenario, workload, late))
    assert "- freeze: 24 of 60 super combs come later than they may" in text
    assert "of work" not in text.partition("Left over:")[2].partition("What can help")[0]


def test_a_day_that_was_put_off_because_it_is_over_is_told_with_the_one_that_was_asked(workload):
    stated = replace(workload, lots=tuple(replace(lot, ready_by_s=5 * DAY_S) for lot in workload.lots))
    begun = replace(
        workload,
        lots=tuple(replace(lot, ready_by_s=9 * DAY_S, treat_by_s=lot.treat_by_s) for lot in workload.lots),
    )
    left = [Left(0, 0, 3, Leaving.UNDONE), Left(0, 1, 3, Leaving.UNDONE)]
    assert flat(own_dates_text(stated, begun, left)) == (
        "brood boxes had to be ready by Fri 9 Oct 2026: what is overdue is to be done by Tue 13 Oct 2026, a day that "
        "offseason chose."
    )
    assert own_dates_text(stated, stated, left) == ""
