"""YAML is read as a keeper means it, with the place of every word."""

from __future__ import annotations

import pytest
import yaml

from offseason.scenario import yaml_tree
from offseason.scenario.problems import ScenarioError
from offseason.scenario.yaml_tree import MAX_NODES, read_tree


def data(text: str):
    tree, problems = read_tree(text, "winter.yaml")
    assert problems == []
    return tree.data


def problems_of(text: str | bytes) -> list[str]:
    try:
        _, problems = read_tree(text, "winter.yaml")
    except ScenarioError as error:
        problems = list(error.problems)
    return [str(problem) for problem in problems]


@pytest.mark.parametrize(
    "word", ["12:30", "1:30:15", "no", "yes", "on", "off", "No", "Y", "2026-10-17", "0x1F", "1_000"]
)
def test_words_that_old_yaml_would_turn_stay_text(word):
    assert data(f"key: {word}") == {"key": word}


@pytest.mark.parametrize(
    ("word", "value"),
    [
        ("true", True),
        ("False", False),
        ("", None),
        ("~", None),
        ("null", None),
        ("0", 0),
        ("-18", -18),
        ("007", 7),
        ("0.5", 0.5),
        ("1e3", 1000.0),
        ("'12'", "12"),
        ('"true"', "true"),
        (".inf", ".inf"),
        ("1e999", "1e999"),
        ("9" * 30, 10**30 - 1),
        ("9" * 5000, "9" * 5000),
    ],
)
def test_plain_words_mean_what_they_look_like(word, value):
    found = data(f"key: {word}")["key"]
    assert found == value
    assert type(found) is type(value)


def test_every_key_is_text_even_where_it_looks_like_a_number_or_a_truth():
    assert data("{2026-10-17: none, 12: a, true: b, no: c}") == {
        "2026-10-17": "none",
        "12": "a",
        "true": "b",
        "no": "c",
    }


def test_a_helper_may_be_called_anything():
    names = ["Zoë, the elder", "O'Malley", 'Ann "the hands" Lee', "Łukasz", "李", "a: b", "#1"]
    lines = "".join(f"{yaml.dump(name, allow_unicode=True).splitlines()[0]}: 1\n" for name in names)
    assert list(data(lines)) == names


def test_places_of_keys_and_values_are_kept_beyond_accents_and_in_lists():
    tree, _ = read_tree("crew:\n  Zoë: {can: [scrape, mend]}\n", "winter.yaml")
    assert tree.place(("crew", "Zoë"), of_key=True) == (2, 3)
    assert tree.place(("crew", "Zoë", "can"), of_key=True) == (2, 9)
    assert tree.place(("crew", "Zoë", "can", 1)) == (2, 23)


def test_the_place_of_something_missing_is_the_key_it_is_missing_from():
    tree, _ = read_tree("tasks:\n  scrape: {at: bench}\n", "winter.yaml")
    assert tree.place(("tasks", "scrape", "minutes_each")) == (2, 3)


def test_all_equal_keys_are_told_not_only_the_first():
    told = sorted(problems_of("a: 1\na: 2\nb: {c: 1, c: 2}\na: 3\n"))
    assert [line.split(": ")[0] for line in told] == ["winter.yaml:2:1", "winter.yaml:3:11", "winter.yaml:4:1"]


def test_equal_keys_above_a_line_that_cannot_be_read_are_told_too():
    assert [line.split(": ")[0] for line in problems_of("a: 1\na: 2\nb: [1, 2\n")] == [
        "winter.yaml:2:1",
        "winter.yaml:3:4",
    ]


def test_a_long_file_with_a_mistake_at_its_end_is_told_in_the_same_words():
    long = "".join(f"k{n}: [{'a' * 200}]\n" for n in range(1_500))
    short = "k: 1" + "\n" * 1_500
    for mistake in ("x: [1, 2\n", "x: 'never closed\n", "x: y: z\n", "x:\n\ty: 1\n", "x\n"):
        assert len(long) > 300_000 > len(short)
        assert problems_of(long + mistake) == problems_of(short + mistake)


def test_what_is_written_once_may_be_referred_to_again():
    assert data("a: &hours [1, 2]\nb: *hours\n") == {"a": [1, 2], "b": [1, 2]}


def test_an_alias_bomb_is_refused_before_it_goes_off():
    bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
        f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]\n" for n in range(1, 12)
    )
    assert problems_of(bomb) == [
        f"winter.yaml:5:10: the file comes to more than {MAX_NODES:,} entries by here; is this the right file?"
    ]


def test_aliases_cannot_nest_deeper_than_brackets():
    nest = "a0: &a0 [x]\n" + "".join(f"a{n}: &a{n} [*a{n - 1}]\n" for n in range(1, 40))
    assert problems_of(nest) == ["winter.yaml:19:12: blocks and lists are nested more than 20 deep; 6 are enough"]


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_a_hundred_thousand_brackets_are_refused_at_the_twenty_first(opening):
    assert problems_of(opening * 100_000) == [
        f"winter.yaml:1:{len(opening) * 20 + 1}: blocks and lists are nested more than 20 deep; 6 are enough"
    ]


def test_messages_and_data_are_the_same_without_the_fast_parser(monkeypatch):
    texts = ["a: {b: 12:30}\n", "a: [1, 2\n", "a:\n\tb: 1\n", "a: 'x\n", "a: b: c\n", "a: 1\na: 2\n", "", "a: @b\n"]

    def told(text: str):
        try:
            return read_tree(text, "winter.yaml")
        except ScenarioError as error:
            return error.problems

    fast = [told(text) for text in texts]
    monkeypatch.setattr(yaml_tree, "_FAST", yaml.SafeLoader)
    assert [told(text) for text in texts] == fast


def test_of_a_hundred_mistakes_and_more_no_more_are_looked_for():
    many = "".join(f"a: {n}\n" for n in range(500))
    assert len(problems_of(many)) == 101


@pytest.mark.parametrize("text", ["%YAML 9.9\n---\na: 1\n", 'a: "\\U99999999"\n'])
def test_what_the_reader_cannot_even_name_is_told_where_it_stands(text):
    (problem,) = problems_of(text)
    assert problem.endswith(
        "this cannot be read; check the indentation, quotes and brackets here and on the line above"
    )
