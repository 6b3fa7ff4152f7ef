"""What a keeper reads of the days in hand of comb in a plan that works."""

from __future__ import annotations

from datetime import date

import pytest

from offseason.plan.reading import CombSafety
from offseason.remedy.spare import Spare
from offseason.share.terminal.spare import spare_text

TREAT_BY = date(2027, 4, 19)


@pytest.mark.parametrize(
    ("since", "told"),
    [
        (date(2027, 4, 19), "From the day the last comb is safe it is 1 day to the moth season on Tue 20 Apr 2027."),
        (date(2027, 4, 20), None),
        (None, None),
    ],
)
def test_the_days_to_the_moth_season_are_told_as_far_as_comb_is_safe_before_it_begins(scenario, since, told):
    text = " ".join(spare_text(scenario, Spare((), (CombSafety("super combs", 60, True, since, TREAT_BY),))).split())
    assert "When is the comb safe from moths?" in text
    assert (told in text) if told else ("to the moth season" not in text)
