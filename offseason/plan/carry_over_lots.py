"""A lot of gear in the next winter: what was painted, used up or assembled, how old its combs are, what was left."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from offseason.plan.layout import name_text
from offseason.scenario.lots import kind_of
from offseason.scenario.model import CombClass, Foulbrood, GearEntry, Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.supply import is_bought
from offseason.scenario.yaml_edit import Changes, Copy
from offseason.scenario.yaml_tree import Path
from offseason.trade.comb import BROOD_COMB_SEASONS, combs_to_renew
from offseason.workload.model import Importance, Lot

Tally = Mapping[tuple[str, str], int]
_ASSEMBLES = re.compile(r"(?<![^\W_])(?:assembl|build|put(?:ting)? together|make up|hammer)", re.IGNORECASE)
_BROOD = (CombClass.BROOD, CombClass.POLLEN)


def undone(lot: Lot, tally: Tally) -> Iterator[str]:
    """What is left undone of a lot or a job, as one line; nothing where all is done."""
    left = []
    for step in lot.steps:
        missing = step.pieces - _done(lot, step.task, tally)
        if missing > 0:
            optional = "" if step.importance is Importance.MUST else f", {step.importance.value}"
            if step.task == lot.stated:  # a job, counted in parts of which the keeper knows nothing
                hours = (n * step.seconds_each / 3600 for n in (missing, step.pieces))
                left.append(" of ".join(f"{round(h, 2):g} h" for h in hours) + optional)
            else:
                left.append(f"{step.task} {missing:,} of {step.pieces:,}{optional}")
    if left:
        yield f"{lot.stated}: {'; '.join(left)}"


def carry_lot(
    changes: Changes, scenario: Scenario, lot: Lot, tally: Tally, age: tuple[int, int] | None, year: int
) -> None:
    """Puts into ``changes`` what becomes of the lot. ``age``: seasons its combs are older, and since which year.

    ``year``: that in which the next winter begins.
    """
    gear, path = scenario.gear[lot.name], ("gear", lot.name)
    if gear.webbing_seen:
        changes.dropped[(*path, "webbing_seen")] = "webbing was seen last winter; write it again where it is seen"
    if gear.foulbrood is Foulbrood.SUSPECTED:
        told = "foulbrood was suspected, and is still: it is notifiable; take it out only once it is cleared"
        changes.note(path, told)
        return
    gone = max((_done(lot, step.task, tally) for step in lot.steps if scenario.tasks[step.task].uses_up), default=0)
    made = _assembled(scenario, gear, lot, tally)
    count = gear.count - max(gone, made)
    what, now = "used up", ""
    if made > gone:
        what, now = "made ready", "; count them with the gear they are now"
    if count <= 0:
        changes.dropped[path] = f"all {what} last winter{now}"
        return
    if count < gear.count:
        changes.values[(*path, "count")] = (str(count), count)
        if made > gone:
            now += ". What is left of them is here: see to arrives: and to supplies:"
        changes.note(path, f"{gear.count - count} of {gear.count} were {what} last winter{now}")
    _paint(changes, scenario, lot, tally, count)
    if kind_of(gear) == "comb":
        changes.note(path, _comb_age(lot.name, gear, count, age or (0, year - 1)))


def _done(lot: Lot, step: str, tally: Tally) -> int:
    return min(tally.get((lot.stated, step), 0), next(s.pieces for s in lot.steps if s.task == step))


def _assembled(scenario: Scenario, gear: GearEntry, lot: Lot, tally: Tally) -> int:
    """Pieces of new gear that are ready for use; they do not come back next winter to be made once more."""
    making = [step.task for step in lot.steps if _ASSEMBLES.search(step.task)]
    first_day = scenario.season.from_
    if not lot.steps or not (
        making or is_bought(lot.name, gear, scenario.tasks, scenario.supplies, first_day=first_day)
        or any("foundation" in thing.casefold() for step in lot.steps for thing in scenario.tasks[step.task].uses)
    ):  # fmt: skip
        return 0
    must = [step.task for step in lot.steps if step.importance is Importance.MUST]
    return _done(lot, (making or must or [lot.steps[-1].task])[-1], tally)


def _paint(changes: Changes, scenario: Scenario, lot: Lot, tally: Tally, count: int) -> None:
    """The year of painting where all coats were done; two lots where they were done on some pieces only."""
    coats = [step for step in lot.steps if scenario.tasks[step.task].paint is not None]
    if not coats:
        return
    path: Path = ("gear", lot.name)
    year = scenario.season.from_.year
    whole = [step for step in coats if step.pieces == lot.count]
    if all(_done(lot, step.task, tally) == step.pieces for step in coats):
        painted = count
    else:
        painted = min(count, *(_done(lot, step.task, tally) for step in whole)) if whole else 0
    some = max(_done(lot, step.task, tally) for step in coats)
    if painted < some < lot.count or painted == 0 < some:
        told = listed(f"{_done(lot, step.task, tally)} have had the {step.task}" for step in coats)
        changes.note(path, f"painted in part: {told}")
    if painted <= 0:
        return
    if painted == count:
        _last_painted(changes, scenario, lot.name, year)
        return
    changes.values[(*path, "count")] = (str(count - painted), count - painted)
    changes.note(path, f"these are not painted yet; the {painted} that are stand below as a lot of their own")
    key = _new_name(scenario, changes, f"{lot.name}, painted {year}")
    copy = Changes(values={place: new for place, new in changes.values.items() if place[:2] == path})
    copy.values[(*path, "count")] = (str(painted), painted)
    _last_painted(copy, scenario, lot.name, year)
    changes.copies.append(Copy(path, name_text(key), key, copy, (f"painted last winter: {painted} of {count}",)))


def _last_painted(changes: Changes, scenario: Scenario, name: str, year: int) -> None:
    new: tuple[str, Any] = (str(year), year)
    path = ("gear", name, "last_painted")
    if scenario.gear[name].last_painted is None:
        changes.added[path] = new
    else:
        changes.values[path] = new


def _new_name(scenario: Scenario, changes: Changes, wanted: str) -> str:
    sections = (scenario.gear, scenario.tasks, scenario.jobs, scenario.rounds)
    taken = {" ".join(name.casefold().split()) for section in sections for name in section}
    taken |= {copy.key.casefold() for copy in changes.copies}
    name, number = wanted, 2
    while " ".join(name.casefold().split()) in taken:
        name, number = f"{wanted} ({number})", number + 1
    return name


def _comb_age(name: str, gear: GearEntry, count: int, age: tuple[int, int]) -> str:
    """How much older the combs are; brood combs are to be renewed (published: UK National Bee Unit)."""
    seasons, since = age[0] + 1, age[1]
    told = f"{name}: combs {seasons} season{'s' if seasons > 1 else ''} older than in {since}"
    if gear.comb not in _BROOD:
        return told
    renew = combs_to_renew(count)
    told += f"; brood combs are retired after {BROOD_COMB_SEASONS} seasons, at least a third of them each year"
    told += f" (published: UK National Bee Unit): {renew} of these {count}"
    return told + (f"; any left from {since} are due" if seasons >= BROOD_COMB_SEASONS else "")
