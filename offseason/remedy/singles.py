"""Remedies of a single change, cheapest first: the least of each lever that is enough for the whole winter."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, count

from offseason.remedy.asking import Asking, Clock, Part
from offseason.remedy.least import least
from offseason.remedy.lever import Change, Kind, Lever, Remedy
from offseason.remedy.levers import Family
from offseason.remedy.part import InTheWay
from offseason.solver.fits import Verdict

MOST_SINGLES = 5

NEARLY_ALL = 0.8
"""More than this part of all there is, where less was not refuted, is not offered. Ours."""

QUICK_S = 4.0
"""So long the whole winter is asked about one size, before more of the lever is asked about. Ours."""

SHARE_OF_FAMILY, LEAST_OF_FAMILY_S = 0.15, 2.0
"""Part of the time that levers about one thing may take for a part, and how long they may take anyway. Ours."""


@dataclass(frozen=True)
class Enough:
    """A lever and a size of it that is enough for the first ``parts`` parts.

    ``refuted``: the largest size that is proven not to be.
    """

    lever: Lever
    size: int
    refuted: int = 0
    parts: int = 1

    @property
    def change(self) -> Change:
        """The lever moved so far."""
        return Change(self.lever, self.size)

    @property
    def remedy(self) -> Remedy:
        """The same as a remedy."""
        return Remedy((self.change,), least=self.refuted == self.size - 1)


@dataclass(frozen=True)
class Singles:
    """``remedies`` of one change, cheapest first, and whether all that could be cheaper was tried."""

    remedies: tuple[Remedy, ...]
    all_tried: bool


def enough_for_part(
    asking: Asking, part: Part, families: Sequence[Family], clock: Clock, besides: Sequence[Change] = ()
) -> list[list[Enough]]:
    """For each family what of it is enough for the part alone, the cheapest first; families without are left out.

    ``besides``: changes that are made anyway.
    """
    found = []
    for family in families:
        within = clock.within(max(clock.left_s * SHARE_OF_FAMILY, LEAST_OF_FAMILY_S))
        enough = sorted(_of_family(asking, part, family, within, besides), key=lambda one: one.size)
        if enough:
            found.append(enough)
    return found


def _of_family(asking: Asking, part: Part, family: Family, clock: Clock, besides: Sequence[Change]) -> Iterator[Enough]:
    """The variants that may be enough. Once one is, of another it is only asked whether less than that is.

    One that is not enough with less may still be the best for the whole winter: it is kept, as not asked yet.
    """
    best: int | None = None
    for lever in _not_hopeless(asking, part, family.variants, clock, besides):
        most = lever.most if best is None else min(lever.most, best - 1)
        ask = _Ask(asking, part, lever, clock, besides=tuple(besides))
        found = least(ask, most, guess=family.guess if best is None else most - 1)
        if found is not None:
            best = found.size
            yield Enough(lever, found.size, found.size - 1 if found.proven else 0)
        elif best is not None and lever.most >= best:
            yield Enough(lever, best, parts=0)


@dataclass(frozen=True)
class _Ask:
    """Whether so much of one lever is enough, for some lots or for the whole winter (None)."""

    asking: Asking
    part: Part | None
    lever: Lever
    clock: Clock
    most_s: float | None = None
    besides: tuple[Change, ...] = ()

    def __call__(self, size: int) -> Verdict:
        changes = with_more(self.besides, (Change(self.lever, size),))
        clock = self.clock if self.most_s is None else self.clock.within(self.most_s)
        if self.part is None:
            return self.asking.whole(changes, clock)
        return self.asking.part(self.part, changes, clock)


def _not_hopeless(
    asking: Asking, part: Part, variants: Sequence[Lever], clock: Clock, besides: Sequence[Change]
) -> Iterator[Lever]:
    """The variants without those that are not enough even all together; halved as long as that tells anything."""
    if len(variants) > 1:
        if asking.part(part, with_more(besides, (Change(lever, lever.most) for lever in variants)), clock).no:
            return
        half = len(variants) // 2
        yield from _not_hopeless(asking, part, variants[:half], clock, besides)
        yield from _not_hopeless(asking, part, variants[half:], clock, besides)
    else:
        yield from variants


class Singling:
    """Takes up one lever after another, the cheapest first.

    ``parts`` grows: where what is enough for all parts so far is not enough for the winter, and other lots are found
    that stand in the way, these are asked from then on, since a few lots are quicker to ask than all.
    """

    def __init__(self, in_the_way: InTheWay, parts: list[Part], clock: Clock) -> None:
        self.in_the_way, self.asking, self.parts, self.clock = in_the_way, in_the_way.asking, parts, clock
        self._known_useful: dict[tuple[int, int], frozenset[Lever]] = {}

    def run(self, per_family: Sequence[Sequence[Enough]]) -> Singles:
        """Up to five remedies of one change, each enough for the whole winter: the cheapest of these families."""
        order, found, all_tried = count(), dict[int, Enough](), True
        heap = [(one.change.price, next(order), n, one, False) for n, some in enumerate(per_family) for one in some]
        heapq.heapify(heap)
        while heap and len(found) < MOST_SINGLES:
            _, _, family, enough, sure = heapq.heappop(heap)
            if family in found or any(_goes_further(enough.lever, one.lever) for one in found.values()):
                continue
            if sure:
                if self.asking.yard.allowed((enough.change,)):
                    found[family] = enough
                continue
            if self.clock.left_s <= 0:
                all_tried = False
                break
            variants = [one.lever for one in per_family[family]]
            more, sure = self._further(enough, family, variants)
            if more is not None:
                heapq.heappush(heap, (more.change.price, next(order), family, more, sure))
        # sizes are made smaller for as long again as it took to find them: somebody waits
        clock = self.clock.within(self.clock.elapsed_s)
        smallest = sorted((self._smaller(one, clock) for one in found.values()), key=lambda one: one.change.price)
        return Singles(tuple(one.remedy for one in smallest if not _nearly_all(one)), all_tried)

    def _further(self, enough: Enough, family: int, variants: Sequence[Lever]) -> tuple[Enough | None, bool]:
        """One step further: what of the lever is enough for more parts, or, surely, for all; None where nothing is."""
        if enough.parts < len(self.parts):
            if enough.lever not in self._useful(family, variants, enough.parts):
                return None, False
            ask = _Ask(self.asking, self.parts[enough.parts], enough.lever, self.clock)
            return _climbed(replace(enough, parts=enough.parts + 1), ask), False
        if self._another_part(enough, widen=False):
            return enough, False
        ask = _Ask(self.asking, None, enough.lever, self.clock, QUICK_S)
        verdict = ask(enough.size)
        if verdict.no and self._another_part(enough, widen=True):
            return enough, False
        return _climbed(enough, ask), True

    def _useful(self, family: int, variants: Sequence[Lever], part: int) -> frozenset[Lever]:
        """The variants of a family that are not hopeless for a part, asked about once."""
        if (family, part) not in self._known_useful:
            kept = _not_hopeless(self.asking, self.parts[part], variants, self.clock, ())
            self._known_useful[family, part] = frozenset(kept)
        return self._known_useful[family, part]

    def _another_part(self, enough: Enough, *, widen: bool) -> bool:
        part = self.in_the_way.part((enough.change,), self.clock, widen=widen)
        if part is None or part in self.parts:
            return False
        self.parts.append(part)
        return True

    def _smaller(self, enough: Enough, clock: Clock) -> Enough:
        """The least that is enough, between what is refuted and what is known to be: with more time for each question.

        A size for which neither is found counts as not enough.
        """
        ask, low = _Ask(self.asking, None, enough.lever, clock), enough.refuted
        while enough.size - low > 1 and clock.left_s > 0:
            middle = (enough.size + low) // 2
            verdict = ask(middle)
            if verdict.yes:
                enough = replace(enough, size=middle)
            else:
                low = middle
                enough = replace(enough, refuted=middle) if verdict.no else enough
        return enough


def _climbed(enough: Enough, ask: _Ask) -> Enough | None:
    """So much more of the lever that it is enough there too, in strides that double; None where even most is not.

    Where every answer was a plan or a proof, strides are then halved, down to the least.
    """
    most, size, stride, refuted = enough.lever.most, enough.size, 1, enough.refuted
    while not (verdict := ask(size)).yes:
        if size >= most or (size == enough.size and ask(most).no):
            return None
        refuted = max(refuted, size) if verdict.no else refuted
        size, stride = min(size + stride, most), stride * 2
    low = max(refuted, enough.size - 1)
    while size > enough.size and low == refuted and size - low > 1:
        middle = (size + low) // 2
        verdict = ask(middle)
        if verdict.yes:
            size = middle
        elif verdict.no:
            low = refuted = middle
        else:
            break
    return replace(enough, size=size, refuted=refuted)


def _goes_further(lever: Lever, than: Lever) -> bool:
    """Whether a lever leaves out all that another does, and more: where that one is enough, nobody wants this."""
    same = lever.kind is than.kind is Kind.OPTIONAL and lever.about == than.about and lever.job == than.job
    return same and set(lever.steps) > set(than.steps)


def _nearly_all(enough: Enough) -> bool:
    """Nearly as much as there is, where less was not refuted: that is no remedy, only where the search stood."""
    proven = enough.refuted == enough.size - 1
    return not proven and enough.lever.most > 1 and enough.size > NEARLY_ALL * enough.lever.most


def with_more(changes: Iterable[Change], more: Iterable[Change]) -> tuple[Change, ...]:
    """Both, of one lever the larger."""
    sizes: dict[Lever, int] = {}
    for change in chain(changes, more):
        sizes[change.lever] = max(change.size, sizes.get(change.lever, 0))
    return tuple(Change(lever, size) for lever, size in sizes.items())


def cheapest(per_family: Sequence[Sequence[Enough]]) -> Change | None:
    """The cheapest single change that is enough for a part."""
    return min((one.change for one in chain.from_iterable(per_family)), key=lambda change: change.price, default=None)
