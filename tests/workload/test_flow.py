"""Which steps pieces may reach past others: by way of a step that only some have, or past it."""

from __future__ import annotations

from offseason.workload.flow import WayRound, ways_round
from offseason.workload.model import Importance, Lot, Step


def lot(*steps: Step) -> Lot:
    return Lot("boxes", "boxes", 10, steps)


SCRAPE, PUT_AWAY = Step("scrape", 10, 60), Step("put away", 10, 60)


def test_where_every_box_has_every_step_there_is_no_way_round():
    assert ways_round(lot(SCRAPE, Step("paint", 10, 60), PUT_AWAY)) == ()


def test_boxes_that_need_no_mending_go_from_the_scraping_past_it():
    assert ways_round(lot(SCRAPE, Step("mend", 3, 60), PUT_AWAY)) == (WayRound(0, (1,), 2),)


def test_boxes_never_scraped_come_past_the_scraping_from_where_they_arrived():
    scrape = Step("scrape", 10, 60, importance=Importance.COULD)
    assert ways_round(lot(scrape, PUT_AWAY)) == (WayRound(None, (0,), 1),)
    assert ways_round(lot(scrape, Step("put away", 10, 60, needs=(0,)))) == ()


def test_several_steps_that_only_some_boxes_have_are_passed_by_together():
    steps = (SCRAPE, Step("mend", 3, 60), Step("oil", 2, 60, needs=(1,)), PUT_AWAY)
    assert ways_round(lot(*steps)) == (WayRound(0, (1, 2), 3),)


def test_no_more_boxes_are_oiled_than_were_mended_so_there_is_no_way_round_the_mending_to_the_oil():
    found = {way.then for way in ways_round(lot(SCRAPE, Step("mend", 3, 60), Step("oil", 3, 60), PUT_AWAY))}
    assert found == {3}
