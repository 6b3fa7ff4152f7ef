"""Remedies of a single change, cheapest first: the least of each lever that is enough for the whole winter."""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, count

from offseason.remedy.asking import Asking, Clock, Part
from offseason.remedy.least import Least, least
from offseason.remedy.lever import Change, Lever, Remedy
from offseason.remedy.levers import Family
from offseason.remedy.part import InTheWay
from offseason.solver.fits import Verdict

MOST_SINGLES = 5

MOST_VARIANTS = 3
"""So many weeks of a helper, or first days of a hire, are tried for the whole winter, the cheapest first. Ours."""

SHARE_OF_FAMILY, LEAST_OF_FAMILY_S = 0.15, 2.0
"""Part of the time that levers about one thing may take for a part, and how long they may take anyway. Ours."""


@dataclass(frozen=True)
class Enough:
    """A lever and the least of it that is enough for the first ``parts`` parts that do not fit."""

    lever: Lever
    least: Least
    parts: int = 1

    @property
    def change(self) -> Change:
        """The lever moved so far."""
        return Change(self.lever, self.least.size)


@dataclass(frozen=True)
class Singles:
    """``remedies`` of one change, cheapest first, and whether all that could be cheaper was tried."""

    remedies: tuple[Remedy, ...]
    all_tried: bool


def enough_for_part(asking: Asking, part: Part, families: Sequence[Family], clock: Clock) -> list[list[Enough]]:
    """For each family what of it is enough for the part alone, the cheapest first; families without are left out."""
    found = []
    for family in families:
        within = clock.within(max(clock.left_s * SHARE_OF_FAMILY, LEAST_OF_FAMILY_S))
        enough = sorted(_of_family(asking, part, family, within), key=lambda one: one.least.size)
        if enough:
            found.append(enough)
    return found


def _of_family(asking: Asking, part: Part, family: Family, clock: Clock) -> Iterator[Enough]:
    """The variants that are enough. Once one is, another is only followed up where it may be enough with less."""
    best: int | None = None
    for lever in _not_hopeless(asking, part, family.variants, clock):
        most = lever.most if best is None else min(lever.most, best - 1)
        found = least(_Ask(asking, part, lever, clock), most, guess=family.guess if best is None else most - 1)
        if found is not None:
            best = found.size
            yield Enough(lever, found)


@dataclass(frozen=True)
class _Ask:
    """Whether so much of one lever is enough, for some lots or for the whole winter (None)."""

    asking: Asking
    part: Part | None
    lever: Lever
    clock: Clock

    def __call__(self, size: int) -> Verdict:
        changes = (Change(self.lever, size),)
        if self.part is None:
            return self.asking.whole(changes, self.clock)
        return self.asking.part(self.part, changes, self.clock)


def _not_hopeless(asking: Asking, part: Part, variants: Sequence[Lever], clock: Clock) -> Iterator[Lever]:
    """The variants without those that are not enough even all together; halved as long as that tells anything."""
    if len(variants) > 1:
        if asking.part(part, [Change(lever, lever.most) for lever in variants], clock).no:
            return
        half = len(variants) // 2
        yield from _not_hopeless(asking, part, variants[:half], clock)
        yield from _not_hopeless(asking, part, variants[half:], clock)
    else:
        yield from variants


class Singling:
    """Takes up one lever after another, the cheapest first.

    ``parts`` grows: where what is enough for all parts so far is not enough for the winter, and other lots are found
    that stand in the way, these are asked from then on, since a few lots are quicker to ask than all.
    """

    def __init__(self, in_the_way: InTheWay, parts: list[Part], clock: Clock) -> None:
        self.in_the_way, self.asking, self.parts, self.clock = in_the_way, in_the_way.asking, parts, clock

    def run(self, per_family: Sequence[Sequence[Enough]]) -> Singles:
        """Up to five remedies of one change, each enough for the whole winter: the cheapest of these families."""
        order, found = count(), list[Remedy]()
        heap = [(some[0].change.price, next(order), n, 0, some[0], False) for n, some in enumerate(per_family)]
        heapq.heapify(heap)
        while heap and len(found) < MOST_SINGLES:
            _, _, family, variant, enough, sure = heapq.heappop(heap)
            if sure:
                if self.asking.yard.allowed((enough.change,)):
                    found.append(Remedy((enough.change,), least=enough.least.proven))
                continue
            if self.clock.left_s <= 0:
                return Singles(tuple(found), all_tried=False)
            more, sure = self._further(enough)
            if more is not None:
                heapq.heappush(heap, (more.change.price, next(order), family, variant, more, sure))
            elif variant + 1 < min(len(per_family[family]), MOST_VARIANTS):
                another = per_family[family][variant + 1]
                heapq.heappush(heap, (another.change.price, next(order), family, variant + 1, another, False))
        return Singles(tuple(found), all_tried=True)

    def _further(self, enough: Enough) -> tuple[Enough | None, bool]:
        """One step further: what of the lever is enough for more parts, or, surely, for all; None where nothing is."""
        if enough.parts < len(self.parts):
            ask = _Ask(self.asking, self.parts[enough.parts], enough.lever, self.clock)
            return _more(enough, ask, enough.parts + 1), False
        if self._another_part(enough, widen=False):
            return enough, False
        ask = _Ask(self.asking, None, enough.lever, self.clock)
        verdict = ask(enough.least.size)
        if verdict.yes:
            return enough, True
        if verdict.no and self._another_part(enough, widen=True):
            return enough, False
        return _more(enough, ask, enough.parts), True

    def _another_part(self, enough: Enough, *, widen: bool) -> bool:
        part = self.in_the_way.part((enough.change,), self.clock, widen=widen)
        if part is None or part in self.parts:
            return False
        self.parts.append(part)
        return True


def _more(enough: Enough, ask: _Ask, parts: int) -> Enough | None:
    """As much more of the lever as is enough there too."""
    size = enough.least.size
    first = ask(size)
    if first.yes:
        return Enough(enough.lever, enough.least, parts)
    found = least(ask, enough.lever.most, begins=size, proven=first.no)
    return None if found is None else Enough(enough.lever, found, parts)


def cheapest(per_family: Sequence[Sequence[Enough]]) -> Change | None:
    """The cheapest single change that is enough for a part."""
    return min((one.change for one in chain.from_iterable(per_family)), key=lambda change: change.price, default=None)
