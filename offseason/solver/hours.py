"""Work of days on which nothing else changes put back to its promised minutes: the last touch of planning anew.

Work given out anew may take the hour of what was promised: a load lost is caught up with in the first free minute, and
then there is no room for the load that was promised for later that morning, though it comes to the same.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from offseason.solver.hunt import Candidate, Hunt
from offseason.solver.manner import Manner
from offseason.solver.moved import Roster
from offseason.workload.model import Work

MOST_ROUNDS = 4
"""What is put back makes room for more to be put back; more rounds than this found nothing more. Ours."""

Kept = Mapping[int, Sequence[Work]]


def at_promised_hours(hunt: Hunt, promised: Kept, roster: Roster) -> None:
    """Put what is as promised but for its hour back to its promised minutes, wherever that can be.

    ``promised``: by session. The best plan is dispatched once more along its own counts, and again while time is left
    and it helps; what comes of it takes its place only where nothing else becomes worse.
    """
    best, kept = hunt.best, hunt.kept
    try:
        for n in range(MOST_ROUNDS):
            off = roster.at_other_hours(best.work) if best is not None else 0
            if best is None or not off or (n and hunt.settings.left_s() < hunt.slowest_dispatch_s):
                break
            hunt.kept, hunt.best = _put_back(best.work, promised, roster), None
            hunt.dispatch(Manner(guide=hunt.model.counts.values(best.point), fill=False, full_loads=0.0))
            tried: Candidate | None = hunt.best
            if tried is None or not _no_worse(tried, best) or roster.at_other_hours(tried.work) >= off:
                break
            best = tried
    finally:
        hunt.best, hunt.kept = best, kept


def _no_worse(one: Candidate, two: Candidate) -> bool:
    return (one.judged, one.values) <= (two.judged, two.values)


def _put_back(work: Sequence[Work], promised: Kept, roster: Roster) -> Kept:
    """By session: of entries that are as promised the promised work, of the others that of the plan."""
    changed = roster.changed(work)
    every = (one for of_session in promised.values() for one in of_session)
    as_promised = [one for one in every if changed.isdisjoint(roster.entries(one))]
    found: defaultdict[int, list[Work]] = defaultdict(list)
    for one in (*as_promised, *(one for one in work if not changed.isdisjoint(roster.entries(one)))):
        found[one.session].append(one)
    return found
