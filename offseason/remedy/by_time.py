"""What time alone forbids: the soonest each piece can be through each step, with any help, space and weather.

Every rule is a link "so long after that moment at the soonest". The links are followed until no moment rises any
more. A day that has passed by then, or a ring of links that adds time on every turn, is a clash. Each link holds in
every plan, so what clashes has no plan; what does not clash may have none for want of help, space or weather.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from offseason.workload.flow import Follows, follows, stages
from offseason.workload.model import Importance, Lot, Order, Step

Node = tuple[int, int, int]
"""Lot, step, and a number of pieces: the moment at which so many of them are through."""

MOST_NUMBERS = 12
"""Numbers of pieces looked at for one step; further ones would only find what is rarely there. Ours."""
SPARE_ROUNDS = 300
_HOUR_S = 3_600
_NEVER_S = 10**20


@dataclass(frozen=True)
class Link:
    """``then`` comes so long after ``before`` (None: after the second 0) at the soonest: its wait, and ``plus_s``.

    ``within``: it says so backwards, since ``before`` may come no later than that after ``then``.
    """

    before: Node | None
    then: Node
    plus_s: int
    waits: Step | None = None
    within: bool = False

    def soonest_s(self, moment_s: int) -> int:
        """The soonest ``then``, with ``before`` at that moment."""
        return (moment_s if self.waits is None else self.waits.ready_s(moment_s)) + self.plus_s

    @property
    def least_s(self) -> int:
        """The least time from one to the other, whenever it begins."""
        return (0 if self.waits is None else _least_wait_s(self.waits)) + self.plus_s


@dataclass(frozen=True)
class Deadline:
    """The last moment for a node; ``protection``: the work must have been begun by then, for moths fly."""

    node: Node
    by_s: int
    protection: bool = False


@dataclass(frozen=True)
class Clash:
    """What time forbids: a node that cannot come before ``soonest_s`` and must by the deadline.

    Without a deadline: a step that may follow another within some time only, and cannot. ``lots``: all that take part.
    """

    node: Node
    soonest_s: int
    deadline: Deadline | None
    lots: tuple[int, ...]


def clash_of(lots: tuple[Lot, ...], orders: Collection[Order], until_s: int | None) -> Clash | None:
    """The first clash of these lots; ``until_s``: the end of the season (None: it has none)."""
    deadlines = list(_deadlines(lots, until_s))
    links = _links(lots, orders, [deadline.node for deadline in deadlines])
    into: dict[Node, list[Link]] = {}
    for link in links:
        into.setdefault(link.then, []).append(link)
    return _ring(into) or _passed(lots, into, deadlines)


def _deadlines(lots: tuple[Lot, ...], until_s: int | None) -> Iterator[Deadline]:
    for n, lot in enumerate(lots):
        ready_by_s = lot.ready_by_s if lot.ready_by_s is not None else until_s
        for s, step in enumerate(lot.steps):
            if step.importance is Importance.MUST:
                yield Deadline((n, s, step.pieces), _NEVER_S if ready_by_s is None else ready_by_s)
        protecting = next((s for s in stages(lot) if s >= 0 and lot.steps[s].protected), None)
        if protecting is None or lot.protected or lot.treat_by_s is None or lot.protect_until_s is None:
            continue
        treat_by_s = lot.treat_by_s if until_s is None else min(lot.treat_by_s, until_s)
        if treat_by_s <= lot.protect_until_s:
            yield Deadline((n, protecting, lot.count), treat_by_s, protection=True)


def _links(lots: tuple[Lot, ...], orders: Collection[Order], asked: list[Node]) -> list[Link]:
    """All links among what must be done, and what that in turn cannot do without."""
    pairs = [follows(lot) for lot in lots]
    by_step: dict[tuple[int, int], set[int]] = {}
    links: list[Link] = []
    ahead = list(dict.fromkeys(asked))
    while ahead:
        lot, s, pieces = node = ahead.pop()
        known = by_step.setdefault((lot, s), set())
        if pieces in known or len(known) >= MOST_NUMBERS:
            continue
        known.add(pieces)
        step = lots[lot].steps[s]
        links.append(Link(None, node, lots[lot].arrives_s + step.seconds_each))
        found = [*_after(lots[lot], pairs[lot], node), *_ordered(lots, orders, node), *_in_time(lots[lot], node)]
        links += found
        ahead += [link.before if link.then == node and link.before is not None else link.then for link in found]
    for (lot, s), numbers in by_step.items():
        ordered = sorted(numbers)
        links += [Link((lot, s, few), (lot, s, more), 0) for few, more in pairwise(ordered)]
    nodes = {(lot, s, pieces) for (lot, s), numbers in by_step.items() for pieces in numbers}
    return [link for link in links if link.then in nodes and (link.before is None or link.before in nodes)]


def _after(lot: Lot, pairs: tuple[Follows, ...], node: Node) -> Iterator[Link]:
    """So many pieces of a step find so many, less the spare ones, through the steps before it."""
    n, s, pieces = node
    for pair in pairs:
        if pair.then == s and not pair.skippable and pieces > pair.spare:
            first = lot.steps[pair.first]
            yield Link((n, pair.first, pieces - pair.spare), node, lot.steps[s].seconds_each, first)


def _ordered(lots: tuple[Lot, ...], orders: Collection[Order], node: Node) -> Iterator[Link]:
    lot, s, _ = node
    for order in orders:
        if order.then == (lot, s):
            first = lots[order.first[0]].steps[order.first[1]]
            yield Link((*order.first, first.pieces), node, lots[lot].steps[s].seconds_each, first)


def _in_time(lot: Lot, node: Node) -> Iterator[Link]:
    """The step that must follow within some time holds back the one it follows."""
    n, s, pieces = node
    for t, step in enumerate(lot.steps):
        if step.within_s is None or step.within_of is None:
            continue
        theirs = t == s or (step.within_of == s and step.importance is Importance.MUST)
        if theirs and pieces <= min(step.pieces, lot.steps[step.within_of].pieces):
            yield Link((n, t, pieces), (n, step.within_of, pieces), -step.within_s, within=True)


def _ring(into: Mapping[Node, list[Link]]) -> Clash | None:
    """A ring of links that adds time on every turn, whenever it begins; only ``within`` can close one."""
    backwards = [link for links in into.values() for link in links if link.within]
    if not backwards:
        return None
    at_s = dict.fromkeys(into, 0)
    came: dict[Node, Link] = {}
    raised: Node | None = None
    for _ in range(len(at_s) + 1):
        raised = None
        for node, links in into.items():
            for link in links:
                if link.before is not None and at_s[link.before] + link.least_s > at_s[node]:
                    at_s[node] = at_s[link.before] + link.least_s
                    came[node] = link
                    raised = node
        if raised is None:
            return None
    ring = _way_back(came, raised)
    held = next((link for link in ring if link.within), backwards[0])
    return Clash(held.before or held.then, 0, None, tuple(sorted({link.then[0] for link in ring})))


def _way_back(came: Mapping[Node, Link], last: Node | None) -> list[Link]:
    """The links by which a moment was raised, back to where the ring closes."""
    found: dict[Node, Link] = {}
    while last is not None and last in came and last not in found:
        found[last] = came[last]
        last = came[last].before
    ring = list(found.values())
    # what came before the ring was entered is no part of it
    return ring[list(found).index(last) :] if last in found else ring


def _passed(lots: tuple[Lot, ...], into: Mapping[Node, list[Link]], deadlines: list[Deadline]) -> Clash | None:
    """The deadline that has passed at the soonest moment, the earliest of them."""
    at_s: dict[Node, int] = {}
    came: dict[Node, Link] = {}
    for _ in range(len(into) + SPARE_ROUNDS):
        rose = False
        for node, links in into.items():
            for link in links:
                if link.before is not None and link.before not in at_s:
                    continue
                soonest_s = link.soonest_s(0 if link.before is None else at_s[link.before])
                if node not in at_s or soonest_s > at_s[node]:
                    at_s[node], came[node], rose = soonest_s, link, True
        if not rose:
            break
    late = [d for d in deadlines if _counted_s(lots, d, at_s[d.node]) > d.by_s]
    if not late:
        return None
    first = min(late, key=lambda d: (d.by_s, at_s[d.node]))
    lots_there = {link.then[0] for link in _way_back(came, first.node)}
    return Clash(first.node, at_s[first.node], first, tuple(sorted(lots_there)))


def _counted_s(lots: tuple[Lot, ...], deadline: Deadline, finished_s: int) -> int:
    lot, s, _ = deadline.node
    return finished_s - (lots[lot].steps[s].seconds_each if deadline.protection else 0)


@cache
def _least_wait_s(step: Step) -> int:
    """The shortest wait after the step, whenever it is done; of drying by the hour an hour less, to be on this side."""
    if step.drying is None:
        return step.wait_s
    hours = range(len(step.drying.done))
    shortest_s = min((step.drying.ready_s(h * _HOUR_S) - h * _HOUR_S for h in hours), default=_HOUR_S)
    return max(step.wait_s, shortest_s - _HOUR_S)
