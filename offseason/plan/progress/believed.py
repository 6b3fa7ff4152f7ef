"""What of a log can be true: no more pieces than there are, and no step before the one it needs."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

from offseason.plan.progress.entry import Entry
from offseason.plan.progress.standing import by_step
from offseason.workload.flow import follows
from offseason.workload.model import Workload


def believed(workload: Workload, entries: Sequence[Entry]) -> tuple[tuple[Entry, ...], tuple[str, ...]]:
    """The entries, in order of time, cut to what can be true, and a sentence on each kind of work that was cut.

    The rest is planned again. Entries of lots or steps there are no more are kept: nothing is counted for them.
    """
    known = list(by_step(workload, entries))
    logged: Counter[tuple[int, int]] = Counter()
    for entry, at in known:
        if at is not None:
            logged[at] += entry.pieces
    counted = _counted(workload, logged)
    left, found = counted.copy(), []
    for entry, at in known:
        pieces = entry.pieces if at is None else min(entry.pieces, left[at])
        if at is not None:
            left[at] -= pieces
        if pieces > 0:
            found.append(replace(entry, pieces=pieces))
    return tuple(found), tuple(_said(workload, counted, logged - counted))


def _counted(workload: Workload, logged: Counter[tuple[int, int]]) -> Counter[tuple[int, int]]:
    """Of what is logged of each step, as much as there is and as the steps before it have given.

    Within a day the order of rows tells nothing: of a row only its end is known, and pieces go on one by one.
    """
    counted: Counter[tuple[int, int]] = Counter()
    for n, lot in enumerate(workload.lots):
        for s, step in enumerate(lot.steps):
            counted[n, s] = min(logged[n, s], step.pieces)
            for pair in follows(lot):
                if pair.then == s:
                    first = lot.steps[pair.first]
                    passed_by = max(0, first.pieces - counted[n, pair.first]) if pair.skippable else 0
                    counted[n, s] = min(counted[n, s], counted[n, pair.first] + pair.spare + passed_by)
    return counted


def _said(workload: Workload, counted: Counter[tuple[int, int]], cut: Counter[tuple[int, int]]) -> Iterable[str]:
    by_work: defaultdict[tuple[str, str], list[int]] = defaultdict(lambda: [0, 0])
    for (n, s), pieces in sorted(cut.items()):
        lot = workload.lots[n]
        told = by_work[lot.stated, lot.steps[s].task]
        told[0] += counted[n, s] + pieces
        told[1] += counted[n, s]
    for (name, task), (said, true) in by_work.items():
        work = name if name == task else f"'{task}' of {name}"
        yield (
            f"The log has {said:,} of {work}, more than there are or than came through the steps before it. "
            f"{true:,} are counted, and the rest is planned again; `offseason record` puts the log right."
        )
