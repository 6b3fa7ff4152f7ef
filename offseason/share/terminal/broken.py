"""What the audit found, as it is printed: each broken promise a paragraph under the word for its promise."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from offseason.plan.audit import Broken
from offseason.plan.document import Plan
from offseason.scenario.model import Scenario
from offseason.share.terminal.layout import clean, count_text, paragraph
from offseason.share.terminal.left import left_said_text

_MOST_SHOWN = 200
"""Broken promises of one kind that are told one by one; nobody reads more before asking again. Ours."""


def broken_text(
    found: Sequence[Broken], plan_name: str, plan: Plan | None = None, scenario: Scenario | None = None
) -> str:
    """The broken promises by kind, of very many the first, or that there are none.

    ``plan_name``: the file they were looked for in. ``plan``: what it says it leaves is told where nothing else is
    wrong; of jobs in hours, with the ``scenario``.
    """
    name = clean(plan_name)
    if not found and plan is not None and plan.left:
        return f"{left_said_text(plan, scenario)}\n\n{name} keeps every other promise."
    if not found:
        return f"{name} keeps every promise."
    parts = [f"{name} breaks {count_text(len(found), 'promise')}:"]
    for promise, group in groupby(sorted(found, key=lambda broken: broken.promise), key=lambda broken: broken.promise):
        of_promise = list(group)
        lines = [paragraph(clean(broken.text), indent=4, first="  -") for broken in of_promise[:_MOST_SHOWN]]
        if (more := len(of_promise) - _MOST_SHOWN) > 0:
            lines.append(f"  - and {more:,} more of this kind")
        parts.append("\n".join([clean(promise), *lines]))
    return "\n\n".join(parts)
