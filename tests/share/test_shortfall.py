"""What is said when must-work does not fit."""

from datetime import date

import pytest

from offseason.share.terminal.shortfall import shortfall_text
from offseason.workload.model import Lot, Schedule, Step, Workload

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
    return Schedule((), (), left_undone=left, proven=proven, seconds=60)


def test_left_over_pieces_are_named_by_lot_and_step(scenario, workload):
    text = shortfall_text(scenario, workload, short((1, 0, 24)))
    assert "- freeze: 24 of 60 super combs, 0.1 h of work" in flat(text)


def test_a_job_is_left_over_in_hours(scenario, workload):
    assert "- rebuild the rack: 1.5 h of work" in flat(shortfall_text(scenario, workload, short((2, 0, 6))))


def test_a_round_is_left_over_with_its_days(scenario, workload):
    rounds = Workload(workload.sessions, workload.helpers, workload.places, (LOOK,))
    text = flat(shortfall_text(scenario, rounds, short((0, 0, 1))))
    assert "- look at the combs: the one from Wed 4 Nov 2026 to Thu 3 Dec 2026, 0.5 h of work" in text


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
