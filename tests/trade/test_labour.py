"""Usual minutes and the state of propolis."""

import pytest

from offseason.trade.labour import MINUTES_EACH, NAILS_PER_FRAME, propolis_state


# Minutes each, quick and slow.
@pytest.mark.parametrize(
    ("work", "quick", "slow"),
    [
        ("scrape a box", 5, 10),  # from memory, not confirmed
        ("scrape a frame", 1, 4),  # the same
        ("repair a frame", 3, 6),  # the same
        ("paint a box, one coat", 5, 8),  # the same
        ("load or unload a freezer, one box", 10, 10),  # the same
        ("bag and label a box", 3, 3),  # the same
        ("hammer, wire and wax a new frame", 4.8, 4.8),  # one keeper's own timings
        ("staple a new frame", 0.75, 0.75),  # the same
        ("wire and wax a frame", 1.5, 1.5),  # the same
    ],
)
def test_usual_minutes_are_those_of_the_table_and_say_that_they_are_not_confirmed(work, quick, slow):
    usual = MINUTES_EACH[work]
    assert (usual.quick, usual.slow) == (quick, slow)
    assert usual.quick <= usual.middle <= usual.slow
    assert usual.sure.endswith("not confirmed")


def test_the_minutes_to_plan_with_lie_half_way():
    assert MINUTES_EACH["scrape a box"].middle == 7.5


def test_a_frame_takes_ten_nails():
    assert NAILS_PER_FRAME == 10  # seen only on a secondary page, not confirmed


# Seen only on a secondary page, not confirmed: brittle to 5 °C, hard to 15 °C, soft above 25 °C.
@pytest.mark.parametrize(
    ("celsius", "state"),
    [(-3, "brittle"), (5, "brittle"), (5.1, "hard"), (15, "hard"), (15.1, "firm"), (25, "firm"), (25.1, "soft")],
)
def test_propolis_is_scraped_in_the_cold(celsius, state):
    assert propolis_state(celsius) == state
