"""What a treatment costs cannot be said here: its label says how much is used."""

from __future__ import annotations

import pytest

from tests.plan.winters import changed
from tests.test_worth_command import PRICES, YARD, lot, weighed

TREATED = changed(
    changed(
        YARD,
        "  wash: {",
        "  treat: {minutes_each: 0.1, protects: 30 d, treatment: acetic acid 80 %, authorised: true}\n  wash: {",
    ),
    "steps: [count, sort out",
    "steps: [treat, count, sort out",
)


def test_a_treatment_is_named_as_not_counted_and_adds_nothing_to_the_money():
    money = TREATED + PRICES
    assert lot("combs", money).cost - lot("combs").cost == pytest.approx(100 * 0.1 / 60 * 12)  # the minutes alone
    assert dict(weighed(money).unpriced) == {"acetic acid 80 %": ("combs",)}
    assert weighed().unpriced == ()
