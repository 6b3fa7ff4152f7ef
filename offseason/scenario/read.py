"""From a scenario file to a ``Scenario``, or to all that is wrong with the file at once."""

from __future__ import annotations

import stat
from pathlib import Path

from offseason.scenario.bounds import too_large
from offseason.scenario.cross import cross_findings, moth_findings
from offseason.scenario.decode import MAX_BYTES
from offseason.scenario.draft import Finding, draft_of, draft_of_scenario
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import nearest
from offseason.scenario.problems import Problem, ScenarioError
from offseason.scenario.yaml_tree import Node, read_tree

# Keys that only the one kind of file has at its top.
_PLAN_ALONE = frozenset({"sha256", "work"})
_SCENARIO_ALONE = frozenset({"season", "crew"})

WRITTEN_BY_US = (".plan.yaml", ".log.yaml", ".remedies.yaml")
"""What has a name that ends so is no scenario."""


def read_scenario(path: Path) -> Scenario:
    """The scenario in the file at ``path``. Raises ScenarioError with every mistake, or why it cannot be opened."""
    return parse_scenario(_source(path), str(path))


def check_settled(scenario: Scenario, path: Path) -> None:
    """Raises ScenarioError with what only shows once records have told more than the file at ``path`` does.

    ``scenario``: the one of that file, with the moth season worked out where it was left out.
    """
    problems = settled_problems(scenario, _source(path), str(path))
    if problems:
        raise ScenarioError(problems)


def settled_problems(scenario: Scenario, text: str | bytes, file: str) -> list[Problem]:
    """Comb that no plan can keep from moths, where it is only now known when they fly; placed in the ``text``."""
    tree, _ = read_tree(text, file)
    return [_placed(finding, tree, file) for finding in moth_findings(draft_of_scenario(scenario, tree))]


def _source(path: Path) -> bytes:
    file = str(path)
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise ScenarioError([Problem(file, 0, 0, "this is not a file; name the scenario file itself")])
        with path.open("rb") as stream:
            return stream.read(MAX_BYTES + 1)
    except (FileNotFoundError, NotADirectoryError):
        raise ScenarioError([Problem(file, 0, 0, f"there is no file of this name; {_instead(path)}")]) from None
    except PermissionError:
        raise ScenarioError([Problem(file, 0, 0, "you are not allowed to read this file")]) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name is not one a file can have"
        raise ScenarioError([Problem(file, 0, 0, f"the file cannot be read: {reason}")]) from None


def _instead(path: Path) -> str:
    """What to write in place of a name that is not there: that of a file beside it, or how to begin one."""
    try:
        beside = sorted(one.name for one in path.parent.iterdir() if one.suffix in {".yaml", ".yml"})
    except OSError:
        beside = []
    close = nearest(path.name, [name for name in beside if not name.endswith(WRITTEN_BY_US)])
    return f"did you mean '{close}'?" if close else "`offseason start winter.yaml` writes one to begin with"


def parse_scenario(text: str | bytes, file: str) -> Scenario:
    """The scenario written in ``text``; ``file`` is its name in messages. Raises ScenarioError with every mistake."""
    tree, problems = read_tree(text, file)
    if not isinstance(tree.data, dict):
        sentence = "a scenario is a list of keys and values, such as season:, crew: and gear:; this is something else"
        raise ScenarioError([*problems, Problem(file, *tree.mark, sentence)])
    if tree.data.keys() >= _PLAN_ALONE and not _SCENARIO_ALONE & tree.data.keys():
        sentence = "this is a plan, not a scenario; name the scenario that the plan was made of"
        raise ScenarioError([Problem(file, 0, 0, sentence)])
    if beyond := [_placed(finding, tree, file) for finding in too_large(tree)]:
        raise ScenarioError([*problems, *beyond])
    draft, findings, scenario = draft_of(tree)
    findings += cross_findings(draft)
    told = {(p.line, p.column) for p in problems}
    problems += [p for p in (_placed(f, tree, file) for f in findings) if (p.line, p.column) not in told]
    if problems or scenario is None:
        raise ScenarioError(problems)
    return scenario


def _placed(finding: Finding, tree: Node, file: str) -> Problem:
    line, column = tree.place(finding.path, of_key=finding.on_key)
    return Problem(file, line, column, finding.text)
