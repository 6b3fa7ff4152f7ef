"""The least of something that is enough, where more of it is never worse."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from offseason.remedy.asking import Clock
from offseason.solver.fits import Verdict

T = TypeVar("T")


@dataclass(frozen=True)
class Least:
    """The least size found that fits; ``proven``: one unit less is proven not to."""

    size: int
    proven: bool


def least(
    ask: Callable[[int], Verdict], most: int, *, begins: int = 0, proven: bool = True, guess: int | None = None
) -> Least | None:
    """The least size up to ``most`` for which ``ask`` finds a plan; None where none is found for ``most`` itself.

    ``begins``: a size that is not enough, as is ``proven`` or not. ``guess``: about what it may be. Sizes are tried
    from there in strides that double, then halved between the last that is not enough and the first that is.
    """
    if most <= begins or not ask(most).yes:
        return None
    enough_at, not_enough, stride = most, begins, 1
    if guess is not None and begins < guess < most:
        verdict = ask(guess)
        if verdict.yes:
            enough_at = guess
            while enough_at - stride > begins and (verdict := ask(enough_at - stride)).yes:
                enough_at, stride = enough_at - stride, stride * 2
            if not verdict.yes:
                not_enough, proven = enough_at - stride, verdict.no
            return _between(ask, not_enough, enough_at, proven)
        not_enough, proven = guess, verdict.no
    while not_enough + stride < enough_at:
        verdict = ask(not_enough + stride)
        if verdict.yes:
            enough_at = not_enough + stride
            break
        not_enough, proven, stride = not_enough + stride, verdict.no, stride * 2
    return _between(ask, not_enough, enough_at, proven)


def _between(ask: Callable[[int], Verdict], not_enough: int, enough_at: int, proven: bool) -> Least:
    while enough_at - not_enough > 1:
        middle = (enough_at + not_enough) // 2
        verdict = ask(middle)
        if verdict.yes:
            enough_at = middle
        else:
            not_enough, proven = middle, verdict.no
    return Least(enough_at, proven)


def left_out(things: Sequence[T], still: Callable[[list[T]], bool], clock: Clock) -> tuple[list[T], bool]:
    """The things without those that can be left out, the last first and half of them at once while that goes.

    ``still``: whether the rest still does. The second says whether time allowed to try each.
    """
    kept, at, stride = list(things), len(things), max(len(things) // 2, 1)
    while at > 0 and clock.left_s > 0:
        stride = min(stride, at)
        without = kept[: at - stride] + kept[at:]
        if still(without):
            kept, at = without, at - stride
        elif stride > 1:
            stride //= 2
        else:
            at -= 1
    return kept, at <= 0
