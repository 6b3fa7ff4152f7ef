"""What would make a winter fit: the cheapest single changes, or the cheapest together, each proven by a plan."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import chain

from offseason.plan.audit import audit
from offseason.remedy.asking import Asking, Clock, Part
from offseason.remedy.lever import Change, Found, Kind, Lever, Remedy
from offseason.remedy.levers import Family, families_of
from offseason.remedy.part import InTheWay
from offseason.remedy.singles import Enough, Singling, cheapest, enough_for_part, with_more
from offseason.remedy.together import as_little, cheapest_together
from offseason.remedy.yard import Yard
from offseason.solver.hunt import Progress
from offseason.solver.search import solve
from offseason.workload.model import Left, Schedule, Workload

SHARE_FOR_PART = 0.15
SHARE_FOR_SINGLES = 0.6
"""Parts of the time for finding the lots that do not fit, and for single remedies."""

MOST_PARTS = 12
"""So many groups of lots that do not fit, each for a reason of its own, are looked at. Ours."""

VARIANTS_TOGETHER = 4
"""So many weeks of a helper, or first days of a hire, may be part of a combination. Ours."""

LEAST_S = 2.0


def find_remedies(
    yard: Yard,
    schedule: Schedule,
    *,
    seconds: float,
    workers: int = 2,
    seed: int = 0,
    tell: Callable[[Progress], None] | None = None,
) -> Found:
    """What would make the winter fit; ``schedule`` is the best plan of it, which leaves something.

    Every remedy is proven: with it the winter has a plan that keeps every promise, and the audit agrees.
    Ctrl-C ends the search with what has been found.
    """
    clock = Clock.of(seconds)
    asking = Asking(yard, workers, seed, tell or (lambda _: None), clock.began)
    found = _Finding(asking, clock, workers, seed)
    try:
        found.run(schedule.left)
    except KeyboardInterrupt:
        found.all_tried, found.stopped = False, True
    proven = [one for one in found.singles if _proved(asking, one, clock)]
    together = found.together if found.together is not None and _proved(asking, found.together, clock) else None
    return Found(tuple(proven), together, found.all_tried, clock.elapsed_s, found.impossible, found.stopped)


class _Finding:
    """What has been found so far."""

    def __init__(self, asking: Asking, clock: Clock, workers: int, seed: int) -> None:
        self.asking, self.clock, self.workers, self.seed = asking, clock, workers, seed
        self.singles: tuple[Remedy, ...] = ()
        self.together: Remedy | None = None
        self.all_tried = True
        self.impossible = self.stopped = False

    def run(self, left: Sequence[Left]) -> None:
        workload = self.asking.yard.workload()
        names = tuple(dict.fromkeys(workload.lots[one.lot].name for one in left))
        way = InTheWay(self.asking, workload, names)
        part = way.part((), self.clock.within(self.clock.left_s * SHARE_FOR_PART), widen=True)
        self.impossible = part is not None
        if part is None:
            part = frozenset(lot.name for lot in workload.lots)
        families = self._families(workload, part, left)
        share = self.clock.within(self.clock.left_s * SHARE_FOR_SINGLES)
        enough = enough_for_part(self.asking, part, families, share)
        self.all_tried = self.impossible and share.left_s > 0
        parts = [part]
        made = Singling(way, parts, self.clock).run(enough)
        self.singles = made.remedies
        self.all_tried = self.all_tried and made.all_tried
        if not self.singles and self.clock.left_s > 0:
            self._together(way, parts, left)

    def _families(self, workload: Workload, part: Part, left: Sequence[Left]) -> tuple[Family, ...]:
        return families_of(self.asking.yard, workload, (lot for lot in workload.lots if lot.name in part), left)

    def _together(self, way: InTheWay, parts: list[Part], left: Sequence[Left]) -> None:
        """Parts that do not fit, one after another, each with what is enough for it, until the whole winter fits."""
        levers, changes, done = list[Lever](), tuple[Change, ...](), 0
        while True:
            if done == MOST_PARTS:
                self.all_tried = False
                return
            part = parts[done]
            families = self._families(way.workload, part, left)
            share = self.clock.within(self.clock.left_s / 2)
            enough = enough_for_part(self.asking, part, families, share, changes)
            levers += [one for one in _for_combination(families, enough) if one not in levers]
            if not self.asking.part(part, changes, self.clock).yes:
                more = _enough_at_once(self.asking, part, families, enough, changes, self.clock)
                if not more:
                    self.all_tried = False
                    return
                changes = with_more(changes, more)
            done += 1
            if done < len(parts):
                continue
            if self.asking.whole(changes, self.clock).yes and self.asking.yard.allowed(changes):
                levers += [change.lever for change in changes if change.lever not in levers]
                self._take(cheapest_together(self.asking, parts, levers, changes, self.clock))
                return
            another = self._another_part(way, changes)
            if another is None or another in parts:
                self.all_tried = False
                return
            parts.append(another)

    def _take(self, found: Remedy | None) -> None:
        """What is enough together, or turned out to be enough alone."""
        if found is None:
            self.all_tried = False
        elif len(found.changes) == 1:
            self.singles = (found,)
        else:
            self.together = found

    def _another_part(self, way: InTheWay, changes: Sequence[Change]) -> Part | None:
        """Lots that do not fit with these changes made: found among what a plan then still leaves something of."""
        found = way.part(changes, self.clock, widen=False)
        if found is not None or self.clock.left_s <= 0:
            return found
        workload = self.asking.yard.workload(changes)
        seconds = max(self.clock.left_s / 4, LEAST_S)
        schedule = solve(workload, seconds=seconds, workers=self.workers, seed=self.seed)
        names = tuple(dict.fromkeys(workload.lots[one.lot].name for one in schedule.left))
        return InTheWay(self.asking, way.workload, names).part(changes, self.clock, widen=True)


def _enough_at_once(
    asking: Asking,
    part: Part,
    families: Sequence[Family],
    enough: Sequence[Sequence[Enough]],
    besides: Sequence[Change],
    clock: Clock,
) -> tuple[Change, ...]:
    """The cheapest single change that is enough for a part besides these, or few changes that are together."""
    alone = cheapest(enough)
    if alone is not None:
        return (alone,)
    everything = with_more(besides, chain.from_iterable(_all_of(family) for family in families))
    if not asking.part(part, everything, clock).yes:
        return ()
    return as_little(lambda some: asking.part(part, some, clock), everything, clock.within(clock.left_s / 2)) or ()


def _all_of(family: Family) -> tuple[Change, ...]:
    return tuple(Change(lever, lever.most) for lever in _some(family.variants))


def _for_combination(families: Sequence[Family], enough: Sequence[Sequence[Enough]]) -> list[Lever]:
    """Of each family what is enough for the part alone, or a few variants where none is."""
    alone = {id(lever): some[0].lever for some in enough for lever in (one.lever for one in some)}
    found: list[Lever] = []
    for family in families:
        best = [alone[id(lever)] for lever in family.variants if id(lever) in alone]
        found += best[:1] or _some(family.variants)
    return found


def _some(variants: Sequence[Lever]) -> list[Lever]:
    """A few of them, evenly spread, the last among them; never two hires for the same days."""
    if len(variants) <= VARIANTS_TOGETHER:
        some = list(variants)
    else:
        last = len(variants) - 1
        some = [variants[n * last // (VARIANTS_TOGETHER - 1)] for n in range(VARIANTS_TOGETHER)]
    return some[-1:] if some[0].kind is Kind.INDOORS else some


def _proved(asking: Asking, remedy: Remedy, clock: Clock) -> bool:
    """Whether the plan found with this remedy keeps every promise, in the judgement of the audit."""
    yard = asking.yard
    verdict = asking.whole(remedy.changes, clock)
    if verdict.work is None:
        return False
    plan = yard.plan(verdict.work, remedy.changes)
    return not audit(yard.with_changes(remedy.changes), plan, yard.outlook)
