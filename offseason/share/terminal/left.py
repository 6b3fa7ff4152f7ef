"""What a plan says it leaves, where it is shown."""

from __future__ import annotations

from offseason.plan.document import Plan
from offseason.plan.reading import left_said
from offseason.share.terminal.layout import clean, paragraph


def left_said_text(plan: Plan) -> str:
    """What did not fit, a line for each; empty for a plan in which all fits."""
    lines = [paragraph(clean(one), indent=4, first="  -") for one in left_said(plan)]
    return "\n".join(["This plan leaves what does not fit:", *lines]) if lines else ""


def left_changed(old: Plan, new: Plan) -> tuple[str, ...]:
    """A sentence on what the new plan leaves and the old did not, and the other way round."""
    before, after = left_said(old), left_said(new)
    more, less = [one for one in after if one not in before], [one for one in before if one not in after]
    told = ("Now does not fit", more), ("Was left and no longer is, or not so many", less)
    return tuple(f"{head}: {'; '.join(map(clean, what))}." for head, what in told if what)
