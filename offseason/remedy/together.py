"""The cheapest changes that are enough together, where no single one is.

What is not enough is grown as far as it still is not: whatever is enough must go beyond that in one lever at least.
From many such sentences CP-SAT works out the cheapest that obeys them all; once that is enough, nothing cheaper is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from offseason.remedy.asking import Asking, Clock, Part
from offseason.remedy.least import least, left_out
from offseason.remedy.lever import Change, Kind, Lever, Remedy
from offseason.solver.cpsat import run
from offseason.solver.fits import Verdict

CENTS = 100
"""Prices are weighed to the hundredth."""

SHARE_TO_PROVE = 0.6
"""Part of the time in which the cheapest is sought and proven; the rest makes what is known as small as it gets."""

LEAST_TO_PROVE_S = 5.0
"""So long is looked for something cheaper even where something was found at once. Ours."""


@dataclass(frozen=True)
class Beyond:
    """What is enough goes beyond one of these sizes: lever to size."""

    sizes: tuple[tuple[Lever, int], ...]


def cheapest_together(
    asking: Asking, parts: Sequence[Part], levers: Sequence[Lever], enough: Sequence[Change], clock: Clock
) -> Remedy | None:
    """The cheapest combination of these levers, at least as cheap as ``enough``, of which a plan is known.

    ``parts``: lots known not to fit together. The remedy is ``least`` where nothing cheaper is proven to do. None where
    time ran out before it was found what of ``enough`` can be left out.
    """

    def ask(changes: Sequence[Change]) -> Verdict:
        answer = _answer(asking, parts, changes, clock)
        return Verdict(work=()) if answer is None else answer[1]

    best, sentences = as_little(ask, enough, clock.within(clock.left_s * (1 - SHARE_TO_PROVE))), list[Beyond]()
    if best is None:
        return None
    # a lever of which one unit costs as much as what is known already is in nothing cheaper
    levers = [lever for lever in levers if lever.price_each < _price(best)]
    provable = all(map(_more_is_never_worse, (*levers, *(change.lever for change in best))))
    clock = clock.within(max(clock.elapsed_s, LEAST_TO_PROVE_S))  # for as long again: somebody waits
    while clock.left_s > 0:
        sizes = _cheapest_beyond(levers, sentences, clock)
        if sizes is None:
            break
        changes = _changes(sizes)
        if _price(changes) >= _price(best) - 0.5 / CENTS:
            return Remedy(best, least=provable)
        answer = _answer(asking, parts, changes, clock)
        if answer is None:
            return Remedy(tuple(changes), least=provable)
        if answer[1].no:
            sentences.append(_grown(asking, answer[0], levers, sizes, clock))
        else:  # neither a plan nor a proof: passed over
            provable = False
            sentences.append(Beyond(tuple((lever, size) for lever, size in sizes.items() if size < lever.most)))
        if not sentences[-1].sizes:  # all of these levers together are not enough
            return Remedy(best, least=provable)
    return Remedy(best, least=False)


def _more_is_never_worse(lever: Lever) -> bool:
    """Not so of gear fetched earlier, whose comb must be safe earlier too, and of a season with one more round in it.

    What the search finds with them is enough, for a plan shows it; but that nothing cheaper is, leans on it.
    """
    return lever.kind is not Kind.EARLIER and not (lever.kind is Kind.LATER and not lever.about)


def as_little(
    ask: Callable[[Sequence[Change]], Verdict], enough: Sequence[Change], clock: Clock
) -> tuple[Change, ...] | None:
    """Of changes that are enough so few and so little that less of any one is not, as far as time allows.

    Changes are left out, the dearest first and half of them at once while that goes; then each is made smaller. None
    where time ran out before each had been tried to be left out: nobody wants to read all that could be changed.
    """
    kept, all_tried = left_out(sorted(enough, key=lambda change: change.price), lambda some: ask(some).yes, clock)
    if not all_tried:
        return None
    sizes = {change.lever: change.size for change in kept}
    for lever in sorted(sizes, key=lambda one: -one.price_each * sizes[one]):
        if clock.left_s <= 0:
            break

        def asked(size: int, lever: Lever = lever) -> Verdict:
            return ask(_changes({**sizes, lever: size}))

        found = least(asked, sizes[lever])
        sizes[lever] = found.size if found is not None else sizes[lever]
    return tuple(_changes(sizes))


def _price(changes: Sequence[Change]) -> float:
    return sum(change.price for change in changes)


def _changes(sizes: dict[Lever, int]) -> list[Change]:
    return [Change(lever, size) for lever, size in sizes.items() if size]


def _answer(
    asking: Asking, parts: Sequence[Part], changes: Sequence[Change], clock: Clock
) -> tuple[Part | None, Verdict] | None:
    """The lots for which it is not enough, None for the winter as a whole, and the verdict; None where all fits."""
    for part in parts:
        verdict = asking.part(part, changes, clock)
        if not verdict.yes:
            return part, verdict
    verdict = asking.whole(changes, clock)
    return None if verdict.yes else (None, verdict)


def _ask(asking: Asking, part: Part | None, changes: Sequence[Change], clock: Clock) -> Verdict:
    return asking.whole(changes, clock) if part is None else asking.part(part, changes, clock)


def _grown(asking: Asking, part: Part | None, levers: Sequence[Lever], sizes: dict[Lever, int], clock: Clock) -> Beyond:
    """Lever by lever the largest size with which it is still proven not to be enough, the dearest levers first."""
    grown = dict(sizes)
    for lever in sorted(levers, key=lambda one: -one.price_each * one.most):
        low, high = grown[lever], lever.most
        if _ask(asking, part, _changes({**grown, lever: high}), clock).no:
            low = high
        while high - low > 1:
            middle = (low + high) // 2
            if _ask(asking, part, _changes({**grown, lever: middle}), clock).no:
                low = middle
            else:
                high = middle
        grown[lever] = low
    return Beyond(tuple((lever, size) for lever, size in grown.items() if size < lever.most))


def _cheapest_beyond(levers: Sequence[Lever], sentences: Sequence[Beyond], clock: Clock) -> dict[Lever, int] | None:
    """The cheapest sizes that go beyond every sentence in one lever; None where time ran out or there are none."""
    model = cp_model.CpModel()
    sizes = {lever: model.new_int_var(0, lever.most, "") for lever in levers}
    for sentence in sentences:
        beyond = []
        for lever, size in sentence.sizes:
            goes = model.new_bool_var("")
            model.add(sizes[lever] >= size + 1).only_enforce_if(goes)
            beyond.append(goes)
        model.add_bool_or(beyond)
    prices = [max(round(lever.price_each * CENTS), 0) for lever in levers]
    # of equally cheap ones the one with the fewest units, so that nothing is asked for that costs nothing
    weight = sum(lever.most for lever in levers) + 1
    total = sum(weight * price * sizes[lever] for lever, price in zip(levers, prices, strict=True))
    model.minimize(total + sum(sizes.values()))
    solver, status, interrupted = run(model, max(clock.left_s, 0.1), 1, 0)
    if interrupted:
        raise KeyboardInterrupt
    if status != cp_model.OPTIMAL:
        return None
    return {lever: solver.value(var) for lever, var in sizes.items()}
