"""Names in the plan that the scenario does not know, and work that nobody asked for."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.plan.audit.broken import Broken, Promise, broken
from offseason.plan.audit.case import Case
from offseason.plan.audit.timeline import Stint
from offseason.scenario.nearest import offer


def unknown_names(case: Case) -> Iterator[Broken]:
    """Everyone, every lot and every place of a row is in the scenario, and the step is one of the lot's."""
    for stint in case.timeline.stints:
        row = stint.row
        for name in dict.fromkeys(row.who):
            if name not in case.scenario.crew:
                said = f"nobody of the crew is called '{name}'; {offer(name, case.scenario.crew)}"
                yield broken(Promise.KNOWN_NAMES, row, said)
        if row.lot not in case.yard.lots:
            said = f"there is no gear, job or round called '{row.lot}'; {offer(row.lot, case.yard.lots)}"
            yield broken(Promise.KNOWN_NAMES, row, said)
        else:
            yield from _step(case, stint)
        if row.at is not None and row.at not in case.scenario.places:
            said = f"there is no place called '{row.at}'; {offer(row.at, case.scenario.places)}"
            yield broken(Promise.KNOWN_NAMES, row, said)
        elif row.at is not None and stint.step is not None and row.at != stint.step.at:
            asked = f"at {stint.step.at}" if stint.step.at else "at no place in particular"
            said = f"this work is done {asked}, not at {row.at}"
            yield broken(Promise.PLACE, row, said)


def _step(case: Case, stint: Stint) -> Iterator[Broken]:
    row, lot = stint.row, case.yard.lots[stint.row.lot]
    if lot.suspected:
        said = f"{row.lot} is suspected of foulbrood: it is set apart and not worked on"
        yield broken(Promise.FOULBROOD, row, said)
    elif stint.step is None and row.step in lot.undue:
        said = f"painting is not due on {row.lot} this winter"
        yield broken(Promise.PAINT_WHEN_DUE, row, said)
    elif stint.step is None:
        said = f"{row.lot} has no step called '{row.step}'; {offer(row.step, [s.name for s in lot.steps])}"
        yield broken(Promise.KNOWN_NAMES, row, said)
