"""The words of a command line: what is an option and what is said, and how long words are shown in the help."""

from __future__ import annotations

import argparse

import pytest

from offseason.share.command_help import entries_text
from offseason.share.command_line import Parser
from offseason.share.option_values import days


def test_behind_two_dashes_nothing_is_an_option_however_it_is_written():
    parser = Parser(prog="offseason record")
    parser.free_words = True
    parser.add_argument("words", nargs="*")
    parser.add_argument("--today")
    found = parser.parse_args(["Ines", "--today", "2026-10-17", "scrape", "-8", "boxes", "--", "--today", "note"])
    assert (found.today, found.words) == ("2026-10-17", ["Ines", "scrape", "-8", "boxes", "--today", "note"])


def test_a_word_too_long_to_stand_beside_its_meaning_stands_above_it():
    text = entries_text("options", [("--to FILE", "where it goes"), ("--from-the-first-day DAY", "when it begins")])
    assert text.splitlines() == [
        "options:",
        "  --to FILE  where it goes",
        "  --from-the-first-day DAY",
        "             when it begins",
    ]


def test_days_are_whole_and_no_more_than_a_year():
    assert [days(text) for text in ("0", "7", "366")] == [0, 7, 366]
    for text in ("367", "-1", "1.5", "a week", "٧"):
        with pytest.raises(argparse.ArgumentTypeError, match="is not a whole number of days from 0 to 366"):
            days(text)
