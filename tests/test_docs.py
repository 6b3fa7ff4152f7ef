"""What the pages in docs/ and DEVELOPERS.md say of the program is so."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from offseason.scenario.plain_words import fields_of
from offseason.scenario.yaml_tree import read_tree
from offseason.solver.comb import comb_is_protected
from offseason.solver.model import PROMISES
from offseason.solver.promises import enough_people
from tests.tools.file_reference import PAGE, blocks, example, page

ROOT = Path(__file__).parents[1]
SOURCES = sorted((ROOT / "offseason").rglob("*.py"))
PAGES = {path.name: path.read_text("utf-8") for path in (*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md"))}
HELD = ("DEVELOPERS.md", "model.md", "trade.md", "guide.md")
"""Pages whose names of files and of the code are held against the tree."""


def public_names(path):
    """The functions and numbers of a module that others may use."""
    for node in ast.parse(path.read_text("utf-8")).body:
        if isinstance(node, ast.FunctionDef):
            found = [node.name]
        elif isinstance(node, (ast.Assign, ast.AnnAssign)):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            found = [name.id for target in targets for name in ast.walk(target) if isinstance(name, ast.Name)]
        else:
            continue
        yield from (name for name in found if not name.startswith("_"))


def anchors(text):
    """What a link into this page may name."""
    headings = re.findall(r"^#+ (.+)$", text, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).strip().replace(" ", "-") for heading in headings}


def test_the_file_reference_is_that_of_the_models():
    assert PAGE.read_text("utf-8") == page(), "run: python tests/tools/file_reference.py"


def test_every_entry_of_a_scenario_stands_once_in_its_place_of_the_file_reference():
    written = re.findall(r"^\| `(\w+)` \| ", page(), re.MULTILINE)
    entries = [key for _, model in blocks() for key in fields_of(model)]
    assert written[: len(entries)] == entries


@pytest.mark.parametrize(("block", "model"), list(blocks()), ids=lambda one: one if isinstance(one, str) else "")
def test_every_entry_says_what_it_means_and_its_examples_can_be_written(block, model):
    for key, field in fields_of(model).items():
        assert field.description, f"{block} {key}"
        assert field.examples, f"{block} {key}"
        for one in field.examples:
            tree, problems = read_tree(f"{key}: {str(one).lower() if isinstance(one, bool) else one}\n", "winter.yaml")
            assert problems == []
            TypeAdapter(field.rebuild_annotation()).validate_python(tree.data[key])


@pytest.mark.parametrize(("block", "model"), [one for one in blocks() if one[0] and " " not in one[0]])
def test_what_the_file_reference_shows_of_a_section_is_read_as_that_section(block, model):
    tree, problems = read_tree(example(block), "winter.yaml")
    assert problems == []
    shown = tree.data[block]
    each = [shown] if set(shown) <= set(fields_of(model)) else shown.values()
    assert [model.model_validate(entry) for entry in each]


@pytest.mark.parametrize("module", sorted((ROOT / "offseason" / "trade").glob("[a-z]*.py")), ids=lambda path: path.stem)
def test_every_number_and_function_of_the_trade_stands_on_its_page(module):
    told = set(re.findall(r"`([A-Za-z_0-9]+)`", PAGES["trade.md"]))
    assert set(public_names(module)) - told == set()


def test_every_rule_of_the_trade_says_how_sure_it_is():
    """From heading to heading, each item of a list has one of the marks."""
    marks = re.compile("published|common practice|from memory|derived here|secondary|ours|not confirmed", re.IGNORECASE)
    rules = re.split(r"\n(?=- )", PAGES["trade.md"].split("## Cautions")[0])[1:]
    unsure = [rule.splitlines()[0] for rule in rules if not marks.search(" ".join(rule.split("\n\n")[0].split()))]
    assert len(rules) > 30
    assert unsure == []


@pytest.mark.parametrize("name", HELD)
def test_constants_named_in_a_page_are_in_the_code(name):
    given = re.compile(r"^ *([A-Z_]{4,}(?:, [A-Z_]{4,})*)(?:: .*)? = ", re.MULTILINE)
    known = {
        constant.strip("_")
        for path in SOURCES
        for constants in given.findall(path.read_text("utf-8"))
        for constant in constants.split(", ")
    }
    assert set(re.findall(r"`_?([A-Z][A-Z_]{3,})`", PAGES[name])) <= known


@pytest.mark.parametrize("name", HELD)
def test_files_named_in_a_page_are_in_the_tree(name):
    tree = {path.relative_to(ROOT).as_posix() for path in ROOT.rglob("*.py")}
    tree |= {"README.md", *(f"docs/{path.name}" for path in (ROOT / "docs").iterdir())}
    patterns = re.findall(r"`((?:[\w.*-]+/)*[\w*-]+\.(?:py|md|json))`", PAGES[name])
    known = {
        pattern: re.compile(rf"(^|/){re.escape(pattern).replace(re.escape('*'), '[^/]*')}$") for pattern in patterns
    }
    made = {"docs/benchmarks.json", "docs/benchmarks.md"}  # written by the benchmarks, once they have run
    assert {pattern for pattern, of in known.items() if not any(map(of.search, tree))} <= made


@pytest.mark.parametrize("name", sorted(PAGES))
def test_links_lead_somewhere(name):
    folder = ROOT if (ROOT / name).exists() else ROOT / "docs"
    for target in re.findall(r"\]\(([^)\s]+)\)", PAGES[name]):
        path, _, anchor = target.partition("#")
        there = folder / path if path else folder / name
        assert there.exists(), target
        if anchor:
            assert anchor in anchors(there.read_text("utf-8")), target


def test_every_promise_of_the_counting_model_stands_in_its_table():
    listed = set(re.findall(r"^\| ([a-z][a-z -]+) \|", PAGES["model.md"], re.MULTILINE))
    named = {promise.__name__.replace("_", " ") for promise in (*PROMISES, enough_people, comb_is_protected)}
    assert named - listed == set()


def test_the_arrows_of_the_house_map_are_those_that_are_held():
    listed = re.findall(r"^\| `(\w+)/`", PAGES["DEVELOPERS.md"], re.MULTILINE)
    folders = {path.name for path in (ROOT / "offseason").iterdir() if (path / "__init__.py").exists()}
    assert set(listed) | {"commands"} == folders


@pytest.mark.slow
def test_the_example_from_python_runs():
    block = re.search(r"```python\n(.*?)```", PAGES["DEVELOPERS.md"], re.DOTALL)
    assert block is not None
    done = subprocess.run(
        [sys.executable, "-c", block[1]], cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=True
    )
    assert "pieces of work" in done.stdout


def test_blocks_for_developers_are_python_that_runs_or_commands():
    """The sh blocks set up and test: ``.ci/run`` does the same by the README's commands."""
    kinds = re.findall(r"^```(\w+)$", PAGES["DEVELOPERS.md"], re.MULTILINE)
    assert kinds.count("python") == 1
    assert set(kinds) == {"python", "sh"}
