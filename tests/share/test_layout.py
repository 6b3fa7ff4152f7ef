"""Plain text in 80 columns."""

import os
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.share.terminal.layout import clean, days_by_month, paragraph, percent_text, table


def test_days_on_end_are_written_as_one_stretch_month_by_month():
    days = [date(2026, 10, d) for d in (31, 5, 12, 13, 14)] + [date(2026, 11, 1)]
    assert days_by_month(days) == ["Oct 2026: 5, 12-14, 31", "Nov 2026: 1"]


@pytest.mark.parametrize(("share", "said"), [(1.0, "100 %"), (0.456, "46 %"), (0.0123, "1.2 %"), (0, "0 %")])
def test_per_cents_are_as_fine_as_they_need_to_be(share, said):
    assert percent_text(share) == said


def test_numbers_of_a_table_stand_under_one_another_at_the_right():
    assert table([("boxes", "1,200"), ("lids", "8")], ("lot", "count"), numbers=(1,)) == (
        "lot    count\nboxes  1,200\nlids       8"
    )


@pytest.mark.parametrize("name", ["1,200", "1e5", "0x10", "nan", "true", "-", "-1", "12:30", "", "\t", "a" * 200])
def test_any_name_goes_into_a_table(name):
    text = table([(name, "word " * 30), ("other", "short")], wrap=(1,))
    assert max(map(len, text.splitlines())) <= 80
    assert clean(name).strip()[:60] in text


@given(st.lists(st.tuples(st.text(max_size=120), st.text(max_size=120), st.text(max_size=120)), min_size=1, max_size=4))
def test_no_table_is_wider_than_the_terminal(rows):
    assert max(map(len, table(rows, ("one", "two", "three"), wrap=(0,), indent=2).splitlines())) <= 80


def test_a_path_longer_than_a_line_can_be_copied_whole():
    path = str(Path("/", *["yard-of-many-hives"] * 6, "winter.yaml"))
    text = paragraph(f"What is short, and what would mend it: offseason remedies {path} says so.", 2, "-")
    assert path in text
    assert max(len(line) for line in text.splitlines() if path not in line) <= 80


NO_PATHS = st.text(st.characters(exclude_characters=os.sep), max_size=300)


@given(NO_PATHS, st.integers(0, 25), NO_PATHS)
def test_no_paragraph_is_wider_than_the_terminal(text, indent, first):
    assert max(map(len, paragraph(clean(text), indent, clean(first)).splitlines()), default=0) <= 80


@given(st.text(max_size=100))
def test_no_name_can_steer_the_terminal(name):
    assert clean(name).isprintable()
