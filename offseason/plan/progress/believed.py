"""What of a log can be true: no more pieces than there are, and no step before the one it needs."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

from offseason.plan.progress.entry import Entry
from offseason.plan.progress.standing import step_of
from offseason.workload.flow import follows
from offseason.workload.model import Lot, Workload


def believed(workload: Workload, entries: Sequence[Entry]) -> tuple[tuple[Entry, ...], tuple[str, ...]]:
    """The entries, in order of time, cut to what can be true, and a sentence on each kind of work that was cut.

    The rest is planned again. Entries of lots or steps there are no more are kept: nothing is counted for them.
    """
    known = [(entry, step_of(workload, entry)) for entry in entries]
    logged: Counter[tuple[int, int]] = Counter()
    for entry, at in known:
        if at is not None:
            logged[at] += entry.pieces
    through: Counter[tuple[int, int]] = Counter()
    cut: Counter[tuple[int, int]] = Counter()
    found = []
    for entry, at in known:
        pieces = entry.pieces
        if at is not None:
            pieces = min(pieces, _most(workload.lots[at[0]], *at, through, logged))
            through[at] += pieces
            cut[at] += entry.pieces - pieces
        if pieces > 0:
            found.append(replace(entry, pieces=pieces))
    return tuple(found), tuple(_said(workload, through, cut))


def _most(lot: Lot, n: int, s: int, through: Counter[tuple[int, int]], logged: Counter[tuple[int, int]]) -> int:
    """Pieces that can have had the step by now, beside those that had it."""
    most = lot.steps[s].pieces
    for pair in follows(lot):
        if pair.then == s:
            first = lot.steps[pair.first]
            passed_by = max(0, first.pieces - logged[n, pair.first]) if pair.skippable else 0
            most = min(most, through[n, pair.first] + pair.spare + passed_by)
    return max(0, most - through[n, s])


def _said(workload: Workload, through: Counter[tuple[int, int]], cut: Counter[tuple[int, int]]) -> Iterable[str]:
    by_work: defaultdict[tuple[str, str], list[int]] = defaultdict(lambda: [0, 0])
    for (n, s), pieces in sorted(cut.items()):
        if pieces:
            lot = workload.lots[n]
            told = by_work[lot.stated, lot.steps[s].task]
            told[0] += through[n, s] + pieces
            told[1] += through[n, s]
    for (name, task), (said, counted) in by_work.items():
        work = name if name == task else f"'{task}' of {name}"
        yield (
            f"The log has {said:,} of {work}, more than there are or than came through the steps before it. "
            f"{counted:,} are counted, and the rest is planned again; `offseason record` puts the log right."
        )
