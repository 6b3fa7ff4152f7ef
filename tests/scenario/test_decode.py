"""Encodings, sizes and things that are no file: read where there is no doubt, else a sentence."""

from __future__ import annotations

import os

import pytest

from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario, read_scenario

GOOD = """\
season: {name: Winter bei Zoë, from: 2026-10-05, until: 2027-04-09}
crew: {Zoë: {works: {sat: 09:00-12:00}}}
"""
UNSEEN = "a character that cannot be seen or printed"
SAVE = "save the file as UTF-8 (in the editor: Save as, Encoding)"


def told(source: str | bytes) -> list[str]:
    with pytest.raises(ScenarioError) as raised:
        parse_scenario(source, "winter.yaml")
    return [str(problem) for problem in raised.value.problems]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32"])
def test_text_with_its_mark_is_read_in_any_unicode_encoding(encoding):
    assert list(parse_scenario(GOOD.encode(encoding), "winter.yaml").crew) == ["Zoë"]


@pytest.mark.parametrize("ends", ["\r\n", "\r"])
def test_line_ends_of_other_machines_are_lines_too(ends):
    assert parse_scenario(GOOD.replace("\n", ends).encode(), "winter.yaml").season.name == "Winter bei Zoë"
    broken = GOOD.replace("sat", "sam").replace("\n", ends)
    assert told(broken)[0].startswith("winter.yaml:2:22: 'sam' is not a weekday")


def test_letters_of_an_old_code_page_are_pointed_at():
    assert told(GOOD.encode("latin-1")) == [f"winter.yaml:1:29: the letter here is not UTF-8; {SAVE}"]


def test_utf_16_without_its_mark_is_not_guessed():
    assert told(GOOD.encode("utf-16-le")) == [
        f"winter.yaml:1:1: this is not plain text, or text saved as UTF-16 without its mark; {SAVE}"
    ]


def test_cut_off_utf_16_is_a_sentence():
    assert told(GOOD.encode("utf-16")[:-1])[0].endswith(SAVE)


def test_a_picture_is_not_a_scenario():
    assert len(told(b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(256)))) == 1


def test_unseen_characters_are_told_each_kind_once():
    assert told(GOOD.replace("09:00", "09:\u000800").replace("Winter", "W\u0008r\u2028")) == [
        f"winter.yaml:1:17: {UNSEEN} (U+0008) stands here and once more below; delete it",
        f"winter.yaml:1:19: {UNSEEN} (U+2028) stands here; delete it",
    ]


def test_letters_that_turn_the_line_around_are_refused_in_names():
    assert told(GOOD.replace("Winter", "\u202eWinter")) == [
        "winter.yaml:1:16: this text has a character that cannot be printed (U+202E); delete it"
    ]


def test_control_characters_cannot_come_in_by_escapes():
    assert told(
        'season: {name: "a\\u0007b", from: 2026-10-05, until: 2027-04-09}\ncrew: {"\\e": {works: {sat: none}}}'
    )[0] == ("winter.yaml:1:16: this text has a character that cannot be printed (U+0007); delete it")


def test_a_file_of_more_than_ten_megabytes_is_refused_unread(tmp_path):
    file = tmp_path / "huge.yaml"
    with file.open("wb") as stream:
        stream.truncate(3_000_000_000)
    with pytest.raises(ScenarioError) as raised:
        read_scenario(file)
    assert str(raised.value) == (
        f"{file}: the file is larger than 10 MB; a scenario is a few hundred lines: is this the right file?"
    )


def test_nine_megabytes_of_entries_are_refused_on_the_way():
    assert told(GOOD + "places:\n" + "".join(f"  p{n}: {{seats: 1}}\n" for n in range(400_000)))[0].endswith(
        "the file comes to more than 20,000 entries by here; is this the right file?"
    )


def test_of_a_name_that_is_not_there_the_nearest_beside_it_is_offered(tmp_path):
    for name in ("winter.yaml", "winter.plan.yaml", "notes.txt"):
        (tmp_path / name).write_text("season: {}\n", "utf-8")
    for mistyped in ("wintr.yaml", "winter", "winter.plan"):
        with pytest.raises(ScenarioError, match=r"no file of this name; did you mean 'winter\.yaml'\?"):
            read_scenario(tmp_path / mistyped)


def test_a_file_that_is_not_there_a_folder_and_an_impossible_name_are_sentences(tmp_path):
    begin = "`offseason start winter.yaml` writes one to begin with"
    for path, sentence in (
        (tmp_path / "none.yaml", f"there is no file of this name; {begin}"),
        (tmp_path / "none" / "none.yaml", f"there is no file of this name; {begin}"),
        (tmp_path, "this is not a file; name the scenario file itself"),
        (tmp_path / "a\0b", "the file cannot be read: the name is not one a file can have"),
    ):
        with pytest.raises(ScenarioError) as raised:
            read_scenario(path)
        assert str(raised.value) == f"{path}: {sentence}"


def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(ScenarioError, match="this is not a file"):
        read_scenario(tmp_path / "pipe")
