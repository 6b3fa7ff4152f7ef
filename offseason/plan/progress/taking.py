"""Which of the lines and rows offered go into the log: those that are new and can be true, and what is said of each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from offseason.plan.progress.check import entry_problems, entry_remarks
from offseason.plan.progress.entry import Entry, id_of_content, in_order, new_id
from offseason.plan.progress.log import Log
from offseason.plan.progress.merge import same_id
from offseason.plan.progress.pieces import lots_called, pieces_of, waiting
from offseason.plan.progress.short_line import Asked, said
from offseason.scenario.model import Scenario
from offseason.workload.model import Workload


@dataclass(frozen=True)
class Offered:
    """A line or row: where it stands (empty: on the command line), and what it says or what is not clear in it.

    ``instead``: the line as it was probably meant, where it is not clear.
    """

    where: str
    says: Asked | Entry | str
    instead: str = ""

    def told(self, sentence: str) -> str:
        """The sentence with the place it is about."""
        return f"{self.where}: {sentence}" if self.where else sentence


@dataclass(frozen=True)
class Taken:
    """What goes into the log; why others cannot; what is odd; what was known already; how lines were understood."""

    entries: tuple[Entry, ...] = ()
    problems: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    known: tuple[str, ...] = ()
    taken_as: tuple[str, ...] = ()


def take(offered: Sequence[Offered], workload: Workload, scenario: Scenario, log: Log, now: datetime) -> Taken:
    """Judges all that is offered, each beside the log and what is taken before it, in the order it was done in.

    ``now``: by the clocks of the yard.
    """
    ids = _ids(offered)
    order = sorted(range(len(offered)), key=lambda n: (*_when(offered[n].says, workload), n))
    taking = _Taking(workload, scenario, log, now)
    for n in order:
        taking.offer(n, offered[n], ids[n])
    return taking.taken()


def with_more(log: Log, entries: Iterable[Entry]) -> Log:
    """The log as it is with these entries besides."""
    return replace(log, entries=tuple(sorted((*log.entries, *entries), key=in_order)))


class _Taking:
    def __init__(self, workload: Workload, scenario: Scenario, log: Log, now: datetime) -> None:
        self.workload, self.scenario, self.log, self.now = workload, scenario, log, now
        self.entries: list[Entry] = []
        self.rows_known = 0
        self.said: dict[str, list[tuple[int, str]]] = {"problems": [], "remarks": [], "known": [], "taken_as": []}

    def offer(self, n: int, offered: Offered, name: str) -> None:
        says = offered.says
        entry = self._entry(says, name)
        if isinstance(entry, str):
            instead = f" Write:\n  {offered.instead}" if offered.instead else ""
            self._say("problems", n, offered.told(_ended(entry)) + instead)
            return
        there = same_id(self.log, entry)
        if there is not None and isinstance(says, Asked):
            self._say("known", n, offered.told(_known_text(says, there)))
            return
        if there == entry:
            self.rows_known += 1
            return
        if there is not None:
            self._say("problems", n, offered.told(_differs_text(there)))
            return
        problems = entry_problems(self.workload, self.scenario, self.log, entry, self.now)
        for problem in problems:
            self._say("problems", n, offered.told(_ended(problem)))
        if problems:
            return
        for remark in self._remarks(says, entry):
            self._say("remarks", n, offered.told(_ended(remark)))
        if isinstance(says, Asked) and says.taken_as:
            self._say("taken_as", n, offered.told(f"taken as: {said(says)}"))
        self.entries.append(entry)
        self.log = with_more(self.log, [entry])

    def _remarks(self, says: Asked | Entry | str, entry: Entry) -> Iterator[str]:
        if isinstance(says, Asked) and says.rest:
            wait = waiting(says.lot, says.step, says.day, self.workload, self.log)
            if wait is not None:
                yield _without_those_that_wait(says, *wait, entry.pieces)
        dated = isinstance(says, Entry) or (isinstance(says, Asked) and bool(says.written))
        yield from entry_remarks(self.workload, self.scenario, self.log, entry, dated=dated)

    def taken(self) -> Taken:
        told = {kind: tuple(text for _, text in sorted(said)) for kind, said in self.said.items()}
        if self.rows_known:
            rows = "1 row that is" if self.rows_known == 1 else f"{self.rows_known:,} rows that are"
            told["known"] += (f"{rows} in the log already: not recorded once more.",)
        return Taken(tuple(self.entries), **told)

    def _entry(self, says: Asked | Entry | str, name: str) -> Entry | str:
        if not isinstance(says, Asked):
            return says
        pieces = pieces_of(says.lot, says.step, says, self.workload, self.log)
        if isinstance(pieces, str) and any(one.id == name for one in self.log.entries):
            pieces = 1  # what was recorded before is only looked up
        return pieces if isinstance(pieces, str) else says.entry(pieces, name)

    def _say(self, kind: str, n: int, text: str) -> None:
        self.said[kind].append((n, text))


def _ended(sentence: str) -> str:
    return sentence if sentence.endswith(("?", ".")) else f"{sentence}."


def _ids(offered: Sequence[Offered]) -> list[str]:
    """For each line of a file an id made of what it says; for one of the command line a new one."""
    seen: Counter[str] = Counter()
    found = []
    for one in offered:
        if not isinstance(one.says, Asked) or not one.where:
            found.append(one.says.id if isinstance(one.says, Entry) else new_id())
            continue
        content = one.says.content()
        seen[content] += 1
        found.append(id_of_content(content, seen[content]))
    return found


def _when(says: Asked | Entry | str, workload: Workload) -> tuple[date, bool, int]:
    """Key for the order in which things were done: by day, then in the order of the steps, taking back last."""
    if isinstance(says, str):
        return date.max, True, 0
    lots = lots_called(workload, says.lot)
    steps = [step.task for step in lots[0].steps] if lots else []
    place = steps.index(says.step) if says.step in steps else len(steps)
    return says.day, (says.pieces or 1) < 0, place


def _known_text(says: Asked, there: Entry) -> str:
    where = f", line {there.line} of the log" if there.line is not None else ""
    again = ""
    if says.day != there.day:
        again = f" If it was done once more, write the day: on {says.day}."
    return f"recorded before ({there.day}{where}), and not once more.{again}"


def _without_those_that_wait(says: Asked, before: str, missing: int, pieces: int) -> str:
    return (
        f"all of '{says.lot}' is taken as {pieces:,}: {missing:,} more are to be through '{before}' first. Where they "
        f"are, record '{before}' and then these; where fewer need it, write a smaller share: in the scenario."
    )


def _differs_text(there: Entry) -> str:
    where = f"line {there.line} of the log" if there.line is not None else f"the row of {there.day}"
    return (
        f"this row has the id of {where} and says something else. Where one is the other put right, make them equal by "
        "hand; where both were done, delete the id here."
    )
