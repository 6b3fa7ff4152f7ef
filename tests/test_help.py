"""``--help`` can be read in any window, tells what every word means, and gives examples that can be typed."""

import re
import shlex
import subprocess
import sys

import pytest

from offseason.cli import EXIT_CODES, parser
from offseason.share.command_words import COMMANDS, FIRST_STEPS

NAMES = [words.name for words in COMMANDS]


def page(command):
    return parser().by_command[command]


def told(command):
    return page(command).format_help()


def typed(text):
    """The lines to copy in a page: they stay whole in a narrow window too."""
    return re.findall(r"^  (offseason .*)", text, re.MULTILINE)


@pytest.mark.parametrize("window", [1, 40, 60, 80, 200])
def test_help_is_as_wide_as_the_window_and_at_most_80_columns(window, monkeypatch):
    monkeypatch.setenv("COLUMNS", str(window))
    for text in (parser().format_help(), *map(told, NAMES)):
        whole = {*(f"  {line}" for line in typed(text)), *EXIT_CODES.splitlines()}
        assert [line for line in text.splitlines() if len(line) > 80] == []
        folded = [line for line in text.splitlines() if line not in whole]
        assert [line for line in folded if len(line) > min(max(window, 40), 80)] == []


@pytest.mark.parametrize("command", NAMES)
def test_help_tells_what_each_word_and_option_means(command):
    text = " ".join(told(command).split())
    for action in page(command)._actions:
        assert action.help
        assert " ".join(action.help.split()) in text
        assert all(option in text for option in action.option_strings)


@pytest.mark.parametrize("command", NAMES)
def test_help_gives_examples_that_the_command_takes(command):
    lines = typed(told(command))
    assert lines
    assert {parser().parse_args(shlex.split(line)[1:]).name for line in lines} == {command}


def test_help_names_every_command_and_what_to_begin_with():
    text = parser().format_help()
    assert re.findall(r"^  ([a-z][a-z-]*) {2,}[a-z]", text, re.MULTILINE) == NAMES
    assert typed(text) == [line for line, _ in FIRST_STEPS]
    assert {parser().parse_args(shlex.split(line)[1:]).name for line in typed(text)} <= set(NAMES)


def test_python_dash_m_calls_itself_by_the_name_of_the_command():
    command = [sys.executable, "-m", "offseason", "plan", "--help"]
    assert subprocess.run(command, capture_output=True, check=True).stdout.startswith(b"usage: offseason plan FILE ")
