"""Which entry became which: pieces that one entry loses and another of the same lot and step gains have moved."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from offseason.plan.changes.model import Key


@dataclass
class Part:
    """Pieces that an entry loses or gains. ``overdue``: lost because their day is over and they were not done."""

    key: Key
    pieces: int
    overdue: bool = False


@dataclass(frozen=True)
class Move:
    """Pieces that go from one entry to another."""

    lost: Key
    gained: Key
    pieces: int
    overdue: bool


def parts(before: Mapping[Key, int], after: Mapping[Key, int]) -> tuple[list[Part], list[Part]]:
    """What entries lose, and what they gain, in order."""
    keys = sorted({*before, *after})
    differ = [(key, after.get(key, 0) - before.get(key, 0)) for key in keys]
    return [Part(key, -by) for key, by in differ if by < 0], [Part(key, by) for key, by in differ if by > 0]


def paired(lost: Iterable[Part], gained: Iterable[Part]) -> tuple[list[Move], list[Part], list[Part]]:
    """Moves, and what is left over on both sides.

    Same day and another person goes before same person and another day, and that before both; of these the nearest
    days, then the first. Pieces are taken together as far as they go, and the rest of an entry goes on to the next.
    """
    losses, gains = _by_work(lost), _by_work(gained)
    moves = [move for work in losses for move in _of_one_work(losses[work], gains.get(work, []))]
    left = [[part for of_work in side.values() for part in of_work if part.pieces] for side in (losses, gains)]
    return moves, left[0], left[1]


def _by_work(given: Iterable[Part]) -> dict[tuple[str, str], list[Part]]:
    found: dict[tuple[str, str], list[Part]] = defaultdict(list)
    for part in given:
        found[part.key.lot, part.key.step].append(Part(part.key, part.pieces, part.overdue))
    return found


def _of_one_work(losses: list[Part], gains: list[Part]) -> Iterator[Move]:
    for loss, gain in sorted(((loss, gain) for loss in losses for gain in gains), key=_distance):
        pieces = min(loss.pieces, gain.pieces)
        if pieces:
            loss.pieces -= pieces
            gain.pieces -= pieces
            yield Move(loss.key, gain.key, pieces, loss.overdue)


def _distance(pair: tuple[Part, Part]) -> tuple[int, int, Key, Key]:
    one, two = pair[0].key, pair[1].key
    days = abs((two.day - one.day).days)
    rank = 0 if days == 0 else 1 if one.person == two.person else 2
    return rank, days, one, two
