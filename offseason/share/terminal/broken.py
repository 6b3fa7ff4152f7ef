"""What the audit found, as it is printed: each broken promise a paragraph under the word for its promise."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from offseason.plan.audit import Broken
from offseason.plan.document import Plan
from offseason.scenario.model import Scenario
from offseason.share.terminal.layout import clean, count_text, paragraph
from offseason.share.terminal.left import left_said_text


def broken_text(
    found: Sequence[Broken], plan_name: str, plan: Plan | None = None, scenario: Scenario | None = None
) -> str:
    """All broken promises by kind, or that there are none; ``plan_name`` is the file they were looked for in.

    ``plan``: what it says it leaves is told where nothing else is wrong; of jobs in hours, with the ``scenario``.
    """
    name = clean(plan_name)
    if not found and plan is not None and plan.left:
        return f"{left_said_text(plan, scenario)}\n\n{name} keeps every other promise."
    if not found:
        return f"{name} keeps every promise."
    parts = [f"{name} breaks {count_text(len(found), 'promise')}:"]
    for promise, group in groupby(sorted(found, key=lambda broken: broken.promise), key=lambda broken: broken.promise):
        lines = [paragraph(clean(broken.text), indent=4, first="  -") for broken in group]
        parts.append("\n".join([clean(promise), *lines]))
    return "\n\n".join(parts)
