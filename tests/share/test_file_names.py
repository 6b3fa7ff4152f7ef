"""Names of people as names of files: recognisable, and no danger on any system."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.share.file_names import LONGEST, TAKEN, file_names

HOSTILE = [
    "../../x", "..", ".", "/etc/passwd", "C:\\x", "a:b", "con", "NUL", "com1.txt", "lpt¹", "aux ", "x\0y", "a\r\nb",
    "\u202egnp.exe", "-rf", "~", "*?", "x" * 300, "é" * 300, "𓀀" * 300, "😀", "", " ", "-", "everybody", "Page", "WORK",
    "winter", "shared", "ENDS.", "'; drop", "<script>", "=cmd()", "e\u0301", "é", "ẞ", "ss", "\ud800",
]  # fmt: skip


def test_letters_and_digits_of_any_script_stay_and_all_else_becomes_a_dash():
    names = ["Zoë", "Ann Lee", "O'Brien, jr.", "日本 太郎", "שרה", "Bo 2", "क्षमा", "--Mo--"]
    assert list(file_names(names).values()) == [
        "Zoë",
        "Ann-Lee",
        "O-Brien-jr",
        "日本-太郎",
        "שרה",
        "Bo-2",
        "क्षमा",
        "Mo",
    ]


def test_names_that_differ_only_in_capitals_or_in_how_an_accent_is_written_get_a_number():
    assert list(file_names(["Ann", "ann", "ANN", "Zoe\u0301", "Zo\u00e9"]).values()) == [
        "Ann", "ann-2", "ANN-3", "Zo\u00e9", "Zo\u00e9-2",
    ]  # fmt: skip


def test_a_number_never_makes_two_alike():
    found = file_names(["ann", "ann-2", "Ann", "ANN 2", "ann 2"])
    assert len({name.casefold() for name in found.values()}) == 5
    long = file_names(["x" * 50 + str(n) for n in range(120)])
    assert len(set(long.values())) == 120


def test_whoever_comes_first_keeps_their_name_when_others_come():
    before = file_names(["ann", "Bo"])
    after = file_names(["ann", "Bo", "Ann", "bo"])
    assert {name: after[name] for name in before} == dict(before)


@pytest.mark.parametrize("name", HOSTILE)
def test_no_name_leads_out_of_the_folder_or_is_one_a_system_keeps_for_itself(name):
    word = file_names([name])[name]
    assert_safe(word)
    if name.casefold() in TAKEN:
        assert word.casefold() != name.casefold()


@settings(max_examples=300, deadline=None, derandomize=True, database=None)
@given(st.lists(st.one_of(st.text(max_size=60), st.sampled_from(HOSTILE)), max_size=12))
def test_whatever_people_are_called_each_has_a_name_and_no_two_the_same(names):
    found = file_names(names)
    assert set(found) == set(names)
    for word in found.values():
        assert_safe(word)
    assert len({unicodedata.normalize("NFKD", word.casefold()) for word in found.values()}) == len(found)


def assert_safe(word):
    assert 0 < len(word) <= LONGEST
    assert len(f"{word}.ics".encode()) <= 255
    assert unicodedata.is_normalized("NFC", word)
    assert all(c == "-" or unicodedata.category(c)[0] in "LNM" for c in word)
    assert word.strip("-.") == word
    assert word.casefold() not in {"con", "prn", "aux", "nul", "com1", "lpt¹", *TAKEN}
