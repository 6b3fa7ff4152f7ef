"""Pieces that went past optional work, by the log, are past it for good: nobody's days change on their account."""

from __future__ import annotations

import pytest

from offseason.solver.replan import replan
from offseason.workload.model import Done, Work
from offseason.workload.standing import with_standing
from tests.solver.winters import DAY, HOUR, MINUTE, WISHED, lot, mornings, step, winter

TODAY = 2 * DAY


def does(day: int, at_h: float, pieces: int, of_step: int) -> Work:
    starts_s = round(day * DAY + at_h * HOUR)
    return Work(-1, starts_s, starts_s + pieces * 10 * MINUTE, (0,), 0, of_step, pieces)


def anew(done, promised, wanted):
    boxes = lot("boxes", 10, step("scrape", 10, 10, importance=WISHED), step("put away", 10, 10))
    begun = with_standing(winter(mornings(8, 2), boxes), TODAY, done)
    return replan(begun, promised, wanted=wanted, seconds=2, workers=1)


def test_boxes_put_away_unscraped_are_not_scraped_any_more_and_the_rest_is_kept_to_the_minute():
    promised = [does(3, 9, 6, 0), does(4, 9.5, 6, 1)]
    made = anew([Done(0, 1, 4, DAY + 10 * HOUR)], promised, {(0, 0): 10, (0, 1): 10})
    assert not made.left
    assert [(o.starts_s, o.step, o.pieces) for o in made.work] == [(o.starts_s, o.step, o.pieces) for o in promised]


@pytest.mark.parametrize("scraped", range(4))
def test_only_as_many_went_past_it_as_were_put_away_and_not_scraped(scraped):
    done = [Done(0, 1, 4, DAY + 10 * HOUR)]
    if scraped:
        done.append(Done(0, 0, scraped, DAY + 9 * HOUR))
    made = anew(done, [does(3, 9, 6, 0), does(4, 9.5, 6, 1)], {(0, 0): 10, (0, 1): 10})
    assert not made.left
    assert sum(o.pieces for o in made.work if o.step == 0) == 6  # the four put away are past it, scraped or not


def test_without_anything_put_away_all_are_scraped():
    made = anew([], [does(3, 9, 6, 0), does(4, 9.5, 6, 1)], {(0, 0): 10, (0, 1): 10})
    assert sum(o.pieces for o in made.work if o.step == 0) == 10
