"""What a plan says it leaves, where it is shown."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from offseason.plan.document import How, LeftOver, Plan
from offseason.plan.reading import left_said
from offseason.scenario.model import Scenario
from offseason.share.terminal.layout import clean, paragraph


def left_said_text(plan: Plan, scenario: Scenario | None = None) -> str:
    """What did not fit, a line for each; empty for a plan in which all fits. ``scenario`` None: it is not at hand."""
    return left_text(left_said(plan, scenario))


def left_text(said: Iterable[str]) -> str:
    """The same of the sentences on what did not fit."""
    lines = [paragraph(clean(one), indent=4, first="  -") for one in said]
    return "\n".join(["This plan leaves what does not fit:", *lines]) if lines else ""


def left_changed(old: Plan, new: Plan, scenario: Scenario | None = None) -> tuple[str, ...]:
    """A sentence on what the new plan leaves more of than the old, and on what it leaves less of."""
    before, after = _by_kind(old), _by_kind(new)
    more = tuple(one for key, one in after.items() if key not in before or one.pieces > before[key].pieces)
    less = tuple(one for key, one in before.items() if key not in after or one.pieces > after[key].pieces)
    fewer = tuple(after[key] for key, one in before.items() if key in after and one.pieces > after[key].pieces)
    told = (
        ("Now does not fit", more),
        ("Was left and no longer is, or not so much of it", less),
        ("Still left of that", fewer),
    )
    return tuple(
        f"{head}: {'; '.join(map(clean, left_said(replace(new, left=what), scenario)))}." for head, what in told if what
    )


def left_no_more(old: Plan, by_now: Plan, scenario: Scenario | None = None) -> tuple[str, ...]:
    """A sentence on what a plan said it leaves and by now, before anything is planned anew, is left no more."""
    still = _by_kind(by_now)
    gone = tuple(one for key, one in _by_kind(old).items() if key not in still or one.pieces > still[key].pieces)
    if not gone:
        return ()
    said = "; ".join(map(clean, left_said(replace(old, left=gone), scenario)))
    return (f"Said to be left in the old plan, and by now, as days went by, not so or not so much of it: {said}.",)


def _by_kind(plan: Plan) -> dict[tuple[str, str, How, str], LeftOver]:
    return {one.key: one for one in plan.left}
