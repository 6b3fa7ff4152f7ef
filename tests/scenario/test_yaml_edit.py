"""Changes made in place to a keeper's own text."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.scenario.read import parse_scenario
from offseason.scenario.yaml_edit import CannotEditError, Changes, Copy, edited
from offseason.scenario.yaml_minutes import minutes_path, with_minutes
from offseason.scenario.yaml_spans import spans_of

TEXT = """\
# my yard
tasks:
  scrape: {minutes_each: 6, at: bench}   # own
  coat:
    minutes_each: 5     # from the tin
    at: stand
gear:
  lids: {piece: lid, count: 4}
"""


def test_a_value_is_changed_and_nothing_else():
    changes = Changes(values={("tasks", "scrape", "minutes_each"): ("7.5", 7.5)})
    assert edited(TEXT, changes) == TEXT.replace("minutes_each: 6", "minutes_each: 7.5")


def test_a_line_taken_away_stays_as_a_comment():
    changed = edited(TEXT, Changes(dropped={("tasks", "coat", "at"): "gone"}), mark="# us: ")
    assert changed == TEXT.replace("    at: stand", "    # us: gone: at: stand")


def test_the_last_line_of_a_block_taken_away_leaves_braces():
    text = "a:\n  b:\n    c: 1\n  d: 2\n"
    assert edited(text, Changes(dropped={("a", "b", "c"): "gone"})) == "a:\n  b: {}\n    # gone: c: 1\n  d: 2\n"


@pytest.mark.parametrize(
    ("gone", "left"),
    [("a", "{b: 2, c: 3}"), ("b", "{a: 1, c: 3}"), ("c", "{a: 1, b: 2}"), ("bc", "{a: 1}"), ("abc", "{}")],
)
def test_what_goes_from_braces_goes_with_its_comma(gone, left):
    changes = Changes(dropped={("x", key): "gone" for key in gone})
    changed = edited("x: {a: 1, b: 2, c: 3}\n", changes, mark="# us: ")
    assert changed.splitlines()[-1] == f"x: {left}"
    assert changed.count("# us: gone") == len(gone)


def test_a_key_is_added_in_braces_and_in_lines():
    changes = Changes(
        added={("gear", "lids", "last_painted"): ("2026", 2026), ("tasks", "coat", "hands"): ("2", 2)},
    )
    changed = edited(TEXT, changes)
    assert "lids: {piece: lid, count: 4, last_painted: 2026}" in changed
    assert "    at: stand\n    hands: 2\n" in changed


def test_an_entry_is_written_twice_under_another_name():
    copy = Copy(("gear", "lids"), "new lids", "new lids", Changes(values={("gear", "lids", "count"): ("1", 1)}))
    changed = edited(TEXT, Changes(values={("gear", "lids", "count"): ("3", 3)}, copies=[copy]))
    assert changed.endswith("  lids: {piece: lid, count: 3}\n  new lids: {piece: lid, count: 1}\n")


def test_an_entry_in_braces_is_written_twice_with_a_comma_between():
    copy = Copy(("gear", "lids"), "new lids", "new lids", Changes(values={("gear", "lids", "count"): ("1", 1)}))
    changed = edited("gear: {lids: {count: 4}, boxes: {count: 2}}\n", Changes(copies=[copy]))
    assert changed == "gear: {lids: {count: 4}, new lids: {count: 1}, boxes: {count: 2}}\n"


def test_nothing_more_is_changed_or_said_within_what_is_taken_away():
    coat = ("tasks", "coat")
    changes = Changes(
        dropped={coat: "gone", (*coat, "at"): "gone too"},
        added={(*coat, "hands"): ("2", 2)},
        renamed={(*coat, "minutes_each"): "minutes"},
    )
    changes.note((*coat, "minutes_each"), "look at this")
    kept = "  # gone: coat:\n  #   minutes_each: 5     # from the tin\n  #   at: stand\n"
    was = "  coat:\n    minutes_each: 5     # from the tin\n    at: stand\n"
    assert edited(TEXT, changes) == TEXT.replace(was, kept)


def test_what_stands_for_something_else_has_to_be_written_out_before_it_can_be_changed():
    text = "tasks: {scrape: &same {minutes_each: 6}, coat: *same}\n"
    told = "tasks, coat, minutes_each is written by way of & and \\*; write it out"
    with pytest.raises(CannotEditError, match=told):
        edited(text, Changes(values={("tasks", "coat", "minutes_each"): ("7", 7)}))


def test_nothing_is_added_to_braces_that_are_empty():
    with pytest.raises(CannotEditError, match="nothing can be added to what is empty: gear, lids, count"):
        edited("gear: {lids: {}}\n", Changes(added={("gear", "lids", "count"): ("4", 4)}))


def test_two_changes_of_the_same_words_are_refused_and_neither_is_made():
    lids = ("gear", "lids")
    changes = Changes(values={lids: ("{count: 5}", {"count": 5}), (*lids, "count"): ("6", 6)})
    with pytest.raises(CannotEditError, match="two changes fall on the same words of the file"):
        edited(TEXT, changes)


def test_a_text_with_windows_line_ends_keeps_them():
    changes = Changes(dropped={("tasks", "coat", "at"): "gone"})
    changes.note(("gear", "lids"), "look")
    changed = edited(TEXT.replace("\n", "\r\n"), changes, top=["from us"])
    assert "\n" not in changed.replace("\r\n", "")


def test_an_anchor_stays_and_its_value_is_changed():
    text = "tasks: {scrape: {minutes_each: &m 6}, coat: {minutes_each: 5}}\n"
    changed = edited(text, Changes(values={("tasks", "scrape", "minutes_each"): ("7", 7)}))
    assert changed == text.replace("&m 6", "&m 7")


def test_a_value_that_others_stand_for_is_not_changed_behind_their_back():
    text = "tasks: {scrape: {minutes_each: &m 6}, coat: {minutes_each: *m}}\n"
    with pytest.raises(CannotEditError, match="more than it should"):
        edited(text, Changes(values={("tasks", "scrape", "minutes_each"): ("7", 7)}))
    with pytest.raises(CannotEditError):
        edited(text, Changes(values={("tasks", "coat", "minutes_each"): ("7", 7)}))


def test_blocks_end_before_the_comments_after_them():
    spans = spans_of(TEXT)
    assert TEXT[spans["tasks",].start : spans["tasks",].end].endswith("at: stand")


SCENARIO = """\
season: {from: 2026-10-05, until: 2027-04-09}   # a winter, minutes_each: 6
crew:
  Ines: {works: {sat: 09:00-12:00}}
tasks:
  scrape: {minutes_each: 6, importance: could} # own: 6
  "coat: first":
    minutes_each:   5.0   # 5
  oil: { importance: could , minutes_each: 5 }
gear:
  feeders: {piece: feeder, count: 6, steps: [oil, scrape, "coat: first"]}
rounds:
  look: {every: 14 d, minutes: 20}
"""


def test_minutes_longer_than_any_stretch_of_work_are_not_written():
    with pytest.raises(CannotEditError, match="takes 181 minutes"):
        with_minutes(SCENARIO, "winter.yaml", {"scrape": 181})


def test_minutes_stand_with_the_task_or_the_round_and_a_job_has_none():
    scenario = parse_scenario(f"{SCENARIO}jobs: {{mend the rack: {{hours: 2}}}}\n", "winter.yaml")
    assert minutes_path(scenario, "scrape") == ("tasks", "scrape", "minutes_each")
    assert minutes_path(scenario, "look") == ("rounds", "look", "minutes")
    assert minutes_path(scenario, "mend the rack") is None


_NUMBER = re.compile(r"(?<=minutes_each: )6(?=, imp)|(?<=minutes_each:   )5\.0|(?<=minutes_each: )5(?= })|20(?=})")


@pytest.mark.slow
@settings(max_examples=100, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(["scrape", "coat: first", "oil", "look"]),
        st.one_of(st.integers(1, 150), st.integers(20, 5000).map(lambda n: n / 1000)),
        min_size=1,
    )
)
def test_minutes_written_into_a_scenario_change_those_numbers_and_no_other_letter(minutes):
    changed = with_minutes(SCENARIO, "winter.yaml", minutes)
    wanted = iter(["scrape", "coat: first", "oil", "look"])
    assert changed == _NUMBER.sub(
        lambda old: f"{minutes[name]:g}" if (name := next(wanted)) in minutes else old[0], SCENARIO
    )
