"""No more people at a place than it has seats."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.plan.audit.broken import Broken, Promise, broken
from offseason.plan.audit.case import Case
from offseason.plan.audit.timeline import Stint


def seats_taken_twice(case: Case) -> Iterator[Broken]:
    """Whenever a row begins, all people then at work at its place have a seat there."""
    at_work: dict[str, list[Stint]] = {}
    for stint in case.timeline.stints:
        at = stint.step.at if stint.step else None
        seats = case.scenario.places[at].seats if at in case.scenario.places else None
        if at is None or seats is None or stint.ends <= stint.begins:
            continue
        others = [s for s in at_work.get(at, []) if s.ends > stint.begins]
        people = sum(len(s.row.who) for s in [*others, stint])
        if people > seats:
            has = "1 seat" if seats == 1 else f"{seats} seats"
            said = f"{at} has {has}, and {people} people are at work there: {people - seats} too many"
            yield broken(Promise.SEATS, stint.row, said)
        at_work[at] = [*others, stint]
