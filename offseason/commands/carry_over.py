"""``offseason carry-over``: next winter's scenario out of this winter's and its log."""

from __future__ import annotations

import argparse
from pathlib import Path

from offseason.commands.outcome import Outcome
from offseason.commands.pace import log_of, log_path, to_use
from offseason.plan import carry_over as pure
from offseason.plan.file import read_plan
from offseason.plan.origin import scenario_beside
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.pace import Pace, paces
from offseason.scenario.decode import decoded
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.read import read_scenario
from offseason.scenario.yaml_edit import CannotEditError
from offseason.scenario.yaml_minutes import minutes_path
from offseason.scenario.yaml_tree import Path as YamlPath
from offseason.share.exit_codes import DONE, FILE_WRONG
from offseason.share.shell import for_shell
from offseason.share.target import write_new
from offseason.share.terminal.layout import clean, paragraph
from offseason.workload.build import build_workload


def carry_over(arguments: argparse.Namespace) -> Outcome:
    """Writes the next winter's scenario to a new file, and says what became of this winter's."""
    arguments.ctrl_c.listen()
    plan = read_plan(arguments.plan)
    path = arguments.scenario or scenario_beside(plan, arguments.plan)
    scenario = read_scenario(path)
    log = log_of(arguments)
    if isinstance(log, Outcome):
        return log
    target: Path = arguments.to
    learnt = _learnt(scenario, log.entries) if arguments.learnt else ()
    minutes: dict[YamlPath, float] = {
        place: one.median_minutes_each for one in learnt if (place := minutes_path(scenario, one.step))
    }
    try:
        carried = pure.carry_over(
            decoded(path.read_bytes(), str(path)),
            str(path),
            log.entries,
            origin=f"{path.name} and {log_path(arguments).name}",
            season_from=arguments.season_from,
            minutes=minutes,
        )
    except CannotEditError as error:
        told = f"{path} cannot be carried over: {error}."
        return Outcome(FILE_WRONG, complaint=f"{told} {target} was not written.")
    arguments.ctrl_c.ignore()
    if wrong := write_new(target, carried.text):
        return Outcome(FILE_WRONG, complaint=wrong)
    return Outcome(DONE, _text(carried, learnt, log.remarks), _then(target, path, scenario))


def _learnt(scenario: Scenario, entries: tuple[Entry, ...]) -> tuple[Pace, ...]:
    return to_use(scenario, paces(build_workload(scenario), entries))


def _text(carried: pure.CarriedOver, learnt: tuple[Pace, ...], remarks: tuple[str, ...]) -> str:
    told = [paragraph(clean(remark)) for remark in remarks]  # these begin with the name of a file
    told += [paragraph(_begun(clean(said)), 2 if said.startswith("-") else 0) for said in carried.said]
    if learnt:
        each = listed(f"{one.step} {one.planned_minutes_each:g} -> {one.median_minutes_each:g}" for one in learnt)
        told.append(paragraph(f"Minutes as learnt from the log: {each}."))
    return "\n".join(told)


def _begun(sentence: str) -> str:
    """With a capital: what is said here begins with a word of ours, never with a name."""
    return sentence[:1].upper() + sentence[1:]


def _then(target: Path, path: Path, scenario: Scenario) -> str:
    told = f"{target} is written; what stands above is at its top. Change what is different, then:"
    files = scenario.weather.history or scenario.weather.forecast
    moved = target.resolve().parent != path.resolve().parent
    copy = f"Copy {listed(files)} beside it too.\n" if files and moved else ""
    named = for_shell(target)
    return f"{paragraph(told)}\n{copy}  offseason check {named}\n  offseason plan {named}"
