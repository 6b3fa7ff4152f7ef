"""The smallest core of statements that cannot all be true."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")


def smallest(statements: Sequence[T], clash: Callable[[Sequence[T]], bool]) -> tuple[T, ...]:
    """Those of the ``statements`` of which none can be left out and the rest still clash, in their order.

    Those that stand first are left out first, so write first what need not be told. All of them together must clash.
    """
    kept = list(statements)
    smaller = True
    while smaller:  # again where leaving one out has made another needless
        before = len(kept)
        for one in list(kept):
            rest = [other for other in kept if other != one]
            if clash(rest):
                kept = rest
        smaller = len(kept) < before
    return tuple(kept)
