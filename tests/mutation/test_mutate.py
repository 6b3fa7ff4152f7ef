"""What survives a change of the source is explained, and only a change of spelling is explained by itself."""

from __future__ import annotations

import pytest

from tests.mutation.mutate import OF_WORDS, Survivor, _of_words, read_survivors

SAID = "raise ValueError('Give a per cent above 0.')"


def test_every_survivor_has_its_reason():
    assert [one for one in read_survivors() if not one.why.strip()] == []


@pytest.mark.parametrize(
    ("was", "became", "why"),
    [
        (SAID, "raise ValueError('XXGive a per cent above 0.XX')", OF_WORDS),
        (SAID, "raise ValueError('GIVE A PER CENT ABOVE 0.')", OF_WORDS),
        (SAID, "raise ValueError(None)", ""),
        ("if amount < 0:", "if amount <= 0:", ""),
        ("found.get('deep')", "found.get('XXdeepXX')", ""),
        ("f('a b', 1)", "f('a b', 2)", ""),
    ],
)
def test_only_the_spelling_of_a_sentence_is_explained_by_itself(was, became, why):
    assert _of_words(Survivor("offseason/trade/air.py: f", was, became)) == why
