"""The nearest valid word is offered, and a few known words where nothing is near."""

from __future__ import annotations

from offseason.scenario.nearest import listed, nearest, offer


def test_nearest_word_looks_past_capitals_and_spaces():
    assert nearest(" Bench", ["bench", "branch"]) == "bench"
    assert nearest("scrap", ["paint", "scrape"]) == "scrape"


def test_nothing_is_offered_where_nothing_is_near():
    assert nearest("zither", ["bench", "shed"]) is None
    assert offer("zither", ["bench", "shed"]) == "known here: bench, shed"
    assert offer("zither", [], what="under places") == "nothing is under places"


def test_many_known_words_are_not_all_listed():
    assert offer("zither", [f"box {n}" for n in range(100)]).endswith("box 29 and 70 more")


def test_words_are_listed_as_they_are_spoken():
    assert listed([]) == ""
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"], "or") == "a, b or c"
