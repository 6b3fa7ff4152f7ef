"""``offseason share``: the plan in the hands of those who do the work, on phones, in calendars and on paper."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from offseason.commands.changes import log_of, old_side
from offseason.commands.outcome import Outcome
from offseason.commands.settled import settled
from offseason.plan.alone import alone_beside
from offseason.plan.changes import Side, of_two_winters
from offseason.plan.changes import changes as compared
from offseason.plan.document import Plan
from offseason.plan.file import plan_text, read_plan
from offseason.plan.origin import changed_since, name_beside, records_said, scenario_beside
from offseason.plan.parse import PlanFileError, parse_plan
from offseason.plan.progress.log import log_beside
from offseason.plan.renamed import in_new_names, renamed, said_of_renamed
from offseason.plan.unwritten import cannot_write
from offseason.scenario.read import read_scenario
from offseason.share.changed import changed_since_shared
from offseason.share.exit_codes import DONE, FILE_WRONG
from offseason.share.folder import STATE, FolderError, Ours, old_file, ours_in, to_keep, unfit, write_all
from offseason.share.forms import EVERYBODY, SHARED, SHARED_BEFORE, Forms, forms
from offseason.share.handout import Changed, Handout
from offseason.share.make_handout import handout
from offseason.share.picture.winter import winter_svg
from offseason.share.sheets import on_one_line
from offseason.share.terminal.layout import count_text, day_text, paragraph, table
from offseason.share.terminal.left import left_text
from offseason.workload.build import build_workload


def share(arguments: argparse.Namespace) -> Outcome:
    """Writes all the files of a plan into a folder; none before all are made."""
    arguments.ctrl_c.listen()
    plan_path: Path = arguments.plan
    plan = read_plan(plan_path)
    path: Path = arguments.scenario or scenario_beside(plan, plan_path)
    if not path.exists():
        told = f"{path}: the scenario of this plan is not there; name it with --scenario. The cautions stand in it, and"
        return Outcome(FILE_WRONG, complaint=f"{told} without them no work is handed out.")
    try:
        # what is shared hangs on what was: whoever shares there at the same time waits, and a new folder is still none
        with alone_beside(arguments.to):
            folder = _Folder(arguments.to, ours_in(arguments.to))
            shown, made, remarks = _made(folder, plan, plan_path, path, arguments.alarm)
            if wrong := unfit(folder.path, made.after.files, folder.ours) or _a_source(folder, made, plan_path, path):
                return Outcome(FILE_WRONG, complaint=wrong)
            aside = to_keep(folder.path, made.files, folder.ours)
            arguments.ctrl_c.ignore()
            write_all(folder.path, made.files, made.after, folder.ours, aside)
    except FolderError as error:
        return Outcome(FILE_WRONG, complaint=str(error))
    except TimeoutError as error:
        return Outcome(FILE_WRONG, complaint=cannot_write(arguments.to, error))
    kept = [told] if (told := aside.told(aside.prints)) else []
    text = _text(shown, made, [*kept, *_of_the_plan(plan, path), *remarks], left_text(shown.left))
    where = folder.path if folder.path.name else folder.path.resolve()
    return Outcome(DONE, text, f"The plan is shared in {where}.")


@dataclass(frozen=True)
class _Folder:
    """The folder to share into, and what in it is ours."""

    path: Path
    ours: Ours

    def old(self, name: str) -> bytes | None:
        """What was written into a file last time; None where there is none of ours."""
        return old_file(self.path, name) if name in self.ours.files else None


def _made(
    folder: _Folder, plan: Plan, plan_path: Path, scenario_path: Path, alarm_minutes: int | None
) -> tuple[Handout, Forms, list[str]]:
    """What is handed out, all files of it, and what is to be remarked."""
    scenario, outlook = settled(read_scenario(scenario_path), scenario_path)
    workload = build_workload(scenario, outlook)
    now = plan_text(replace(plan, scenario_file=name_beside(scenario_path, folder.path / SHARED))).encode()
    last, before = folder.old(SHARED), folder.old(SHARED_BEFORE)
    if last != now:  # else the same is shared once more, and what changed is told as it was
        before = last
    new = Side(plan, scenario, outlook, workload)
    changed, remarks = _changed(before, folder, new, plan_path, scenario_path)
    shown = handout(scenario, plan, workload, changed)
    svg = winter_svg(scenario, outlook, workload, plan)
    kept = {SHARED: now} if before is None else {SHARED_BEFORE: before, SHARED: now}
    made = forms(shown, svg, kept, folder.ours, folder.old, now=datetime.now(UTC), alarm_minutes=alarm_minutes)
    return shown, made, [*remarks, *made.remarks]


def _changed(
    last: bytes | None, folder: _Folder, new: Side, plan_path: Path, scenario_path: Path
) -> tuple[Changed | None, list[str]]:
    """What is different from the plan shared last, and what is to be remarked of it."""
    if last is None or new.scenario is None:
        return None, []
    try:
        old = parse_plan(last, str(folder.path / SHARED))
    except PlanFileError as error:
        return None, [f"The plan shared last cannot be read, so what changed is not told. {error.problems[0]}"]
    if of_two_winters(Side(old), new):
        return None, ["The plan shared last was of another winter, so what changed is not told."]
    names = renamed(old.rows, new.scenario)
    old = replace(old, rows=in_new_names(old.rows, names))
    log, said = log_of(plan_path)
    found = compared(old_side(old, folder.path / SHARED, new, scenario_path), new, log.entries)
    return changed_since_shared(old.made, found), [*said_of_renamed(names), *said]


def _a_source(folder: _Folder, made: Forms, plan_path: Path, scenario_path: Path) -> str | None:
    """That a file the plan is shared from would be written over; None where none would."""
    for source in (plan_path, scenario_path, log_beside(plan_path)):
        target = folder.path / source.name
        if source.name in made.after.files and source.exists() and target.exists() and source.samefile(target):
            return f"{source} is what is to be shared, and would be written over; name another folder with --to."
    return None


def _of_the_plan(plan: Plan, scenario_path: Path) -> list[str]:
    """What is remarkable of the plan that is handed out."""
    changed = [f"{scenario_path} has changed since this plan was made"] if changed_since(plan, scenario_path) else []
    changed += [said] if (said := records_said(plan, scenario_path.parent)) else []
    return [f"{said}; offseason audit tells what no longer holds." for said in changed]


def _text(shown: Handout, made: Forms, remarks: list[str], left: str) -> str:
    return "\n\n".join(
        [
            *(paragraph(on_one_line(one)) for one in [*remarks, *_of_gone(made), *_of_changes(shown)]),
            *([left] if left else []),
            table([*_files(shown, made)], wrap=(1,), indent=2),
            paragraph(
                "Send page.html as an attachment: there each helper chooses their name under Who. Where it is put "
                "for all to open, #who=NAME behind its address chooses it. It asks nothing of the network, and what "
                "is ticked on it comes back as lines for offseason record PLAN --from FILE."
            ),
            paragraph(
                "Send each helper their calendar (.ics). After each replan share into the same folder and have it "
                "imported again: nothing is doubled, what moved moves, and what is off is called off."
            ),
        ]
    )


def _of_gone(made: Forms) -> Iterator[str]:
    names = {person: name for name, person in made.after.files.items() if person is not None}
    for person in made.gone:
        yield f"{person} is no longer in this plan: all is called off in {names[person]}; send it once more."


def _of_changes(shown: Handout) -> Iterator[str]:
    if shown.changes is not None:
        number = count_text(len(shown.changes.lines), "change")
        yield f"The page tells {number} since the plan of {day_text(shown.changes.since.date())}, shared last."


def _files(shown: Handout, made: Forms) -> Iterator[tuple[str, str]]:
    yield "page.html", "the plan for phone, computer and paper: who does what when, with ticks and day sheets"
    yield f"{EVERYBODY}.ics, {EVERYBODY}.txt", "a calendar of all work; the same as text for a message"
    for person in shown.people:
        own = [name for name, whose in made.after.files.items() if whose == person]
        yield ", ".join(own), f"the same for {person}"
    yield "work.csv", "all work as a table for a spreadsheet"
    yield "winter.svg", "the winter at a glance"
    yield f"{SHARED}, {STATE}", "what was shared, to tell next time what changed; for nobody else"
